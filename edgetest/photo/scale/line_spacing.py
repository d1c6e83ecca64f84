"""Even spacing in scattered line positions, and each line fitted below one pixel."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.special import ndtr

CLOSEST_PX = 2.5  # spacing below which lines cannot be told apart


@dataclass(frozen=True)
class Lattice:
    """Evenly spaced lines: position = origin + pitch * index + slope * along, pixels."""

    pitch: float
    origin: float
    slope: float
    score: float  # 1 where every point sits on the lattice, near 0 for scattered ones
    points: int


def find_slope(band, place, along):
    """Lean of the lines against the strips: median change across per pixel along."""
    leans = []
    for one, other in pairwise(np.unique(band)):
        if other != one + 1:
            continue
        first, second = np.sort(place[band == one]), np.sort(place[band == other])
        if first.size < 2 or second.size < 2:
            continue
        step = _nearest(first, second)
        leans.append(step / (along[other] - along[one]))
    return float(np.median(np.concatenate(leans))) if leans else 0.0


def _nearest(points, others):
    """Signed distance from each point to the nearest of the sorted others."""
    right = np.clip(np.searchsorted(others, points), 1, others.size - 1)
    left = right - 1
    nearer = np.where(points - others[left] < others[right] - points, left, right)
    return others[nearer] - points


def find_lattice(band, place, along):
    """Best lattice through line positions met in several strips, or None.

    Parameters
    ----------
    band, place : ndarray, shape (n,)
        Strip number and position across the lines, pixels.
    along : ndarray, shape (strips,)
        Middle of each strip, pixels.

    Returns
    -------
    Lattice or None
    """
    if place.size < 8:
        return None
    slope = find_slope(band, place, along)
    flat = place - slope * along[band]
    gaps = np.concatenate([np.diff(np.sort(flat[band == b])) for b in np.unique(band)])
    gaps = gaps[gaps > CLOSEST_PX]
    if gaps.size < 6:
        return None
    found = []
    for guess in _usual_gaps(gaps):
        pitch, score, origin = _tune(flat, guess)
        found.append(Lattice(pitch, origin, slope, score, place.size))
    best = max(item.score for item in found)
    # The long marks alone fit a coarser lattice too: take the finest that fits well.
    fitting = [item for item in found if item.score >= 0.9 * best]
    return min(fitting, key=lambda item: item.pitch)


def _usual_gaps(gaps, *, count=4):
    """The commonest distances between neighbours, commonest first."""
    logs = np.log(gaps)
    edges = np.arange(logs.min() - 0.06, logs.max() + 0.08, 0.04)
    histogram = np.histogram(logs, edges)[0].astype(float)
    histogram = np.convolve(histogram, [0.5, 1, 0.5], mode="same")
    usual, top = [], histogram.max()
    for _ in range(count):
        peak = int(np.argmax(histogram))
        if histogram[peak] < 0.12 * top:
            break
        near = np.abs(logs - (edges[peak] + 0.02)) < 0.06
        usual.append(float(np.exp(np.median(logs[near]))))
        histogram[max(0, peak - 2) : peak + 3] = 0
    return usual


def _tune(flat, guess):
    """Periodogram of the positions near `guess`, over a span that widens by and by."""
    middle = np.median(flat)
    pitch = guess
    far = np.abs(flat - middle)
    reach = 4 * guess
    while True:
        near = flat[far <= reach] - middle
        if near.size < 2:
            reach *= 2
            continue
        span = max(np.ptp(near), guess)
        width = min(0.08, 0.35 * pitch / span * 2)
        trial = pitch * (1 + np.linspace(-width, width, 81))
        wave = np.exp(2j * np.pi * near[None, :] / trial[:, None]).mean(axis=1)
        best = int(np.argmax(np.abs(wave)))
        pitch = float(trial[best])
        if reach >= far.max():
            break
        reach *= 2
    phase = np.angle(wave[best])
    return pitch, float(np.abs(wave[best])), float(middle + phase * pitch / (2 * np.pi))


def line_shape(x, width, blur):
    """A blurred line of unit ink and its slope.

    Parameters
    ----------
    x : ndarray
        Distance from the line's middle, pixels.
    width, blur : float
        Width of the line and standard deviation of the blur, pixels.

    Returns
    -------
    value, slope : ndarray
    """
    above, below = (x + width / 2) / blur, (x - width / 2) / blur
    value = ndtr(above) - ndtr(below)
    slope = (np.exp(-0.5 * above**2) - np.exp(-0.5 * below**2)) / (blur * np.sqrt(2 * np.pi))
    return value, slope


def row_shape(x, width, blur, pitch):
    """A blurred line with its neighbours on both sides, and the slope; x within a pitch."""
    reach = float(np.abs(x).max()) + 0.1
    grid = np.linspace(-reach, reach, 2 * int(40 * reach) + 1)
    value, slope = line_shape(grid, width, blur)
    if reach + width / 2 + 5 * blur > pitch:
        for step in (-2, -1, 1, 2):
            more = line_shape(grid - step * pitch, width, blur)
            value, slope = value + more[0], slope + more[1]
    return np.interp(x, grid, value), np.interp(x, grid, slope)


def windows_about(flat, band, column, reach):
    """Windows of `flat` about whole columns; True where a window is complete."""
    offsets = np.arange(-reach, reach + 1)
    columns = column[:, None] + offsets[None, :]
    inside = (columns[:, 0] >= 0) & (columns[:, -1] < flat.shape[1])
    values = flat[band[:, None], np.clip(columns, 0, flat.shape[1] - 1)]
    return values, offsets.astype(float), inside & np.isfinite(values).all(axis=1)


def fit_shape(values, x, pitch):
    """Width and blur of the lines from windows pooled about their middles (Levenberg-Marquardt).

    Parameters
    ----------
    values : ndarray, shape (n, m)
        Ink (positive) in windows.
    x : ndarray, shape (n, m)
        Distance from each line's middle, pixels.
    pitch : float
        Spacing of the lines, pixels.

    Returns
    -------
    width, blur, blur_sd : float
        Pixels; `blur_sd` is infinite where width and blur cannot be told apart.
    """
    from scipy.optimize import least_squares

    reach = float(np.abs(x).max())
    bins = int(np.clip(4 * reach, 9, 120))
    which = np.clip(((x.ravel() + reach) * (bins / (2 * reach))).astype(int), 0, bins - 1)
    order = np.argsort(which, kind="stable")
    starts = np.searchsorted(which[order], np.arange(bins + 1))
    flat, place = values.ravel()[order], x.ravel()[order]
    full = [(low, high) for low, high in pairwise(starts) if high - low >= 8]
    if len(full) < 7:
        return 0.2 * pitch, min(1.2, pitch / 5), np.inf
    y = np.array([np.median(flat[low:high]) for low, high in full])
    centre = np.array([place[low:high].mean() for low, high in full])
    quartiles = np.array([np.quantile(flat[low:high], [0.25, 0.75]) for low, high in full])
    spread = (quartiles[:, 1] - quartiles[:, 0]) / np.sqrt([high - low for low, high in full])
    sd = np.maximum(spread, 0.2 * np.median(spread) + 1e-6)

    low, high = np.log([0.02 * pitch, 0.25]), np.log([0.8 * pitch, max(pitch / 2.5, 1.0)])
    steps = pitch * np.array([-2, -1, 0, 1, 2])[:, None]

    def residuals(params):
        width, blur = np.exp(np.clip(params[2:], low, high))
        x = (centre - steps) / blur
        value = (ndtr(x + width / 2 / blur) - ndtr(x - width / 2 / blur)).sum(axis=0)
        return (params[0] + params[1] * value - y) / sd

    above = y > (y.min() + y.max()) / 2
    half_width = np.ptp(centre[above]) if above.sum() > 1 else 1.0
    start = [y.min(), np.ptp(y), np.log(max(0.8 * half_width, 0.05 * pitch)),
             np.log(np.clip(0.35 * half_width, 0.5, 0.2 * pitch + 0.3))]  # fmt: skip
    best = least_squares(residuals, start, method="lm", max_nfev=120)
    width, blur = np.exp(np.clip(best.x[2:], low, high))
    scale = max(1.0, 2 * best.cost / max(1, y.size - 4))
    jac = np.asarray(best.jac)
    variance = np.linalg.pinv(jac.T @ jac)[3, 3] * scale
    blur_sd = float(blur * np.sqrt(variance)) if variance > 0 else np.inf
    return float(width), float(blur), blur_sd


@dataclass(frozen=True)
class LineShape:
    """What all lines of a ruling share, pixels; `sign` is -1 for dark lines, 1 for bright ones."""

    width: float
    blur: float
    pitch: float
    sign: int


def fit_lines(flat, noise, band, place, shape, *, rounds=2):
    """Gauss-Newton for every line in every strip: the common shape, its own ink, ground, place.

    Returns
    -------
    place, sd, ink, good : ndarray, shape (n,)
        Fitted position (columns) and its standard deviation, ink, and whether the fit holds.
    """
    width, blur, pitch = shape.width, shape.blur, shape.pitch
    reach = int(np.clip(min(pitch / 2, width / 2 + 4 * blur + 2), 2, 400))
    place = place.astype(float).copy()
    centre = np.rint(place)
    for _ in range(rounds):
        column = np.rint(place).astype(int)
        values, offsets, inside = windows_about(flat, band, column, reach)
        values = shape.sign * np.where(np.isfinite(values), values, 0)
        x = offsets[None, :] - (place - column)[:, None]
        value, slope = row_shape(x, width, blur, pitch)
        columns = [np.ones_like(x), value, -slope]
        if 2 * reach >= 4 * blur + width + 4:
            columns.append(x)
        design = np.stack(columns, axis=-1)
        normal = np.einsum("nmi,nmj->nij", design, design)
        normal += 1e-9 * np.eye(normal.shape[-1])
        right = np.einsum("nmi,nm->ni", design, values)
        params = np.linalg.solve(normal, right[..., None])[..., 0]
        ink = params[:, 1]
        step = np.where(ink > 1e-6, params[:, 2] / np.maximum(ink, 1e-6), 0)
        place = place + np.clip(step, -0.5 - 0.1 * pitch, 0.5 + 0.1 * pitch)
        place = np.clip(place, centre - 0.45 * pitch, centre + 0.45 * pitch)
    misfit = values - np.einsum("nmi,ni->nm", design, params)
    freedom = max(1, x.shape[1] - design.shape[-1])
    rms = np.sqrt((misfit**2).sum(axis=1) / freedom)
    inverse = np.linalg.inv(normal)
    level = np.maximum(rms, noise[band])
    sd_ink = level * np.sqrt(inverse[:, 1, 1])
    sd = level * np.sqrt(inverse[:, 2, 2]) / np.maximum(ink, 1e-6)
    good = inside & (ink > 5 * sd_ink) & (np.abs(step) < 0.1 * pitch) & (rms < 0.3 * ink)
    return place, sd, ink, good
