"""Did a tool's edge dull, as its customer reads it on page one, and did those beside it?"""

from math import inf

from edgetest.chop.count_results import loss_words, rounded_up
from edgetest.estimate import estimate_parts
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
    if told:
        yield " ".join(told)


def _room_words(one):
    """How many more strokes its pieces still allow; "" of one piece, or with no upper end."""
    high = one.pct_per_100_chops.high
    if one.pieces < 2 or not 0 < high < inf:
        return ""
    most = estimate_parts(one.pct_per_100_chops.value, one.pct_per_100_chops.low, high)[1]
    return f"; 100 strokes later a piece may take up to {most.split(' to ')[1]} % more strokes"


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
