"""What the quench ladder says: how fast a quench the steel needs, and what contradicts."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of, each_once, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.steel.hardness import NOTICEABLE_HRC, HardnessResult
from edgetest.steel.martensite import RELATION_SD_HRC, CarbonRange, as_quenched_hrc, carbon_range
from edgetest.steel.usual_pack import HARD_HRC

SOFT_HRC = 50.0
SURE = 0.8  # from here a result is called hard, below 1 minus it soft; our choice, no source


@dataclass(frozen=True)
class QuenchResponse:
    """How the steel answers to water, oil and air."""

    hardens_in: str  # "air", "oil", "water", "none" or "unclear"
    hard_hrc: float
    probability_hard: dict[str, float]  # by medium, that the hardness reaches hard_hrc
    carbon: CarbonRange | None
    contradictions: tuple[Doubt, ...]
    doubts: tuple[Doubt, ...]
    details: tuple[str, ...] = ()

    @property
    def contradictory(self):
        """Whether the evidence contradicts itself, so that nothing should rest on it."""
        return bool(self.contradictions)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "hardens_in": self.hardens_in,
            "hard_hrc": self.hard_hrc,
            "probability_hard": {m: plain(p) for m, p in self.probability_hard.items()},
            "carbon": self.carbon.to_dict() if self.carbon else None,
            "contradictions": [one.to_warning() for one in self.contradictions],
            **told(self.doubts),
            "details": list(self.details),
        }

    def summary(self):
        """The response as a maker reads it out."""
        said = {
            "air": "Hardens in still air.",
            "oil": "Hardens in oil.",
            "water": "Hardens in water only."
            if {"oil", "air"} & set(self.probability_hard)
            else "Hardens in water; slower quenches were not tried.",
            "none": f"Stays below {self.hard_hrc:g} HRC in every quench tried.",
            "unclear": f"Too near {self.hard_hrc:g} HRC to call.",
        }[self.hardens_in]
        if self.contradictions:
            said = "The quench results contradict each other: repeat them before relying on any."
        return f"{said} {self.carbon.summary()}" if self.carbon else said


MEDIA = ("air", "oil", "water")  # slowest first


def quench_response(
    quenched: Mapping[str, HardnessResult],
    *,
    tempered: HardnessResult | None = None,
    carbon_pct=None,
    carbon_u_pct=0.02,
    coupon_mm=None,
    section_mm=None,
    martensite=None,
):
    """Read the quench ladder: what it hardens in, what carbon fits, what contradicts.

    A faster quench hardens at least as far as a slower one, a temper does not harden, and
    martensite of a stated carbon has a greatest hardness; evidence against any of these is
    a contradiction. Section and severity are weighed in words: the numbers hold for the
    coupon's thickness.

    Parameters
    ----------
    quenched : mapping of {"water", "oil", "air"} to HardnessResult
        As-quenched hardness after each medium that was tried.
    tempered : HardnessResult or None
        Hardness after the temper, to be set against the as-quenched.
    carbon_pct, carbon_u_pct : float or None, float
        Carbon by a laboratory and its standard uncertainty, %.
    coupon_mm, section_mm : float or None
        Thickness of the coupon and of the blade section meant, mm.
    martensite : tuple of float or None
        Fraction of martensite believed in the hardest result (see `carbon_range`).

    Returns
    -------
    QuenchResponse

    Raises
    ------
    UnusableInput
        If no quench is given.
    """
    given = {medium: quenched[medium] for medium in MEDIA if medium in quenched}
    if not given:
        raise UnusableInput("no as-quenched hardness", "quench", "quench a coupon and file it")
    hard = {medium: found.probability_in_range(HARD_HRC) for medium, found in given.items()}
    hardest = max(given.values(), key=lambda found: found.moments()[0])
    hardens_in, codes = _classify(given, hard)
    where = Where(value=hardest.moments()[0])
    differ = each_once(
        one for found in given.values() for one in found.doubts if one.code == "pieces_differ"
    )
    contradictions = [
        *_against_the_ladder(given),
        *_against_the_temper(hardest, tempered),
        *_against_the_analysis(hardest, carbon_pct, carbon_u_pct),
    ]
    return QuenchResponse(
        hardens_in,
        HARD_HRC,
        hard,
        None if contradictions else carbon_range(hardest, martensite=martensite),
        each_once(one for one, _ in contradictions),
        (*doubts_of(codes, where=where), *_of_section(codes, coupon_mm, section_mm), *differ),
        tuple(detail for _, detail in contradictions),
    )


def _of_section(codes, coupon_mm, section_mm):
    """What the coupon's thickness leaves open of the section meant."""
    if coupon_mm is None or section_mm is None:
        return ()
    where = Where(value=section_mm)
    if section_mm > coupon_mm:
        return (doubt("thick_section", where=where),)
    thinner = section_mm < coupon_mm and "shallow_hardening" in codes
    return (doubt("thin_edge", where=where),) if thinner else ()


def _classify(given, hard):
    """The slowest medium that surely hardens, and the codes that go with it."""
    shallow = ["shallow_hardening"] if _shallow(given) else []
    for medium in MEDIA:
        if hard.get(medium, 0.0) >= SURE:
            return medium, shallow if medium == "water" else [f"{medium}_hardening"]
    if hard.get("water", 1.0) <= 1 - SURE:
        tough = given["water"].probability_in_range(SOFT_HRC) >= SURE
        return "none", ["tool_hardness" if tough else "does_not_harden", *shallow]
    return "unclear", ["quench_unclear", *shallow]


def _shallow(given):
    """Whether water hardens past what is soft and oil stays clearly behind it."""
    if "water" not in given or "oil" not in given:
        return False
    water = given["water"].probability_in_range(SOFT_HRC)
    return water >= SURE and _clearly_harder(given["water"], given["oil"]) is not None


def _clearly_harder(first, second):
    """How far the first lies above the second (HRC); None within what the readings leave open."""
    (m1, s1), (m2, s2) = first.moments(), second.moments()
    gap = m1 - m2
    return gap if gap > max(NOTICEABLE_HRC, 2 * float(np.hypot(s1, s2))) else None


def _against_the_ladder(given):
    """A slower quench that hardened further than a faster one."""
    for slow, fast in combinations(given, 2):
        gap = _clearly_harder(given[slow], given[fast])
        if gap is not None:
            found = doubt("quench_contradiction", where=Where(value=gap))
            yield found, f"{slow} gave {gap:.0f} HRC more than {fast}"


def _against_the_temper(hardest, tempered):
    """A temper that left the steel harder than any quench."""
    gap = None if tempered is None else _clearly_harder(tempered, hardest)
    if gap is not None:
        found = doubt("temper_contradiction", where=Where(value=gap))
        yield found, f"tempered {gap:.0f} HRC above the hardest quench"


def _against_the_analysis(hardest, carbon_pct, carbon_u_pct):
    """A quench harder than martensite of the analysed carbon can be."""
    if carbon_pct is None:
        return
    mean, sd = hardest.moments()
    ceiling = as_quenched_hrc(carbon_pct)
    slope = (
        as_quenched_hrc(carbon_pct + 0.01) - as_quenched_hrc(max(carbon_pct - 0.01, 0.0))
    ) / 0.02
    u = float(np.hypot(np.hypot(sd, RELATION_SD_HRC), slope * carbon_u_pct))
    if mean - ceiling > 2 * u:
        found = doubt("carbon_contradiction", where=Where(value=mean))
        yield found, f"{mean:.0f} HRC where {carbon_pct:.2f} % carbon gives {ceiling:.0f} at most"
