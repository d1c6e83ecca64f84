"""The ratio of two tools by some of their pieces, and what a ratio claims, in words."""

from collections import defaultdict
from math import inf, log

from edgetest.chop.counts import fit_counts
from edgetest.estimate import format_ratio
from edgetest.study.chop.chop_rows import billets, woods_told

MOVED = 1.1  # a ratio moved by this factor by some of its pieces is told; own choice


def claims_of(pieces, ratio, woods):
    """What is claimed of two tools, and of which pieces: of all, or of each wood where they differ.

    Parameters
    ----------
    pieces : sequence of Severing
    ratio : BladeRatio
    woods : RatioByWood or None

    Returns
    -------
    list of (list of Severing, BladeRatio)
    """
    if woods is None or not woods.apart:
        return [(pieces, ratio)]
    told = woods_told([one.piece for one in pieces])
    return [
        ([one for one, wood in zip(pieces, told, strict=True) if wood == each.wood], each.compared)
        for each in woods.woods
    ]


def by_wood_words(woods):
    """The ratio in each wood: "0.75 (0.66 to 0.85) (spruce); 0.91 (0.70 to 1.18) (hazel)"."""
    return "; ".join(
        f"{format_ratio(one.value, one.low, one.high)} ({each.wood})"
        for each in woods.woods if (one := each.compared.ratio)
    )  # fmt: skip


def plainly_moved(one, other):
    """Whether two ratios differ by a factor that is told."""
    return abs(log(one.value / other.value)) >= log(MOVED)


def ratio_without(both, kept, ratio):
    """The ratio by the pieces that are kept; None where all are, or where a tool has none left.

    A piece whose board has none of the other tool left goes too: alone it tells of its wood.
    """
    return ratio_of_billets(severed_without(both, kept), ratio)


def severed_without(both, kept):
    """The billets that `ratio_without` takes; None where they leave no two tools."""
    if len(kept) == len(both):
        return None
    robbed = _robbed(both, kept)
    kept = [one for one in kept if one.board not in robbed]
    return billets(kept, {})[0] if len({one.blade for one in kept}) > 1 else None


def ratio_of_billets(severed, ratio):
    """The ratio of the same two tools by other billets; None without any, or one that is open."""
    if severed is None:
        return None
    (other,) = fit_counts(severed, against=ratio.second, level=ratio.ratio.level).ratios
    return other if 0 < other.ratio.value < inf else None


def _robbed(both, kept):
    """The boards that had pieces of both tools, and of which one tool alone is kept."""
    was, left = _tools_on(both), _tools_on(kept)
    return {board for board, tools in was.items() if len(tools) == 2 > len(left.get(board, ()))}


def _tools_on(pieces):
    """The tools that have a piece on each board that is named."""
    boards = defaultdict(set)
    for one in pieces:
        if one.board:
            boards[one.board].add(one.blade)
    return boards


def left_words(both, kept, ratio):
    """What went, and the ratio that stands then: "Without its board: 0.82 (0.58 to 1.15)"."""
    what = boards_gone(both, kept)
    if ratio is None:
        return f"Without{what or ' them'} the two cannot be compared"
    shown = format_ratio(ratio.ratio.value, ratio.ratio.low, ratio.ratio.high)
    return f"Without{what}: {shown}"


def boards_gone(both, kept):
    """The boards that go with pieces that are left out: " its board", or "" where none does."""
    boards = len(_robbed(both, kept))
    return ("", " its board")[boards] if boards < 2 else " their boards"


def claim_words(ratio):
    """What a ratio says of its tools, and in which wood, where it is not of all pieces."""
    side, wood = side_told(ratio.ratio), ratio.quantity.removeprefix("chops")
    if not side:
        return f"nothing tells {ratio.first} and {ratio.second} apart{wood}"
    more = "fewer" if side < 0 else "more"
    return f"{ratio.first} takes {more} strokes than {ratio.second}{wood}"


def verdict_words(ratio):
    """The same of the ratio that stands where some pieces are left out."""
    told = ratio is not None and side_told(ratio.ratio)
    return claim_words(ratio) if told else "nothing tells the two apart"


def side_told(ratio):
    """-1 where the first tool takes fewer strokes, 1 where more, 0 where nobody can tell."""
    return (ratio.low > 1) - (ratio.high < 1)
