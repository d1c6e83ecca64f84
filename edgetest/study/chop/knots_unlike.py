"""What is claimed of two tools that rests on knots which they did not meet alike."""

from collections import Counter
from math import log

from edgetest.chop.ratio_by_wood import ratios_by_wood
from edgetest.doubts import Where, doubt
from edgetest.estimate import format_ratio
from edgetest.study.chop.ratio_without import (
    boards_gone,
    by_wood_words,
    claim_words,
    claims_of,
    left_words,
    ratio_of_billets,
    ratio_without,
    severed_without,
    side_told,
    verdict_words,
)
from edgetest.study.words import counted, listed

APART, ALIKE = "no one number holds for all woods", "the woods differ no more than chance brings"


def knot_doubts(pieces, ratio, woods):
    """What is claimed of two tools, by wood or of all, that is another one without their knots.

    Parameters
    ----------
    pieces : sequence of Severing
    ratio : BladeRatio
    woods : RatioByWood or None

    Yields
    ------
    Doubt
    """
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    clear = [one for one in both if not one.knots]
    if told := _woods_by_knots(both, clear, ratio, woods):
        claim, then, shown = told
        gone = boards_gone(both, clear) or (" it", " them")[len(both) - len(clear) > 1]
        yield doubt("woods_rest_on_knots", what=claim, without=f"Without{gone}: {shown}", then=then,
                    pieces=_knots_met(both), mend=_clear_mend(both),
                    where=Where(blade=ratio.first, other=ratio.second))  # fmt: skip
        return
    for own, each in claims_of(pieces, ratio, woods):
        yield from _claim_by_knots(own, each)


def _woods_by_knots(both, clear, ratio, woods):
    """Whether the woods differ, where the clear pieces alone say otherwise, and what those say."""
    met = Counter((one.piece.wood, one.blade) for one in both if one.knots)
    unlike = any(met[wood, ratio.first] != met[wood, ratio.second] for wood, _ in met)
    if woods is None or woods.p is None or not unlike:
        return None
    severed = severed_without(both, clear)
    overall = ratio_of_billets(severed, ratio)
    found = ratios_by_wood(severed, [overall], level=ratio.ratio.level) if overall else ()
    other = next(iter(found), None)
    if other is None or other.p is None or other.apart == woods.apart:
        return None
    if other.apart:
        return ALIKE, APART, by_wood_words(other)
    value = format_ratio(overall.ratio.value, overall.ratio.low, overall.ratio.high)
    return APART, ALIKE, f"{value} over all of them"


def _knots_met(both):
    """How many pieces of which tool had a knot."""
    knotty = Counter(one.blade for one in both if one.knots)
    met = listed(f"{counted(n, 'piece')} of {blade}" for blade, n in knotty.items())
    return f"{met} with a knot in the cut"


def _claim_by_knots(pieces, ratio):
    """A ratio whose answer is another one without the knots that one tool met more than the other.

    A knot costs strokes: one that worked against what the ratio says does not make it.
    """
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    knotty = Counter(one.blade for one in both if one.knots)
    more = knotty[ratio.first] - knotty[ratio.second]
    claimed = side_told(ratio.ratio)
    if not more or claimed * more < 0:
        return
    clear = [one for one in both if not one.knots]
    other = ratio_without(both, clear, ratio)
    if (side_told(other.ratio) if other else 0) == claimed:
        return
    if other and claimed * log(other.ratio.value / ratio.ratio.value) > 0:
        return
    yield doubt("rests_on_knots", what=claim_words(ratio), then=verdict_words(other),
                without=left_words(both, clear, other), pieces=_knots_met(both),
                mend=_clear_mend(both),
                where=Where(blade=ratio.first, other=ratio.second))  # fmt: skip


def _clear_mend(both):
    """Which clear pieces settle it: still to be chopped, or chopped on every board with a knot."""
    tools = {one.blade for one in both}
    clear = {(one.board, one.blade) for one in both if not one.knots and one.board}
    boards = {one.board for one in both if one.knots}
    if all((board, tool) in clear for board in boards for tool in tools):
        these = "that board" if len(boards) == 1 else "each of those boards"
        return (
            f"Each tool has a clear piece of {these}, so nothing more is asked: in clear wood the"
            " figure without knots holds"
        )
    return "Chop another piece of that board with each tool, clear of knots"
