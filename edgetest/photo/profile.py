"""Chips and rolls of an edge from a back-lit photograph of the blade's side."""

from dataclasses import dataclass, field

import numpy as np

from edgetest.estimate import plain
from edgetest.photo.boundary import boundary, edge_blur, straighten
from edgetest.photo.damage import (
    LEAST_PX,
    SLIGHT,
    Departure,
    edge_spread,
    find_departures,
    size_departures,
)
from edgetest.photo.outline import (
    blade_mask,
    choose_degree,
    outline_runs,
    robust_curve,
    shrink,
    split_at_corners,
    turned_away,
    two_levels,
)
from edgetest.photo.quality import Reason

REFUSALS = {
    "no_contrast": (
        "Blade and background are hardly told apart; put a bright, even light behind the blade."
    ),
    "no_edge": (
        "No smooth outline of a blade runs through the picture; photograph the blade's side "
        "against a bright background, with the edge across the picture."
    ),
    "out_of_focus": "The outline is out of focus; focus on the edge and photograph it again.",
    "too_noisy": "The noise drowns the outline; more light, or average several pictures.",
    "too_dark": "The picture is too dark to measure; more light behind the blade.",
    "too_small": "The picture is too small to hold an edge; it needs 48 pixels each way or more.",
    "no_scale": "The scale is missing: give µm per pixel of this set-up.",
}
WARNINGS = {
    "soft_focus": "The outline is soft; small chips are not seen. Focus on the edge.",
    "two_outlines": (
        "More than one outline of the blade is in the picture; the one with damage, or else the "
        "longest, was measured. Mark the edge if that is the wrong one."
    ),
    "damaged_at_border": "Damage touches the picture's border or the tip and was left out.",
    "saturated_ground": (
        "The background is overexposed: light spills over the edge and moves it. Shorten the "
        "exposure until the background is just below white."
    ),
    "rough_edge": "The edge is rough: shallow chips cannot be told from its roughness.",
    "bright_blade": "The blade was taken to be the bright side of the outline.",
}


@dataclass(frozen=True)
class ProfileMeasurement:
    """Damage of an edge seen from the side. Positions run from the left (or top) end.

    Arrays are for the overlay: `contour_rc` the outline and `reference_rc` the smooth line
    (row, column), `position_um` along it and `departure_um` (towards the ground positive).
    """

    status: str
    reasons: tuple[Reason, ...] = ()
    edge_length_um: float | None = None
    chips: tuple[Departure, ...] = ()
    rolls: tuple[Departure, ...] = ()
    blur_px: float | None = None
    snr: float | None = None
    roughness_um: float | None = None
    um_per_px: float | None = None
    scale_relative_u: float = 0.0
    warnings: tuple[Reason, ...] = ()
    contour_rc: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)), repr=False)
    reference_rc: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)), repr=False)
    position_um: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)
    departure_um: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "status": self.status,
            "reasons": [reason.to_dict() for reason in self.reasons],
            "edge_length_um": plain(self.edge_length_um),
            "chips": [chip.to_dict() for chip in self.chips],
            "rolls": [roll.to_dict() for roll in self.rolls],
            "blur_px": plain(self.blur_px),
            "snr": plain(self.snr),
            "roughness_um": plain(self.roughness_um),
            "scale": {
                "um_per_px": plain(self.um_per_px),
                "relative_u": plain(self.scale_relative_u),
            },
            "warnings": [reason.to_dict() for reason in self.warnings],
        }

    def to_frame(self):
        """One row a chip or roll."""
        import pandas as pd

        rows = [{"kind": "chip", **chip.to_dict()} for chip in self.chips]
        rows += [{"kind": "roll", **roll.to_dict()} for roll in self.rolls]
        return pd.DataFrame(rows, columns=["kind", *Departure.__dataclass_fields__])

    def summary(self):
        """What a maker reads out."""
        if self.status == "refused":
            return f"Not measured. {' '.join(reason.text for reason in self.reasons)}"
        length = f"{self.edge_length_um / 1000:.2f} mm of edge"
        if not self.chips and not self.rolls:
            return f"{length}, no chip and no roll found"
        deepest = max((*self.chips, *self.rolls), key=lambda found: found.depth_um)
        return (
            f"{length}: {_count(self.chips, 'chip')}, {_count(self.rolls, 'roll')}; the deepest "
            f"{deepest.depth_um:.3g} µm at {deepest.position_um / 1000:.2f} mm"
        )


def _count(items, word):
    """How many, in words."""
    return f"{len(items) or 'no'} {word}{'' if len(items) == 1 else 's'}"


