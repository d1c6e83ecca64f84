"""What does a new study.toml say to the hand that fills it in?"""

import re
import tomllib

HEADER = """\
# The facts of this study; the guide to the file formats explains every key.
# maker = ""  # the name of your shop: it stands above the title of every document

"""
STEPS_HINT = (
    '# steps = [{ kind = "quench" }, { kind = "temper" }]  # with medium = "…", temperature_c = …, '
    "repeats = …"
)
TITLE_HINT = '# title = ""  # what a customer reads for the id, a noun, such as "Straw temper"'
BLADE_HINT = """
# Under the id of every blade, what you know of it; what is left out is "not noted":
# angle_per_side_deg =
# steel = ""
# hardness_hrc = []
# edge_finish = ""
"""
CHOPPER_HINT = """\
# edge_length_mm =  # chips and rolls that you count by eye count for this much edge
"""
HEAT_TREATMENT_HINT = """
# Heat treatments: take the # away, one block each, and write under the id of every
# blade which one it had:  heat_treatment = "temper_200"
# [[heat_treatments]]
# id = "temper_200"
# title = "temper 200 °C"  # what a customer reads in place of the id
# steps = [
#     { kind = "quench", medium = "oil, 55 °C" },
#     { kind = "temper", temperature_c = 200, time_min = 60, repeats = 2 },
# ]
"""
SCALE_HINT = """
# Photographs need a scale, given in one of three ways, here by a number:
# [scale]
# um_per_px = 0.42
# relative_u = 0.01
"""
STEEL_HINT = """
# Each piece, coupon, temper and trial is a block of its own; the app's page Verdict writes
# them too. What was not done is left out. To begin with:
# [[evidence.pieces]]
# id = "A"
# origin = "leaf spring"
# coating = "none"
# magnet = "strong"
# sparks = "like high"
"""


def hints_below(*, chopped: bool, treated: bool) -> str:
    """What stands below the facts of a new study, for a chop test too, and until it is treated."""
    blade = BLADE_HINT + (CHOPPER_HINT if chopped else "")
    return blade + ("" if treated else HEAT_TREATMENT_HINT) + SCALE_HINT


def with_steps_to_fill_in(text: str) -> str:
    """A new study.toml with lines for title and steps under each heat treatment without.

    Parameters
    ----------
    text : str
        As the program writes it, each table under a heading of its own.

    Returns
    -------
    str
    """
    tables = re.split(r"(?m)^(?=\[\[)", text)
    for k, table in enumerate(tables):
        if not table.startswith("[[heat_treatments]]"):
            continue
        known = tomllib.loads(table)["heat_treatments"][0]
        hints = {"title": TITLE_HINT, "steps": STEPS_HINT}
        if missing := [hint for key, hint in hints.items() if key not in known]:
            tables[k] = "\n".join((table.rstrip(), *missing, "\n"))
    return "".join(tables)
