"""What do a tool's strokes say beside those of another, and what does that lean on?"""

from collections import Counter
from dataclasses import replace
from math import inf

from edgetest.chop.woods_compared import NOT_TOLD, ONE_IN
from edgetest.report.documents.chopper_numbers import three
from edgetest.report.documents.tools_beside import beside, tool_title
from edgetest.report.wording import interval_words
from edgetest.store.chop_log import SEVERED
from edgetest.study.chop.board_order import first_told
from edgetest.study.chop.chop_rows import woods_told
from edgetest.study.chop.ratio_doubts import pieces_alone, ratio_of_severed
from edgetest.study.chop.ratio_without import boards_gone, plainly_moved
from edgetest.study.chop.turns_taken import but_words
from edgetest.study.words import counted, listed

LEANS_ON = {
    "rests_on_given_up": "which rests on what was given up",
    "rests_on_knots": "which rests on knots that the tools did not meet alike",
    "woods_rest_on_knots": "which rests on knots that the tools did not meet alike",
    "rests_on_even_counts": "which counts on pieces this much alike",
    "touched_up_unlike": "their edges were not touched up alike",
    "hands_apart": "which is of the hands as much as of the tools",
    "hands_unlike": "other hands chopped with it on some of the pieces",
}
OF_ALL_PIECES = tuple(code for code in LEANS_ON if code != "woods_rest_on_knots")
HANDS = ("hands_apart", "hands_unlike")


def first_words_of(result, blade):
    """Which of a tool and those beside it took the first piece of each board; "" for one alone."""
    rows = [row for row in result.log.rows if row.blade in beside(result, blade)]
    first = first_told(replace(result.log, rows=tuple(rows)))
    return f" {first[:1].upper()}{first[1:]}." if first else ""


def ratios_of(result, blade):
    """Strokes against the tools beside, in their order; open ones left out."""
    others = beside(result, blade)
    found = [
        ratio for ratio in result.report.counts.ratios
        if blade in (both := {ratio.first, ratio.second}) and both <= set(others)
        and 0 < ratio.ratio.low <= ratio.ratio.high < inf
    ]  # fmt: skip
    return sorted(found, key=lambda ratio: max(map(others.index, (ratio.first, ratio.second))))


def against_words(result, blade, main, *, alone):
    """Fewer or more than another tool, or not to be told, for a reader without statistics.

    The ratio is of all pieces: where a tool chopped more than this one kind (not `alone`), the
    words say so, and that the wood of the figure `main` does not tell it by itself.
    """
    ratio = next(iter(ratios_of(result, blade)), None)
    if ratio is None:
        return ""
    other = tool_title(result, ratio.first if blade == ratio.second else ratio.second)
    woods = result.report.counts.in_woods(ratio)
    if woods and woods.apart:
        return _against_by_wood(woods, blade, other) + leaning_words(result, ratio, tuple(LEANS_ON))
    if ratio_doubted(result, ratio, "ratio_differs_by_piece"):
        return ""
    fewer = _fewer_or_more(blade, ratio.first, ratio.ratio)
    but = leaning_words(result, ratio)
    if not fewer:
        of = "" if alone else " strokes, all pieces together"
        return f"; whether {other} takes more or fewer{of}, this test cannot tell{but}"
    if alone:
        return f", {fewer} than {other} takes{but}"
    did = " did" if but else ""  # two pairs of brackets do not stand side by side
    own = _in_its_own_wood(result, blade, ratio, main, fewer)
    return f"; over all its pieces, size for size, it took {fewer} than {other}{did}{but}{own}"


