"""Smoothing along the edge: local straight lines, deaf to outliers where asked."""

import numpy as np
from scipy.ndimage import median_filter

FINEST_PX = 0.02  # no place on a photograph is known better, however clean it is


def local_line(values, reach, *, weight=None):
    """Local linear regression with Gaussian weights: its value at every place.

    Parameters
    ----------
    values : array_like, shape (n,)
    reach : float
        Standard deviation of the Gaussian weights, places.
    weight : array_like, shape (n,), optional
        Trust in each value, zero or more.

    Returns
    -------
    ndarray, shape (n,)
    """
    values = np.asarray(values, dtype=float)
    weight = np.ones(values.size) if weight is None else np.asarray(weight, dtype=float)
    half = min(int(np.ceil(3 * reach)), values.size)
    offset = np.arange(-half, half + 1)
    kernel = np.exp(-0.5 * (offset / reach) ** 2)

    def total(series, power):
        full = np.convolve(series, (kernel * (offset / reach) ** power)[::-1], mode="full")
        return full[half : half + values.size]

    w0, w1, w2 = total(weight, 0), total(weight, 1), total(weight, 2)
    y0, y1 = total(weight * values, 0), total(weight * values, 1)
    # Far from any trusted value the line gives way to the plain weighted mean.
    ridge = 1e-3 * w0 + 1e-12
    return ((w2 + ridge) * y0 - w1 * y1) / (w0 * (w2 + ridge) - w1**2 + 1e-12)


def robust_line(values, reach, *, weight=None, rounds=4, cut=3.0):
    """As `local_line`, outliers left out by iterated weights (Tukey's biweight).

    Returns
    -------
    line : ndarray, shape (n,)
    trust : ndarray, shape (n,)
        Weight each value kept.
    """
    values = np.asarray(values, dtype=float)
    base = np.ones(values.size) if weight is None else np.asarray(weight, dtype=float)
    trust = base
    line = local_line(running_median(values, 2 * int(reach) + 1), reach, weight=base)
    for _ in range(rounds):
        off = np.abs(values - line)
        sd = 1.4826 * np.median(off[base > 0]) + FINEST_PX if np.any(base > 0) else 1.0
        trust = base * np.clip(1 - (off / (2 * cut * sd)) ** 2, 0, 1) ** 2
        line = local_line(values, reach, weight=trust + 1e-6)
    return line, trust


def running_median(values, size):
    """Median over `size` neighbouring places; beyond its ends a slope runs on."""
    size = max(1, min(size | 1, 101))
    values = np.asarray(values, dtype=float)
    padded = np.pad(values, size // 2, mode="reflect", reflect_type="odd")
    return median_filter(padded, size)[size // 2 : size // 2 + values.size]


def runs(flags):
    """First and past-the-last index of every run of True, shape (n, 2)."""
    edges = np.diff(np.concatenate([[0], np.asarray(flags, dtype=np.int8), [0]]))
    return np.stack([np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)], axis=1)
