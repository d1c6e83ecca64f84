"""How many full bites does a cut take? Volume of a V-shaped notch, over what one blow removes.

Closed forms: a V of full opening A, cut to the depth T across a face of width W, holds
W T² tan(A/2); through a round of diameter D it holds (pi/4) D³ tan(A/2), the section's area times
its centroid's height times 2 tan(A/2). Two notches of half the depth hold half of that.
"""

from dataclasses import dataclass
from math import exp, inf, pi, radians, tan

USUAL_DEPTH_MM = 50.0  # at which a shop's ways are told


@dataclass(frozen=True)
class Section:
    """A piece's section; `width_mm` is the face under the blow, `depth_mm` goes down from it."""

    width_mm: float
    depth_mm: float
    round: bool = False

    @property
    def area_mm2(self):
        """Area of the section, mm²."""
        return (pi / 4 if self.round else 1.0) * self.width_mm * self.depth_mm


@dataclass(frozen=True)
class Ways:
    """How a smith goes through wood.

    opening_deg : full opening of his notch in a piece 50 mm deep, degrees
    opening_growth : exponent by which the opening widens with depth; 0 keeps it
    chip_growth : exponent by which one blow's chip grows with depth
    bite_mm3 : wood that a full blow removes from a notch 50 mm deep, in wood of resistance 1
    slice_mm2 : area that a blow cuts where there is no notch yet
    ligament_mm : wood that breaks at the last blow
    turns_above_mm : depth from which he turns the piece and notches it from both faces
    """

    opening_deg: float = 60.0
    opening_growth: float = 0.0
    chip_growth: float = 0.3
    bite_mm3: float = 7000.0
    slice_mm2: float = 480.0
    ligament_mm: float = 3.0
    turns_above_mm: float = inf

    def opening_at(self, depth_mm):
        """Full opening of the notch in a piece of this depth, degrees."""
        wide = self.opening_deg * (depth_mm / USUAL_DEPTH_MM) ** self.opening_growth
        return min(max(wide, 25.0), 100.0)


def notch_mm3(section, opening_deg, depth_mm):
    """Volume of a V notch from one face down to `depth_mm`, mm³."""
    lean = tan(radians(opening_deg) / 2)
    if not section.round:
        return section.width_mm * depth_mm**2 * lean
    # A notch through a round, its point at the far side; scaled where the last wood breaks.
    return pi / 4 * section.width_mm**3 * lean * (depth_mm / section.depth_mm) ** 2


def bites(section, ways):
    """Full bites that sever the section in wood of resistance 1, by the cheaper of both ways."""
    slicing = section.area_mm2 / ways.slice_mm2 * exp(section.depth_mm / 30.0)
    faces = 2 if section.depth_mm > ways.turns_above_mm else 1
    each = section.depth_mm / faces
    deep = max(each - ways.ligament_mm / faces, 0.3 * each)
    opening = ways.opening_at(each)
    if section.round and faces == 2:
        # Either half: its area times its centroid's height above the middle, 2 D / (3 pi).
        volume = 2 * tan(radians(opening) / 2) * section.area_mm2
        volume *= 2 * section.width_mm / (3 * pi) * (deep / each) ** 2
    else:
        volume = faces * notch_mm3(section, opening, deep)
    chip = ways.bite_mm3 * (each / USUAL_DEPTH_MM) ** ways.chip_growth
    return min(slicing, volume / chip + 0.5 * faces)
