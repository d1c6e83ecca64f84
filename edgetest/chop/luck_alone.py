"""What would a ratio of strokes be if luck alone made the pieces differ, and does that decide it?

A scatter below that of counting narrows an interval. That is right for even wood and a steady
hand, and wrong where counts were rounded or guessed, so both intervals are told.
"""

from math import inf

from edgetest.doubts import Where, doubt
from edgetest.estimate import format_ratio

SELDOM = 0.05  # a scatter that chance brings less often than this is said


def luck_doubts(result, by_luck):
    """That pieces were more alike than pure counting makes them, and what ratios owe to it.

    Parameters
    ----------
    result : ChopCounts
    by_luck : sequence of BladeRatio
        Its ratios with the scatter of counting alone, in their order.

    Yields
    ------
    Doubt
    """
    spread = result.dispersion
    if not spread.used < 1:
        return
    pairs = list(zip(result.ratios, by_luck, strict=True))
    if spread.p_under < SELDOM:
        told = [f"{one.first} over {one.second} {_words(one)}, as pure counting {_words(luck)}"
                for one, luck in pairs
                if _width(one) < _width(luck) and _words(one) != _words(luck)]  # fmt: skip
        narrower = f" Intervals are narrower for it ({'; '.join(told)})." if told else ""
        yield doubt("underdispersed", narrower=narrower, where=Where(value=spread.used))
    for one, luck in pairs:
        side = _side(one)
        if side and not _side(luck):
            yield doubt(
                "rests_on_even_counts", first=one.first, second=one.second,
                takes="fewer" if side < 0 else "more", by_luck=_words(luck),
                where=Where(blade=one.first, other=one.second),
            )  # fmt: skip


def _words(one):
    return format_ratio(one.ratio.value, one.ratio.low, one.ratio.high)


def _width(one):
    """How many times its lower end the upper is; few pieces widen one beyond pure counting."""
    return one.ratio.high / one.ratio.low if one.ratio.low > 0 else inf


def _side(one):
    """-1 where the first takes fewer strokes, 1 where more, 0 where nobody can tell."""
    return (one.ratio.low > 1) - (one.ratio.high < 1)
