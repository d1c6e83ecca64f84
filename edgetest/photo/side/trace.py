"""An outline of the blade followed below a pixel, its smooth line, and its damage in pixels."""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.photo.chip_model import fit_forms, form_sizes
from edgetest.photo.departures import (
    LEAST_PX,
    SLIGHT,
    Stretch,
    edge_covariance,
    edge_spread,
    find_departures,
)
from edgetest.photo.side.boundary import Strip, boundary, edge_blur, grain, straighten
from edgetest.photo.side.edge_outline import (
    ALIKE_PX,
    outline_runs,
    robust_curve,
    robust_polynomial,
    split_at_corners,
    turned_away,
)
from edgetest.photo.side.patch import refine_forms

BROKEN_TIP_PX = 12.0  # of the coarse outline: so thick no tip ends
NO_TIP = (0.0, 0.0)
FEWEST_SLIM = 6  # places at which the blade is seen to slim
FEWEST = 40  # samples of an edge that can be followed
SOUND_SHARE = 0.3  # of the samples: with fewer the departures are not believed
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
    cut: tuple[bool, bool]  # damage that reaches the first sample, and the last
    specks: int = 0  # of dust on the edge, left out
    at_border: bool = False  # ... which is the picture's border
    at_tip: bool = False  # ... or the tip, or the tip itself is gone
    before_px: float = 0.0  # of the edge before the first sample (a tip), and after the last
    after_px: float = 0.0

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
    first, last = piece[0], piece[-1]
    major = 0 if abs(last[0] - first[0]) >= abs(last[1] - first[1]) else 1
    piece = piece if last[major] > first[major] else piece[::-1]
    points = (piece + 0.5) * factor - 0.5
    curve, t, distance = robust_curve(points, floor_px=0.25 * factor)
    middle = 1.4826 * np.median(np.abs(distance))
    if middle > 0.01 * len(points) * factor:
        return None
    towards = _towards_ground(mask, curve, t, factor)
    ends, open_ends = _ends(points, t, factor, np.array(grey.shape[::-1]))
    margin, noise = int(12 + 2 * factor), 0.02
    for _ in range(2):
        strip, coarse = straighten(
            grey, curve, ends, (t, towards * distance), towards, margin=margin
        )
        strip, coarse, place = _seen(strip, coarse, boundary(strip, coarse, noise))
        if place.size < FEWEST:
            return None
        blur, found = edge_blur(strip, place, np.full(place.size, True))
        if not np.isfinite(blur) or blur > 0.25 * place.size:
            return None
        if found <= noise and margin > 6 * blur:
            break
        # So noisy or so soft that it must be looked at again, and further out.
        noise, margin = max(noise, found), max(margin, int(7 * blur))
    trace = _search(strip, place, blur)
    return None if trace is None else _to_its_ends(trace, mask, factor, open_ends)


def _ends(points, t, factor, size):
    """Ends of the curve's parameter, led to the picture's border but not past a blade's corner.

    And of each end whether it is open: not the picture's border.
    """
    ends, open_ends = [], []
    for value, end, way in ((t.min(), points[0], -1), (t.max(), points[-1], 1)):
        at_border = (end < 4 * factor).any() or (size - end < 4 * factor + 1).any()
        ends.append(value + way * 0.05 if at_border else value)
        open_ends.append(not at_border)
    return ends, open_ends


def _to_its_ends(trace, mask, factor, open_ends):
    """The trace with what lies between it and the tips, and which ends are damaged."""
    line, inwards = (
        trace.strip.points + trace.line[:, None] * trace.strip.normals,
        -trace.strip.normals,
    )
    start = _to_tip(mask, factor, line[::-1], inwards[::-1]) if open_ends[0] else NO_TIP
    end = _to_tip(mask, factor, line, inwards) if open_ends[1] else NO_TIP
    ends = list(zip(trace.cut, open_ends, (start, end), strict=True))
    return replace(
        trace,
        before_px=start[0],
        after_px=end[0],
        at_tip=any(
            is_open and (is_cut or reach * slope > BROKEN_TIP_PX * factor)
            for is_cut, is_open, (reach, slope) in ends
        ),
        at_border=any(is_cut and not is_open for is_cut, is_open, _ in ends),
    )


def _seen(strip, coarse, place):
    """Strip, coarse and fine outline between the ends where the blade is too slim to measure."""
    number = np.flatnonzero(np.isfinite(place))
    low, high = (number[0], number[-1] + 1) if number.size else (0, 0)
    place = np.interp(np.arange(low, high), number, place[number]) if number.size else place[:0]
    return strip.cut(low, high), coarse[low:high], place


