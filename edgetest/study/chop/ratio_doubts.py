"""What speaks against a ratio of two tools: pieces, knots, hands, edges touched up."""

from collections import Counter, defaultdict
from math import exp, inf, log

from edgetest.chop.counts import fit_counts
from edgetest.chop.ratio_by_piece import SELDOM, ratios_by_piece
from edgetest.chop.woods_compared import ONE_IN
from edgetest.doubts import Where, doubt
from edgetest.estimate import format_ratio
from edgetest.study.chop.chop_rows import billets, woods_told
from edgetest.study.chop.hands_unlike import hands_doubts
from edgetest.study.words import counted, listed

FEW_OF_A_WOOD, TURNED = 2, 1.2  # pieces a tool, and a ratio that plainly points one way; own choice
MOVED = 1.1  # a ratio moved by this factor by pieces that were given up is told; own choice


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
                yield from _knots(own, each)
            yield from _woods_apart(woods)
            yield from _touched_up(pieces, ratio, touched)
            yield from _alone(pieces, ratio)
            yield from hands_doubts(pieces, ratio.first, ratio.second)


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


def _woods_apart(woods):
    """Two tools of which the ratio is not the same in all woods, by more than chance."""
    if woods is not None and woods.apart:
        told = "; ".join(
            f"{format_ratio(one.value, one.low, one.high)} ({each.wood})"
            for each in woods.woods if (one := each.compared.ratio)
        )  # fmt: skip
        yield doubt("ratio_differs_by_wood", first=woods.first, second=woods.second, woods=told,
                    often=ONE_IN, where=Where(blade=woods.first, other=woods.second))  # fmt: skip


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
    if other is None and not (on_boards and _side(ratio.ratio)):
        return
    told = {"pieces": counted(left, "piece"), "was": "was" if left == 1 else "were",
            "without": _left_words(both, fell, other), "where": _where(ratio)}  # fmt: skip
    if other is None or _side(other.ratio) != _side(ratio.ratio):
        yield doubt("rests_on_given_up", what=_claim(ratio), then=_verdict(other), **told)
    elif abs(log(other.ratio.value / ratio.ratio.value)) >= log(MOVED):
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
    return _without(both, [one for one in both if one.severed], ratio)


def _knots(pieces, ratio):
    """A ratio whose answer is another one without the knots that one tool met more than the other.

    A knot costs strokes: one that worked against what the ratio says does not make it.
    """
    both = [one for one in pieces if one.blade in (ratio.first, ratio.second)]
    knotty = Counter(one.blade for one in both if one.knots)
    more = knotty[ratio.first] - knotty[ratio.second]
    claimed = _side(ratio.ratio)
    if not more or claimed * more < 0:
        return
    clear = [one for one in both if not one.knots]
    other = _without(both, clear, ratio)
    if (_side(other.ratio) if other else 0) == claimed:
        return
    if other and claimed * log(other.ratio.value / ratio.ratio.value) > 0:
        return
    met = listed(f"{counted(n, 'piece')} of {blade}" for blade, n in knotty.items())
    yield doubt("rests_on_knots", what=_claim(ratio), then=_verdict(other),
                without=_left_words(both, clear, other),
                pieces=f"{met} with a knot in the cut", mend=_clear_mend(both),
                where=_where(ratio))  # fmt: skip


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


def _without(both, kept, ratio):
    """The ratio by the pieces that are kept; None where all are, or where a tool has none left.

    A piece whose board has none of the other tool left goes too: alone it tells of its wood.
    """
    if len(kept) == len(both):
        return None
    robbed = _robbed(both, kept)
    kept = [one for one in kept if one.board not in robbed]
    if len({one.blade for one in kept}) < 2:
        return None
    severed, _ = billets(kept, {})
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


def _left_words(both, kept, ratio):
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


def _claim(ratio):
    """What a ratio says of its tools, and in which wood, where it is not of all pieces."""
    side, wood = _side(ratio.ratio), ratio.quantity.removeprefix("chops")
    if not side:
        return f"nothing tells {ratio.first} and {ratio.second} apart{wood}"
    more = "fewer" if side < 0 else "more"
    return f"{ratio.first} takes {more} strokes than {ratio.second}{wood}"


def _verdict(ratio):
    """The same of the ratio that stands where some pieces are left out."""
    told = ratio is not None and _side(ratio.ratio)
    return _claim(ratio) if told else "nothing tells the two apart"


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
