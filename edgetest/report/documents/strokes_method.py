"""How did the strokes of a tool's table come about? What holds for every row, and for some."""

from collections import defaultdict

from edgetest.chop.as_chopped import FEW_STROKES
from edgetest.report.documents.chopped_pieces import (
    alike_figures,
    cross_section_words,
    rows_of,
    wood_words,
)
from edgetest.report.documents.tools_beside import beside
from edgetest.study.words import counted, listed

MOST_ROWS_NAMED = 3  # rows of the table that are named by their wood and size; of more their number
DAYS_DIFFER = "days differ, and the interval allows for it."
HANDS_DIFFER = "hands differ, and the interval allows for it."


def strokes_method_words(result, blade):
    """By which model the means of a tool's table were found, with what holds for some rows.

    Parameters
    ----------
    result : ChopResult
    blade : str

    Returns
    -------
    str
        The model in its textbook names.
    """
    told = list(dict.fromkeys(one.strokes_per_piece.method for one in _shown(result, blade)))
    bounds = [method for method in told if "lower bound" in method]
    summed = [method for method in told if "summed over" in method]
    others = [method for method in told if method not in (*bounds, *summed)]
    if others and summed:
        (few,) = summed
        few = few.rpartition(" (")[2].removesuffix(")")
        where = f"; where the middle piece took {FEW_STROKES} strokes or fewer, {few})"
        others = [others[0].removesuffix(")") + where]
    return "; ".join([*(others or summed), *bounds])


def people_told(result, blade, units):
    """Hands and days that widen means of a tool's table: of all rows alike, else row by row.

    Parameters
    ----------
    result : ChopResult
    blade : str
    units : {"metric", "inch", "both"}

    Returns
    -------
    str
        Sentences, each after a blank; "" where one hand chopped every row on one day.
    """
    shown = _shown(result, blade)
    words = [_people(result, one) for one in shown]
    if len(set(words)) == 1:
        return people_words(result, shown[0])
    groups = defaultdict(list)
    for one, told in zip(shown, words, strict=True):
        if told:
            groups[told].append(one)
    return "".join(
        f" {_rows_words(result, blade, rows, units)} {chopped}: {why}"
        for (chopped, why), rows in groups.items()
    )


def people_words(result, one):
    """That several hands, or several days, widen a mean: each is one of many, see `as_chopped`."""
    told = _people(result, one)
    if not told:
        return ""
    chopped, why = told
    these = "Chopped" if why == DAYS_DIFFER else "These pieces were chopped"
    return f" {these}{chopped.removeprefix('chopped')}: {why}"


def _people(result, one):
    """By whom and on how many days a figure was chopped, and what that does; () for one."""
    rows = rows_of(result, one)
    hands = {row.operator for row in rows}
    days = {row.day or row.date for row in rows}
    if len(hands) == 1:
        return (f"chopped on {len(days)} days", DAYS_DIFFER) if len(days) > 1 else ()
    who = f"chopped by {listed(sorted(hands - {''}))}"
    who += ", and of some it is not noted by whom" if "" in hands else ""
    return who + (f", on {counted(len(days), 'day')}" if len(days) > 1 else ""), HANDS_DIFFER


def _shown(result, blade):
    """Figures of a tool's table: its own, and those of the tool beside it."""
    tools = beside(result, blade)[:2]
    return [one for tool in tools for one in result.as_chopped if one.blade == tool]


def _rows_words(result, blade, figures, units):
    """The rows of the table that some figures stand in, and was or were."""
    own = [one for one in figures if one.blade == blade]
    told = [f"{wood_words(result, one)}, {cross_section_words(result, one, units)}" for one in own]
    for one in figures:
        if one.blade != blade and not any(alike_figures(one, mine) for mine in own):
            of = f"{wood_words(result, one)}, {cross_section_words(result, one, units)}"
            told.append(f"{of} by {one.blade}")
    if len(told) > MOST_ROWS_NAMED:
        return f"{len(told)} rows were each"
    return f"Pieces of {listed(told)} were{' each' * (len(told) > 1)}"
