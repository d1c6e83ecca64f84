"""What is this steel, what was done to it, and what should be done next?

Open `steel_verdict` first; hardness (`_hrc`, Rockwell C), `quench`, `carburised_case`, `temper`
and `belief` feed it. Carbon is per cent by weight (`_pct`), depths are mm from the face of the
plate (`_mm`), temperatures °C (`_c`), times hours (`_h`), work hours of work. Nothing here
names an alloy: sparks and hardness do not carry that far.
"""
