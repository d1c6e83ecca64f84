"""What became of each piece so far: one line each, for who wants to know what is made of what?"""

from edgetest.estimate import chance
from edgetest.report.documents.blocks import section, table
from edgetest.steel.blades_left import blades_to_come
from edgetest.study.steel.evidence_words import hardness_words, temper_line
from edgetest.study.steel.row_kinds import spaced

TITLE = "The pieces, one line each"
COLUMNS = (
    ("Piece", "left", 1.2), ("Lot", "left", 1.4), ("Blades", "right", "auto"),
    ("Sparks", "left", 1.2), ("Last quench read", "left", 1.8), ("Last temper read", "left", 2.0),
    ("Last trial", "left", 1.6), ("What is next", "left", 2.0), ("Chance", "right", "auto"),
)  # fmt: skip
FEWEST = 3  # pieces from which a table is read sooner than the lines; our choice
WORKED = 2  # of them quenched or tried; before, what was seen tells it all; our choice
BLANK = "not noted"
SET_ASIDE = "; its maker wrote that it makes no blade"
UNMENDED = "; what was seen of it does not fit together"


def pieces_section(result, spoken):
    """The table with its heading; nothing where few pieces are there, or were worked on.

    Parameters
    ----------
    result : SteelResult
    spoken : callable
        Words in the units asked for.

    Returns
    -------
    list of dict
    """
    worked = {one.piece for one in (*result.noted.heats, *result.noted.trials)}
    if len(result.seen.pieces) < FEWEST or len(worked) < WORKED or not result.begun:
        return []
    return [section(TITLE, lines_of_pieces(result, spoken))]


def chance_alone(decision):
    """The chance of a piece as a cell has it."""
    told = decision.chance_told
    return "none told" if told is None else chance(told)


def lines_of_pieces(result, spoken, *, chance_cell=chance_alone):
    """The table alone, of however many pieces; `chance_cell` writes the chance of a decision."""
    verdicts = {one.piece: one.decision for one in (result.asked, *result.others)}
    rows = [
        [
            spoken(word)
            for word in (
                *_row(piece, result.noted, verdicts[piece.id]),
                chance_cell(verdicts[piece.id]),
            )
        ]
        for piece in result.noted.pieces
    ]
    return table(COLUMNS, rows, close=True)


def _row(piece, noted, decision):
    """What was typed of a piece, last things last, and what is next with it; its chance aside."""
    heats = [heat for heat in noted.heats if heat.piece == piece.id]
    makes = piece.makes_blades
    return [
        piece.id,
        piece.lot or BLANK,
        BLANK if makes is None else f"{makes:g}{_not_begun(piece, noted)}",
        spaced(piece.sparks or BLANK),
        _last(_packed(heat) + hardness_words(heat.hardness) for heat in heats if heat.hardness),
        _last(
            temper_line(temper).removeprefix("temper ")
            for heat in heats
            for temper in heat.tempers
            if temper.hardness
        ),
        _last(_trial(trial) for trial in noted.trials if trial.piece == piece.id),
        decision.title.partition(" (")[0]
        + SET_ASIDE * (makes == 0)
        + UNMENDED * bool(decision.unmended),
    ]


def _not_begun(piece, noted):
    """How many of its blades nobody has begun, where some are: ", 2 not begun"."""
    to_come, makes = blades_to_come(noted, piece), piece.makes_blades
    if not makes or to_come is None or to_come >= makes:
        return ""
    return f", {max(to_come, 0):g} not begun"


def _last(words):
    """The last of some words, or that there are none."""
    return next(reversed([*words]), BLANK)


def _packed(heat):
    """That it was quenched packed with carbon."""
    return "packed with carbon: " if heat.carburised else ""


def _trial(trial):
    """What was tried, and what came of it."""
    came = "; ".join(map(spaced, filter(None, (trial.result, trial.edge))))
    return f"{spaced(trial.trial)}: {came or BLANK}"
