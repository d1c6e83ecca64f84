"""The outline of a silhouette, coarsely, and the smooth line that its edge once followed."""

from dataclasses import dataclass

import cv2
import numpy as np

COARSE_PIXELS = 1_000_000  # the outline is first sought in a picture of about this size
MAX_DEGREE = 9
CORNER_DEG = 55.0


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


def blade_mask(small, threshold, *, bright_blade=False):
    """The largest region on the blade's side of the threshold, holes filled."""
    calm = cv2.GaussianBlur(small, (0, 0), 1.0)
    mask = (calm > threshold if bright_blade else calm < threshold).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    if count < 2:
        return None
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    return (labels == largest).astype(np.uint8)


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


def robust_curve(points, *, floor_px):
    """Smooth curve through most of an outline, and each point's parameter and distance.

    The degree grows only while it brings the middle of the outline closer (its median
    distance falls by a sixth or more): chips on less than about 40 % of the edge do not
    bend the curve.

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
    step = max(1, len(points) // 1200)
    sample = points[::step]
    arc = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(sample, axis=0), axis=1))])
    t = 2 * arc / arc[-1] - 1
    best, fits = None, []
    for degree in range(1, MAX_DEGREE + 1):
        start = fits[-1][1] if fits else t
        fits.append(_fit_curve(sample, start, degree, floor_px))
    best = choose_degree([max(fit[2], floor_px) for fit in fits])
    curve, t, _ = fits[best]
    every = np.interp(np.arange(len(points)), np.arange(0, len(points), step)[: len(t)], t)
    every, distance = _foot(curve, points, every)
    return curve, every, distance


def choose_degree(scales, *, gain=0.85):
    """Place in `scales` after which one or two more degrees bring less than a sixth."""
    chosen = 0
    while chosen + 1 < len(scales):
        ahead = scales[chosen + 1 : chosen + 3]
        better = int(np.argmin(ahead))
        if ahead[better] > gain * scales[chosen]:
            break
        chosen += 1 + better
    return chosen


def _fit_curve(points, t, degree, floor_px):
    """Robust polynomial curve of one degree: (curve, t, median distance)."""
    trust = np.ones(len(points))
    for turn in range(10):
        basis = np.polynomial.legendre.legvander(t, degree)
        root = np.sqrt(trust)[:, None]
        coef = np.linalg.lstsq(basis * root, points * root)[0]
        curve = SmoothCurve(coef)
        t, distance = _foot(curve, points, t)
        scale = max(1.4826 * float(np.median(np.abs(distance))), floor_px)
        if turn < 4:
            trust = 1 / np.maximum(np.abs(distance), scale)
            trust = trust / trust.max()
        else:
            trust = np.clip(1 - (distance / (5 * scale)) ** 2, 0, None) ** 2 + 1e-6
    return curve, t, scale


def _foot(curve, points, t):
    """One step of each point's parameter towards its foot on the curve, and the distance."""
    tangent = curve.tangent(t)
    off = points - curve.point(t)
    t = t + np.sum(off * tangent, axis=1) / np.maximum(np.sum(tangent**2, axis=1), 1e-9)
    t = np.clip(t, -1.1, 1.1)
    off = points - curve.point(t)
    return t, np.sum(off * curve.normal(t), axis=1)
