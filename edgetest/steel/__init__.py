"""Evidence on an unknown steel: hardness, quench response, carburised case, temper, verdict.

Numbers in, frozen results out. Hardness is Rockwell C (`_hrc`), carbon is per cent by
weight (`_pct`), depths are millimetres (`_mm`) from the face of the plate, temperatures
degrees Celsius (`_c`), times hours (`_h` or `hours`), work hours of work. Nothing here
names an alloy: sparks and hardness do not carry that far.
"""
