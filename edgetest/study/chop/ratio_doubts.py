"""What speaks against a ratio of two tools: pieces, knots, hands, edges touched up."""

from collections import Counter
from math import exp, inf, log

from edgetest.chop.ratio_by_piece import SELDOM, ratios_by_piece
from edgetest.chop.woods_compared import ONE_IN
from edgetest.doubts import Where, doubt
from edgetest.study.chop.hands_unlike import hands_doubts
from edgetest.study.chop.knots_unlike import knot_doubts
from edgetest.study.chop.ratio_without import (
    by_wood_words,
    claim_words,
    claims_of,
    left_words,
    plainly_moved,
    ratio_without,
    side_told,
    verdict_words,
)
from edgetest.study.words import counted, listed

FEW_OF_A_WOOD, TURNED = 2, 1.2  # pieces a tool, and a ratio that plainly points one way; own choice


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
            woods = counts.in_woods(ratio)
            for own, each in claims_of(pieces, ratio, woods):
                yield from _other_pieces(own, each)
                yield from _given_up(own, each)
            yield from knot_doubts(pieces, ratio, woods)
            yield from _woods_apart(woods)
            yield from _touched_up(pieces, ratio, touched)
            yield from _alone(pieces, ratio)
            yield from hands_doubts(pieces, ratio.first, ratio.second)


def _woods_apart(woods):
    """Two tools of which the ratio is not the same in all woods, by more than chance."""
    if woods is not None and woods.apart:
        yield doubt("ratio_differs_by_wood", first=woods.first, second=woods.second,
                    woods=by_wood_words(woods), often=ONE_IN,
                    where=Where(blade=woods.first, other=woods.second))  # fmt: skip


def pieces_alone(pieces, *tools):
    """Of two tools that share boards, on which one alone has a piece that counts; "" on none.

    Parameters
    ----------
    pieces : sequence of Severing
        Those that count.
    *tools : str
        The two.

    Returns
    -------
    str
        "B2 alone on ash 4"
    """
    own = {tool: {one.board for one in pieces if one.blade == tool} - {""} for tool in tools}
    shared = set.intersection(*own.values())
    alone = {tool: sorted(boards - shared) for tool, boards in own.items() if shared}
    told = [f"{tool} alone on {listed(names)}" for tool, names in alone.items() if names]
    return listed(told) if told else ""


def _alone(pieces, ratio):
    """A ratio in which pieces count that have none of the other tool beside them."""
    if alone := pieces_alone(pieces, ratio.first, ratio.second):
        yield doubt("alone_on_board", first=ratio.first, second=ratio.second, alone=alone,
                    where=_where(ratio))  # fmt: skip


def _where(ratio):
    return Where(blade=ratio.first, other=ratio.second)


def _other_pieces(pieces, ratio):
    """The tools whose ratio is another one for other pieces."""
    overall = ratio.ratio.value
    kinds, p = ratios_by_piece([one.piece for one in pieces], ratio.first, ratio.second, overall)
    if p < SELDOM:
        told = "; ".join(f"{each.ratio:.2g} ({each.words})" for each in kinds)
        told += f"; {overall:.2g} over all pieces{ratio.quantity.removeprefix('chops')}"
        yield doubt("ratio_differs_by_piece", first=ratio.first, second=ratio.second, kinds=told,
                    where=_where(ratio))  # fmt: skip
    elif turned := _turned(pieces, ratio):
        told = "; ".join(f"{each:.2g} ({wood})" for wood, each in turned.items())
        told += f"; {overall:.2g} over all pieces"
        yield doubt("ratio_turns_by_wood", first=ratio.first, second=ratio.second, woods=told,
                    where=_where(ratio))  # fmt: skip


def _turned(pieces, ratio):
    """The ratio of each wood of two pieces or more a tool, where they plainly point both ways."""
    both = [one.piece for one in pieces if one.blade in (ratio.first, ratio.second)]
    found = {}
    for wood in dict.fromkeys(one.wood for one in both if one.wood):
        own = [one for one in both if one.wood == wood]
        kinds, _ = ratios_by_piece(own, ratio.first, ratio.second, ratio.ratio.value)
        times = Counter(one.blade for one in own)
        if kinds and min(times[ratio.first], times[ratio.second]) >= FEW_OF_A_WOOD:
            found[wood] = exp(sum(log(each.ratio) for each in kinds) / len(kinds))
    plain = found and min(found.values()) < 1 / TURNED and max(found.values()) > TURNED
    return found if plain else {}


def _given_up(pieces, ratio):
    """A ratio whose answer, or much of whose value, hangs on pieces that nobody severed."""
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    left = sum(not one.severed for one in both)
    other, fell = ratio_of_severed(pieces, ratio), [one for one in both if one.severed]
    on_boards = left and len({one.blade for one in fell}) == 2  # whose boards alone leave nothing
    if other is None and not (on_boards and side_told(ratio.ratio)):
        return
    told = {"pieces": counted(left, "piece"), "was": "was" if left == 1 else "were",
            "without": left_words(both, fell, other), "where": _where(ratio)}  # fmt: skip
    if other is None or side_told(other.ratio) != side_told(ratio.ratio):
        yield doubt("rests_on_given_up", what=claim_words(ratio), then=verdict_words(other), **told)
    elif plainly_moved(other.ratio, ratio.ratio):
        value = f"{ratio.ratio.value:.2f}"
        yield doubt("moved_by_given_up", first=ratio.first, second=ratio.second, value=value,
                    **told)  # fmt: skip


def ratio_of_severed(pieces, ratio):
    """The ratio of two tools by the pieces that fell; None where all did, or one tool has none.

    Parameters
    ----------
    pieces : sequence of Severing
    ratio : RateRatio
    """
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    return ratio_without(both, [one for one in both if one.severed], ratio)


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