def _refused(code, um_per_px, more="", **rest):
    """Refusal with its reason."""
    text = f"{REFUSALS[code]} {more}".strip()
    return ProfileMeasurement("refused", (Reason(code, text),), um_per_px=um_per_px, **rest)


def _warn(code):
    return Reason(code, WARNINGS[code])


def measure_profile(
    grey, um_per_px, *, scale_relative_u=0.0, saturated=None, blade="dark", region=None
):
    """Chips and rolls along the edge of a silhouette.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
        Linear light, 0 to 1.
    um_per_px : float or None
        Scale.
    scale_relative_u : float
        Relative standard uncertainty of the scale; it goes into every length.
    saturated : ndarray of bool, shape (rows, cols), optional
        Pixels at the top of the sensor's range.
    blade : {"dark", "bright"}
        Which side of the outline is the blade; "dark" against a bright background.
    region : (int, int, int, int), optional
        First row, first column, end row and end column to look in.

    Returns
    -------
    ProfileMeasurement
        A picture that cannot be measured is a result with status "refused".
    """
    if um_per_px is None or not (np.isfinite(um_per_px) and um_per_px > 0):
        return _refused("no_scale", None)
    corner = np.zeros(2)
    if region is not None:
        top, left, bottom, right = region
        grey = np.asarray(grey)[top:bottom, left:right]
        saturated = None if saturated is None else np.asarray(saturated)[top:bottom, left:right]
        corner = np.array([top, left], dtype=float)
    grey = np.ascontiguousarray(grey, dtype=np.float32)
    if min(grey.shape) < 48:
        return _refused("too_small", um_per_px)
    small, factor = shrink(grey)
    levels, threshold = two_levels(small)
    if levels is None or levels.bright < 0.01:
        return _refused("too_dark" if small.max() < 0.02 else "no_contrast", um_per_px)
    if levels.parting < 0.7 or levels.bright < 1.3 * levels.dark:
        return _refused("no_contrast", um_per_px)
    mask = blade_mask(small, threshold, bright_blade=blade == "bright")
    traces = _traces(grey, mask, factor, blade)
    if not traces:
        return _refused("no_edge", um_per_px)
    trace = max(traces, key=lambda item: (item.damaged, item.length))
    return _result(trace, um_per_px, scale_relative_u, saturated, len(traces), blade, corner)


@dataclass(frozen=True)
class _Trace:
    """One outline followed below a pixel, with its departures in pixels."""

    strip: object
    place: np.ndarray
    line: np.ndarray
    stretches: list
    sizes: list
    sound: np.ndarray
    spread: float
    blur: float
    noise: float
    at_border: bool
    before_px: float  # of the edge before the first sample (a tip), and after the last
    after_px: float

    @property
    def length(self):
        return float(self.strip.arc[-1]) + self.before_px + self.after_px

    @property
    def damaged(self):
        """Whether a departure stands well clear of the camera's sampling."""
        return any(size["height"] > 1.0 for size in self.sizes)


def _traces(grey, mask, factor, blade):
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
    sound, stretches = inner & ~turned_away(strip.arc, place), []
    if sound.sum() < 0.3 * count:
        sound = inner.copy()
    for turn in range(4):
        # Before the damage is known, only a plain gain may bend the line.
        line = _smooth_line(strip.arc, place, sound, gain=0.93 if turn else 0.6)
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
    sizes = size_departures(e, kept, blur, spread, reach)
    clear = [
        size["height"] > max(LEAST_PX, 4 * spread, SLIGHT * size["length"])
        and _opaque(strip, line, size, stretch, blur)
        for stretch, size in zip(kept, sizes, strict=True)
    ]
    whole = [stretch for stretch, keep in zip(kept, clear, strict=True) if keep]
    sizes = [size for size, keep in zip(sizes, clear, strict=True) if keep]
    return _Trace(strip, place, line, whole, sizes, sound, spread, blur, noise,
                  len(kept) < len(stretches), *to_tip)  # fmt: skip


