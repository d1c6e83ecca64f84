"""Widths along a tool from a photograph of its silhouette on a plain background."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput

# Standard deviation of normal noise from its median absolute deviation, 1 / 0.6745.
SD_OF_MAD = 1.4826
# A tool departs from the background by so many standard deviations of it; no source.
STANDS_OUT = 6
# Pixels either side of the outline that blur may reach; no source.
RIM_PX = 4


@dataclass(frozen=True)
class Silhouette:
    """Width and middle line every `step_mm` along the tool, x from the butt."""

    x_mm: np.ndarray
    width_mm: np.ndarray
    centre_mm: np.ndarray
    length_mm: float
    area_mm2: float
    angle_deg: float


def silhouette(grey, mm_per_px, *, butt="left", step_mm=2.0):
    """Outline of a tool photographed square on, lighter or darker than its background.

    Parameters
    ----------
    grey : array_like, shape (rows, columns)
        Grey photograph; its border is background.
    mm_per_px : float
        Scale, mm per pixel.
    butt : str
        Side of the picture where the handle ends: "left" or "right".
    step_mm : float
        Distance of the stations.

    Returns
    -------
    Silhouette
        Widths by coverage: a pixel half covered counts half, so blur and steps cancel.

    Raises
    ------
    UnusableInput
        If no tool stands out from the background, or it touches the picture's border.
    """
    from scipy.ndimage import binary_dilation, label

    grey = np.asarray(grey, dtype=float)
    if butt not in ("left", "right"):
        raise UnusableInput(f'"{butt}"', "butt", 'write "left" or "right"')
    border = np.concatenate([grey[0], grey[-1], grey[:, 0], grey[:, -1]])
    background = float(np.median(border))
    departure = np.abs(grey - background)
    cut = _otsu(departure)
    noise = SD_OF_MAD * float(np.median(np.abs(border - background)))
    if cut < STANDS_OUT * noise or cut <= 0:
        what = "nothing stands out from the background"
        raise UnusableInput(what, "silhouette", "lay the tool on a plain sheet of another tone")
    labels = label(departure > cut)[0]
    sizes = np.bincount(labels.ravel())[1:]
    inside = labels == 1 + int(np.argmax(sizes))
    if inside[0].any() or inside[-1].any() or inside[:, 0].any() or inside[:, -1].any():
        raise UnusableInput("the tool runs out of the picture", "silhouette", "show all of it")
    signed = grey - background
    full = float(np.median(signed[inside]))
    # Rim pixels count by their tone, not clipped, so that noise averages out; the rest is 1 or 0.
    coverage = np.where(binary_dilation(inside, iterations=RIM_PX), signed / full, 0.0)
    coverage[~binary_dilation(~inside, iterations=RIM_PX)] = 1.0
    return _along(coverage, mm_per_px, butt, step_mm)


def _otsu(values):
    """Otsu's threshold: parts the values into two classes of least spread."""
    counts, edges = np.histogram(values, bins=256)
    middle = (edges[:-1] + edges[1:]) / 2
    weight = np.cumsum(counts)
    total = np.cumsum(counts * middle)
    other = weight[-1] - weight
    with np.errstate(divide="ignore", invalid="ignore"):
        gap = total / weight - (total[-1] - total) / other
        between = weight * other * gap**2
    return float(middle[int(np.nanargmax(np.where(np.isfinite(between), between, -1)))])


def _along(coverage, mm_per_px, butt, step_mm):
    """Stations along the principal axis (second moments) of the coverage."""
    rows, columns = np.nonzero(coverage)
    weight = coverage[rows, columns]
    x, y = columns * mm_per_px, -rows * mm_per_px
    mean_x, mean_y = np.average(x, weights=weight), np.average(y, weights=weight)
    dx, dy = x - mean_x, y - mean_y
    angle = 0.5 * np.arctan2(
        2 * np.average(dx * dy, weights=weight),
        np.average(dx**2, weights=weight) - np.average(dy**2, weights=weight),
    )
    along = dx * np.cos(angle) + dy * np.sin(angle)
    across = -dx * np.sin(angle) + dy * np.cos(angle)
    if (np.cos(angle) < 0) != (butt == "right"):
        along, across = -along, -across
    area = mm_per_px**2
    start = _end(along, weight * area, mm_per_px)
    stop = -_end(-along, weight * area, mm_per_px)
    edges = np.linspace(start, stop, max(8, round((stop - start) / step_mm)) + 1)
    along = np.clip(along, start, stop)  # what blur carried past the ends is theirs
    amount = np.histogram(along, edges, weights=weight)[0]
    moment = np.histogram(along, edges, weights=weight * across)[0]
    step = edges[1] - edges[0]
    width = amount * area / step
    with np.errstate(invalid="ignore"):
        centre = np.where(amount > 0, moment / np.maximum(amount, 1e-12), 0.0)
    middle = (edges[:-1] + edges[1:]) / 2 - start
    length = float(stop - start)
    # Stations at both very ends, straight on from the two next to them.
    x = np.concatenate([[0.0], middle, [length]])
    width = np.maximum(_to_ends(width), 0.0)
    return Silhouette(
        x, width, _to_ends(centre), length, float(weight.sum() * area), float(np.rad2deg(angle))
    )


def _to_ends(values):
    """Values in the middle of steps, continued half a step beyond both ends."""
    first = 1.5 * values[0] - 0.5 * values[1]
    last = 1.5 * values[-1] - 0.5 * values[-2]
    return np.concatenate([[first], values, [last]])


def _end(along, area, mm_per_px):
    """Where the tool begins: past a rim whose width is below half of what follows."""
    edges = np.arange(along.min(), along.max(), mm_per_px)
    width = np.histogram(along, edges, weights=area)[0] / mm_per_px
    reach = max(3, round(2.0 / mm_per_px))
    half = width[:reach].max() / 2
    return float(edges[int(np.argmax(width >= half))])