def _in_its_own_wood(result, blade, ratio, main, claimed):
    """That the wood of a figure, alone, does not say what all pieces say; "" where it nearly does.

    One wood has fewer pieces than all, so it is told only where its own ratio is plainly another.
    """
    woods = result.report.counts.in_woods(ratio)
    told = woods_told([one.piece for one in result.pieces])
    mine = {wood for one, wood in zip(result.pieces, told, strict=True) if one.row in main.rows}
    for one in woods.woods if woods else ():
        own = one.compared.ratio
        word = _fewer_or_more(blade, woods.first, own)
        nearer = (own.value > ratio.ratio.value) == (ratio.ratio.value < 1)
        if one.wood in mine and word != claimed and nearer and plainly_moved(own, ratio.ratio):
            says = f"it took {word}" if word else "this test cannot tell"
            return f"; in {one.wood} alone {says}"
    return ""


def _fewer_or_more(blade, first, ratio):
    """What a ratio says of a tool's strokes: "fewer", "more", or "" where nobody can tell."""
    _, low, high = three(ratio)
    return "" if low <= 1 <= high else "fewer" if (high < 1) == (blade == first) else "more"


def _against_by_wood(woods, blade, other):
    """Fewer or more than another tool in which wood, where the woods disagree."""
    found: dict[str, list[str]] = {"fewer": [], "more": [], "": []}
    for one in woods.woods:
        found[_fewer_or_more(blade, woods.first, one.compared.ratio)].append(one.wood)
    told = [f"in {listed(names)} it took {word} than {other}"
            for word, names in found.items() if word and names]  # fmt: skip
    if names := found[""]:
        told.append(f"in {listed(names)} this test cannot tell" + f" it from {other}" * (not told))
    return "; size for size, " + ", ".join(told)


def by_wood_sentence(result, blade, ratio):
    """Strokes against the other tool in per cent, wood by wood; "" where both chopped but one."""
    woods = result.report.counts.in_woods(ratio)
    if woods is None:
        return ""
    other = ratio.first if blade == ratio.second else ratio.second
    parts = [(one.wood, *_per_cent(blade, one.compared)) for one in woods.woods]
    told = listed(f"{shown} % in {wood} ({interval} %)" for wood, shown, interval in parts)
    if not woods.apart:
        chance = "the woods cannot be told apart"
        if ratio_doubted(result, ratio, "woods_rest_on_knots"):
            chance += "; that rests on knots that the tools did not meet alike"
        return f"Wood by wood {told}: {chance if woods.p is not None else NOT_TOLD}."
    titles = [tool_title(result, each) for each in (blade, other)]
    return (
        f"Side by side, {titles[0]} took, of the strokes that {titles[1]} took, {told}"
        f"{_left_words(result, blade, other)}; no one number holds for all woods: were they alike,"
        f" chance alone would show that in at most 1 of {ONE_IN} such tests"
        f"{leaning_words(result, ratio, HANDS)}."
    )


def leaning_words(result, ratio, codes=OF_ALL_PIECES):
    """What the two tools' ratio leans on, in brackets, where it is more than their strokes."""
    told = [LEANS_ON[code] for code in codes if ratio_doubted(result, ratio, code)]
    said = ", and ".join(told).replace(", and which rests on", ", and on")
    return f" ({said})" if said else ""


def ratio_doubted(result, ratio, code):
    """Whether a doubt of that code is about the ratio of these two tools."""
    doubts = [(one.code, one.where.blade, one.where.other) for one in result.doubts]
    return (code, ratio.first, ratio.second) in doubts


def beside_sentence(result, blade, ratio):
    """Strokes against the other tool, over all pieces where these agree, and wood by wood.

    Parameters
    ----------
    result : ChopResult
    blade : str
    ratio : BladeRatio

    Returns
    -------
    str
        "" where the pieces do not agree and but one wood was chopped.
    """
    woods = result.report.counts.in_woods(ratio)
    apart = (woods and woods.apart) or ratio_doubted(result, ratio, "ratio_differs_by_piece")
    overall = "" if apart else side_by_side_sentence(result, blade, ratio)
    return " ".join(filter(None, [overall, by_wood_sentence(result, blade, ratio)]))


