"""One photograph's measurement or refusal, as a study keeps it."""

from __future__ import annotations

import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from edgetest.doubts import Doubt, Where, doubt, joined
from edgetest.estimate import format_estimate
from edgetest.photo.apex.apex_light import ApexForms, Lighting, line_words
from edgetest.photo.apex.apex_result import damage_words
from edgetest.study.photos.lamp_numbers import lamp_words, limit_of

if TYPE_CHECKING:  # a log without photographs is read without their numerical room
    from edgetest.photo.apex.apex_result import ApexMeasurement


def doubts_told(numbers, photo) -> tuple[Doubt, ...]:
    """The doubts in a measurement's plain values, the reasons of a refusal first among them."""
    here = Where(file=photo)
    reasons = [Doubt(one["code"], one["text"], "decides", here) for one in numbers["reasons"]]
    return joined(reasons, [Doubt.from_dict(one) for one in numbers["doubts"]])


def fault_of_one(fault, photo) -> Doubt:
    """The reason to refuse one photograph that ended in a fault: its file's, or the program's."""
    if isinstance(fault, OSError):
        more = f"({fault.strerror or fault})"
        return doubt("unreadable_file", more, where=Where(file=photo))
    place = traceback.extract_tb(fault.__traceback__)[-1]
    more = f"({type(fault).__name__} in {Path(place.filename).name}, line {place.lineno})"
    return doubt("program_fault", more, where=Where(file=photo))


def wants_scale(numbers):
    """Whether the plain values are a refusal for want of a scale alone."""
    return [reason["code"] for reason in numbers["reasons"]] == ["no_scale"]


@dataclass(frozen=True)
class PhotoResult:
    """One photograph's measurement or refusal, and where on which blade it was taken.

    `numbers` is the measurement as plain values (the JSON contract); where a person has
    corrected it, `automatic` are those without the correction. `measurement`
    holds the arrays for an overlay and is None where a batch left them behind
    (`edgetest.study.photos.measure_photos.with_arrays` brings them back).
    """

    photo: str
    path: Path
    numbers: dict
    sha256: str
    seconds: float
    task: Any = None
    measurement: ApexMeasurement | None = None
    automatic: dict | None = None
    blade: str | None = None
    cuts: float | None = None
    station_mm: float | None = None

    @property
    def measured(self):
        """Whether the photograph gave a width or an upper bound of it."""
        return self.numbers["status"] == "measured"

    @property
    def wants_scale(self):
        """Whether nothing but its scale is missing: no other photograph would mend that."""
        return wants_scale(self.numbers)

    @property
    def doubts(self):
        """What speaks against the measurement, the reasons of a refusal among it."""
        return doubts_told(self.numbers, self.photo)

    @property
    def between_lamps(self):
        """Whether it was taken between two lamps, to be measured as a crest."""
        return getattr(self.task, "lamps", None) is not None

    @property
    def scale_u(self):
        """Relative uncertainty that pictures of one set-up share: of scale, or needle and form.

        0 where it has none or it is not known.
        """
        if self.numbers["crest"] is not None:
            return self.numbers["crest"]["shared_u"] or 0.0
        return (self.numbers["scale"] or {}).get("relative_u") or 0.0

    def summary(self):
        """The measurement as a maker reads it."""
        if not self.measured:
            return "not measured. " + " ".join(reason["text"] for reason in self.numbers["reasons"])
        if self.numbers["crest"] is not None:
            return lamp_words(self.numbers)
        width, below = self.numbers["width_um"], self.numbers["below_um"]
        if width is None:
            return self._line(f"below {below:.3g} µm")
        words = f"{format_estimate(width['mean'], width['low'], width['high'])} µm"
        damage = damage_words(self.numbers["chips"])
        return self._line(f"{words}; {damage}" if damage else words)

    def _line(self, words):
        """The bright line with what it may be in the hand."""
        apex, light = self.numbers["apex"], Lighting(**self.numbers["light"])
        return line_words(words, ApexForms(**apex) if apex else None, light)

    def to_row(self):
        """One row of a table: place, width with its interval (µm), what speaks against it."""
        width, facing = self.numbers["width_um"] or {}, self.numbers["w30_um"] or {}
        return {
            "photo": self.photo,
            "blade": self.blade,
            "cuts": self.cuts,
            "station_mm": self.station_mm,
            "status": self.numbers["status"],
            "edge_width_um": width.get("mean"),
            "low": width.get("low"),
            "high": width.get("high"),
            "below_um": self.numbers["below_um"],
            "light": self.numbers["light"]["direction"],
            "w30_um": facing.get("value"),
            "w30_low_um": facing.get("low"),
            "w30_high_um": facing.get("high"),
            "w30_limit": limit_of(self.numbers["w30_um"]),
            "doubts": " ".join(one.code for one in self.doubts),
        }

    def to_dict(self):
        """The JSON contract of `edgetest measure`."""
        corrected = {} if self.automatic is None else {"automatic": self.automatic}
        return {
            "photo": self.photo,
            **self.numbers,
            "seconds": round(self.seconds, 4),
            **corrected,
        }
