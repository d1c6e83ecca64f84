"""What the quench says: carbon that fits the hardness, and how deep the steel hardens."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of, each_once, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.steel.hardness import NOTICEABLE_HRC, HardnessResult

# ASTM A255 polynomials of as-quenched hardness (HRC) in % C, 100 % and 50 % martensite
# (coefficients read in a public implementation naming A255; which is which from memory).
_FULL = np.polynomial.Polynomial([35.395, 6.990, 312.330, -821.744, 1015.479, -538.346])
_HALF = np.polynomial.Polynomial([22.974, 6.214, 356.364, -1091.488, 1464.880, -750.441])
LOWEST_CARBON_PCT = 0.10
HIGHEST_CARBON_PCT = 0.665  # where the full-martensite polynomial turns over, 65.1 HRC
RELATION_SD_HRC = 1.5  # spread of steels about the relation; from memory, no source
_CARBON = np.linspace(LOWEST_CARBON_PCT, HIGHEST_CARBON_PCT, 1131)

HARD_HRC = 58.0  # as quenched: a knife edge from here, a tough tool from 50; common practice
SOFT_HRC = 50.0
SURE = 0.8  # from here a result is called hard, below 1 minus it soft; our choice, no source


def as_quenched_hrc(carbon_pct, martensite=1.0):
    """Expected hardness straight from the quench.

    Parameters
    ----------
    carbon_pct : float or array_like
        Carbon, % by weight. Below 0.10 and above 0.665 the value at that end is held:
        more carbon does not harden further, and may leave soft austenite.
    martensite : float
        Fraction of martensite, 0.5 to 1; straight-line between the two published curves.

    Returns
    -------
    float or ndarray
        HRC; steels scatter about it by about `RELATION_SD_HRC`.

    Raises
    ------
    UnusableInput
        If the martensite fraction lies outside 0.5 to 1.

    References
    ----------
    .. [1] ASTM A255, as-quenched hardness of 100 % and 50 % martensite against carbon.
    """
    if not 0.5 <= martensite <= 1:
        what = f"martensite fraction {martensite:g} lies outside the relation"
        raise UnusableInput(what, "martensite", "give 0.5 to 1")
    carbon = np.clip(np.asarray(carbon_pct, dtype=float), LOWEST_CARBON_PCT, HIGHEST_CARBON_PCT)
    share = 2 * martensite - 1
    result = share * _FULL(carbon) + (1 - share) * _HALF(carbon)
    return float(result) if result.ndim == 0 else result


def carbon_for_hardness(hardness_hrc, martensite=1.0):
    """Least carbon (%) that reaches a hardness straight from the quench; the inverse relation.

    Parameters
    ----------
    hardness_hrc : float
        Wanted as-quenched hardness, HRC.
    martensite : float
        Fraction of martensite, 0.5 to 1.

    Returns
    -------
    float
        Carbon, % by weight, between 0.10 and 0.665.

    Raises
    ------
    UnusableInput
        If no carbon of the relation gives that hardness.
    """
    curve = as_quenched_hrc(_CARBON, martensite)
    if not curve[0] <= hardness_hrc <= curve[-1]:
        what = f"no carbon gives {hardness_hrc:g} HRC at {martensite:.0%} martensite"
        mend = f"the relation runs from {curve[0]:.1f} to {curve[-1]:.1f} HRC"
        raise UnusableInput(what, "hardness_hrc", mend)
    return float(np.interp(hardness_hrc, curve, _CARBON))


@dataclass(frozen=True)
class CarbonRange:
    """Carbon consistent with an as-quenched hardness; None where the hardness gives no bound."""

    low_pct: float | None
    high_pct: float | None
    martensite: tuple[float, float] | None
    level: float
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "low_pct": plain(self.low_pct),
            "high_pct": plain(self.high_pct),
            "martensite": list(self.martensite) if self.martensite else None,
            "level": self.level,
            **told(self.doubts),
        }

    def summary(self):
        """The range as a maker reads it out."""
        if self.low_pct is None and self.high_pct is None:
            return "The hardness says nothing about carbon."
        if self.high_pct is None:
            return f"Carbon of at least {self.low_pct:.2f} % fits the hardness."
        if self.low_pct is None:
            return f"Carbon of at most {self.high_pct:.2f} % fits the hardness."
        return f"Carbon between {self.low_pct:.2f} and {self.high_pct:.2f} % fits the hardness."


def carbon_range(hardness: HardnessResult, *, martensite=None, piece=None, level=0.95):
    """Carbon that fits an as-quenched hardness at a stated martensite fraction.

    Not a distribution: the set of carbon contents whose expected hardness agrees with the
    readings within their interval and the scatter of the relation. The least carbon assumes
    the highest martensite fraction; the most carbon assumes the lowest, and is given only
    where a fraction is stated: hardness alone cannot tell low carbon from poor hardening.

    Parameters
    ----------
    hardness : HardnessResult
        As-quenched hardness.
    martensite : tuple of float or None
        Least and greatest fraction of martensite believed, between 0.5 and 1; None when
        nothing is known (then only a least carbon results).
    piece : str or None
        Which piece; the headline of the result where left out.
    level : float
        Coverage of the hardness interval widened by the relation's scatter.

    Returns
    -------
    CarbonRange

    Raises
    ------
    UnusableInput
        If the fraction lies outside 0.5 to 1, or the piece is unknown.

    References
    ----------
    .. [1] ASTM A255; see `as_quenched_hrc`.
    """
    from scipy.special import ndtri

    least, most = martensite if martensite is not None else (1.0, 1.0)
    density = hardness.density(piece)
    reach = float(ndtri(0.5 + level / 2))
    mean = float(density @ hardness.grid_hrc)
    sd = np.sqrt(density @ (hardness.grid_hrc - mean) ** 2 + RELATION_SD_HRC**2)
    low_hrc, high_hrc = mean - reach * sd, mean + reach * sd
    met = Where(value=mean)
    full, lower = as_quenched_hrc(_CARBON, most), as_quenched_hrc(_CARBON, least)
    if high_hrc < full[0] and (martensite is None or high_hrc < lower[0]):
        return CarbonRange(None, None, martensite, level, (doubt("not_hardened", where=met),))
    open_ends = []
    low_pct = float(np.interp(low_hrc, full, _CARBON)) if low_hrc > full[0] else None
    if low_hrc > full[-1]:
        open_ends.append("harder_than_martensite")
    high_pct = None
    if martensite is not None and high_hrc < lower[-1]:
        high_pct = float(np.interp(high_hrc, lower, _CARBON))
    if high_pct is None:
        open_ends.append("no_upper_carbon")
    return CarbonRange(low_pct, high_pct, martensite, level, doubts_of(open_ends, where=met))


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
    doubts = [*doubts_of(codes, where=where)]
    if coupon_mm is not None and section_mm is not None:
        if section_mm > coupon_mm:
            doubts.append(doubt("thick_section", where=Where(value=section_mm)))
        elif section_mm < coupon_mm and "shallow_hardening" in codes:
            doubts.append(doubt("thin_edge", where=Where(value=section_mm)))
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
        (*doubts, *differ),
        tuple(detail for _, detail in contradictions),
    )


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
