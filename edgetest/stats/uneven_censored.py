"""Contrast of two groups that scatter unequally and share effects, some values known to intervals.

For each ratio of the two scatters that is tried (`uneven_scatter`), the rows are divided by their
group's part of the scatter, which leaves one scatter for all: `censored_contrast` then tells the
difference on Student's scale. The ratios are weighed by the restricted likelihood of the closed
values, and the chances of the difference are averaged over them.
"""

from dataclasses import replace

import numpy as np

from edgetest.stats.censored_regression import T, censored_contrast
from edgetest.stats.contrast import student_cdf
from edgetest.stats.interval_likelihood import middles
from edgetest.stats.uneven_scatter import df_of_sizes, part_of_scatter, ratios_of_scatter


def uneven_censored_contrast(design, log_low, log_high, weights, group):
    """A contrast between two groups with a scatter each, within blocks that both share.

    Parameters
    ----------
    design : array_like, shape (n, p)
        Effects of each row; blocks may be shared between groups.
    log_low, log_high : array_like, shape (n,)
        Natural logs of what each life lies between; equal where known, -inf and inf where open.
    weights : array_like, shape (p,)
        Of the effects in the contrast.
    group : array_like of int, shape (n,)
        0 and 1 for the two groups that are compared; others scatter as the two on the average.

    Returns
    -------
    CensoredContrast
        With one scatter where the values do not tell of two.

    References
    ----------
    Own construction, by simulation; the table stands among the guide's tables.
    """
    design = np.atleast_2d(np.asarray(design, dtype=float))
    low, high = (np.asarray(end, dtype=float) for end in (log_low, log_high))
    group = np.asarray(group)
    even = censored_contrast(design, low, high, weights)
    sizes = [int((group == which).sum()) for which in (0, 1)]
    if even.df < 1 or min(sizes) < 2:
        return even
    closed = np.isfinite(low) & np.isfinite(high)
    fewest = min(int((closed & (group == which)).sum()) for which in (0, 1))
    log_ratio, mass = ratios_of_scatter(True, fewest)
    found, evidence = [], []
    for u in log_ratio:
        part = np.where(
            group == 0, part_of_scatter(-u), np.where(group == 1, part_of_scatter(u), 1)
        )
        found.append(censored_contrast(design / part[:, None], low / part, high / part, weights))
        evidence.append(_evidence(design[closed], middles(low, high)[closed], part[closed]))
    weight = mass * np.exp(np.array(evidence) - max(evidence))
    return _averaged(found, weight / weight.sum(), even, df_of_sizes(sizes, even.df))


def _evidence(design, value, part):
    """Restricted log-likelihood of values whose scatter is one times each row's part."""
    rows, told = design / part[:, None], value / part
    _, size, turn = np.linalg.svd(rows, full_matrices=False)
    basis = turn[size > 1e-9 * size.max()].T
    whole = rows @ basis
    params = np.linalg.lstsq(whole, told, rcond=None)[0]
    left = told - whole @ params
    df = len(value) - whole.shape[1]
    square = max(float(left @ left), 1e-18)
    _, log_det = np.linalg.slogdet(whole.T @ whole)
    return -np.log(part).sum() - log_det / 2 - df / 2 * np.log(square)


def _averaged(found, weight, even, df):
    """The contrast whose chances are those of several, averaged; told on the scale of `df`."""
    ends = np.concatenate([each.shift for each in found])
    ends = np.unique(ends[np.isfinite(ends)])
    chance = np.zeros(len(ends))
    for each, share in zip(found, weight, strict=True):
        known = np.isfinite(each.shift)
        t = np.interp(ends, each.shift[known], T[known])
        chance += share * student_cdf(t, even.df)
    reached = student_cdf(T, df)
    rising = np.maximum.accumulate(chance) + 1e-12 * np.arange(len(chance))
    shift = np.interp(reached, rising, ends, left=-np.inf, right=np.inf)
    middle = even.difference  # without an end where all lives of a group are open
    if np.isfinite(middle):
        middle = float(np.interp(0.5, rising, ends))
    return replace(even, difference=middle, df=df, shift=shift)
