"""What a study yields: readings in use, photographs measured, curves, the comparison."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgetest.doubts import doubt
from edgetest.estimate import format_estimate, plain
from edgetest.photo.apex.apex_result import ApexMeasurement
from edgetest.store.logs import Log
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.wear.group_titles import titled_comparison, titles_of
from edgetest.study.wear.other_levels import AtLevel
from edgetest.study.words import counted, were
from edgetest.wear.compare.angle_share import AngleShare
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.thickness_share import ThicknessShare
from edgetest.wear.curve.curve_result import StudyFit
from edgetest.wear.curve.law_choice import LawScore

FALLING = ("card_mm", "depth_mm")  # readings that fall as the edge dulls


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

    def summary(self):
        """The measurement as a maker reads it."""
        if not self.measured:
            return "not measured. " + " ".join(reason["text"] for reason in self.numbers["reasons"])
        width, below = self.numbers["width_um"], self.numbers["below_um"]
        if width is None:
            return f"edge width below {below:.3g} µm"
        words = f"edge width {format_estimate(width['mean'], width['low'], width['high'])} µm"
        chips = len(self.numbers["chips"])
        return words + (f", {chips} chip{'s' if chips > 1 else ''}" if chips else "")

    def to_dict(self):
        """The JSON contract of `edgetest measure`."""
        corrected = {} if self.automatic is None else {"automatic": self.automatic}
        return {
            "photo": self.photo,
            **self.numbers,
            "seconds": round(self.seconds, 4),
            **corrected,
        }


@dataclass(frozen=True)
class UsedReading:
    """One reading of the log as the fit meets it, with what was typed and what was measured."""

    blade: str
    heat_treatment: str
    cuts: float
    station: str
    value: float
    lower: float
    upper: float
    relative_u: float
    source: str
    line: int
    run: str
    block: str = ""
    photo: str = ""
    typed: float | None = None
    measured: float | None = None
    excluded: bool = False
    reason: str = ""


@dataclass(frozen=True)
class StudyResult:
    """Everything that one study says about one reading."""

    study: Study | None
    protocol: Protocol | None
    log: Log
    reading: str
    limit: float
    photos: tuple[PhotoResult, ...]
    readings: tuple[UsedReading, ...]
    fit: StudyFit
    comparison: Comparison | None
    warnings: tuple[dict, ...] = ()
    title: str = ""
    levels: tuple[AtLevel, ...] = ()
    angles: AngleShare | None = None
    thickness: ThicknessShare | None = None
    laws: tuple[LawScore, ...] = ()

    def to_dict(self):
        """Plain values: the curves, the comparison and the doubts."""
        return {
            "title": self.title,
            "protocol": self.protocol.id if self.protocol else None,
            "reading": self.reading,
            "limit": plain(self.limit),
            "blades": [blade.to_dict() for blade in self.fit.blades],
            "power": self.fit.power.to_dict() if self.fit.power else None,
            "comparison": self.comparison.to_dict() if self.comparison else None,
            "levels": [level.to_dict() for level in self.levels],
            "angles": self.angles.to_dict() if self.angles else None,
            "thickness": self.thickness.to_dict() if self.thickness else None,
            "laws": [law.to_dict() for law in self.laws],
            "warnings": list(self.warnings),
        }

    def treatments(self):
        """Heat treatment of every fitted run, in the order of the fit; "control" for that."""
        control = self.study.control if self.study else None
        of_run = {
            each.run: "control" if control and each.blade == control else each.heat_treatment
            for each in self.readings
        }
        return [of_run[fit.blade] for fit in self.fit.blades]

    def summary(self):
        """The answer as a maker reads it out."""
        if self.comparison is None:
            return " ".join(warning["text"] for warning in self.warnings)
        return titled_comparison(self.comparison, titles_of(self.study)).summary()

    def words(self):
        """The answer, the same ratio at other levels, and the doubts."""
        lines = [self.summary()]
        if self.levels:
            lines.append("At other levels, " + "; ".join(each.summary() for each in self.levels))
        if self.comparison is not None:
            doubts = [*self.comparison.to_dict()["warnings"], *self.warnings]
            lines += [warning["text"] for warning in doubts]
        return "\n".join(lines)


def warn(code, **words):
    """A warning of the study with its sentence filled in; a `count` is said in words."""
    count = words.get("count")
    if count is not None:
        words["photographs"] = counted(count, "photograph")
        words["readings"] = were(count, "reading")
    return doubt(code, **words).to_warning()


def dulling(protocol, reading):
    """+1 where a reading rises as the edge dulls, -1 where it falls."""
    for rule in protocol.readings if protocol else ():
        if rule.name == reading:
            return 1 if rule.dulling == "rises" else -1
    return -1 if reading in FALLING else 1
