"""What is this steel, what was done to it, and what should be done next?

Open `steel_actions` first; observations (`steel_seen`) go through `contradictions` and
`weigh_steel` to it; `carburised_case` is the case of a pack. Carbon is per cent by weight
(`_pct`), depths are mm from the face of the plate (`_mm`), temperatures °C (`_c`), hardness
Rockwell C (`_hrc`), work hours of work. Nothing here names an alloy: sparks and hardness do not
carry that far.
"""
