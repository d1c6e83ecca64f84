"""The outline of a silhouette, coarsely, and the smooth line that its edge once followed."""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.ndimage import maximum_filter1d, median_filter, uniform_filter1d

COARSE_PIXELS = 1_000_000  # the outline is first sought in a picture of about this size
MAX_DEGREE = 9
CORNER_DEG = 55.0
FAR = 5.0  # spreads from which on a point is damage to the smooth line
ALIKE_PX = 20.0  # neighbours on a ground edge are alike over some twenty pixels


@dataclass(frozen=True)
class Levels:
    """Light of ground and blade and how clearly they part."""

    bright: float
    dark: float
    spread: float  # scatter inside the two classes, share of their distance
    parting: float  # Otsu's share of the variance that the two levels explain, 0..1


def shrink(grey):
    """Picture by area means to about a megapixel, and the factor."""
    factor = max(1, int(np.ceil(np.sqrt(grey.size / COARSE_PIXELS))))
    if factor == 1:
        return grey, 1
    size = grey.shape[1] // factor, grey.shape[0] // factor
    cut = grey[: size[1] * factor, : size[0] * factor]
    return cv2.resize(cut, size, interpolation=cv2.INTER_AREA), factor


def two_levels(small):
    """Otsu's two classes of the (shrunk) picture, and the threshold between them."""
    low, high = np.quantile(small[::3, ::3], [0.001, 0.999])
    if high - low < 1e-3:
        return None, 0.0
    counts, edges = np.histogram(small[::2, ::2], bins=256, range=(low, high))
    if np.count_nonzero(counts) < 2:
        return None, 0.0
    centre = (edges[:-1] + edges[1:]) / 2
    share = counts / counts.sum()
    below = np.cumsum(share)
    moment = np.cumsum(share * centre)
    between = (moment[-1] * below - moment) ** 2 / np.maximum(below * (1 - below), 1e-9)
    total = np.sum(share * (centre - moment[-1]) ** 2)
    # A clean gap gives a plateau: its middle is the threshold.
    best = np.flatnonzero(between >= between.max() * (1 - 1e-6))
    cut = int(best[len(best) // 2])
    dark = moment[cut] / below[cut]
    bright = (moment[-1] - moment[cut]) / (1 - below[cut])
    inside = np.sqrt(max(total - between[cut], 0)) / (bright - dark)
    levels = Levels(float(bright), float(dark), float(inside), float(between[cut] / total))
    return levels, (dark + bright) / 2


def evenly_lit(small):
    """The picture's root with slopes and bends of the ground's light taken out, and its levels.

    In the root of the light a shadow on the ground stays clear of the blade, and noise is even.
    The surface of the ground's light is one of second order, by least squares over what is ground,
    in three turns.
    """
    root = np.sqrt(np.maximum(small, 0))
    rows, cols = root.shape
    step = max(1, int(np.sqrt(root.size / 20_000)))
    down, across = (np.linspace(-1, 1, size, dtype=np.float32) for size in (rows, cols))
    x, y = (part.ravel() for part in np.meshgrid(across[::step], down[::step]))
    basis = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)
    light, even = root[::step, ::step].ravel(), root
    levels, threshold = two_levels(even)
    for _ in range(3):
        ground = even[::step, ::step].ravel() > threshold
        if levels is None or ground.sum() < 100:
            return even, None, 0.0
        one, by_x, by_y, by_xx, by_xy, by_yy = np.linalg.lstsq(
            basis[ground], light[ground], rcond=None
        )[0]
        surface = one + by_x * across + by_xx * across**2 + (by_y * down + by_yy * down**2)[:, None]
        surface += by_xy * across * down[:, None]
        even = root / np.maximum(surface, 0.3 * float(np.median(light[ground])))
        levels, threshold = two_levels(even)
    return even, levels, threshold


def blade_mask(small, threshold, *, bright_blade=False):
    """The largest region on the blade's side of the threshold, all of them, the second's share."""
    calm = cv2.GaussianBlur(small, (0, 0), 1.0)
    mask = (calm > threshold if bright_blade else calm < threshold).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    if count < 2:
        return None, mask, 0.0
    areas = np.sort(stats[1:, cv2.CC_STAT_AREA])[::-1]
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    second = float(areas[1] / areas[0]) if areas.size > 1 else 0.0
    return (labels == largest).astype(np.uint8), mask, second


def outline_runs(mask):
    """Stretches of the outline inside the picture, longest first; points (n, 2) as x, y."""
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    points = max(contours, key=len)[:, 0, :].astype(float)
    rows, cols = mask.shape
    x, y = points.T
    free = (x > 1) & (x < cols - 2) & (y > 1) & (y < rows - 2)
    if free.all() or not free.any():
        return [points] if free.all() else []
    start = int(np.flatnonzero(~free)[0])
    points, free = np.roll(points, -start, axis=0), np.roll(free, -start)
    edges = np.flatnonzero(np.diff(free.astype(int)))
    bounds = np.split(np.arange(len(points)), edges + 1)
    runs = [points[part] for part in bounds if free[part[0]]]
    return sorted(runs, key=len, reverse=True)


def split_at_corners(run, *, min_points=40):
    """Run of outline points cut where the blade turns for good (its tip), not at a chip."""
    count = len(run)
    if count < 2 * min_points:
        return [run]
    arm = int(np.clip(0.15 * count, min_points / 2, 120))
    index = np.arange(arm // 2, count - arm // 2)
    turn = np.minimum(_turn(run, index, arm), _turn(run, index, 2 * arm))
    worst = int(np.argmax(turn))
    if turn[worst] < CORNER_DEG:
        return [run]
    corner, gap = index[worst], max(4, arm // 8)
    parts = [run[: max(0, corner - gap)], run[corner + gap :]]
    return [
        piece
        for part in parts
        if len(part) >= min_points
        for piece in split_at_corners(part, min_points=min_points)
    ]


def _turn(run, index, arm):
    """Angle between the directions to and from each point over `arm` points, degrees."""
    before = run[index] - run[np.maximum(index - arm, 0)]
    after = run[np.minimum(index + arm, len(run) - 1)] - run[index]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.abs(np.rad2deg(np.arctan2(cross, np.sum(before * after, axis=1))))


@dataclass(frozen=True)
class SmoothCurve:
    """A plane curve by two polynomials (Legendre) of t in [-1, 1]; x to the right, y down."""

    coef: np.ndarray  # (degree + 1, 2)

    def point(self, t):
        """Points (n, 2)."""
        return np.polynomial.legendre.legval(t, self.coef).T

    def tangent(self, t):
        """Derivative by t (n, 2)."""
        return np.polynomial.legendre.legval(t, np.polynomial.legendre.legder(self.coef)).T

    def normal(self, t):
        """Unit normals (n, 2): the tangent turned a quarter counter-clockwise as seen."""
        tangent = self.tangent(t)
        turned = np.stack([tangent[:, 1], -tangent[:, 0]], axis=-1)
        return turned / np.linalg.norm(turned, axis=1, keepdims=True)

    def even_steps(self, low, high, step):
        """Parameters t at even steps of arc length between two parameters, and the arc."""
        fine = np.linspace(low, high, 4001)
        speed = np.linalg.norm(self.tangent(fine), axis=1)
        arc = np.concatenate([[0], np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(fine))])
        at = np.arange(0, arc[-1], step)
        return np.interp(at, arc, fine), at


def turned_away(x, y, *, short=4, long=None):
    """True where a line of points leaves its own general direction: the walls of damage.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points in order, about a pixel apart.
    short : int
        Half the chord, in points, over which the local direction is taken.
    long : int, optional
        Points over which the general direction is the median; about an eighth by default.

    Returns
    -------
    ndarray of bool, shape (n,)
    """
    count = len(x)
    size = (long or max(41, count // 8)) | 1
    if count < 2 * size:
        return np.zeros(count, bool)
    dx, dy = (np.gradient(uniform_filter1d(part, 2 * short + 1)) for part in (x, y))
    angle = np.unwrap(np.arctan2(dy, dx))
    every = max(1, size // 40)
    general = median_filter(angle[::every], size=(size // every) | 1, mode="nearest")
    off = np.abs(angle - np.interp(np.arange(count), np.arange(0, count, every), general))
    usual = 1.4826 * np.median(off)
    steep = off > max(np.deg2rad(9), 5 * usual)
    return maximum_filter1d(steep.astype(np.uint8), 2 * short + 1) > 0


def robust_curve(points, *, floor_px):
    """Smooth curve through most of an outline, and each point's parameter and distance.

    A polynomial across the outline's own main direction. Walls of damage are left out from
    the start; see `robust_polynomial` for the rest.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
        Outline in order, x and y, pixels.
    floor_px : float
        Distances that are only sampling; no gain below it counts.

    Returns
    -------
    curve : SmoothCurve
    t : ndarray, shape (n,)
    distance : ndarray, shape (n,)
        Along the curve's normal, pixels.
    """
    step = max(1, len(points) // 400)
    calm = ~turned_away(*points.T)[::step]
    if calm.sum() < 0.3 * len(calm):
        calm[:] = True
    middle = points.mean(axis=0)
    along = np.linalg.svd(points[::step] - middle, full_matrices=False)[2][0]
    along *= np.sign(along @ (points[-1] - points[0])) or 1.0
    frame = np.stack([along, [-along[1], along[0]]])
    u, v = frame @ (points - middle).T
    half, centre = np.ptp(u) / 2, (u.max() + u.min()) / 2
    t = (u - centre) / half
    length = float(np.linalg.norm(np.diff(points[::step], axis=0), axis=1).sum())
    across = robust_polynomial(
        t[::step], v[::step], calm, floor=floor_px, told=length / ALIKE_PX, most=MAX_DEGREE
    )
    coef = np.zeros((max(2, across.size), 2))
    coef[0, 0], coef[1, 0] = centre, half
    coef[: across.size, 1] = across
    coef = coef @ frame
    coef[0] += middle
    curve = SmoothCurve(coef)
    return curve, *_foot(curve, points, t)


def robust_polynomial(t, y, calm, *, floor, told, most):
    """Polynomial through most of the points, of no higher degree than they ask for.

    Each degree is fitted by least absolute deviations over the calm points, then by Tukey's
    weights, and once more from what the degree before left in. A fit's cost is the sum of
    squares in units of the spread of the sound points, each cut off at `FAR` spreads, so that
    leaving points out as damage has its price; a degree's own price is that of Schwarz's
    criterion.

    Parameters
    ----------
    t, y : ndarray, shape (n,)
        -1 <= t <= 1.
    calm : ndarray of bool or float, shape (n,)
        Trust in each point from the start; its cost counts all the same.
    floor : float
        Least spread.
    told : float
        How many points tell independently.
    most : int
        Highest degree.

    Returns
    -------
    ndarray
        Legendre coefficients.
    """
    basis = np.polynomial.legendre.legvander(t, most)
    calm = np.asarray(calm, dtype=float)
    use = calm > 0
    fits: list = []
    best, kept = 0, None
    for degree in range(most + 1):
        part = basis[:, : degree + 1]
        tries = [_reweighted(part, y, calm, use, floor, None)]
        if kept is not None:
            tries.append(_reweighted(part, y, calm, use, floor, kept))
        spread = min(one[2] for one in tries)
        coef, off, scale, kept = min(tries, key=lambda one: _cut_squares(one[1], spread))
        fits.append((coef, off, scale))
        spread = min(fit[2] for fit in fits)
        costs = [
            told * _cut_squares(off, spread) + coef.size * np.log(told) for coef, off, _ in fits
        ]
        best = int(np.argmin(costs))
        if best + 3 < degree:
            break
    return fits[best][0]


def _cut_squares(off, spread):
    """Mean square of the distances in spreads, each cut off where it is far."""
    return float(np.mean(np.minimum(off / spread, FAR) ** 2))


def _reweighted(basis, y, calm, use, floor, trust):
    """Iterated least squares: (coefficients, absolute residuals, spread, last trust)."""
    turns = 4 if trust is not None else 8
    trust = calm if trust is None else trust
    for turn in range(8 - turns, 8):
        weighed = basis * trust[:, None]
        normal = weighed.T @ basis
        normal.flat[:: len(normal) + 1] += 1e-9 * trust.sum()
        coef = np.linalg.solve(normal, weighed.T @ y)
        off = np.abs(y - basis @ coef)
        scale = max(1.4826 * float(_middle(off[use])), floor)
        if turn < 4:
            trust = calm / np.maximum(off, scale)
        else:
            trust = calm * (np.clip(1 - (off / (FAR * scale)) ** 2, 0, None) ** 2 + 1e-6)
    return coef, off, scale, trust


def _middle(values):
    """Median, the upper one of an even number."""
    half = values.size // 2
    return np.partition(values, half)[half]


def _foot(curve, points, t):
    """One step of each point's parameter towards its foot on the curve, and the distance."""
    tangent = curve.tangent(t)
    speed2 = np.maximum(np.sum(tangent**2, axis=1), 1e-9)
    off = points - curve.point(t)
    t = np.clip(t + np.sum(off * tangent, axis=1) / speed2, -1.1, 1.1)
    # The step is so short that the normal of its start serves.
    off = points - curve.point(t)
    return t, (off[:, 0] * tangent[:, 1] - off[:, 1] * tangent[:, 0]) / np.sqrt(speed2)
