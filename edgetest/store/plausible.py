"""Which sizes can a cell or key hold at all, and beyond which is it asked whether they are meant?

All bounds are common practice, no source: they are wide, and a slip of the unit (a thousand, or
25.4 times) leaves them.
"""

# Refused beyond: no blade, piece or reading of a cut test is as large, by the unit of the column.
MOST = {
    "um": 10_000.0,
    "mm": 20_000.0,
    "gf": 1e6,
    "n": 1e5,
    "g": 1e6,
    "deg": 360.0,
    "pct": 1_000.0,
    "kg_m3": 3_000.0,
    "cuts": 1e7,
    "count": 1e6,
}
# Asked about outside, by column of a log or key of a blade.
USUAL = {
    "edge_width_um": (0.05, 200.0),
    "w30_um": (0.05, 500.0),
    "sever_force_gf": (5.0, 20_000.0),
    "station_mm": (0.0, 1_000.0),
    "depth_mm": (0.1, 400.0),
    "width_mm": (1.0, 600.0),
    "thickness_mm": (0.5, 600.0),
    "diameter_mm": (1.0, 600.0),
    "length_mm": (5.0, 3_000.0),
    "largest_chip_mm": (0.0, 15.0),
    "spine_mm": (0.3, 20.0),
    "edge_length_mm": (10.0, 1_500.0),
    "thickness_behind_edge_mm": (0.05, 10.0),
    "mass_g": (1.0, 20_000.0),
}
# Of a piece that is chopped through by hand: inches typed where mm are asked for leave it, and so
# does a pole or a stud with its point lost (420 for 42). A log of a felling match is 325 mm thick.
USUAL_PIECE = {
    "width_mm": (10.0, 350.0),
    "thickness_mm": (10.0, 350.0),
    "diameter_mm": (10.0, 350.0),
}
# Water of a piece, % of the oven-dry mass, by its kind. Lumber is sold dried, 19 % at most (PS 20,
# from memory). Green, most woods hold 30 to 100 % and the sapwood of softwoods 98 to 249 % (Wood
# Handbook, Table 4-1, read in a copy). 12.5 typed without its point leaves both.
USUAL_WATER_PCT = {"lumber": (5.0, 30.0), "billet": (5.0, 100.0)}
# Of a tool that chops, under [handling]; a mass in kilograms leaves it.
USUAL_TOOL_G = (100.0, 20_000.0)
# Of a blade that chops: centimetres typed for mm leave it. An edge is a tenth of the tool or more,
# an axe's with its helve too.
USUAL_CHOPPER = {"edge_length_mm": (40.0, 800.0), "length_mm": (120.0, 1_500.0),
                 "width_mm": (15.0, 300.0)}  # fmt: skip
LEAST_BALANCE = 0.1  # of the tool's length from the butt, or of the place it strikes with
# Steel melts from about 1400 °C; a temper leaves nothing hard above 760 °C. Common practice.
HOTTEST_C = {"temper": 760.0}
HOTTEST_STEP_C = 1_300.0
# Minutes below which a bare number is asked about, for hours may be meant: a temper is held half an
# hour to two, a pack for hours, thin steel is soaked for minutes. Common practice, no source.
LEAST_MIN = {"temper": 15.0, "carburise": 30.0}
MOST_STEP_MIN = 7 * 24 * 60.0  # no step of a heat treatment is held for a week
LEAST_SOAK_MIN = 2.0
MOST_SOAK_MIN = 60.0  # from here minutes may be meant, for hours at heat coarsen the grain
