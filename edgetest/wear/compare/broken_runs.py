"""A run that was broken off says nothing of a blade that another, whole run does not say better."""

import numpy as np

from edgetest.doubts import Where, doubt


def without_broken_runs(table):
    """The table without bounds of runs that lie below a known life of the same blade.

    Averaged with a life, the bound of a run that a mishap ended would make a bound of the blade.
    A bound above every known life of its blade stays: it says that the blade can last longer.

    Parameters
    ----------
    table : dict of str to ndarray, shape (n,)
        With `blade`, `treatment`, `log_low` and `log_high`; a bound has no upper end.

    Returns
    -------
    dict of str to ndarray
    list of Doubt
        One for each blade of which a run was set aside.
    """
    bound = np.isposinf(table["log_high"])
    keys = list(zip(table["treatment"].tolist(), table["blade"].tolist(), strict=True))
    longest: dict[tuple[str, str], int] = {}
    for i in np.flatnonzero(~bound).tolist():
        before = longest.get(keys[i])
        if before is None or table["log_low"][i] > table["log_low"][before]:
            longest[keys[i]] = i
    broken = {
        i: longest[keys[i]]
        for i in np.flatnonzero(bound).tolist()
        if keys[i] in longest and table["log_low"][i] <= table["log_low"][longest[keys[i]]]
    }
    if not broken:
        return table, []
    rows = list(dict.fromkeys(broken.get(i, i) for i in range(len(keys))))  # sides keep their order
    told = [
        doubt("broken_run_set_aside", where=Where(blade=blade))
        for blade in dict.fromkeys(table["blade"][list(broken)].tolist())
    ]
    return {name: column[rows] for name, column in table.items()}, told
