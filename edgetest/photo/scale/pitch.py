"""Spacing of a ruling from all of its lines jointly, with what the lens bends."""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

DISTORTION_T = 2.0  # a lens term stays in the fit from this many standard errors
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
    # What a lens (radial) and a tilted micrometer add; each stays only where the lines ask.
    extra = {"bend": u * (u * u + v * v) / corner2, "tilt": u * u / np.sqrt(corner2)}
    number = np.unique(lines.index, return_inverse=True)[1]
    count = number.max() + 1
    kept = list(extra) if count >= 8 else []
    while True:
        design = np.stack([*base, *(extra[name] for name in kept)], axis=-1)
        coef, cov, spread = _gls(design, u, lines.sd, number)
        strength = np.abs(coef[3:]) / np.sqrt(np.diag(cov)[3:])
        if not kept or strength.min() > DISTORTION_T:
            break
        kept.pop(int(np.argmin(strength)))
    distortion = 3 * float(coef[3 + kept.index("bend")]) if "bend" in kept else 0.0
    pitch, lean = abs(coef[1]), coef[2]
    relative = np.sqrt(cov[1, 1]) / pitch
    # Local magnification, averaged over direction, grows by 2/3 of the corner's by there.
    span = max(float(np.ptp(u)), 1.0)
    # Lines that run into each other pull on their neighbours all the more.
    placing = PLACING_PX * max(1.0, 5 * lines.fitted_blur_px / pitch) ** 3
    relative = float(np.linalg.norm([relative, 0.25 * distortion, placing / span]))
    rotation = lines.angle_deg - np.rad2deg(np.arctan(lean))
    return PitchFit(
        pitch_px=float(pitch * np.cos(np.arctan(lean))),
        relative_u=relative,
        df=max(1, int(count - len(coef) + 1)),
        rotation_deg=float((rotation + 90) % 180 - 90),
        lines_used=int(count),
        distortion=distortion,
        misfit=float(spread / pitch),
        mark_every=mark_period(lines),
    )


def _gls(design, y, sd, number):
    """Least squares with a random shift per line: (params, cov, spread of the lines)."""
    count = number.max() + 1
    weight = 1 / sd**2
    coef = np.linalg.lstsq(design * np.sqrt(weight)[:, None], y * np.sqrt(weight))[0]
    miss = y - design @ coef
    total = np.bincount(number, weight, count)
    mean = np.bincount(number, weight * miss, count) / total
    within_df = max(1, y.size - count - 1)
    excess = max(1.0, float(np.sum(weight * (miss - mean[number]) ** 2) / within_df))
    weight = weight / excess
    total = np.bincount(number, weight, count)
    free = max(1, count - (design.shape[1] - 1))
    shift2 = _between(mean, 1 / total, free)
    pull = shift2 / (1 + shift2 * total)
    sums = np.stack([np.bincount(number, weight * column, count) for column in design.T], axis=-1)
    sum_y = np.bincount(number, weight * y, count)
    normal = (design * weight[:, None]).T @ design - (sums * pull[:, None]).T @ sums
    right = design.T @ (weight * y) - sums.T @ (pull * sum_y)
    cov = np.linalg.inv(normal)
    coef = cov @ right
    drift = np.bincount(number, weight * (y - design @ coef), count) / total
    cov = cov * _drift_factor(drift)
    return coef, cov, float(np.sqrt(np.sum(mean**2) / free))


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
