"""Is a cell of the table of the pieces borne by the notes and the verdict's JSON?"""

import re

from tests.benchmarks.read_steel.seen_rows import readings_told
from tests.benchmarks.read_steel.sentence_rules import SHARE, per_cent

LINES = "The pieces, one line each"
BLANK = "not noted"


def cell_unborne(block, steel, told, names):
    """What stands against a cell; `names` are the pieces by row."""
    piece = next((one for one in steel.pieces if one["id"] == names.get(block.row)), None)
    said = next((one for one in told["pieces"] if piece and one["piece"] == piece["id"]), None)
    if piece is None or said is None:
        return [f"no piece {names.get(block.row)}"]
    return [] if CELLS[block.head](block.text, piece, said, steel) else [f"not so of {piece}"]


def _typed(key):
    """A cell that says what was typed of the piece, or that nobody did."""
    return lambda text, piece, _, __: text == f"{piece.get(key, BLANK)}"


def _read(table):
    """A cell with readings: as some row of the piece has them."""

    def held(text, piece, _, steel):
        rows = [row for row in getattr(steel, table) if row["piece"] == piece["id"]]
        typed = {one for row in rows for one in readings_told(row)}
        return text == BLANK if not typed else text.rpartition(": ")[2] in typed

    return held


def _trial(text, piece, _, steel):
    """What was tried last, with its outcome."""
    mine = [one for one in steel.trials if one["piece"] == piece["id"]]
    if not mine:
        return text == BLANK
    came = "; ".join(mine[-1][key] for key in ("result", "edge") if key in mine[-1])
    return text.partition(": ")[2] == (came or BLANK)


def _next(text, piece, said, _):
    """The step by the JSON."""
    return said["title"].startswith(text.partition("; what was seen")[0])


def _chance(text, piece, said, _):
    """The chance by the JSON."""
    share = said["chance_fit"]
    told = re.fullmatch(SHARE, text)
    return text == "none told" if share is None else bool(told) and per_cent(share, text)


CELLS = {
    "Piece": _typed("id"), "Lot": _typed("lot"), "Blades": _typed("makes_blades"),
    "Sparks": _typed("sparks"), "Last quench read": _read("heats"),
    "Last temper read": _read("tempers"), "Last trial": _trial, "What is next": _next,
    "Chance": _chance,
}  # fmt: skip
