"""Is a ratio of two tools one number for all woods? Their ratio in each wood, and an F test."""

from dataclasses import replace
from math import inf

import numpy as np

from edgetest.chop.count_design import check_billets, design_of
from edgetest.chop.counts import DOUGLAS_FIR, compared_alone, fit_with
from edgetest.chop.woods_compared import RatioByWood, RatioInWood
from edgetest.errors import UnusableInput

FEWEST = 2  # pieces of a wood with either tool, from where on their ratio in it is told; a choice
WHOLE_COLUMNS = ("blade", "chops", "area_cm2", "wood")
OTHER_COLUMNS = ("hardness_n", "chops_before", "share_cut", "severed", "board", "treatment")


def ratios_by_wood(billets, ratios, *, level=0.95):
    """The ratio of strokes of two tools in each wood that both chopped, and whether it is one.

    Parameters
    ----------
    billets : Billets
        With the wood of each.
    ratios : sequence of BladeRatio
        The pairs, as compared over all pieces.
    level : float
        Coverage of each interval.

    Returns
    -------
    tuple of RatioByWood
        The pairs that have two woods or more, each with two pieces or more of either tool. A
        wood's ratio is that of the same regression on the pieces of this wood alone; `p` is the
        chance that woods alike would bring ratios so far apart, None where the pieces do not tell.

    References
    ----------
    .. [1] P. McCullagh, J. A. Nelder, Generalized Linear Models, 2nd ed. (1989), ch. 9: the F
       test of added terms in quasi-likelihood, here a level and a ratio of its own a wood.
    """
    if billets.wood is None:
        return ()
    found = []
    for pair in ratios:
        woods = tuple(_in_woods(billets, pair.first, pair.second, level))
        if len(woods) > 1:
            chance = _chance(billets, pair.first, woods)
            found.append(RatioByWood(pair.first, pair.second, woods, chance))
    return tuple(found)


def _in_woods(billets, first, second, level):
    """The ratio in each wood, in the order of the log, where it has one."""
    blade, wood = (np.array([str(x) for x in each]) for each in (billets.blade, billets.wood))
    for name in dict.fromkeys(wood.tolist()):
        own = blade[wood == name].tolist()
        many = own.count(first), own.count(second)
        if not name or min(many) < FEWEST:
            continue
        try:
            pairs, _ = compared_alone(_rows(billets, wood == name), against=second, level=level)
        except UnusableInput:  # these pieces alone cannot be fitted
            continue
        one = next(pair for pair in pairs if pair.first == first)
        if 0 < one.ratio.low <= one.ratio.high < inf:
            yield RatioInWood(name, many, replace(one, quantity=f"chops in {name}"))


def _rows(billets, kept):
    """Some of the billets."""
    chosen = {
        name: [x for x, keep in zip(column, kept, strict=True) if keep]
        for name in (*WHOLE_COLUMNS, *OTHER_COLUMNS)
        if (column := getattr(billets, name)) is not None
    }
    return replace(billets, near_misses=None, **chosen)


def _chance(billets, first, woods):
    """Chance that tools of one ratio in all woods bring ratios so far apart: an F test [1]."""
    from scipy.special import fdtrc

    names = [one.wood for one in woods]
    wood = np.array([str(x) for x in billets.wood])
    kept = np.isin(wood, names)
    known, wood = check_billets(_rows(billets, kept)), wood[kept]
    base = design_of(known, DOUGLAS_FIR.hardness_n)
    of_wood = np.array([wood == name for name in names[1:]], float).T
    own = of_wood * (known.blade == first)[:, None]
    try:
        fit = fit_with(base, known, np.hstack([of_wood, own]))
    except UnusableInput:  # these pieces do not part the woods from the rest
        return None
    free = len(names) - 1
    apart, cov = fit.params[-free:], fit.cov[-free:, -free:]
    return float(fdtrc(free, fit.df_interval, apart @ np.linalg.solve(cov, apart) / free))
