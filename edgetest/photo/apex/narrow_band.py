"""Bands hardly wider than the blur: one pooled profile, and what it can and cannot tell.

Seen through a blur of standard deviation s, a band of width w has a profile of variance
s² + w²/12. Where s is not known from elsewhere only the profile's flatness (its fourth
moment, of the order (w/s)⁴) tells the two apart, and a lens that diffracts is flatter or
steeper than a Gaussian by as much: under about three s a picture alone gives little more than
an upper limit. The likelihood of every width is therefore taken over all lenses, diffraction,
defocus and smoothing in any mixture, and the interval is read from it.

The pixels are used as they stand, each at its own distance from the middle line: no
interpolation that would blur them further.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from edgetest.photo.apex.lens_transfer import band_columns, best_lenses, blur_sd, waves
from edgetest.photo.smooth import local_line, robust_line

BIN_PX = 0.25
WIDTHS = 36  # places at which the likelihood is profiled
# A lens with so many times the least misfit is still possible. What no lens here explains is
# smooth: a few independent values, not one a bin. Of 60 narrow lands of the second world (even
# seeds) the limit lay below the truth in 0 with 3, in 2 with 2.2, in 5 with 1.6.
NEARLY = 3.0
TURNS = 9  # of the descent to the best lens of each width
# Lenses to start from, over the blur's standard deviation: diffraction, defocus, smoothing.
STARTS = ((2.7, 0.5, 0.25), (1.4, 1.6, 0.25), (1.2, 0.6, 0.8))
LEVEL_95, LEVEL_ONE_SIDED = 3.841, 2.706  # chi-square, one degree of freedom
BLUR_U = 0.03  # relative standard uncertainty of a blur that is known
KERNEL_U = 0.02  # relative: no lens is exactly one of these
STRETCHES = 16
MODEL_SHARE = 0.0015


@dataclass(frozen=True)
class NarrowWidth:
    """Width of a pooled profile, pixels; `resolved` is False where only `high` is known."""

    width_px: float
    low_px: float
    high_px: float
    upper_px: float
    blur_px: float
    resolved: bool


@dataclass(frozen=True)
class Pooled:
    """Mean profile of the band, flux 1, on bins of distance from the middle line.

    `ground` is the light below the band, `unit` the light of a value of 1.
    """

    distance: np.ndarray
    value: np.ndarray
    sd: np.ndarray
    along: float
    across: float
    ground: float = 0.0
    unit: float = 1.0


def pool_profile(grey, centre_rc, used, upright, reach_px):
    """Pixels near the middle line gathered by their distance from it.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    centre_rc : ndarray, shape (n, 2)
        Middle line.
    used : ndarray of bool, shape (n,)
        Places to use.
    upright : bool
        The line runs down the picture.
    reach_px : float
        Distance to either side.

    Returns
    -------
    Pooled or None
        None where fewer than 24 lines of pixels are usable.
    """
    found = pixels_across(grey, centre_rc, used, upright, reach_px)
    if found is None:
        return None
    value, distance, cosine = found
    far = np.abs(distance) > 0.72 * reach_px
    below = _mean(value, far & (distance < 0))
    above = _mean(value, far & (distance > 0))
    ground = np.where(np.abs(distance) < 0.5, (below + above) / 2, below)
    ground = np.where(distance >= 0.5, above, ground)
    flux = ((value - ground) * (np.abs(distance) < 0.8 * reach_px)).sum(axis=1) * cosine
    level = local_line(flux, min(16.0, len(value) / 6))
    usual = float(np.median(level))
    if usual <= 0:
        return None
    value = (value - below) / np.maximum(level, 0.2 * usual)[:, None]
    sine = np.sqrt(1 - cosine.mean() ** 2)
    for _ in range(2):
        pooled = _binned(distance, value, reach_px, cosine.mean(), sine)
        distance = distance - _offset(pooled, distance, value)[:, None]
    pooled = _binned(distance, value, reach_px, cosine.mean(), sine)
    return replace(pooled, ground=float(np.median(below)), unit=usual)


def pixels_across(grey, line_rc, used, upright, reach_px, *, fewest=24, bend=None):
    """Pixels near a line, one row of them across it a pixel along it.

    Parameters
    ----------
    grey, used, upright, reach_px
        As for `pool_profile`.
    line_rc : ndarray, shape (n, 2)
    fewest : int
        Rows of pixels that are needed.
    bend : float, optional
        Places over which the line's slope is smoothed (local linear regression).

    Returns
    -------
    value, distance : ndarray, shape (rows, m)
        Light, and distance from the line along its normal, pixels.
    cosine : ndarray, shape (rows,)
        Of the line's slope. None in place of all three where there are too few rows.
    """
    picture = grey.T if upright else grey
    main, cross = (0, 1) if upright else (1, 0)
    order = np.argsort(line_rc[:, main])
    at, line = line_rc[order, main], line_rc[order, cross]
    columns = np.arange(int(np.ceil(at[0])), int(at[-1]) + 1)
    columns = columns[np.interp(columns, at, used[order].astype(float)) > 0.99]
    if columns.size < fewest:
        return None
    middle = np.interp(columns, at, line)
    slope = np.gradient(line, at)
    slope = np.interp(columns, at, slope if bend is None else local_line(slope, bend))
    cosine = 1 / np.sqrt(1 + slope**2)
    half = int(np.ceil(reach_px / cosine.min())) + 1
    row = np.rint(middle).astype(int)[:, None] + np.arange(-half, half + 1)
    inside = (row.min(axis=1) >= 0) & (row.max(axis=1) < picture.shape[0])
    if inside.sum() < fewest:
        return None
    columns, row, middle, cosine = columns[inside], row[inside], middle[inside], cosine[inside]
    value = picture[row, columns[:, None]].astype(float)
    return value, (row - middle[:, None]) * cosine[:, None], cosine


def _offset(pooled, distance, value):
    """How far every line of pixels lies off the pooled profile, smoothed along the edge."""
    model = np.interp(distance, pooled.distance, pooled.value)
    smooth = np.convolve(np.pad(pooled.value, 1, mode="edge"), [0.25, 0.5, 0.25], mode="valid")
    steep = np.interp(distance, pooled.distance, np.gradient(smooth, pooled.distance))
    off = -((value - model) * steep).sum(axis=1) / np.maximum((steep**2).sum(axis=1), 1e-12)
    return robust_line(np.clip(off, -2, 2), min(16.0, len(off) / 8))[0]


def _mean(value, where):
    """Row means of `value` where told, one column."""
    return ((value * where).sum(axis=1) / np.maximum(where.sum(axis=1), 1))[:, None]


def _binned(distance, value, reach_px, cosine, sine):
    """Bin means, and their standard deviations from how stretches along the edge differ."""
    number = int(np.ceil(2 * reach_px / BIN_PX))
    index = np.floor((distance + reach_px) / BIN_PX).astype(int)
    ok = (index >= 0) & (index < number)
    stretch = np.broadcast_to(
        (np.arange(len(value)) * STRETCHES // len(value))[:, None], index.shape
    )
    cell = (stretch * number + index)[ok]
    size = STRETCHES * number
    count = np.bincount(cell, minlength=size).reshape(STRETCHES, number)
    total = np.bincount(cell, value[ok], minlength=size).reshape(STRETCHES, number)
    place = np.bincount(index[ok], distance[ok], minlength=number)
    all_count = count.sum(axis=0)
    full = all_count >= max(4, 0.15 * np.median(all_count[all_count > 0]))
    mean = total.sum(axis=0)[full] / all_count[full]
    seen = count[:, full] > 0
    off = np.where(seen, total[:, full] / np.maximum(count[:, full], 1) - mean, 0.0)
    # Weighted by counts: the variance of a bin's mean, from the stretches' own means.
    share = count[:, full] / all_count[full]
    groups = np.maximum(seen.sum(axis=0), 2)
    variance = (share**2 * off**2).sum(axis=0) * groups / (groups - 1)
    # Few stretches tell one bin's variance badly; the bins together tell it well.
    usual = float(np.median(variance * all_count[full])) / 0.9
    variance = 0.5 * variance + 0.5 * usual / all_count[full]
    # No lens follows the model better than to a thousandth or two of the peak.
    sd = np.sqrt(variance + (MODEL_SHARE * np.max(mean)) ** 2)
    return Pooled(place[full] / all_count[full], mean, sd, cosine, sine)


def narrow_width(pooled, *, blur_px=None):
    """Width from a pooled profile by its profile likelihood over width and lens.

    Parameters
    ----------
    pooled : Pooled
    blur_px : float, optional
        Known blur (pixel included).

    Returns
    -------
    NarrowWidth
    """
    total = _total_sd(pooled)
    widths = np.linspace(0.04, 1.02, WIDTHS) * np.sqrt(12) * total
    chi2, lens = _profiled(pooled, widths, total, blur_px)
    lowest = int(np.argmin(chi2))
    width = _vertex(widths, chi2, lowest)
    least = float(chi2.min())
    scale = max(1.0, least / max(pooled.value.size - 8, 1))
    nearly = (NEARLY - 1) * least
    low, high = _within(widths, chi2, lowest, max(LEVEL_95 * scale, nearly))
    upper = _within(widths, chi2, lowest, max(LEVEL_ONE_SIDED * scale, nearly))[1]
    upper = max(upper, width)
    low, high = low - 2 * KERNEL_U * width, high + 2 * KERNEL_U * width
    resolved = bool(low > 0.5 * width and (high - low) < 0.3 * width)
    blur = float(np.hypot(blur_sd(lens[lowest : lowest + 1])[0], np.sqrt(1 / 12)))
    return NarrowWidth(width, max(low, 0.0), high, upper * (1 + 2 * KERNEL_U), blur, resolved)


def _profiled(pooled, widths, total, blur_px):
    """Least misfit for every width over all lenses, and the lens.

    Levenberg-Marquardt over diffraction, defocus and smoothing, from one start each; flux, place
    and grounds are solved for (variable projection).
    """
    wave = waves(pooled.distance, pooled.along, pooled.across)
    weight = 1 / pooled.sd
    y = pooled.value * weight
    y = y - weight * (y @ weight) / (weight @ weight)

    def misses(each, lens):
        off = _left_over(band_columns(wave, each, lens), weight, y)
        if blur_px is None:
            return off
        known = np.sqrt(max(blur_px**2 - 1 / 12, 0.04))
        return np.column_stack([off, (blur_sd(lens) / known - 1) / BLUR_U])

    blur = np.sqrt(np.maximum(total**2 - widths**2 / 12 - 1 / 12, 0.04))
    each = np.tile(widths, len(STARTS))
    lens = np.concatenate([blur[:, None] * np.array(start) for start in STARTS])
    lens, chi2 = best_lenses(lambda lens: misses(each, lens), lens, TURNS)
    chi2 = chi2.reshape(len(STARTS), -1)
    best = np.argmin(chi2, axis=0)
    rows = np.arange(widths.size)
    return chi2[best, rows], lens.reshape(len(STARTS), -1, 3)[best, rows]


def _left_over(basis, weight, y):
    """What models leave of the profile, flux, place and both grounds solved for."""
    basis = basis * weight
    # The ground's level is projected out, the other three are solved for.
    basis -= weight * ((basis @ weight) / (weight @ weight))[..., None]
    normal = basis @ basis.transpose(0, 2, 1)
    normal += 1e-9 * np.trace(normal, axis1=1, axis2=2)[:, None, None] * np.eye(3)
    linear = np.linalg.solve(normal, (basis @ y)[..., None])
    return y - (linear.transpose(0, 2, 1) @ basis)[:, 0]


def _total_sd(pooled):
    """Standard deviation of the profile, by a Gaussian fitted to it."""
    from scipy.optimize import least_squares

    x, y = pooled.distance, pooled.value

    def off(p):
        z = (x - p[1]) / p[2]
        return p[0] * np.exp(-0.5 * z * z) + p[3] + p[4] * ndtr(z) - y

    start = [float(y.max()), 0.0, 0.4 / max(float(y.max()), 1e-3), 0.0, 0.0]
    return float(abs(least_squares(off, start, max_nfev=60).x[2]))


def _vertex(x, y, lowest):
    """Lowest place of a sampled curve, by a parabola through three points."""
    if lowest in (0, x.size - 1):
        return float(x[lowest])
    a, b, c = y[lowest - 1 : lowest + 2]
    bend = a - 2 * b + c
    shift = 0.5 * (a - c) / bend if bend > 0 else 0.0
    return float(x[lowest] + shift * (x[1] - x[0]))


def _within(x, y, lowest, level):
    """Ends of the stretch around the lowest place where the curve stays under a level."""
    limit = y[lowest] + level
    under = np.flatnonzero(y <= limit)
    first, last = under[0], under[-1]
    low, high = x[first], x[last]
    if first > 0:
        part = (y[first - 1] - limit) / (y[first - 1] - y[first])
        low = x[first - 1] + part * (x[first] - x[first - 1])
    else:
        low = 0.0
    if last < x.size - 1:
        part = (limit - y[last]) / (y[last + 1] - y[last])
        high = x[last] + part * (x[last + 1] - x[last])
    return float(low), float(high)
