"""Did a tool's edge dull, as its customer reads it on page one, and did those beside it?"""

from math import inf

from edgetest.chop.count_results import loss_parts, loss_words, rounded_up
from edgetest.report.documents.tools_beside import beside, tool_title


def dulling_sentences(result, blade):
    """That the edge of a tool and of those beside it dulled, or that it cannot be seen yet.

    Parameters
    ----------
    result : ChopResult
        With pieces severed.
    blade : str

    Yields
    ------
    str
        One paragraph; none where nobody knows the strokes before each piece.
    """
    known = {one.blade: one for one in result.report.counts.dulling_by_tool}
    told = [
        _sentence(
            known[tool], "its edge" if tool == blade else f"that of {tool_title(result, tool)}"
        )
        for tool in beside(result, blade)
        if tool in known
    ]
    if blade in known:
        told.insert(1, _third_words(known[blade]))
    if told:
        yield " ".join(filter(None, told))


def _room_words(one):
    """How many more strokes its pieces still allow; "" of one piece, or with no upper end."""
    if one.pieces < 2 or not 0 < one.pct_per_100_chops.high < inf:
        return ""
    most = loss_parts(one.pct_per_100_chops)[1].split(" to ")[1]
    return f"; 100 strokes later a piece may take up to {most} strokes"


def _sentence(one, edge):
    """What one tool's strokes say of its edge."""
    loss = loss_words(one.pct_per_100_chops).replace("chops", "strokes")
    begun = edge[:1].upper() + edge[1:]
    if one.seen > 0:
        return f"{begun} dulled: {loss}."
    if one.seen < 0:
        return f"{begun} is not seen to dull: {loss}."
    if one.shows_pct is None:
        return f"Whether {edge} dulls cannot be seen yet{_room_words(one)}."
    least = (
        f"a dulling of {rounded_up(one.shows_pct)} % per 100 strokes would most likely have shown"
    )
    return f"Whether {edge} dulls cannot be seen yet: {loss}; {least}."


def _third_words(one):
    """When a piece takes a third more strokes, on its own sheet; "" where unknown."""
    if one.third_more is None:
        return ""
    return (
        f"A piece takes a third more (our choice) after {one.third_more.words()} with one edge, "
        "unless it loses nearly all in the first quarter."
    )