def _to_tip(mask, factor, line, inwards):
    """Pixels from the last point of the smooth line to the tip, and how fast it slims there.

    The thickness runs from the line to the far side of the blade, so that a chip at the tip
    does not thin it; near the tip it falls in a straight line.

    Parameters
    ----------
    mask : ndarray, shape (rows, cols)
        Blade, 1 sample per `factor` pixels.
    factor : float
    line, inwards : ndarray, shape (n, 2)
        Points of the smooth line towards the tip, a pixel apart, and unit normals into the
        blade.
    """
    far = min(len(line), int(140 * factor))
    line, inwards = line[-far:], inwards[-far:]
    arm = line[-min(far, int(60 * factor)) :]
    ahead = (arm[-1] - arm[0]) / max(np.linalg.norm(arm[-1] - arm[0]), 1e-9)
    steps = factor * np.arange(1.0, 100.0)
    along = np.concatenate([np.arange(-far, 0.0)[:: int(factor)], steps])
    at = np.vstack([line[:: int(factor)], line[-1] + steps[:, None] * ahead])
    inwards = np.vstack([inwards[:: int(factor)], np.tile(inwards[-1], (steps.size, 1))])
    depth = factor * np.arange(0.5, 140.0)
    x, y = np.moveaxis(
        np.rint((at + depth[:, None, None] * inwards + 0.5) / factor - 0.5).astype(int), -1, 0
    )
    seen = (x >= 0) & (x < mask.shape[1]) & (y >= 0) & (y < mask.shape[0])
    blade = seen & (mask[np.where(seen, y, 0), np.where(seen, x, 0)] > 0)
    thick = depth[len(depth) - 1 - np.argmax(blade[::-1], axis=0)] + 0.5 * factor
    beyond = np.minimum(len(depth) - np.argmax(blade[::-1], axis=0), len(depth) - 1)
    slim = blade.any(axis=0) & ~blade[-1] & (thick > 3 * factor)
    slim &= seen[beyond, np.arange(len(at))]
    if slim.sum() < FEWEST_SLIM:
        return NO_TIP
    x, y = along[slim], thick[slim]
    # The nearest stretch tells best, unless damage of the tip bends it.
    for stretch in (45, 100):
        near = x > x[-1] - stretch * factor
        if np.unique(x[near]).size < FEWEST_SLIM:
            return NO_TIP
        slope, start = np.polyfit(x[near], y[near], 1)
        off = np.abs(y[near] - slope * x[near] - start)
        for _ in range(5):
            trust = 1 / np.maximum(off, 0.5 * factor)
            slope, start = np.polyfit(x[near], y[near], 1, w=np.sqrt(trust))
            off = np.abs(y[near] - slope * x[near] - start)
        if off.max() < 1.5 * factor:
            break
    if slope > -0.02:
        return NO_TIP
    return float(np.clip(-start / slope, 0, 150 * factor)), float(-slope)


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


def _search(strip, place, blur):
    """Smooth line and departures from it, fitted in turns; None where too little is seen."""
    count = place.size
    border = int(np.ceil(3 * blur)) + 2
    inner = np.zeros(count, bool)
    inner[border : count - border] = True
    if inner.sum() < FEWEST:
        return None
    line, sound, stretches = _settled(strip, place, blur, inner)
    e = place - line
    blur, noise = edge_blur(strip, place, sound)
    if not np.isfinite(blur):
        return None
    spread, reach = edge_spread(e, sound)
    kept = [s for s in stretches if s.low > border and s.high < count - border]
    cut = (
        any(s.low <= border for s in stretches),
        any(s.high >= count - border for s in stretches),
    )
    alike = edge_covariance(e, sound, spread, reach)
    forms = fit_forms(e, kept, blur, alike)
    forms = refine_forms(strip, line, forms, kept, blur, max(noise, grain(strip)), alike)
    sized = [(s, form_sizes(form, s, spread, reach)) for form, s in zip(forms, kept, strict=True)]
    clear = [
        (s, size)
        for s, size in sized
        if size["height"] > max(LEAST_PX, 4 * spread, SLIGHT * size["length"])
    ]
    steel = [(s, size) for s, size in clear if _opaque(strip, line, size, s)]
    return Trace(strip, place, line, [s for s, _ in steel], [size for _, size in steel], sound,
                  spread, blur, noise, cut, len(clear) - len(steel))  # fmt: skip


def _settled(strip, place, blur, inner):
    """Smooth line, sound samples and departures, in turns until the departures stand still."""
    enough = SOUND_SHARE * place.size
    sound = inner & ~turned_away(strip.arc, place)
    stretches: list[Stretch] = []
    if sound.sum() < enough:
        sound = inner.copy()
    for _ in range(4):
        line = _smooth_line(strip.arc, place, sound, inner)
        e = place - line
        before = [(s.low, s.high) for s in stretches]
        stretches = find_departures(e, sound, blur)
        sound = inner.copy()
        for stretch in stretches:
            if abs(e[stretch.peak]) < min(2 * SLIGHT * (stretch.high - stretch.low), 3.0):
                continue  # so shallow for its length that the line may be at fault: fit it again
            pad = int(2 * blur + 0.25 * (stretch.high - stretch.low)) + 2
            sound[max(0, stretch.low - pad) : stretch.high + pad] = False
        if sound.sum() < enough:
            return line, inner.copy(), stretches
        if [(s.low, s.high) for s in stretches] == before:
            break
    return line, sound, stretches


def _smooth_line(arc, place, sound, inner):
    """Smooth line through the sound samples; the other inner ones are damage, at a price."""
    t = 2 * arc / arc[-1] - 1
    group = max(1, arc.size // 320)
    number = np.arange(arc.size) // group
    held = np.bincount(number, inner)
    full = held >= 0.6 * group
    x = np.bincount(number, inner * t)[full] / held[full]
    y = np.bincount(number, inner * place)[full] / held[full]
    calm = np.bincount(number, sound & inner)[full] >= 0.6 * group
    told = max(8.0, float(inner.sum()) / ALIKE_PX)
    coef = robust_polynomial(x, y, calm, floor=0.03, told=told, most=MOST_DEGREE)
    return np.polynomial.legendre.legval(t, coef)


def _opaque(strip, line, size, stretch):
    """Whether a roll is as dark as the blade; a speck of dust on the edge lets light by."""
    if stretch.sign < 0 or size["kind"]:
        return size["kind"] != "speck"
    offset = line[stretch.peak] + 0.45 * size["depth"] - strip.offsets[0]
    row = int(np.clip(np.rint(offset), 1, len(strip.offsets) - 2))
    near = slice(max(0, stretch.peak - 1), stretch.peak + 2)
    return float(strip.cover[row - 1 : row + 2, near].mean()) > 0.8
