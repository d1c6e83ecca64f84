"""Spacing of a ruling from all of its lines jointly, with what the lens bends."""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

# Growth of magnification from the middle to the corner that is usual, standard deviations, by a
# lens and by a micrometer that lies tilted: common practice, no source. A ruling that tells no
# more than this keeps it as its doubt; one that tells more is believed. So the interval changes
# smoothly with what a crop or a file leaves of the lines.
LENS_SD, TILT_SD = 0.005, 0.005
ELSEWHERE = 0.25  # of that growth: how far the scale of an edge beside the middle is off
ROUNDS = 5  # of fit and scatter of the lines in turns
PLACING_PX = 0.015  # what whole pixels and unlike neighbours shift the ends of a ruling by


@dataclass(frozen=True)
class PitchFit:
    """Spacing at the picture's centre; uncertainties are standard ones."""

    pitch_px: float
    relative_u: float
    df: int
    rotation_deg: float
    lines_used: int
    distortion: float  # growth of magnification from the centre to the corner
    misfit: float  # spread of the lines about even spacing, share of the pitch
    mark_every: int | None  # long marks stand every so many lines


def fit_pitch(lines, shape):
    """Spacing, rotation and distortion from all lines (generalised least squares).

    Each line has a place error of its own (shared by its strips) besides the noise of each
    strip, so the fit is generalised least squares with that compound covariance: the number
    of lines, not of pixels, sets the interval.

    Parameters
    ----------
    lines : LineSet
    shape : (int, int)
        Rows and columns of the picture.

    Returns
    -------
    PitchFit
    """
    corner2 = (shape[0] ** 2 + shape[1] ** 2) / 4
    u, v = lines.across, lines.along
    base = [np.ones_like(u), lines.index.astype(float), v]
    # What a lens (radial) and a tilted micrometer add, each drawn towards none.
    extra = [u * (u * u + v * v) / corner2, u * u / np.sqrt(corner2)]
    number = np.unique(lines.index, return_inverse=True)[1]
    count = number.max() + 1
    prior = np.array([0.0, 0.0, 0.0, 3 / LENS_SD, 2 / TILT_SD])
    coef, cov, spread, told = _gls(
        np.stack([*base, *extra], axis=-1), u, lines.sd, number, prior**2
    )
    distortion, lens_u = 3 * float(coef[3]), 3 * float(np.sqrt(cov[3, 3]))
    pitch, lean = abs(coef[1]), coef[2]
    relative = np.sqrt(cov[1, 1]) / pitch
    span = max(float(np.ptp(u)), 1.0)
    # Lines that run into each other pull on their neighbours all the more.
    placing = PLACING_PX * max(1.0, 5 * lines.fitted_blur_px / pitch) ** 3
    elsewhere = ELSEWHERE * np.hypot(distortion, lens_u)
    relative = float(np.linalg.norm([relative, elsewhere, placing / span]))
    rotation = lines.angle_deg - np.rad2deg(np.arctan(lean))
    return PitchFit(
        pitch_px=float(pitch * np.cos(np.arctan(lean))),
        relative_u=relative,
        df=max(1, int(count - 2 - told)),
        rotation_deg=float((rotation + 90) % 180 - 90),
        lines_used=int(count),
        distortion=distortion,
        misfit=float(spread / pitch),
        mark_every=mark_period(lines),
    )


def _gls(design, y, sd, number, prior):
    """Least squares with a random shift per line: (params, cov, spread of the lines, told).

    `prior` is what is known of each parameter beforehand, about 0: one over its variance;
    `told` is how many of those the lines themselves tell.
    """
    count = number.max() + 1
    known = prior > 0
    root = 1 / sd[:, None]
    coef = np.zeros(design.shape[1])
    coef[~known] = np.linalg.lstsq(design[:, ~known] * root, y * root[:, 0])[0]
    told = 0.0  # how many of the parameters with a prior the lines themselves tell
    for _ in range(ROUNDS):
        miss = y - design @ coef
        weight = 1 / sd**2
        mean = np.bincount(number, weight * miss, count) / np.bincount(number, weight, count)
        within_df = max(1, y.size - count - 1)
        excess = max(1.0, float(np.sum(weight * (miss - mean[number]) ** 2) / within_df))
        weight = weight / excess
        total = np.bincount(number, weight, count)
        free = max(1.0, count - 2 - told)
        shift2 = _between(mean, 1 / total, free)
        pull = shift2 / (1 + shift2 * total)
        sums = np.stack([np.bincount(number, weight * column, count) for column in design.T], -1)
        sum_y = np.bincount(number, weight * y, count)
        normal = (design * weight[:, None]).T @ design - (sums * pull[:, None]).T @ sums
        right = design.T @ (weight * y) - sums.T @ (pull * sum_y)
        cov = np.linalg.inv(normal + np.diag(prior))
        coef = cov @ right
        told = float(np.sum(1 - np.diag(cov)[known] * prior[known]))
    drift = np.bincount(number, weight * (y - design @ coef), count) / total
    cov = cov * _drift_factor(drift)
    return coef, cov, float(np.sqrt(np.sum(mean**2) / free)), told


def _drift_factor(drift):
    """How much neighbouring lines that err alike widen the variance of the spacing."""
    if drift.size < 6:
        return 1.0
    alike = float(np.sum(drift[1:] * drift[:-1]) / max(float(np.sum(drift**2)), 1e-18))
    alike = np.clip(alike + 1 / drift.size, 0.0, 0.9)  # its mean is below zero by chance alone
    return (1 + alike) / (1 - alike)


def _between(mean, variance, free):
    """Variance between lines at which their scatter is as large as it should be."""

    def scatter(shift2):
        return np.sum(mean**2 / (shift2 + variance)) - free

    low, high = 0.0, float(np.sum(mean**2) / free) + 1e-18
    if scatter(0.0) <= 0:
        return 0.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if scatter(middle) > 0 else (low, middle)
    return high


def mark_period(lines):
    """Every how many lines the longer marks stand, or None where the picture does not tell."""
    index = lines.index - lines.index.min()
    strips = np.bincount(index)
    present = np.flatnonzero(strips)
    lengths = strips[present]
    if present.size < 6:
        return None
    usual = np.quantile(lengths, 0.3)
    longer = present[lengths > 1.12 * usual + 1]
    if longer.size < 2 or longer.size > 0.55 * present.size:
        return None
    period = int(np.gcd.reduce(np.diff(longer)))
    expected = np.count_nonzero(present % period == longer[0] % period)
    return period if period > 1 and longer.size >= 0.7 * expected else None


def two_sided_t(df, level=0.95):
    """Factor of the standard error for an interval of `level` at `df` degrees of freedom."""
    return float(stdtrit(df, 0.5 + level / 2))
