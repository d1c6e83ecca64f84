"""What speaks against a ratio of two tools: other pieces, a piece given up, an edge touched up."""

from math import inf

from edgetest.chop.counts import fit_counts
from edgetest.chop.ratio_by_piece import SELDOM, ratios_by_piece
from edgetest.doubts import Where, doubt
from edgetest.estimate import format_ratio
from edgetest.study.chop.chop_rows import billets
from edgetest.study.words import counted


def ratio_doubts(pieces, report, touched):
    """Doubts about the ratios of strokes between tools.

    Parameters
    ----------
    pieces : sequence of Severing
    report : ChopReport
    touched : sequence of dict
        Touch-ups, each with its `blade` and the `chops` that this had made.

    Yields
    ------
    Doubt
        Its `where` has the two tools as `blade` and `other`.
    """
    counts = report.counts
    alone = {ratio.scope for ratio in counts.ratios} == {"blades"} if counts is not None else False
    if alone and len(counts.ratios) > 1:
        yield doubt("tools_compared_singly", tools=len(counts.ratios) + 1)
    for ratio in counts.ratios if counts is not None else ():
        if 0 < ratio.ratio.value < inf:
            yield from _other_pieces(pieces, ratio)
            yield from _given_up(pieces, ratio)
            yield from _touched_up(pieces, ratio, touched)


def _where(ratio):
    return Where(blade=ratio.first, other=ratio.second)


def _other_pieces(pieces, ratio):
    """The tools whose ratio is another one for other pieces."""
    overall = ratio.ratio.value
    kinds, p = ratios_by_piece([one.piece for one in pieces], ratio.first, ratio.second, overall)
    if p < SELDOM:
        told = "; ".join(f"{each.ratio:.2g} ({each.words})" for each in kinds)
        told += f"; {overall:.2g} over all pieces"
        yield doubt("ratio_differs_by_piece", first=ratio.first, second=ratio.second, kinds=told,
                    where=_where(ratio))  # fmt: skip


def _given_up(pieces, ratio):
    """A ratio that tells the tools apart only by pieces that nobody severed."""
    claimed = _side(ratio.ratio)
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    fallen = [one for one in both if one.severed]
    left = len(both) - len(fallen)
    if not claimed or not left or len({one.blade for one in fallen}) < 2:
        return
    severed, _ = billets(fallen, {})
    (other,) = fit_counts(severed, against=ratio.second, level=ratio.ratio.level).ratios
    if _side(other.ratio) == claimed:
        return
    without = format_ratio(other.ratio.value, other.ratio.low, other.ratio.high)
    yield doubt("rests_on_given_up", first=ratio.first, second=ratio.second, where=_where(ratio),
                fewer="fewer" if claimed < 0 else "more", pieces=counted(left, "piece"),
                was="was" if left == 1 else "were", without=without)  # fmt: skip


def _side(ratio):
    """-1 where the first tool takes fewer strokes, 1 where more, 0 where nobody can tell."""
    return (ratio.low > 1) - (ratio.high < 1)


def _touched_up(pieces, ratio, touched):
    """Tools of which one had its edge touched up between its pieces, and the other not so."""
    made = {
        blade: sum(one.chops for one in pieces if one.blade == blade)
        for blade in (ratio.first, ratio.second)
    }
    times = {
        blade: sum(one["blade"] == blade and 0 < one["chops"] < most for one in touched)
        for blade, most in made.items()
    }
    if times[ratio.first] == times[ratio.second]:
        return
    often = [f"{blade} {_times(n)}" for blade, n in times.items()]
    yield doubt("touched_up_unlike", edges=" and ".join(often), where=_where(ratio))


def _times(n):
    return {0: "never", 1: "once"}.get(n, f"{n} times")
