"""Chips and rolls of an edge from a back-lit photograph of the blade's side."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.estimate import plain
from edgetest.photo.departures import Departure
from edgetest.photo.linear_light import grey_of
from edgetest.photo.side.edge_outline import blade_mask, evenly_lit, shrink, two_levels
from edgetest.photo.side.find_kinds import (
    CHIP,
    DUST,
    FOLD_WORDS,
    GLINT_WORDS,
    ROLL,
    ROLL_WORDS,
    UNSURE,
)
from edgetest.photo.side.other_subject import is_a_ruling, is_an_edge, other_bodies
from edgetest.photo.side.trace import find_traces

PARTING = 0.77  # share of the grey values' variance that two levels explain in a silhouette
EVEN_PARTING = 0.92  # of it, once a slope of the light is taken out
CLEAN_PARTING = 0.97  # from which on no unevenness is looked for
SECOND_REGION = 0.35  # second largest dark region over the largest
SMALLEST_PX = 48
WHOLE = 0.95  # share of the edge in the picture from which on it is said to be measured whole
LEAST_SNR = 5.0  # ground less blade, in spreads of the noise: below it no chip of 5 px is sure
SOFT_PX = 3.5  # a notch of 10 px behind more blur shows less than half of its depth
UNSURE_DOUBTS = {GLINT_WORDS: "glint_or_chip", ROLL_WORDS: "speck_or_roll", FOLD_WORDS: "folded"}
LIKE_A_RULING = ("no_contrast", "not_a_silhouette", "bright_blade_untold", "no_edge")


@dataclass(frozen=True)
class ProfileMeasurement:
    """Damage of an edge seen from the side. Positions run from the left (or top) end.

    Arrays are for the overlay: `contour_rc` the outline and `reference_rc` the smooth line
    (row, column), `position_um` along it and `departure_um` (towards the ground positive) with
    its standard uncertainty `departure_u_um`; `sound` are the places free of damage, `valid`
    those at which the outline is the blade's without doubt.
    """

    status: str
    reasons: tuple[Doubt, ...] = ()
    edge_length_um: float | None = None
    measured_share: float | None = None
    chips: tuple[Departure, ...] = ()
    rolls: tuple[Departure, ...] = ()
    unsure: tuple[Departure, ...] = ()
    dust: tuple[Departure, ...] = ()
    blur_px: float | None = None
    snr: float | None = None
    roughness_um: float | None = None
    um_per_px: float | None = None
    scale_relative_u: float = 0.0
    doubts: tuple[Doubt, ...] = ()
    contour_rc: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)), repr=False)
    reference_rc: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)), repr=False)
    position_um: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)
    departure_um: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)
    departure_u_um: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)
    sound: np.ndarray = field(default_factory=lambda: np.zeros(0, bool), repr=False)
    valid: np.ndarray = field(default_factory=lambda: np.zeros(0, bool), repr=False)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "status": self.status,
            "reasons": [reason.to_warning() for reason in self.reasons],
            "edge_length_um": plain(self.edge_length_um),
            "measured_share": plain(self.measured_share),
            "chips": [chip.to_dict() for chip in self.chips],
            "rolls": [roll.to_dict() for roll in self.rolls],
            "unsure": [find.to_dict() for find in self.unsure],
            "dust": [find.to_dict() for find in self.dust],
            "blur_px": plain(self.blur_px),
            "snr": plain(self.snr),
            "roughness_um": plain(self.roughness_um),
            "scale": {
                "um_per_px": plain(self.um_per_px),
                "relative_u": plain(self.scale_relative_u),
            },
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a chip, roll or unsure find."""
        import pandas as pd

        rows = [find.to_dict() for find in (*self.chips, *self.rolls, *self.unsure)]
        names = list(Departure.__dataclass_fields__)
        return pd.DataFrame(rows, columns=["kind", *(name for name in names if name != "kind")])

    def summary(self):
        """What a maker reads out."""
        if self.status == "refused":
            return f"Not measured. {' '.join(reason.text for reason in self.reasons)}"
        length = f"{(self.edge_length_um or 0.0) / 1000:.2f} mm of edge"
        if self.measured_share is not None and self.measured_share < WHOLE:
            length += f", {self.measured_share:.0%} of what the picture shows"
        doubtful = f"; {_count(self.unsure, 'place')} unsure" if self.unsure else ""
        if not self.chips and not self.rolls:
            return f"{length}, no chip and no roll found{doubtful}"
        deepest = max((*self.chips, *self.rolls), key=lambda found: found.depth_um)
        return (
            f"{length}: {_count(self.chips, 'chip')}, {_count(self.rolls, 'roll')}; the deepest "
            f"{deepest.depth_um:.3g} µm at {deepest.position_um / 1000:.2f} mm{doubtful}"
        )


