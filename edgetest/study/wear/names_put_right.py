"""Is the answer one slip of the pen? Names that look swapped are put right, and it is made anew."""

from dataclasses import replace

import numpy as np

from edgetest.study.wear.alternative_answers import Alternative, changed


def names_put_right(curves, given):
    """The answer with each pair of names that look swapped the other way round.

    Parameters
    ----------
    curves : ReadFrom
    given : Finding

    Returns
    -------
    list of Alternative, list of Doubt
        The other answers where the verdict is another one, else the doubts with what would be
        found.
    """
    found, told = [], []
    for about in (one for one in curves.fit.doubts if one.code == "names_swapped"):
        for words, columns in _other_ways(curves.columns, about.where):
            other = curves.finding(given, columns=columns)
            if changed(given, other):
                found.append(Alternative("two names", given, other, about, "As logged", words))
                break
        else:
            told.append(about)
    return found, told


def _other_ways(columns, where):
    """The readings with both names exchanged there; of several stages also at all others.

    Either makes the same two curves, and which of them is whose is not known.
    """
    if where.last_stage is None:
        yield "With the names swapped", _exchanged(columns, where, columns.cuts == where.stage)
        return
    here = (columns.cuts >= where.stage) & (columns.cuts <= where.last_stage)
    yield "With the names swapped there", _exchanged(columns, where, here)
    yield "With the names swapped at all other stages", _exchanged(columns, where, ~here)


def _exchanged(columns, where, here):
    """The readings with both names exchanged in some rows."""
    one, two = where.blade, where.other
    blade = np.array(columns.blade, dtype=object)
    blade[here & (columns.blade == one)] = two
    blade[here & (columns.blade == two)] = one
    return replace(columns, blade=blade)
