"""What an apex-view photograph says about the edge, as plain result objects."""

from dataclasses import dataclass, field

import numpy as np

from edgetest.doubts import Doubt, told
from edgetest.estimate import format_estimate, plain
from edgetest.photo.apex.apex_light import (
    NOT_NOTED,
    ApexForms,
    FacingWidth,
    Lighting,
    line_words,
)


@dataclass(frozen=True)
class WidthSummary:
    """Edge width over the measured length, µm; `low` and `high` bound its mean at 95 %."""

    mean: float
    low: float
    high: float
    sd_along_edge: float
    p05: float
    p50: float
    p95: float

    def to_dict(self):
        """Plain values for JSON."""
        keys = ("mean", "low", "high", "sd_along_edge", "p05", "p50", "p95")
        return {key: plain(getattr(self, key)) for key in keys}


SEVERAL = {"notch": "notches", "lip": "lips", "roll": "rolls"}


@dataclass(frozen=True)
class Chip:
    """Damage of the land: where along the edge, how long, how deep (µm, all positive).

    `kind` is "notch" (into the land), "lip" (outward) or "roll" (both sides moved together, the
    width unchanged). `side` is -1 for the left side of the path (upper, for a level edge) and +1
    for the right one; of a roll, the side towards which the land moved. `length_u_um` and
    `depth_u_um` are standard uncertainties.
    """

    position_um: float
    length_um: float
    depth_um: float
    length_u_um: float = 0.0
    depth_u_um: float = 0.0
    side: int = 1
    kind: str = "lip"

    def to_dict(self):
        """Plain values for JSON."""
        keys = ("position_um", "length_um", "depth_um", "length_u_um", "depth_u_um")
        sizes = {key: plain(getattr(self, key)) for key in keys}
        return {**sizes, "kind": self.kind, "side": self.side}


def damage_words(chips):
    """Damage in words: "2 notches, 1 lip, deepest 12 µm"; "" where there is none.

    Parameters
    ----------
    chips : sequence of dict
        As `Chip.to_dict` gives them.
    """
    if not chips:
        return ""
    kinds = [chip["kind"] for chip in chips]
    counts = [
        f"{kinds.count(kind)} {kind if kinds.count(kind) == 1 else several}"
        for kind, several in SEVERAL.items()
        if kind in kinds
    ]
    return f"{', '.join(counts)}, deepest {max(chip['depth_um'] for chip in chips):.3g} µm"


def _empty():
    return np.empty((0, 2))


@dataclass(frozen=True)
class ApexMeasurement:
    """Measured width of an edge, or the reasons why there is none.

    Attributes
    ----------
    status : {"measured", "refused"}
    width_um : WidthSummary or None
        None where refused, and where only an upper limit is known.
    below_um : float or None
        The width is below this (95 %): a reading censored at the resolution.
    width_u_um : float or None
        Standard uncertainty of the mean without the share of the scale.
    centre_rc, left_rc, right_rc : ndarray, shape (n, 2)
        Middle and fitted sides (row, column) in pixels of the photograph.
    used : ndarray of bool, shape (n,)
        Places that count towards the width.
    width_px, position_um : ndarray, shape (n,)
        Width at every place and its distance along the edge from the picture's border.
    light : Lighting
        As the set-up declares it; `w30_um` and `apex` are None where it does not.
    w30_um : FacingWidth or None
        Distance between the two lines where the surface leans 30° from facing the lens.
    apex : ApexForms or None
        The flat, and the round crests, that show the same bright line.
    """

    status: str
    reasons: tuple[Doubt, ...] = ()
    width_um: WidthSummary | None = None
    below_um: float | None = None
    measured_length_um: float | None = None
    share_measured: float | None = None
    blur_px: float | None = None
    snr: float | None = None
    um_per_px: float | None = None
    scale_relative_u: float = 0.0
    width_u_um: float | None = None
    chips: tuple[Chip, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    light: Lighting = NOT_NOTED
    w30_um: FacingWidth | None = None
    apex: ApexForms | None = None
    centre_rc: np.ndarray = field(default_factory=_empty, repr=False)
    left_rc: np.ndarray = field(default_factory=_empty, repr=False)
    right_rc: np.ndarray = field(default_factory=_empty, repr=False)
    used: np.ndarray = field(default_factory=lambda: np.empty(0, dtype=bool), repr=False)
    width_px: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    position_um: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)

    def to_dict(self):
        """Plain values for JSON, without the arrays of the overlay."""
        return {
            "status": self.status,
            "reasons": [reason.to_warning() for reason in self.reasons],
            "width_um": self.width_um.to_dict() if self.width_um else None,
            "width_u_um": plain(self.width_u_um),
            "below_um": plain(self.below_um),
            "light": self.light.to_dict(),
            "w30_um": self.w30_um.to_dict() if self.w30_um else None,
            "apex": self.apex.to_dict() if self.apex else None,
            "crest": None,  # two lamps show that
            "measured_length_um": plain(self.measured_length_um),
            "share_measured": plain(self.share_measured),
            "blur_px": plain(self.blur_px),
            "snr": plain(self.snr),
            "scale": {
                "um_per_px": plain(self.um_per_px),
                "relative_u": plain(self.scale_relative_u),
            },
            "chips": [chip.to_dict() for chip in self.chips],
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a place along the edge: position_um, width_um, used."""
        import pandas as pd

        scale = self.um_per_px if self.um_per_px else np.nan
        return pd.DataFrame(
            {
                "position_um": self.position_um,
                "width_um": self.width_px * scale,
                "used": self.used,
            }
        )

    def summary(self):
        """The measurement as a maker reads it out."""
        if self.status == "refused":
            return f"not measured: {self.reasons[0].text}"
        if self.width_um is None:
            return line_words(f"below {self.below_um:.3g} µm", self.apex, self.light)
        width = self.width_um
        said = f"{format_estimate(width.mean, width.low, width.high)} µm"
        said += f" over {(self.measured_length_um or 0) / 1000:.2f} mm"
        damage = damage_words([chip.to_dict() for chip in self.chips])
        said += f"; {damage}" if damage else ""
        return line_words(said, self.apex, self.light)


def refused(reason, *, um_per_px=None, scale_relative_u=0.0):
    """A photograph that is not measured, and why."""
    return ApexMeasurement(
        "refused", (reason,), um_per_px=um_per_px, scale_relative_u=scale_relative_u
    )
