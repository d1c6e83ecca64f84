"""Bands hardly wider than the blur: one pooled profile, and what it can and cannot tell.

Seen through a blur of standard deviation s, a band of width w has a profile of variance
s² + w²/12. Where s is not known from elsewhere only the profile's flatness (its fourth
moment, of the order (w/s)⁴) tells the two apart, so below about 1.5 s a picture alone
gives an upper limit. The likelihood is therefore mapped over all pairs (w, s), for a
Gaussian lens and for a defocus disc, and the interval is read from the map.

The pixels are used as they stand, each at its own distance from the middle line: no
interpolation that would blur them further.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from edgetest.photo.apex.lens_edges import aperture_edge, disc_edge, gaussian_edge
from edgetest.photo.smooth import local_line, robust_line

BIN_PX = 0.25
LEVEL_95, LEVEL_ONE_SIDED = 3.841, 2.706  # chi-square, one degree of freedom
BLUR_U = 0.03  # relative standard uncertainty of a blur that is known
KERNEL_U = 0.02  # relative: no lens is exactly a Gaussian or a disc
STRETCHES = 16
MODEL_SHARE = 0.0015
APERTURE_EDGES = [aperture_edge(*lens) for lens in (("annular", 0.45), ("hexagon", 0.26))]


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
    """Mean profile of the band, flux 1, on bins of distance from the middle line."""

    distance: np.ndarray
    value: np.ndarray
    sd: np.ndarray
    along: float
    across: float


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
    return _binned(distance, value, reach_px, cosine.mean(), sine)


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
    """Width from a pooled profile by its profile likelihood over width and blur.

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
    widths = np.linspace(0.04, 0.98, 36) * np.sqrt(12) * total
    # Width and blur trade along a sharp valley of constant variance: walk along it.
    spread = total**2 * np.linspace(0.91, 1.09, 31)
    lenses = [gaussian_edge, disc_edge]
    maps = [_mapped(pooled, widths, spread, kernel, blur_px) for kernel in lenses]
    if maps[1].chi2.min() < maps[0].chi2.min():  # out of focus: the aperture need be no disc
        lenses += APERTURE_EDGES
        maps += [_mapped(pooled, widths, spread, kernel, blur_px) for kernel in APERTURE_EDGES]
    kernel, rough = min(zip(lenses, maps, strict=True), key=lambda m: m[1].chi2.min())
    scale = max(1.0, rough.chi2.min() / max(pooled.value.size - 6, 1))
    profile = np.min([m.chi2 for m in maps], axis=0) / scale
    lowest = int(np.argmin(profile))
    # The map's meshes are too wide to tell the lowest place itself: a finer one around it.
    mesh = (widths[1] - widths[0]) * np.linspace(-1.3, 1.3, 14)
    fine = spread[rough.at[lowest]] + 2 * (spread[1] - spread[0]) * np.linspace(-1, 1, 21)
    fine = _mapped(pooled, np.maximum(widths[lowest] + mesh, 1e-3), fine, kernel, blur_px)
    number = int(np.argmin(fine.chi2))
    width, blur = _vertex(widths[lowest] + mesh, fine.chi2, number), fine.blur[number]
    low, high = _within(widths, profile, lowest, LEVEL_95)
    upper = _within(widths, profile, lowest, LEVEL_ONE_SIDED)[1]
    low, high = low - 2 * KERNEL_U * width, high + 2 * KERNEL_U * width
    resolved = bool(low > 0.5 * width and (high - low) < 0.3 * width)
    blur = float(np.hypot(blur, np.sqrt(1 / 12)))
    return NarrowWidth(width, max(low, 0.0), high, upper * (1 + 2 * KERNEL_U), blur, resolved)


@dataclass(frozen=True)
class _Map:
    """Least misfit for every width, and the place in the spreads and the blur it came with."""

    chi2: np.ndarray
    at: np.ndarray
    blur: np.ndarray


def _mapped(pooled, widths, spread, kernel, blur_px):
    """Misfit mapped over widths, the spread that fits each best."""
    chi2, blurs = _chi_square(pooled, widths, spread, kernel)
    if blur_px is not None:
        lens = np.sqrt(max(blur_px**2 - 1 / 12, 0.04))
        chi2 = chi2 + ((blurs / lens - 1) / BLUR_U) ** 2
    at = np.argmin(chi2, axis=1)
    return _Map(_lowest(chi2, at), at, blurs[np.arange(widths.size), at])


def _total_sd(pooled):
    """Standard deviation of the profile, by a Gaussian fitted to it."""
    from scipy.optimize import least_squares

    x, y = pooled.distance, pooled.value

    def off(p):
        z = (x - p[1]) / p[2]
        return p[0] * np.exp(-0.5 * z * z) + p[3] + p[4] * ndtr(z) - y

    start = [float(y.max()), 0.0, 0.4 / max(float(y.max()), 1e-3), 0.0, 0.0]
    return float(abs(least_squares(off, start, max_nfev=60).x[2]))


def _chi_square(pooled, widths, spread, kernel):
    """Misfit of every pair of width and total variance, and the blurs that go with them.

    Flux, place and both grounds are free.
    """
    cell = (np.arange(5) - 2) / 5 * pooled.along
    x = pooled.distance[:, None] + cell[None, :]
    weight = 1 / pooled.sd
    y = pooled.value * weight
    y = y - weight * (y @ weight) / (weight @ weight)
    chi2 = np.empty((widths.size, spread.size))
    blurs = np.sqrt(np.maximum(spread - widths[:, None] ** 2 / 12 - 1 / 12, 0.04))
    for number, width in enumerate(widths):
        # The pixel's other side, seen at an angle, acts as a little more blur.
        blur = np.sqrt(blurs[number] ** 2 + pooled.across**2 / 12)[:, None, None]
        after = kernel(x - width / 2, blur).mean(axis=2)
        box = kernel(x + width / 2, blur).mean(axis=2) - after
        moved = np.gradient(box, pooled.distance, axis=1)
        basis = np.stack([box, moved, after], axis=1) * weight
        # The ground's level is projected out, the other three are solved for.
        basis -= weight * ((basis @ weight) / (weight @ weight))[..., None]
        normal = basis @ basis.transpose(0, 2, 1)
        normal += 1e-9 * np.trace(normal, axis1=1, axis2=2)[:, None, None] * np.eye(3)
        score = basis @ y
        gain = (score * np.linalg.solve(normal, score[..., None])[..., 0]).sum(axis=1)
        chi2[number] = y @ y - gain
    return chi2, blurs


def _lowest(chi2, at):
    """Least value of every row, by a parabola through its lowest three."""
    rows = np.arange(len(chi2))
    inner = np.clip(at, 1, chi2.shape[1] - 2)
    a, b, c = (chi2[rows, inner + k] for k in (-1, 0, 1))
    bend = np.maximum(a - 2 * b + c, 1e-12)
    vertex = b - (a - c) ** 2 / (8 * bend)
    return np.where(inner == at, vertex, chi2[rows, at])


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
