"""The edge of a silhouette below one pixel: light added up along the normal of its smooth line."""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter1d, maximum_filter1d, median_filter, minimum_filter1d
from scipy.optimize import least_squares
from scipy.special import ndtr

from edgetest.photo.smooth import runs

FAINT = 0.06  # coverage nearer than this to 0 or 1 is ground or blade
BESIDE_PX = 61
TURN = 0.15  # light that turns back by so much between ground and blade belongs to something else
REACH_PX = 40  # other crossings further than this from the edge are the picture's, not the edge's


@dataclass(frozen=True)
class Strip:
    """The picture straightened along a curve: rows are offsets from blade to ground."""

    cover: np.ndarray  # (offsets, n) share of blade, 1 in the blade and 0 on the ground
    offsets: np.ndarray  # (offsets,) pixels, positive towards the ground
    arc: np.ndarray  # (n,) pixels along the curve
    points: np.ndarray  # (n, 2) x, y on the curve
    normals: np.ndarray  # (n, 2) unit, towards the ground
    bright: np.ndarray  # (n,) light of the ground beside the edge
    dark: np.ndarray  # (n,) light of the blade beside the edge

    def cut(self, low, high):
        """The samples from `low` to `high`, not with it."""
        part = slice(low, high)
        return Strip(self.cover[:, part], self.offsets, self.arc[part] - self.arc[low],
                     self.points[part], self.normals[part], self.bright[part],
                     self.dark[part])  # fmt: skip


def straighten(grey, curve, ends, near, towards_ground, *, margin):
    """Strip of the picture along a curve.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols), float32
        Linear light.
    curve : SmoothCurve
        In original pixels.
    ends : (float, float)
        Range of the curve's parameter.
    near : (ndarray, ndarray)
        Parameter and distance (towards the ground) of the coarse outline's points.
    towards_ground : float
        1 if the curve's normal points to the ground, -1 if to the blade.
    margin : int
        Pixels to show on either side of the outline; the outer half gives the levels of light.

    Returns
    -------
    Strip, ndarray
        And the coarse outline's offset at each sample.
    """
    rows, cols = grey.shape
    t, arc = curve.even_steps(*ends, 1.0)
    points = curve.point(t)
    normals = towards_ground * curve.normal(t)
    inside = ((points >= 1) & (points <= [cols - 2, rows - 2])).all(axis=1)
    keep = _longest(inside)
    t, arc, points, normals = t[keep], arc[keep] - arc[keep][0], points[keep], normals[keep]
    order = np.argsort(near[0], kind="stable")
    coarse = np.interp(t, near[0][order], near[1][order])
    low = int(np.floor(near[1].min())) - margin
    high = int(np.ceil(near[1].max())) + margin
    offsets = np.arange(low, high + 1, dtype=float)
    map_x = points[:, 0] + offsets[:, None] * normals[:, 0]
    map_y = points[:, 1] + offsets[:, None] * normals[:, 1]
    light = cv2.remap(grey, map_x.astype(np.float32), map_y.astype(np.float32),
                      cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)  # fmt: skip
    bright, dark = _side_levels(light, offsets, coarse, margin)
    cover = (bright - light) / np.where(np.abs(bright - dark) > 1e-4, bright - dark, 1e-4)
    return Strip(cover.astype(np.float32), offsets, arc, points, normals, bright, dark), coarse


def _longest(inside):
    """Slice of the longest run of True."""
    found = runs(inside)
    return slice(*found[np.argmax(np.diff(found))].tolist()) if len(found) else slice(0, 0)


