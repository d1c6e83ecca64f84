"""Which woods and sizes does a chop log hold, and how many strokes do their pieces take?"""

from collections import Counter
from dataclasses import dataclass
from statistics import median

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.board_order import pieces_begun
from edgetest.study.chop.chop_rows import severings

# Chops that a billet or a stud takes where nobody has chopped one; common practice, no source.
USUAL_STROKES = 20.0
MOST_WOODS = 3


@dataclass(frozen=True)
class WoodToChop:
    """One wood and size: how many strokes a piece takes, and by how many pieces that is known."""

    words: str  # "" where nothing was chopped yet
    strokes: float | None
    seen: int = 0


def woods_to_chop(source, asked):
    """What pieces take: as somebody said, as the log has them, else as usual; and a doubt."""
    if asked is not None:
        return (WoodToChop("", float(asked)),), []
    seen = _chopped(source)[:MOST_WOODS]
    if seen:
        return seen, []
    assumed = doubt("strokes_assumed", strokes=f"{USUAL_STROKES:.0f}")
    return (WoodToChop("", USUAL_STROKES),), [assumed]


def _severed(source):
    """Pieces that fell, by kind, wood, and how they lay; none of a log with faults."""
    try:
        pieces = [one for one in severings(source.chops, source.study) if one.severed]
    except (UnusableInput, AttributeError):
        return {}
    groups: dict[tuple, list] = {}
    for one in pieces:
        wood = one.wood.name if one.wood else "wood not noted"
        groups.setdefault((one.kind, wood, one.section.orientation, _round(one)), []).append(one)
    return groups


def _round(piece):
    return piece.section.diameter_mm is not None


def _chopped(source):
    """The woods and sizes of the log, those with most pieces first."""
    found = [
        WoodToChop(
            f"{wood}, {_sizes(those)}", float(median(one.chops for one in those)), len(those)
        )
        for (_, wood, *_), those in _severed(source).items()
    ]
    return tuple(sorted(found, key=lambda wood: -wood.seen))


def _sizes(pieces):
    """Their size: of round ones from the thinnest to the thickest."""
    first = pieces[0].section
    if _round(pieces[0]):
        thick = sorted(one.section.diameter_mm for one in pieces)
        few = f"{thick[0]:.4g} mm to {thick[-1]:.4g} mm"
        return first.size_words() if thick[0] == thick[-1] else f"round, {few}"
    areas = [one.area_cm2 for one in pieces]
    return first.summary() if max(areas) < 1.1 * min(areas) else "of several sizes"


def _that_count(log):
    """Rows of pieces, chopped or to come, but those that are left out."""
    return [row for row in log.rows if row.kind in SEVERED and not row.exclude]


def planned_strokes(source, main, boards, left=None):
    """Strokes of each tool's planned pieces: of a log under way its own, and those to come.

    All that were chopped count, also those that stand in no order; `left` are the turns to come,
    of a tool too whose rows are all left out.
    """
    log = source.chops
    if log is None or not pieces_begun(log):
        return [main] * max(boards, len(source.protocol.stages))
    rows = _that_count(log)
    tools = Counter(row.blade for row in rows)
    tools.update({run.blade: 0 for run in left or ()})
    found = []
    for those in _severed(source).values():
        each = Counter(one.blade for one in those)
        middle = float(median(one.chops for one in those))
        found += [middle] * min((each[tool] for tool in tools), default=0)
    pieces = max(min(tools.values(), default=0), boards)
    if left is not None:
        done = Counter(row.blade for row in rows if row.chops is not None)
        open_ = Counter(run.blade for run in left)
        pieces = min((done[tool] + open_[tool] for tool in tools), default=boards)
    return found + [main] * (pieces - len(found))
