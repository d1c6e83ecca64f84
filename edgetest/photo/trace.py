"""An outline of the blade followed below a pixel, its smooth line, and its damage in pixels."""

from dataclasses import dataclass

import numpy as np

from edgetest.photo.boundary import Strip, boundary, edge_blur, straighten
from edgetest.photo.damage import (
    LEAST_PX,
    SLIGHT,
    Stretch,
    edge_covariance,
    edge_spread,
    find_departures,
    size_departures,
)
from edgetest.photo.outline import (
    ALIKE_PX,
    outline_runs,
    robust_curve,
    robust_polynomial,
    split_at_corners,
    turned_away,
)

MOST_DEGREE = 10  # of the polynomial that the smooth line may add to the coarse curve


@dataclass(frozen=True)
class Trace:
    """One outline followed below a pixel, with its departures in pixels."""

    strip: Strip
    place: np.ndarray
    line: np.ndarray
    stretches: list[Stretch]
    sizes: list[dict]
    sound: np.ndarray
    spread: float
    blur: float
    noise: float
    at_border: bool
    before_px: float  # of the edge before the first sample (a tip), and after the last
    after_px: float

    @property
    def length(self):
        """Pixels of edge in the picture."""
        return float(self.strip.arc[-1]) + self.before_px + self.after_px

    @property
    def damaged(self):
        """How many departures stand well clear of the camera's sampling."""
        return sum(size["height"] > 1.0 for size in self.sizes)


def find_traces(grey, mask, factor):
    """The blade's outlines that are long enough to be its edge, followed and searched."""
    pieces = []
    for run in outline_runs(mask) if mask is not None else []:
        pieces += split_at_corners(_smoothed(run))
    pieces.sort(key=len, reverse=True)
    least = max(40, 0.3 * len(pieces[0])) if pieces else 0
    found = []
    for piece in pieces[:3]:
        if len(piece) >= least:
            trace = _follow(grey, mask, piece, factor)
            if trace is not None:
                found.append(trace)
    return found


def _smoothed(run, reach=2):
    """Outline of whole pixels with its staircase evened out."""
    padded = np.pad(run, ((reach, reach), (0, 0)), mode="edge")
    return sum(padded[k : k + len(run)] for k in range(2 * reach + 1)) / (2 * reach + 1)


def _follow(grey, mask, piece, factor):
    """One outline piece followed below a pixel; None where it is no smooth edge."""
    if abs(piece[-1, 0] - piece[0, 0]) >= abs(piece[-1, 1] - piece[0, 1]):
        piece = piece if piece[-1, 0] > piece[0, 0] else piece[::-1]
    else:
        piece = piece if piece[-1, 1] > piece[0, 1] else piece[::-1]
    points = (piece + 0.5) * factor - 0.5
    curve, t, distance = robust_curve(points, floor_px=0.25 * factor)
    middle = 1.4826 * np.median(np.abs(distance))
    if middle > 0.01 * len(points) * factor:
        return None
    towards = _towards_ground(mask, curve, t, factor)
    # To the picture's border, but not past a corner of the blade.
    rows, cols = grey.shape
    size = np.array([cols, rows])
    ends, to_tip = [], []
    for value, end, way in ((t.min(), points[0], -1), (t.max(), points[-1], 1)):
        at_border = (end < 4 * factor).any() or (size - end < 4 * factor + 1).any()
        ends.append(value + way * 0.05 if at_border else value)
        to_tip.append(0.0 if at_border else _reach(mask, curve, value, way, towards, factor))
    strip, coarse = straighten(grey, curve, ends, (t, towards * distance), towards, factor=factor)
    if strip.arc.size < 40:
        return None
    rough = np.full(strip.arc.size, True)
    place = boundary(strip, coarse, 0.02)
    blur, _, noise = edge_blur(strip, place, rough)
    if not np.isfinite(blur) or blur > 0.25 * strip.arc.size:
        return None
    if noise > 0.02:
        place = boundary(strip, coarse, noise)
    return _search(strip, place, blur, noise, to_tip)


def _reach(mask, curve, t, way, towards_ground, factor):
    """Pixels along the curve from `t` to the tip, where the blade's thickness comes to nothing."""
    along = np.arange(-30.0, 60.0)
    at = t + way * factor * along / np.linalg.norm(curve.tangent(np.array([t])))
    depth = np.arange(0.5, 60.0)[:, None, None]
    inwards = -towards_ground * factor * curve.normal(at)
    x, y = np.moveaxis(np.rint((curve.point(at) + depth * inwards + 0.5) / factor - 0.5), -1, 0)
    x, y = x.astype(int), y.astype(int)
    inside = (x >= 0) & (x < mask.shape[1]) & (y >= 0) & (y < mask.shape[0])
    blade = inside & (mask[np.where(inside, y, 0), np.where(inside, x, 0)] > 0)
    thickness = np.where(blade.all(axis=0), np.inf, np.argmin(blade, axis=0))
    slim = np.flatnonzero((thickness > 3) & (thickness < 55) & (along < 40))
    if slim.size < 6:
        gone = np.flatnonzero(thickness[30:] == 0)
        return factor * float(gone[0]) if gone.size else 0.0
    slope, start = np.polyfit(along[slim], thickness[slim], 1)
    return factor * float(np.clip(-start / slope, 0, 90)) if slope < 0 else 0.0


