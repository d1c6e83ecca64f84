"""An outline of the blade followed below a pixel, its smooth line, and its damage in pixels."""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.photo.chip_model import fit_forms, form_sizes
from edgetest.photo.departures import (
    FLOOR_PX,
    LEAST_PX,
    SLIGHT,
    Stretch,
    edge_covariance,
    edge_spread,
)
from edgetest.photo.side.boundary import (
    Places,
    Strip,
    boundary,
    edge_blur,
    grain,
    straighten,
)
from edgetest.photo.side.edge_ends import goes_on, to_tip
from edgetest.photo.side.edge_outline import (
    outline_runs,
    robust_curve,
    split_at_corners,
)
from edgetest.photo.side.find_kinds import DUST, UNSURE, Telling, light_beyond, tell
from edgetest.photo.side.patch import refine_forms
from edgetest.photo.side.smooth_line import line_at, line_uncertainty, settled_line
from edgetest.photo.side.summit import with_own_summit

ROUND_TIP_PX = 3.0  # sound tips and heels are rounded by less than this over the last samples
FEWEST = 40  # samples of an edge that can be followed


@dataclass(frozen=True)
class Trace:
    """One outline followed below a pixel, with its departures in pixels."""

    strip: Strip
    places: Places
    line: np.ndarray
    stretches: list[Stretch]
    sizes: list[dict]
    kinds: list[Telling]
    sound: np.ndarray
    spread: float
    blur: float
    noise: float
    line_u: np.ndarray  # standard uncertainty of the smooth line
    cut: tuple[float, float]  # height of damage that reaches the first sample, and the last
    at_border: bool = False  # ... which is the picture's border
    at_tip: bool = False  # ... or the tip, or the tip itself is gone
    before_px: float = 0.0  # of the edge before the first sample (a tip), and after the last
    after_px: float = 0.0
    missing_px: float = 0.0  # of edge in the picture beyond the ends of what was followed

    @property
    def length(self):
        """Pixels of edge in the picture."""
        return float(self.strip.arc[-1]) + self.before_px + self.after_px

    @property
    def place_u(self):
        """Standard uncertainty of the departure at each sample, pixels."""
        summed = np.sqrt(2 * (3 * self.blur + 2))  # rows that are added up, each with its noise
        return np.hypot(self.line_u, np.hypot(self.noise * summed, FLOOR_PX))

    @property
    def valid(self):
        """Samples at which the outline is the blade's: one crossing, no dust, nothing unsure."""
        good = self.places.single.copy()
        for stretch, told in zip(self.stretches, self.kinds, strict=True):
            if told.kind in (DUST, UNSURE):
                good[stretch.low : stretch.high] = False
        return good

    @property
    def share(self):
        """Share of the edge in the picture that was followed."""
        return float(self.strip.arc[-1] / (self.strip.arc[-1] + self.missing_px))

    @property
    def damaged(self):
        """How many departures stand well clear of the camera's sampling, those at an end too."""
        return sum(height > ROUND_TIP_PX for height in self.cut) + sum(
            size["height"] > 1.0 and told.kind != DUST
            for size, told in zip(self.sizes, self.kinds, strict=True)
        )


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
        strip, coarse, places = _seen(strip, coarse, boundary(strip, coarse, noise))
        if places.edge.size < FEWEST:
            return None
        blur, found = edge_blur(strip, places.edge, places.single)
        if not np.isfinite(blur) or blur > 0.25 * places.edge.size:
            return None
        if found <= noise and margin > 6 * blur:
            break
        # So noisy or so soft that it must be looked at again, and further out.
        noise, margin = max(noise, found), max(margin, int(7 * blur))
    trace = _search(strip, places, blur)
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
    line = trace.strip.points + trace.line[:, None] * trace.strip.normals
    inwards = -trace.strip.normals
    ways = ((line[::-1], inwards[::-1]), (line, inwards))
    tips = [
        to_tip(mask, factor, *way)[0] if is_open else 0.0
        for way, is_open in zip(ways, open_ends, strict=True)
    ]
    missing = [goes_on(mask, factor, *way, trace.strip.arc[-1]) for way in ways]
    return replace(
        trace,
        before_px=tips[0],
        after_px=tips[1],
        missing_px=sum(missing),
        at_tip=any(
            height > ROUND_TIP_PX and is_open
            for height, is_open in zip(trace.cut, open_ends, strict=True)
        ),
        at_border=any(
            height > 0 and not is_open for height, is_open in zip(trace.cut, open_ends, strict=True)
        ),
    )


def _seen(strip, coarse, places):
    """Strip, coarse and fine outline between the ends where the blade is too slim to measure."""
    number = np.flatnonzero(np.isfinite(places.edge))
    low, high = (number[0], number[-1] + 1) if number.size else (0, 0)
    if high > low:
        at = np.arange(places.edge.size)
        places = Places(
            *(np.interp(at, number, part[number])
              for part in (places.edge, places.outer, places.inner))
        )  # fmt: skip
    return strip.cut(low, high), coarse[low:high], places.cut(low, high)


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


def _search(strip, places, blur):
    """Smooth line and departures from it, fitted in turns; None where too little is seen."""
    place = places.edge
    count = place.size
    border = int(np.ceil(3 * blur)) + 2
    inner = np.zeros(count, bool)
    inner[border : count - border] = True
    if inner.sum() < FEWEST:
        return None
    coef, sound, stretches = settled_line(strip, place, blur, inner)
    line = line_at(strip.arc, coef)
    e = place - line
    blur, noise = edge_blur(strip, place, sound)
    if not np.isfinite(blur):
        return None
    spread, reach = edge_spread(e, sound)
    kept = [s for s in stretches if s.low > border and s.high < count - border]
    cut = (_height(e, stretches, 0, border), _height(e, stretches, count - border, count))
    alike = edge_covariance(e, sound, spread, reach)
    noisy = max(noise, grain(strip))
    line_u = line_uncertainty(strip.arc, sound, coef.size, spread, reach)
    forms = fit_forms(e, kept, blur, alike)
    forms = refine_forms(strip, line, forms, kept, blur, noisy, alike)
    sized = []
    for form, s in zip(forms, kept, strict=True):
        size = form_sizes(form, s, spread, reach, float(line_u[s.peak]))
        sized.append((s, with_own_summit(size, form, e, s, spread)))
    clear = [
        (s, size)
        for s, size in sized
        if size["height"] > max(LEAST_PX, 4 * spread, SLIGHT * size["length"])
        and size["depth"] > 1.96 * size["depth_u"]  # else it may as well be nothing
    ]
    halo = light_beyond(strip, line, sound, blur)
    kinds = [tell(strip, places, line, s, size, blur, noise, halo) for s, size in clear]
    return Trace(strip, places, line, [s for s, _ in clear], [size for _, size in clear], kinds,
                  sound, spread, blur, noise, line_u, cut)  # fmt: skip


def _height(e, stretches, first, last):
    """Height of damage that reaches the samples from `first` to `last`; 0 where there is none."""
    return max(
        (abs(float(e[s.peak])) for s in stretches if s.low <= last and s.high >= first), default=0.0
    )
