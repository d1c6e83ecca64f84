"""One reading a stage: what does it leave to tell a reading's scatter by?"""

from math import inf

import numpy as np

CUBIC_FROM = 10  # readings of a blade, from which their neighbours tell a bend; our choice


def one_reading_a_stage(blades):
    """Whether no stage of any blade was read twice, nor the doubt of its reading stated.

    Parameters
    ----------
    blades : sequence of Cells
    """
    return all(
        len(b.stage) == len(np.unique(b.stage)) and not b.repeat_df and not b.own_var.any()
        for b in blades
    )


def off_neighbours(blades, residuals):
    """Variance of a reading by how far it lies off the curve through its neighbours.

    Parameters
    ----------
    blades : sequence of Cells
    residuals : sequence of (N,) arrays
        Log reading minus log curve, cell by cell: the law's bend is taken away.

    Returns
    -------
    float
        Off the line through two neighbours, of ten readings and more off the cubic through
        four; a path of the edge's own counts as scatter too. inf where no reading has so many.

    References
    ----------
    .. [1] T. Gasser, L. Sroka, C. Jennen-Steinmetz, "Residual variance and residual pattern in
       nonlinear regression", Biometrika 73 (1986) 625-633.
    """
    squares = [np.empty(0)]
    for blade, left in zip(blades, residuals, strict=True):
        known = np.flatnonzero(~blade.bounded)
        known = known[np.argsort(blade.cuts[known])]
        squares.append(_squares(blade.cuts[known], left[known]))
    local = np.concatenate(squares)
    return float(local.mean()) if len(local) else inf


def _squares(cuts, left):
    """Squares, each of one reading's variance in the mean, of one blade in the order of cuts."""
    side = 2 if len(cuts) >= CUBIC_FROM else 1
    rows = np.arange(side, len(cuts) - side)
    near = rows[:, None] + np.delete(np.arange(-side, side + 1), side)
    at, weight = cuts[near], np.ones(near.shape)
    for j in range(2 * side):  # Lagrange's weights
        for k in set(range(2 * side)) - {j}:
            weight[:, j] *= (cuts[rows] - at[:, k]) / (at[:, j] - at[:, k])
    off = left[rows] - (weight * left[near]).sum(axis=1)
    return off**2 / (1 + (weight**2).sum(axis=1))
