"""What would a piece take that was not chopped? The wish in words, and the strokes reckoned."""

import re
from dataclasses import replace

import numpy as np

from edgetest.chop.notch import PieceSection
from edgetest.chop.reckoned import OtherPiece, reckon
from edgetest.chop.wood import wood_of_species
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import ORIENTATIONS
from edgetest.study.chop.piece_woods import own_woods

_NUMBER = r"\d+(?:\.\d+)?"
_WISH = re.compile(
    rf"(?:(?P<water>green|air-dry|seasoned)\s+)?(?P<wood>.*?)\s*(?<![\d.])(?P<first>{_NUMBER})(?:\s*[x×]\s*(?P<second>{_NUMBER}))?"
    rf"\s*(?P<unit>mm|cm|in)?\s*(?P<lies>{'|'.join(ORIENTATIONS)})?\s*$",
    re.IGNORECASE,
)
MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}
WISH = "the piece to reckon for"  # what a fault is about: an option, or a key of study.toml


def with_reckoned(result, wishes):
    """The result with strokes reckoned for other pieces.

    Parameters
    ----------
    result : ChopResult
    wishes : sequence of str
        Each a wood and a size: "English oak 90x60 flat", "hazel 45" (round, its diameter).

    Returns
    -------
    ChopResult

    Raises
    ------
    UnusableInput
        If a wish cannot be read, its wood is not known, or nothing was severed.
    """
    found, doubts = [], []
    for wish in wishes:
        more, about = reckon(
            [one.piece for one in result.pieces],
            [one.wood.side_hardness_n.value if one.wood else None for one in result.pieces],
            _wanted(result, wish),
            level=result.report.level,
        )
        found += more
        doubts += about
    told = tuple(dict.fromkeys([*result.doubts, *doubts]))
    return replace(result, reckoned=(*result.reckoned, *found), doubts=told)


def _wanted(result, wish):
    """The piece that a wish names."""
    match = _WISH.match(wish.strip())
    mend = 'write a wood and a size in mm, "English oak 90x60 flat", or "hazel 45" for a round one'
    if match is None or float(match["first"]) == 0 or float(match["second"] or 1) == 0:
        raise UnusableInput(f'"{wish}" names no piece', WISH, mend)
    if not result.pieces:
        raise UnusableInput("nothing was severed", WISH, "log severed pieces first")
    known = _wood(result, match["wood"], match["water"], mend)
    if known is None:
        return OtherPiece(_section(match))
    hardness = known.side_hardness_n.value
    return OtherPiece(
        _section(match), known.name, hardness, known.hardness_sd_log, known.moisture_pct
    )


def _section(match):
    """The section of a wish."""
    scale = MM[(match["unit"] or "mm").lower()]
    first = float(match["first"]) * scale
    if not match["second"]:
        return PieceSection(diameter_mm=first)
    lies = (match["lies"] or "").lower()
    return PieceSection(first, float(match["second"]) * scale, orientation=lies)


def _wood(result, name, water, mend):
    """The wood of a wish, the chopped one where none is named; None where it is not known.

    Its water is the wish's, else that of the chopped wood on average.
    """
    known = [one.wood for one in result.pieces if one.wood]
    if not name:
        if len({wood.name for wood in known}) > 1:
            raise UnusableInput("several woods were chopped", WISH, mend)
        if not known or not water:
            return known[0] if known else None
        name = known[0].name
    if not water and known:
        water = float(np.mean([wood.moisture_pct for wood in known]))
    return wood_of_species(name, moisture_pct=water or None, own=own_woods(result.study))
