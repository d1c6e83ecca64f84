"""Where do the land's two borders run, however deep they are bitten or drawn out?

A minimum-cost path (dynamic programming): from the land's middle outward every sample votes
for land or for ground, a border's cost at a place is what lies on its wrong side, and a step
from one row to the next costs its length, so that neither a scratch nor a speck a row or two
long draws the border along.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.linalg import solveh_banded

from edgetest.photo.apex.straighten import Track, unroll
from edgetest.photo.smooth import running_median

LINE_PX = 240.0  # the sound line follows waves longer than this: half of one as long as this
START_PX = 100  # samples to either side whose median starts it: most of them are sound
GIVEN_UP = 6.0  # standard deviations from the line at which a sample counts for nothing
# Samples on the wrong side that a border's step by one sample weighs up. At 0.8 the bottoms of
# narrow notches are cut off: depths off by 11.3 % RMS, intervals hold 87 %; here 9.6 % and 92 %.
JUMP = 0.4
CORE_JUMP = 0.3  # the same for the line through what is left of the land
CENTRED = 0.2  # of a sample's vote that half a width away from the middle costs
PIECE, OVERLAP = 64, 40  # rows: pieces are followed side by side, ends dropped
STRANGE_PX = 1.0  # a border nearer to its line than this needs no path
NEAR = 4  # samples about the path where the half-level crossing is taken
FARTHEST_PX = 45.0


@dataclass(frozen=True)
class Border:
    """One side of the land, a row a pixel along the edge, pixels outward.

    Attributes
    ----------
    line : ndarray, shape (n,)
        The side's own smooth line: distance from the reference, damage left out.
    off : ndarray, shape (n,)
        Border less line: positive outward.
    bright : ndarray, shape (n, m)
        Light, 0 the ground's, 1 the land's; columns run outward, the reference at `middle`.
    seen : ndarray of bool, shape (n,)
        The picture shows the border there.
    gone : ndarray of bool, shape (n,)
        Nothing is left of the land there: how far the border went in is not seen.
    """

    line: np.ndarray
    off: np.ndarray
    bright: np.ndarray
    seen: np.ndarray
    gone: np.ndarray
    middle: int

    def light(self, first, last=None):
        """Mean light from `first` to `last` pixels outward of the line, row by row.

        Parameters
        ----------
        first : ndarray, shape (n,), or float
        last : float, optional
            One sample at `first` where there is none.
        """
        offset = np.arange(1 if last is None else last - first + 0.5)
        at = (self.middle + self.line + first)[:, None] + offset
        at = np.clip(np.rint(at).astype(int), 0, self.bright.shape[1] - 1)
        return self.bright[np.arange(len(at))[:, None], at].mean(axis=1)


def whittaker(values, weight, wave):
    """Whittaker's smoother of second differences: penalised least squares, a band matrix.

    Parameters
    ----------
    values, weight : ndarray, shape (n,)
    wave : float
        Wavelength of which half is kept, samples.

    Returns
    -------
    ndarray, shape (n,)
    """
    n = values.size
    stiff = (wave / (2 * np.pi)) ** 4
    if n < 5:
        return np.full(n, np.average(values, weights=weight + 1e-9))
    band = np.zeros((3, n))
    band[2], band[1, 1:], band[0, 2:] = 6.0, -4.0, 1.0
    band[2, [0, -1]], band[2, [1, -2]], band[1, [1, -1]] = 1.0, 5.0, -2.0
    band *= stiff
    band[2] += weight + 1e-6
    return solveh_banded(band, (weight + 1e-6) * values)


def sound_line(values, weight):
    """A border's own smooth line, deaf to damage: robust Whittaker smoothing, median first."""
    step = max(1, START_PX // 12)
    coarse = running_median(values[::step], 2 * START_PX // step)
    line = np.interp(np.arange(values.size), np.arange(0, values.size, step), coarse)
    return robust_whittaker(values, weight, line, (2 * LINE_PX, 1.5 * LINE_PX, *3 * (LINE_PX,)))


def robust_whittaker(values, weight, line, waves):
    """Whittaker's smoother with Tukey's biweight about the line before, wave by wave."""
    for wave in waves:
        away = np.abs(values - line)
        sd = 1.4826 * np.median(away[weight > 0]) + 0.02
        trust = weight * np.clip(1 - (away / (GIVEN_UP * sd)) ** 2, 0, 1) ** 2
        line = whittaker(values, trust, wave)
    return line


def steady_track(track, block):
    """The middle line at every pixel, too stiff to follow damage."""
    count = len(track.s) * block
    at = (np.arange(count) - (block - 1) / 2) / block
    index = np.arange(len(track.s))
    points = np.stack([
        np.interp(at, index, whittaker(track.centre_rc[:, i], np.ones(index.size), LINE_PX / block))
        for i in (0, 1)
    ], axis=1)  # fmt: skip
    tangent = np.gradient(points, axis=0)
    tangent = tangent / np.maximum(np.hypot(*tangent.T), 1e-9)[:, None]
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    return Track(np.arange(count) + 0.5, points, normal)


def follow_borders(grey, track, width_px, levels, whole):
    """Both borders of the land and their own lines.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    track : Track
        Steady middle line, a place a pixel (`steady_track`).
    width_px : ndarray, shape (n,)
        Usual width of the land.
    levels : (ndarray, ndarray, ndarray), each of shape (n,)
        Light of the land and of the ground on its left and on its right.
    whole : ndarray of bool, shape (n,)
        Places that show the band.

    Returns
    -------
    (Border, Border)
        Left and right.
    """
    half = float(np.median(width_px)) / 2
    strip = unroll(grey, track, half + max(FARTHEST_PX, 2 * half))
    middle, seen = len(strip.x) // 2, _well_inside(strip.weight)
    values = cv2.GaussianBlur(strip.values, (0, 0), sigmaX=0.5, sigmaY=0.6)
    del strip
    land, left, right = (level.astype(np.float32)[:, None] for level in levels)
    sides = [(values - ground) / np.maximum(land - ground, 1e-6) for ground in (left, right)]
    del values
    core = _core(np.minimum(*sides), middle, half)
    return tuple(
        _border(bright[:, ::outward], seen[:, ::outward] > 0, middle, outward * core, whole)
        for outward, bright in ((-1, sides[0]), (1, sides[1]))
    )


def _well_inside(weight):
    """Samples that smoothing mixes with none from beyond the picture."""
    if weight.all():
        return weight
    around = np.ones((5, 5), np.uint8)
    return cv2.erode(weight.astype(np.uint8), around, borderType=cv2.BORDER_CONSTANT, borderValue=1)


def _core(bright, middle, half):
    """A line through the land in every row, columns from the middle: what damage leaves of it."""
    near = max(1, int(half / 4))
    votes = cv2.blur(_votes(bright), (2 * near + 1, 3))
    lost = votes[:, middle] < 0
    reach = int(half) + int(FARTHEST_PX / 2)
    column = np.arange(-reach, reach + 1)
    cost = -votes[:, middle - reach : middle + reach + 1] + CENTRED * np.abs(column) / half
    rows, path = least_path(cost, CORE_JUMP, lost)
    core = np.zeros(len(bright), dtype=int)
    core[rows] = path - reach
    return core


def _votes(bright):
    """Land 1, ground -1, halfway 0."""
    return np.clip(2 * bright - 1, -1, 1)


def _border(bright, seen, middle, core, whole):
    """One side; columns run outward, the reference at `middle`, votes count from `core` on."""
    index, column = np.arange(len(bright)), np.arange(bright.shape[1])
    start = middle + core
    ground = (bright < 0.5) & (column >= start[:, None])
    ground[:, -1] = True
    path = np.maximum(np.argmax(ground, axis=1) - 1, 0)
    crossing = _crossing(bright, path)
    sure = (seen[index, path] & whole).astype(float) + 1e-3
    line = sound_line(crossing - middle, sure)
    # Where the first ground met from the middle outward lies on the line, no path is shorter.
    strange = np.abs(crossing - middle - line) > STRANGE_PX
    if strange.any():
        cost = _votes(bright)
        np.cumsum(cost, axis=1, out=cost)
        np.subtract(cost[index, start][:, None], cost, out=cost)
        inside = start.astype(np.float32)[:, None] - column.astype(np.float32)
        np.copyto(cost, 2 * inside, where=inside > 0)
        rows, found = least_path(cost, JUMP, strange)
        path[rows] = found
        crossing = _crossing(bright, path)
        line = sound_line(crossing - middle, sure)
    off = crossing - middle - line
    # A path at the strip's far end has found no border.
    seen = seen[index, path] & (path < bright.shape[1] - 2 - NEAR)
    return Border(line, off, bright, seen, np.zeros(len(off), dtype=bool), middle)


def _crossing(bright, path):
    """Place of the half-level crossing nearest to the path in every row."""
    rows = np.arange(len(path))[:, None]
    at = np.clip(path[:, None] + np.arange(-NEAR, NEAR + 1), 0, bright.shape[1] - 2)
    inner, outer = bright[rows, at], bright[rows, at + 1]
    falls = (inner >= 0.5) & (outer < 0.5)
    part = np.clip((inner - 0.5) / np.maximum(inner - outer, 1e-6), 0, 1)
    place = at + part
    away = np.where(falls, np.abs(place - path[:, None] - 0.5), np.inf)
    best = np.argmin(away, axis=1)
    return np.where(falls.any(axis=1), place[rows[:, 0], best], path + 0.5)


def least_path(cost, jump, asked):
    """Column of least total cost in every row, a step by one column costing `jump`.

    Parameters
    ----------
    cost : ndarray, shape (rows, cols)
    jump : float
    asked : ndarray of bool, shape (rows,)
        Rows whose column is asked for; pieces of the picture without such are left out.

    Returns
    -------
    rows, path : ndarray of int, shape (n,)
        Rows of all pieces that hold such, and the columns there.
    """
    count, cols = cost.shape
    starts = np.unique(np.flatnonzero(asked) // PIECE) * PIECE
    local = np.arange(-OVERLAP, PIECE + OVERLAP)
    index = np.clip(starts + local[:, None], 0, count - 1)
    ramp = (jump * np.arange(cols)).astype(np.float32)
    total = np.empty((*index.shape, cols), dtype=np.float32)
    total[0] = cost[index[0]]
    for k in range(1, len(local)):
        before = total[k - 1]
        # The least of before + jump |step|: from below, then from above.
        rising = np.minimum.accumulate(before - ramp, axis=1) + ramp
        falling = np.minimum.accumulate((before + ramp)[:, ::-1], axis=1)[:, ::-1] - ramp
        total[k] = np.minimum(rising, falling) + cost[index[k]]
    path = np.empty(index.shape, dtype=int)
    path[-1] = np.argmin(total[-1], axis=1)
    column = np.arange(cols)
    for k in range(len(local) - 2, -1, -1):
        step = jump * np.abs(column - path[k + 1][:, None])
        path[k] = np.argmin(total[k] + step, axis=1)
    inner = slice(OVERLAP, OVERLAP + PIECE)
    rows, path = (starts + local[inner, None]).T.reshape(-1), path[inner].T.reshape(-1)
    return rows[rows < count], path[rows < count]
