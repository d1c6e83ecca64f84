"""Readings that enter otherwise than as plain numbers: bounds, and numbers that lie far out.

A bound ('below 1.2 µm') has its probability in the likelihood, not a made-up value. The fit sees
it as the number and the variance whose normal likelihood touches the bound's own at the present
curve; repeated until the curve stands still, this is Newton's method on the exact likelihood.
"""

from dataclasses import replace

import numpy as np

from edgetest.stats.censoring import normal_log_between

FAR = 2.5  # standard deviations beyond which the robust fit takes a reading less seriously
LEAST_PULL = 1e-8  # of a plain reading's weight: a bound that is met by far says nothing


def update_bounds(blade, mean, residual_var):
    """The blade's bounded cells as numbers that touch their likelihood at `mean`.

    Parameters
    ----------
    blade : Cells
    mean : ndarray (N,)
        Log reading that the fit expects at every cell.
    residual_var : float

    Returns
    -------
    Cells
        With new `log_value` and `known_var` at the bounded cells.
    """
    i = np.flatnonzero(blade.bounded)
    if not len(i):
        return blade
    var = residual_var + blade.own_var[i]
    sd = np.sqrt(var)
    slope, curvature = normal_bounds(
        (blade.log_lower[i] - mean[i]) / sd, (blade.log_upper[i] - mean[i]) / sd
    )
    curvature = np.clip(curvature, LEAST_PULL, 1.0)
    log_value, known_var = blade.log_value.copy(), blade.known_var.copy()
    log_value[i] = mean[i] + sd * slope / curvature
    known_var[i] = np.maximum(var / curvature - residual_var, 0.0)
    return replace(blade, log_value=log_value, known_var=known_var)


def normal_bounds(low, high):
    """Slope and (negative) curvature by the mean of log(Phi(high) - Phi(low)), in SD.

    Parameters
    ----------
    low, high : ndarray (n,)
        Bounds minus mean, over the standard deviation; -inf and inf where open.

    Returns
    -------
    slope, curvature : ndarray (n,)
    """
    with np.errstate(all="ignore"):
        log_chance = normal_log_between(low, high)
        ends = [np.where(np.isfinite(end), end, 0.0) for end in (low, high)]
        at_low, at_high = (
            np.where(np.isfinite(end), np.exp(-(end**2) / 2 - log_chance), 0.0) / np.sqrt(2 * np.pi)
            for end in (low, high)
        )
        slope = at_low - at_high
        curvature = slope**2 + ends[1] * at_high - ends[0] * at_low
        # A narrow interval is a number: its middle, with the full weight.
        narrow = ~np.isfinite(slope) | ~np.isfinite(curvature) | (high - low < 1e-4)
        middle = np.where(np.isfinite(low + high), (low + high) / 2, sum(ends))
    return np.where(narrow, middle, slope), np.where(narrow, 1.0, curvature)


def update_weights(blade, residuals, residual_var):
    """Give cells beyond `FAR` standard deviations a weight that falls with the square.

    Parameters
    ----------
    blade : Cells
    residuals : ndarray (N,)
        Log reading minus what curve, place and stage expect.
    residual_var : float

    Returns
    -------
    Cells
        With new `known_var` at the cells that hold numbers.
    """
    var = residual_var + blade.own_var
    z = np.abs(residuals) / np.sqrt(var)
    less = np.maximum(z / FAR, 1.0) ** 2
    known_var = np.where(blade.bounded, blade.known_var, blade.own_var + var * (less - 1))
    return replace(blade, known_var=known_var)
