"""A ratio of lives with a covariate taken out, by what it does among blades treated alike.

Least squares of log life on heat treatment, block and the covariate. The slope comes from
blades of one heat treatment (and block) that differ in the covariate, never from the
difference between heat treatments, which is what it is to explain.
"""

import numpy as np

from edgetest.stats.contrast import contrast
from edgetest.stats.multiple_comparisons import Family
from edgetest.wear.compare.comparison_result import Ratio, ratio_of
from edgetest.wear.compare.layout import known_variance, lay_out, scope
from edgetest.wear.compare.replicates import independent_results

LEAST_DF = 4  # degrees of freedom left for the scatter; own choice
# Share of the covariate's spread among blades treated alike that is true and no error of its
# measuring: errors flatten the slope by as much, which is put right only on average. Own choice;
# see the simulation in the guide.
LEAST_RELIABLE = 0.9


def without_covariate(
    lives, first, second, *, control=None, reference=None, level=0.95
) -> Ratio | None:
    """Ratio of lives of two heat treatments at equal values of a covariate (ANCOVA).

    Parameters
    ----------
    lives : BladeLives
        With `covariate` and its uncertainty.
    first, second : str
        The ratio is second over first.
    control, reference : str, optional
        As in `compare_lives.ComparisonOptions`.
    level : float

    Returns
    -------
    Ratio or None
        None where the blades do not tell: fewer than `LEAST_DF` degrees of freedom, lives
        that are bounds, a covariate that is unknown for a blade, hardly differs among blades
        treated alike, or differs no more than it is uncertain. Adjusted for several heat
        treatments (Sidak).
    """
    replicates = independent_results(lives, control)
    design = lay_out(replicates, reference)
    x = replicates.covariate
    if scope(design, first, second) == "blades" or not replicates.exact.all() or np.isnan(x).any():
        return None
    columns = _indicators(np.array([design.names.index(t) for t in replicates.treatment.tolist()]))
    if design.blocks is not None and replicates.block is not None:  # else they stay in the scatter
        block = np.unique(replicates.block, return_inverse=True)[1]
        columns = np.column_stack([columns, _indicators(block)[:, 1:]])
    free = len(columns) - np.linalg.matrix_rank(columns)
    df = free - 1
    if df < LEAST_DF:
        return None
    y_left, x_left = _residuals(columns, replicates.log_life), _residuals(columns, x)
    spread = float(x_left @ x_left)
    error = float((replicates.covariate_u**2).mean()) * free
    if spread <= 1e-12 or 1 - error / spread < LEAST_RELIABLE:
        return None
    true = spread - error  # dividing by it takes out how errors flatten the slope
    slope = float(x_left @ y_left) / true
    left = y_left - slope * x_left
    scatter = float(left @ left) / df
    weight = _weights(design, columns, first, second)
    if not np.allclose(weight @ columns, _asked(design, columns, first, second)):
        return None  # the blocks hold one heat treatment each
    apart = float(weight @ x)
    difference = float(weight @ replicates.log_life) - slope * apart
    variance = scatter * (float(weight @ weight) + apart**2 * spread / true**2)
    found = contrast(difference, variance, float(df), level, "t, covariate taken out")
    found = found.widened(known_variance(design, first, second))
    return ratio_of(found, level, Family("sidak", len(design.names) - 1))


def _indicators(index):
    """One column a label."""
    return np.eye(index.max() + 1)[index]


def _residuals(columns, values):
    """What the columns leave of the values."""
    found, *_ = np.linalg.lstsq(columns, values, rcond=None)
    return values - columns @ found


def _weights(design, columns, first, second):
    """Weights of the replicates in the difference of two heat treatments, least squares."""
    return _asked(design, columns, first, second) @ np.linalg.pinv(columns)


def _asked(design, columns, first, second):
    """Weights of the columns' effects in that difference."""
    row = np.zeros(columns.shape[1])
    row[design.names.index(second)], row[design.names.index(first)] = 1.0, -1.0
    return row
