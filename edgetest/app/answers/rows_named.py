"""Which field of which row does a line of the command line ask for, in the words of a page?"""

import shlex

from edgetest.app.answers.evidence_fields import HEAT, LOOK, PIECE, READERS, TEMPER, TRIAL
from edgetest.study.words import listed

FIELDS_OF = {
    "pieces": (*PIECE, *LOOK),
    "heats": HEAT,
    "tempers": TEMPER,
    "trials": TRIAL,
    "known": READERS,
}


def field_named(line: str) -> str:
    """The fields that a line changes, those behind `--replace` or its last, and their row.

    Parameters
    ----------
    line : str
        As the program prints it: `edgetest enter STUDY --evidence heats piece=A coupon=A1 heat=1
        --replace grain=`.

    Returns
    -------
    str
        Such as "“Grain of the break” of coupon A1, heat 1, of A".
    """
    table, *cells = shlex.split(line.partition(" --evidence ")[2])
    at = cells.index("--replace") if "--replace" in cells else len(cells) - 1
    row = dict(cell.split("=", 1) for cell in cells[:at] if "=" in cell)
    labels = {field.key: field.label for field in FIELDS_OF[table]}
    keys = [cell.partition("=")[0] for cell in cells[at:] if "=" in cell]
    return f"{listed([f'“{labels.get(key, key)}”' for key in keys])} of {_row(row)}"


def _row(cells):
    """A row as its maker calls it, by the cells that tell it from others."""
    if "id" in cells:
        return cells["id"]
    made = [f"{key} {cells[key]}" for key in ("blade", "coupon", "heat") if key in cells]
    piece = [f"of {cells['piece']}"] if "piece" in cells else []
    return ", ".join([*made, *piece])