def _side_levels(light, offsets, coarse, margin):
    """Light of ground and blade beside the edge, specks and noise smoothed along it.

    Where the blade is too slim to fill its side (a tip), its light is that of its neighbours.
    """
    far, near = margin - 1, max(4, margin // 2)
    sides = []
    # Inside a narrow chip there is no clear ground, in a narrow roll no clear blade: go by the
    # outline's outermost and innermost place nearby.
    outer = maximum_filter1d(coarse, BESIDE_PX) + near
    inner = minimum_filter1d(coarse, BESIDE_PX) - far
    for start in (outer, inner):
        first = np.rint(start - offsets[0]).astype(int)
        rows = np.clip(first[None, :] + np.arange(0, far - near + 1, 2)[:, None],
                       0, len(offsets) - 1)  # fmt: skip
        sides.append(np.median(light[rows, np.arange(light.shape[1])[None, :]], axis=0))
    ground, blade = sides
    contrast = np.abs(ground - blade)
    slim = contrast < 0.6 * np.median(contrast)
    slim = maximum_filter1d(slim.astype(np.uint8), 4 * margin + 1) > 0
    if slim.any() and not slim.all():
        index = np.arange(blade.size)
        blade = np.interp(index, index[~slim], blade[~slim])
    size = min(61, 2 * (blade.size // 4) + 1)
    return [
        gaussian_filter1d(median_filter(side, size=size, mode="nearest"), size / 4, mode="nearest")
        for side in (ground, blade)
    ]


@dataclass(frozen=True)
class Places:
    """Where the edge lies at each sample, offsets in pixels.

    `outer` and `inner` are the outermost and innermost crossing from ground to blade in reach;
    they differ where light shows behind something dark (an overhang, a glint, a lip folded over).
    """

    edge: np.ndarray
    outer: np.ndarray
    inner: np.ndarray

    @property
    def single(self):
        """Samples at which light turns to dark once."""
        return self.outer - self.inner < 1.0

    def cut(self, low, high):
        """The samples from `low` to `high`, not with it."""
        part = slice(low, high)
        return Places(self.edge[part], self.outer[part], self.inner[part])


def boundary(strip, coarse, noise):
    """Offset of the edge at each sample, by the blade's light added up along the normal.

    The sum across the edge does not depend on the blur (a blur moves light across the edge,
    it makes none), so the edge of a straight piece comes out unbiased and a chip keeps its
    area; only along the edge is the blur left in. It runs from the crossing nearest to the
    coarse outline to full ground and full blade, or to where the light turns back.

    Parameters
    ----------
    strip : Strip
    coarse : ndarray, shape (n,)
        Where to look.
    noise : float
        Standard deviation of the coverage.

    Returns
    -------
    Places
        NaN where the blade is too slim to be full between the blurs of its sides.
    """
    calm = cv2.GaussianBlur(strip.cover, (0, 0), 0.8)
    faint = float(np.clip(2.0 * noise, FAINT, 0.35))
    last, columns = len(strip.offsets) - 1, np.arange(strip.cover.shape[1])
    row = np.clip(np.rint(coarse - strip.offsets[0]), 0, last).astype(int)
    half = calm > 0.5
    number = np.arange(last + 1)[:, None]
    crossing = np.zeros_like(half)
    crossing[:-1] = half[:-1] & ~half[1:]
    here = np.argmin(np.where(crossing, np.abs(number - row), 2 * last), axis=0)
    turn = max(TURN, 3 * noise)
    # The blade from the crossing inwards, and (as its negative, upside down) the ground outwards.
    bottom, full = _where_full(calm, number <= here, faint, turn)
    over, clear = _where_full(1 - calm[::-1], number <= last - here, faint, turn)
    bottom = np.where(full, np.maximum(bottom - 2, 0), bottom)
    top = last - np.where(clear, np.maximum(over - 2, 0), over)
    summed = np.vstack([np.zeros((1, columns.size)), np.cumsum(strip.cover, axis=0)])
    inside = summed[top + 1, columns] - summed[bottom, columns]
    seen = crossing.any(axis=0) & (calm > 1 - faint).any(axis=0)
    edge = np.where(seen, strip.offsets[bottom] - 0.5 + inside, np.nan)
    beyond = edge - strip.offsets[here] - 0.5  # of the crossing at half light
    near = crossing & (np.abs(number - here) <= REACH_PX)
    first = np.where(seen, last - np.argmax(near[::-1], axis=0), here)
    lowest = np.where(seen, np.argmax(near, axis=0), here)
    return Places(
        edge,
        np.where(first == here, edge, strip.offsets[first] + 0.5 + np.clip(beyond, -1, 1)),
        np.where(lowest == here, edge, strip.offsets[lowest] + 0.5 + np.clip(beyond, -1, 1)),
    )


def _where_full(level, within, faint, turn):
    """Row, by column, at which a rising level is full or turns back; and whether it is full."""
    held = np.where(within, level, -1.0)
    most = np.maximum.accumulate(held[::-1], axis=0)[::-1]
    done = within & ((level > 1 - faint) | (most - level > turn))
    last, columns = len(level) - 1, np.arange(level.shape[1])
    stop = np.where(done.any(axis=0), last - np.argmax(done[::-1], axis=0), 0)
    highest = most[stop, columns]
    row = last - np.argmax((held >= highest)[::-1], axis=0)
    return row, highest > 1 - faint


def edge_blur(strip, place, sound):
    """Standard deviation of the blur across the edge (Levenberg-Marquardt), and of the noise.

    Parameters
    ----------
    strip : Strip
    place : ndarray, shape (n,)
        Offset of the edge.
    sound : ndarray of bool, shape (n,)
        Samples free of damage.

    Returns
    -------
    blur_px, noise : float
        `noise` is the standard deviation of the coverage, away from the edge.
    """
    columns = np.flatnonzero(sound)
    columns = columns[:: max(1, columns.size // 800)]
    x = strip.offsets[:, None] - place[None, columns]
    y = strip.cover[:, columns]
    reach = float(np.abs(strip.offsets).max())
    edges = np.arange(-min(reach, 40), min(reach, 40) + 0.25, 0.25)
    which = np.digitize(x.ravel(), edges)
    counts = np.bincount(which, minlength=edges.size + 1)[1:-1]
    sums = np.bincount(which, weights=y.ravel(), minlength=edges.size + 1)[1:-1]
    full = counts > 5
    centre, mean = (edges[:-1] + 0.125)[full], sums[full] / counts[full]

    if centre.size < 8:
        return np.inf, np.inf

    def residuals(p):
        return p[1] + p[2] * ndtr((p[3] - centre) / np.exp(np.clip(p[0], -3, 6))) - mean

    fit = least_squares(residuals, [np.log(1.5), 0.0, 1.0, 0.0], method="lm", max_nfev=200)
    blur = float(np.exp(np.clip(fit.x[0], -3, 6)))
    far = np.abs(x) > 3 * blur + 2
    noise = 1.4826 * np.median(np.abs(y[far] - np.where(x[far] < 0, 1, 0))) if far.any() else 0.0
    return blur, float(noise)


def grain(strip):
    """Noise of the coverage as it counts over several pixels, standard deviation of one.

    Stored pictures smooth their noise (and so does straightening): means of 3 by 3 pixels vary
    more than single pixels let expect. Taken from the outer rows, between neighbours, so that
    slopes of light do not count.
    """
    columns = strip.cover.shape[1] // 3 * 3
    outer = np.concatenate([strip.cover[:6, :columns], strip.cover[-6:, :columns]])
    cells = outer.reshape(4, 3, -1, 3).mean(axis=(1, 3))
    return float(3 * 1.4826 / np.sqrt(2) * np.median(np.abs(np.diff(cells, axis=1))))
