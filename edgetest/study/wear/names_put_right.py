"""Is the answer one slip of the pen? Names that look swapped are put right, and it is made anew."""

from dataclasses import replace

import numpy as np

from edgetest.study.wear.alternative_answers import Alternative, changed


def names_put_right(curves, given):
    """The answer with each pair of names that look swapped at a stage the other way round.

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
        other = curves.finding(given, columns=_the_other_way(curves.columns, about.where))
        if not changed(given, other):
            told.append(about)
            continue
        what = "two names"
        found.append(Alternative(what, given, other, about, "As logged", "With the names swapped"))
    return found, told


def _the_other_way(columns, where):
    """The readings with both names exchanged at that stage."""
    here, blade = columns.cuts == where.stage, np.array(columns.blade, dtype=object)
    one, two = where.blade, where.other
    blade[here & (columns.blade == one)] = two
    blade[here & (columns.blade == two)] = one
    return replace(columns, blade=blade)