def side_by_side_sentence(result, blade, ratio):
    """Strokes against the other tool, in per cent."""
    other = ratio.first if blade == ratio.second else ratio.second
    shown, interval = _per_cent(blade, ratio)
    mine, theirs = ({piece.board for piece in result.pieces if piece.blade == each}
                    for each in (blade, other))  # fmt: skip
    boards = " on the same boards" if mine == theirs and "" not in mine else ""
    turns = f" in turn{boards}" if result.design == "in_turn" else ""
    if result.design == "not_in_turn" and (but := but_words(result.log, blade, other)):
        turns = f"{boards}{but.replace(' in', ', in', 1) if boards else but}"
    verdict = "; the two cannot be told apart"
    if not ratio.ratio.low <= 1 <= ratio.ratio.high:
        most = f"at most 1 of {round(1 / (1 - result.report.level))} such tests"
        verdict = f"; were they alike, chance alone would show that in {most}"
    return (
        f"Side by side, {tool_title(result, blade)} took {shown} % of the strokes that"
        f" {tool_title(result, other)} took{turns}"
        f" ({interval} %){_left_words(result, blade, other)}{verdict}"
        f"{_severed_words(result, blade, ratio)}{leaning_words(result, ratio, HANDS)}."
    )


def odd_depths_words(result, *tools):
    """That depths far off the others are in the figures of some tools; "" where none is."""
    odd = sum(one.code == "depth_asked" and one.where.blade in tools for one in result.doubts)
    lie = "lies" if odd == 1 else "lie"
    return f"; {counted(odd, 'depth')} in it {lie} far off the others" if odd else ""


def depth_beside_sentence(result, blade):
    """How deep a chop of the tool went for 100 of the other's; "" without the other's depths."""
    fitted = result.report.depths
    others = beside(result, blade)[1:]
    found = {
        next(iter({one.first, one.second} - {blade})): one
        for one in (fitted.ratios if fitted else ())
        if one.scope == "blades" and blade in (one.first, one.second)
    }
    other = next((each for each in others if each in found), None)
    if other is None:
        return ""
    ratio = found[other]
    shown, interval = _per_cent(blade, ratio)
    same = "; the two cannot be told apart" if ratio.ratio.low <= 1 <= ratio.ratio.high else ""
    return (
        f"Side by side, half way through the test, {tool_title(result, blade)} went {shown} % "
        f"({interval} %) as deep as {tool_title(result, other)}{same}"
        f"{odd_depths_words(result, blade, other)}."
    )


def _left_words(result, *tools):
    """Pieces that were left out, and boards of one tool alone, beside the figure they bear on."""
    out = Counter(row.blade for row in result.log.rows
                  if row.blade in tools and row.kind in SEVERED and row.exclude
                  and not row.waiting)  # fmt: skip
    told = [f"{counted(n, 'piece')} of {tool}" for tool, n in out.items()]
    left = f"{listed(told)} left out" if told else ""
    parts = [part for part in (left, pieces_alone(result.pieces, *tools)) if part]
    return f", {', '.join(parts)}" if parts else ""


def _severed_words(result, blade, ratio):
    """What the pieces that fell say alone, where those given up move the figure."""
    other = None
    if ratio_doubted(result, ratio, "moved_by_given_up"):
        other = ratio_of_severed(result.pieces, ratio)
    if other is None:
        return ""
    shown, interval = _per_cent(blade, other)
    both = [one for one in result.pieces if one.blade in (ratio.first, ratio.second)]
    gone = boards_gone(both, [one for one in both if one.severed])
    boards = f", and{gone}," if gone else ""
    return f"; without what was given up{boards} {shown} % ({interval} %)"


def _per_cent(blade, ratio):
    """Strokes of a tool for 100 of the other, and the interval."""
    value, low, high = three(ratio.ratio)
    if blade == ratio.second:
        value, low, high = 1 / value, 1 / high, 1 / low
    return interval_words(100 * value, 100 * low, 100 * high, apart=100.0)
