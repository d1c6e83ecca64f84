"""Texts of study.toml with every key of a mystery steel: invented."""

WHOLE = """
title = "Found steel"
[verdict]
use = "hedging tool"
hardness_hrc = "52-57"
blade_hours = "6 h"
known_steel_hours = 2.0
piece = "A"
no_test = ["laboratory"]

[evidence]
known_low = "mild bar by certificate"
known_high = "an old file"
files_hrc = [40, 50, 60]

[[evidence.pieces]]
id = "A"
origin = "plough-disc"
lot = "harrow"
makes_blades = 9
thickness_mm = 6
coating = "no"
lead = "no"
closed_hollow = false
loaded_spring = false
magnet = "strong"
sparks = "between"
stream = "bright forked"
forging = "moves"
fracture = "fibrous"
hardness_skin = "<40"
carbon_pct = 0.62

[[evidence.pieces]]
id = "B"

[[evidence.heats]]
piece = "A"
coupon = "A1"
heat = 1
medium = "warm water"
medium_c = 60
heat_c = "1475 °F"
colour = "bright cherry"
magnet = "lets go"
soak_min = "5 h"
cycles = 2
section_mm = "1/4 in"
hardness_skin = "bites all"
hardness_below = ["skates all", "50-60"]
hardness = [63, "60-65"]
grain = "fine"
fracture = "snapped clean"
cracked = 1
count = 3

[[evidence.tempers]]
piece = "A"
coupon = "A1"
heat = 1
temperature_c = "356 °F"
time_min = 60
repeats = 2
hardness = 63
for_use = true

[[evidence.trials]]
piece = "A"
test = "rope"
result = "worse"
edge = "took a set"
life_ratio = "0.44 (0.41 to 0.49)"
coupon = "A1"
heat = 1
"""