def _towards_ground(mask, curve, t, factor):
    """1 if the curve's normals point away from the blade, else -1."""
    at = np.linspace(t.min(), t.max(), 101)
    score = 0
    for sign in (1, -1):
        x, y = ((curve.point(at) + sign * 6 * factor * curve.normal(at) + 0.5) / factor - 0.5).T
        inside = (x > 0) & (x < mask.shape[1] - 1) & (y > 0) & (y < mask.shape[0] - 1)
        blade = mask[np.rint(y[inside]).astype(int), np.rint(x[inside]).astype(int)]
        score += sign * (0.5 - blade.mean()) if blade.size else 0
    return 1.0 if score > 0 else -1.0


def _search(strip, place, blur, noise, to_tip):
    """Smooth line and departures from it, in turns until the departures stand still."""
    count = place.size
    border = int(np.ceil(3 * blur)) + 2
    inner = np.zeros(count, bool)
    inner[border : count - border] = True
    if inner.sum() < 40:
        return None
    sound = inner & ~turned_away(strip.arc, place)
    stretches: list[Stretch] = []
    if sound.sum() < 0.3 * count:
        sound = inner.copy()
    for _ in range(4):
        line, cost = _smooth_line(strip.arc, place, sound, inner)
        e = place - line
        before = [(s.low, s.high) for s in stretches]
        stretches = find_departures(e, sound, blur)
        sound = inner.copy()
        for stretch in stretches:
            if abs(e[stretch.peak]) < min(2 * SLIGHT * (stretch.high - stretch.low), 3.0):
                continue  # so shallow for its length that the line may be at fault: fit it again
            pad = int(2 * blur + 0.25 * (stretch.high - stretch.low)) + 2
            sound[max(0, stretch.low - pad) : stretch.high + pad] = False
        if sound.sum() < 0.3 * count:
            sound = inner.copy()
            break
        if [(s.low, s.high) for s in stretches] == before:
            break
    blur, _, noise = edge_blur(strip, place, sound)
    spread, reach = edge_spread(e, sound)
    kept = [s for s in stretches if s.low > border and s.high < count - border]
    alike = edge_covariance(e, sound, spread, reach)
    sizes = size_departures(e, kept, blur, spread, reach, covariance=alike)
    clear = [
        size["height"] > max(LEAST_PX, 4 * spread, SLIGHT * size["length"])
        and _opaque(strip, line, size, stretch, blur)
        for stretch, size in zip(kept, sizes, strict=True)
    ]
    whole = [stretch for stretch, keep in zip(kept, clear, strict=True) if keep]
    sizes = [size for size, keep in zip(sizes, clear, strict=True) if keep]
    return Trace(strip, place, line, whole, sizes, sound, spread, blur, noise,
                  len(kept) < len(stretches), *to_tip)  # fmt: skip


def _smooth_line(arc, place, sound, inner):
    """Smooth line through the sound samples, and its cost over all inner ones."""
    t = 2 * arc / arc[-1] - 1
    group = max(1, arc.size // 320)
    number = np.arange(arc.size) // group
    held = np.bincount(number, inner)
    full = held >= 0.6 * group
    x = np.bincount(number, inner * t)[full] / held[full]
    y = np.bincount(number, inner * place)[full] / held[full]
    calm = np.bincount(number, sound & inner)[full] >= 0.6 * group
    told = max(8.0, float(inner.sum()) / ALIKE_PX)
    coef, cost = robust_polynomial(x, y, calm, floor=0.03, told=told, most=MOST_DEGREE)
    return np.polynomial.legendre.legval(t, coef), cost


def too_small_to_tell(size, blur):
    """Whether a roll is so small against the blur that a speck at the edge looks the same."""
    return bool(size["depth"] < 2.5 * blur or size["length"] < 4 * blur)


def _opaque(strip, line, size, stretch, blur):
    """Whether a roll is as dark as the blade; a speck of dust on the edge lets light by."""
    if stretch.sign < 0 or too_small_to_tell(size, blur):
        return True
    offset = line[stretch.peak] + 0.45 * size["depth"] - strip.offsets[0]
    row = int(np.clip(np.rint(offset), 1, len(strip.offsets) - 2))
    near = slice(max(0, stretch.peak - 1), stretch.peak + 2)
    return float(strip.cover[row - 1 : row + 2, near].mean()) > 0.8