def _count(items, word):
    """How many, in words."""
    return f"{len(items) or 'no'} {word}{'' if len(items) == 1 else 's'}"


def _refused(code, um_per_px, more="", **rest):
    """Refusal with its reason."""
    return ProfileMeasurement("refused", (doubt(code, more),), um_per_px=um_per_px, **rest)


def measure_profile(light, um_per_px, *, scale_relative_u=0.0, blade="dark", region=None):
    """Chips and rolls along the edge of a silhouette.

    Parameters
    ----------
    light : Light
        The picture.
    um_per_px : float or None
        Scale.
    scale_relative_u : float
        Relative standard uncertainty of the scale; it goes into every length.
    blade : {"dark", "bright"}
        Which side of the outline is the blade; "dark" against a bright background.
    region : (int, int, int, int), optional
        First row, first column, end row and end column to look in.

    Returns
    -------
    ProfileMeasurement
        A picture that cannot be measured is a result with status "refused".

    Raises
    ------
    UnusableInput
        If the picture is an array, which does not say on which curve its values are stored.
    """
    grey, saturated, corner = grey_of(light), light.saturated, np.zeros(2)
    if um_per_px is None or not (np.isfinite(um_per_px) and um_per_px > 0):
        return _refused("no_scale", None)
    if region is not None:
        top, left, bottom, right = region
        grey = np.ascontiguousarray(grey[top:bottom, left:right])
        saturated = None if saturated is None else saturated[top:bottom, left:right]
        corner = np.array([top, left], dtype=float)
    if min(grey.shape) < SMALLEST_PX:
        return _refused("too_small", um_per_px)
    trace, seen, code = _followed(grey, blade)
    if trace is None:
        return _refused(code, um_per_px)
    quality = {"blur_px": trace.blur, "snr": 1 / max(trace.noise, 1e-4)}
    quality |= {"scale_relative_u": scale_relative_u}
    code = _unsound(trace, quality["snr"])
    if code is not None:
        return _refused(code, um_per_px, **quality)
    finds = _finds(trace, um_per_px, scale_relative_u)
    by_kind: dict[str, Any] = {
        field: tuple(find for find in finds if find.kind == kind)
        for kind, field in ((CHIP, "chips"), (ROLL, "rolls"), (UNSURE, "unsure"), (DUST, "dust"))
    }
    strip = trace.strip
    contour, points = (
        strip.points + offset[:, None] * strip.normals for offset in (trace.places.edge, trace.line)
    )
    return ProfileMeasurement(
        "measured",
        edge_length_um=trace.length * um_per_px,
        measured_share=trace.share,
        **by_kind,
        roughness_um=trace.spread * um_per_px,
        um_per_px=float(um_per_px),
        doubts=(
            *_doubts(trace, seen, saturated),
            *_doubts_of_blade(blade, len(by_kind["chips"]), len(by_kind["rolls"])),
            *_doubts_of_finds(finds),
        ),
        contour_rc=contour[:, ::-1] + corner,
        reference_rc=points[:, ::-1] + corner,
        position_um=(strip.arc + trace.before_px) * um_per_px,
        departure_um=(trace.places.edge - trace.line) * um_per_px,
        departure_u_um=trace.place_u * um_per_px,
        sound=trace.sound,
        valid=trace.valid,
        **quality,
    )


def _followed(grey, blade):
    """The edge's trace, the numbers of outlines and other bodies, the refusal's code where none."""
    small, factor = shrink(grey)
    mask, whole, code = _silhouette(small, blade)
    traces = find_traces(grey, mask, factor) if code is None else []
    trace = max(traces, key=lambda item: (item.damaged, item.length), default=None)
    if trace is not None and is_an_edge(trace, traces, mask, whole, factor):
        return trace, (len(traces), len(other_bodies(mask, whole))), None
    code = code or "no_edge"
    # A stage micrometer looks like many things.
    return None, (0, 0), "ruling" if code in LIKE_A_RULING and is_a_ruling(grey) else code


