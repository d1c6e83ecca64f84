"""A study.toml as a maker writes it."""

STUDY = """
title = "Two tempers"
protocol = "sisal_rope"
invented = true
control = "C1"
date = 2026-05-04

[scale]
um_per_px = 0.42
relative_u = 0.01

[scales.high]
ruling = "photos/micrometer.jpg"
pitch_um = 10

[[heat_treatments]]
id = "low"
title = "Low temper"
steps = [
  {kind = "normalise", temperature_f = 1600, repeats = 2},
  {kind = "austenitise", temperature_c = "1475 °F", soak_min = 5},
  {kind = "quench", medium = "oil"},
  {kind = "temper", temperature_c = 190, time_min = "2 h", repeats = 2},
]

[[blades]]
id = "K1"
heat_treatment = "low"
included_angle_deg = 30
spine_mm = "1/4 in"
thickness_behind_edge_mm = "0,5"
hardness_target_hrc = "58-60"
hardness_hrc = [59.0, 59.5]

[[blades]]
id = "C1"
title = "control"
angle_per_side_deg = 15
hardness_hrc = 60
hardness_files = {skates = 60, bites = 65}

[evidence]
magnet = "sticks"
"""
