"""How much wood does the notch through a piece take: how wide is the face, how deep does it go?

A V-shaped notch of width b, depth d and opening a holds b d² tan(a/2) of wood. A round piece
counts by its mean chord, π D/4: its notch holds π D³/4 tan(a/2), as that of a piece so wide and
D deep (area times the distance of its centre, exactly).
"""

from dataclasses import dataclass, replace
from math import log, pi
from statistics import fmean

from edgetest.chop.billet_size import cross_section_cm2
from edgetest.estimate import json_fields

SQUARE = 1.05  # sides that differ by less are a square's: it does not matter how it lies
FLAT, ON_EDGE = "flat", "on edge"


def _tenths(side_mm):
    """A side as a rule reads it, to 0.1 mm."""
    return f"{round(side_mm, 1):g}"


@dataclass(frozen=True)
class PieceSection:
    """Cross-section of a piece and how it lay: width and thickness, or a diameter, mm.

    `orientation` is "flat" (the wide face takes the blow), "on edge" (the narrow one), or ""
    where it is not noted or does not matter.
    """

    width_mm: float | None = None
    thickness_mm: float | None = None
    diameter_mm: float | None = None
    orientation: str = ""

    @property
    def area_cm2(self):
        """Cross-section, cm²."""
        return cross_section_cm2(
            width_mm=self.width_mm, thickness_mm=self.thickness_mm, diameter_mm=self.diameter_mm
        )

    @property
    def sides(self):
        """The wide and the narrow side, mm; of a round piece its mean chord and diameter."""
        if self.diameter_mm is not None:
            return pi * self.diameter_mm / 4, self.diameter_mm
        assert self.width_mm is not None
        assert self.thickness_mm is not None
        return max(self.width_mm, self.thickness_mm), min(self.width_mm, self.thickness_mm)

    @property
    def lies(self):
        """How it lay, where that matters: "flat", "on edge" or "not noted"; else ""."""
        wide, narrow = self.sides
        if self.diameter_mm is not None or wide / narrow < SQUARE:
            return ""
        return self.orientation or "not noted"

    @property
    def log_face_depth(self):
        """Logs of the face's width and of the depth, mm; midway where it is not noted which."""
        wide, narrow = self.sides
        if self.lies == "not noted":
            middle = log(wide * narrow) / 2
            return middle, middle
        if self.lies == ON_EDGE:
            return log(narrow), log(wide)
        return log(wide), log(narrow)

    @property
    def either_way(self):
        """Half the log ratio of the sides where it is not noted how the piece lay, else 0."""
        wide, narrow = self.sides
        return log(wide / narrow) / 2 if self.lies == "not noted" else 0.0

    def like(self, other, factor):
        """Whether two pieces are of one shape, one way up, and of one size within a factor."""
        if (self.diameter_mm is None) != (other.diameter_mm is None) or self.lies != other.lies:
            return False
        pairs = zip(self.sides, other.sides, strict=True)
        return all(abs(log(mine / theirs)) <= log(factor) for mine, theirs in pairs)

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)

    def summary(self):
        """The section in words: 90 by 45 mm, flat."""
        return self.size_words() + (f", {self.lies}" if self.lies in (FLAT, ON_EDGE) else "")

    def size_words(self):
        """Its size alone."""
        if self.diameter_mm is not None:
            return f"round, {_tenths(self.diameter_mm)} mm"
        return f"{_tenths(self.width_mm)} mm by {_tenths(self.thickness_mm)} mm"


def mean_section(sections):
    """The section that pieces of one size have on average.

    Parameters
    ----------
    sections : sequence of PieceSection
        Alike by `PieceSection.like`. Where some have the two sides the other way round, all are
        turned as most have them: how a piece lay says which side took the blow.

    Returns
    -------
    PieceSection
    """
    first = sections[0]
    if first.diameter_mm is not None:
        return replace(first, diameter_mm=fmean(each.diameter_mm for each in sections))
    typed = [(each.width_mm, each.thickness_mm) for each in sections]
    wide_first = [width > thickness for width, thickness in typed]
    if first.lies and len(set(wide_first)) > 1:
        most = 2 * sum(wide_first) + wide_first[0] > len(typed)  # of a tie as the first one
        typed = [(max(p), min(p)) if most else (min(p), max(p)) for p in typed]
    width, thickness = (fmean(each) for each in zip(*typed, strict=True))
    return replace(first, width_mm=width, thickness_mm=thickness)