def _smooth_line(arc, place, sound, *, gain):
    """Robust polynomial through the sound samples, of no higher degree than they ask for."""
    t = 2 * arc / arc[-1] - 1
    group = max(1, arc.size // 500)
    number = np.arange(arc.size) // group
    held = np.bincount(number, sound)
    full = held >= 0.6 * group
    x = np.bincount(number, sound * t)[full] / held[full]
    y = np.bincount(number, sound * place)[full] / held[full]
    fits: list = []
    scales: list = []
    for degree in range(9):
        basis = np.polynomial.legendre.legvander(x, degree)
        trust = np.ones(x.size)
        for turn in range(7):
            weighed = basis * trust[:, None]
            normal = weighed.T @ basis + 1e-9 * trust.sum() * np.eye(degree + 1)
            coef = np.linalg.solve(normal, weighed.T @ y)
            off = np.abs(y - basis @ coef)
            scale = max(1.4826 * float(np.median(off)), 0.03)
            if turn < 3:
                trust = 1 / np.maximum(off, scale)
            else:
                trust = np.clip(1 - (off / (5 * scale)) ** 2, 0, None) ** 2 + 1e-6
        fits.append(coef)
        scales.append(scale)
        if choose_degree(scales, gain=gain) + 2 < degree:
            break
    return np.polynomial.legendre.legval(t, fits[choose_degree(scales, gain=gain)])


def _opaque(strip, line, size, stretch, blur):
    """Whether a roll is as dark as the blade; a speck of dust on the edge lets light by."""
    if stretch.sign < 0 or size["depth"] < 2.5 * blur or size["length"] < 4 * blur:
        return True
    offset = line[stretch.peak] + 0.45 * size["depth"] - strip.offsets[0]
    row = int(np.clip(np.rint(offset), 1, len(strip.offsets) - 2))
    near = slice(max(0, stretch.peak - 1), stretch.peak + 2)
    return float(strip.cover[row - 1 : row + 2, near].mean()) > 0.8


def _result(trace, um_per_px, scale_relative_u, saturated, outlines, blade, corner):
    """Measurement in µm, or the refusal that the outline's quality asks for."""
    snr = 1 / max(trace.noise, 1e-4)
    quality = {"blur_px": trace.blur, "snr": snr, "scale_relative_u": scale_relative_u}
    if trace.blur > max(8.0, 0.012 * trace.length) or trace.blur > 25:
        return _refused("out_of_focus", um_per_px, **quality)
    if snr < 2.5:
        return _refused("too_noisy", um_per_px, **quality)
    if trace.spread > 4 + 0.002 * trace.length or trace.sound.mean() < 0.3:
        return _refused("no_edge", um_per_px, **quality)
    warnings = []
    if trace.blur > 3.5:
        warnings.append(_warn("soft_focus"))
    if outlines > 1:
        warnings.append(_warn("two_outlines"))
    if trace.at_border:
        warnings.append(_warn("damaged_at_border"))
    if trace.spread > 1.0:
        warnings.append(_warn("rough_edge"))
    if blade == "bright":
        warnings.append(_warn("bright_blade"))
    if saturated is not None and _ground_saturated(trace.strip, saturated):
        warnings.append(_warn("saturated_ground"))
    found = {-1: [], 1: []}
    for stretch, size in zip(trace.stretches, trace.sizes, strict=True):
        found[stretch.sign].append(_departure(size, trace, um_per_px, scale_relative_u))
    points = trace.strip.points + trace.line[:, None] * trace.strip.normals
    contour = trace.strip.points + trace.place[:, None] * trace.strip.normals
    return ProfileMeasurement(
        "measured",
        edge_length_um=trace.length * um_per_px,
        chips=tuple(found[-1]),
        rolls=tuple(found[1]),
        roughness_um=trace.spread * um_per_px,
        um_per_px=float(um_per_px),
        warnings=tuple(warnings),
        contour_rc=contour[:, ::-1] + corner,
        reference_rc=points[:, ::-1] + corner,
        position_um=(trace.strip.arc + trace.before_px) * um_per_px,
        departure_um=(trace.place - trace.line) * um_per_px,
        **quality,
    )


def _ground_saturated(strip, saturated):
    """Whether the ground just outside the edge is clipped for a good part of its length."""
    x, y = (strip.points + 8 * strip.normals).T
    inside = (x >= 0) & (x < saturated.shape[1]) & (y >= 0) & (y < saturated.shape[0])
    if not inside.any():
        return False
    return saturated[y[inside].astype(int), x[inside].astype(int)].mean() > 0.1


def _departure(size, trace, um_per_px, scale_relative_u):
    """Sizes in µm with the scale's share in their uncertainty."""
    length, depth = size["length"] * um_per_px, size["depth"] * um_per_px
    area = size["area"] * um_per_px**2
    return Departure(
        position_um=(size["centre"] + trace.before_px) * um_per_px,
        length_um=length,
        depth_um=depth,
        area_um2=area,
        depth_u_um=float(np.hypot(size["depth_u"] * um_per_px, scale_relative_u * depth)),
        length_u_um=float(np.hypot(size["length_u"] * um_per_px, scale_relative_u * length)),
        area_u_um2=float(np.hypot(size["area_u"] * um_per_px**2, 2 * scale_relative_u * area)),
    )