def _silhouette(small, blade):
    """Mask of the blade on the reduced picture, all that is on its side, and why there is none."""
    levels, threshold = two_levels(small)
    if levels is None or levels.bright < 0.01:
        return None, None, "too_dark" if small.max() < 0.02 else "no_contrast"
    contrast = levels.bright / max(levels.dark, 1e-6)
    if levels.parting < CLEAN_PARTING:  # a slim blade, or a ground that is not evenly lit?
        even, fine, cut = evenly_lit(small)
        if fine is not None and fine.parting > max(levels.parting, PARTING):
            small, threshold, contrast = even, cut, (fine.bright / max(fine.dark, 1e-3)) ** 2
            if levels.parting < PARTING and fine.parting < EVEN_PARTING:
                return None, None, "no_contrast"
        elif levels.parting < PARTING:
            return None, None, "no_contrast"
    if contrast < 1.3:
        return None, None, "no_contrast"
    mask, whole, second = blade_mask(small, threshold, bright_blade=blade == "bright")
    if second > SECOND_REGION:
        return None, None, "not_a_silhouette"
    if blade == "dark" and mask is not None and _surrounds(mask):
        return None, None, "bright_blade_untold"
    return mask, whole, None


def _surrounds(mask):
    """Whether the dark region holds all four corners and most of the border: it is the ground."""
    corners = mask[:: mask.shape[0] - 1, :: mask.shape[1] - 1]
    border = np.concatenate([mask[0], mask[-1], mask[:, 0], mask[:, -1]])
    return bool(corners.all() and border.mean() > 0.6)


def _unsound(trace, snr):
    """Code of the refusal that the outline's quality asks for, or None."""
    if trace.blur > max(8.0, 0.012 * trace.length) or trace.blur > 25:
        return "out_of_focus"
    if snr < LEAST_SNR:
        return "too_noisy"
    return (
        "no_edge" if trace.spread > 4 + 0.002 * trace.length or trace.sound.mean() < 0.3 else None
    )


def _doubts(trace, seen, saturated):
    """Doubts of the picture and of the outline that was followed."""
    outlines, bodies = seen
    if trace.blur > SOFT_PX:
        yield doubt("soft_focus", where=Where(value=float(trace.blur)))
    if outlines > 1:
        yield doubt("two_outlines")
    if bodies:
        yield doubt("second_body")
    if trace.share < WHOLE:
        yield doubt("part_of_edge", where=Where(value=trace.share), share=f"{trace.share:.0%}")
    if trace.at_border:
        yield doubt("damaged_at_border")
    if trace.at_tip:
        yield doubt("damaged_at_tip")
    if trace.spread > 1.0:
        yield doubt("rough_edge")
    if saturated is not None and _ground_saturated(trace.strip, saturated):
        yield doubt("saturated_ground")


def _doubts_of_finds(finds):
    """Doubts what the finds are."""
    dust = sum(find.kind == DUST for find in finds)
    if dust:
        yield doubt("specks_left_out", where=Where(value=dust))
    for words, code in UNSURE_DOUBTS.items():
        count = sum(find.could_be == words for find in finds)
        if count:
            yield doubt(code, where=Where(value=count), count=count)


def _doubts_of_blade(blade, chips, rolls):
    """Doubts whether blade and ground are told apart."""
    if blade == "bright":
        yield doubt("bright_blade")
    elif rolls >= max(2, 3 * chips):
        yield doubt("more_rolls_than_chips")


def _ground_saturated(strip, saturated):
    """Whether the ground just outside the edge is clipped for a good part of its length."""
    x, y = (strip.points + 8 * strip.normals).T
    inside = (x >= 0) & (x < saturated.shape[1]) & (y >= 0) & (y < saturated.shape[0])
    if not inside.any():
        return False
    return saturated[y[inside].astype(int), x[inside].astype(int)].mean() > 0.1


def _finds(trace, um_per_px, scale_relative_u):
    """Every departure with its kind."""
    return [
        _departure(size, told, trace.before_px, um_per_px, scale_relative_u)
        for size, told in zip(trace.sizes, trace.kinds, strict=True)
    ]


def _departure(size, told, before_px, um_per_px, scale_relative_u):
    """Sizes in µm with the scale's share in their uncertainty."""
    length, depth = size["length"] * um_per_px, size["depth"] * um_per_px
    area = size["area"] * um_per_px**2
    depth_u = float(np.hypot(size["depth_u"] * um_per_px, scale_relative_u * depth))
    low = depth if told.low is None else min(told.low * um_per_px, depth)
    high = depth if told.high is None else max(told.high * um_per_px, depth)
    return Departure(
        position_um=(size["centre"] + before_px) * um_per_px,
        length_um=length,
        depth_um=depth,
        area_um2=area,
        depth_u_um=depth_u,
        length_u_um=float(np.hypot(size["length_u"] * um_per_px, scale_relative_u * length)),
        area_u_um2=float(np.hypot(size["area_u"] * um_per_px**2, 2 * scale_relative_u * area)),
        depth_low_um=max(low - 1.96 * depth_u, 0.0),
        depth_high_um=high + 1.96 * depth_u,
        kind=told.kind,
        could_be=told.could_be,
    )
