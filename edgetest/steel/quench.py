"""What the quench says: carbon that fits the hardness, and how deep the steel hardens."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.steel.hardness import NOTICEABLE_HRC, HardnessResult
from edgetest.steel.steel_doubts import reason

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
    warnings: tuple[str, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "low_pct": plain(self.low_pct),
            "high_pct": plain(self.high_pct),
            "martensite": list(self.martensite) if self.martensite else None,
            "level": self.level,
            "warnings": [reason(code) for code in self.warnings],
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
    full, lower = as_quenched_hrc(_CARBON, most), as_quenched_hrc(_CARBON, least)
    if high_hrc < full[0] and (martensite is None or high_hrc < lower[0]):
        return CarbonRange(None, None, martensite, level, ("not_hardened",))
    warnings = []
    low_pct = float(np.interp(low_hrc, full, _CARBON)) if low_hrc > full[0] else None
    if low_hrc > full[-1]:
        warnings.append("harder_than_martensite")
    high_pct = None
    if martensite is not None and high_hrc < lower[-1]:
        high_pct = float(np.interp(high_hrc, lower, _CARBON))
    if high_pct is None:
        warnings.append("no_upper_carbon")
    return CarbonRange(low_pct, high_pct, martensite, level, tuple(warnings))


@dataclass(frozen=True)
class QuenchResponse:
    """How the steel answers to water, oil and air."""

    hardens_in: str  # "air", "oil", "water", "none" or "unclear"
    hard_hrc: float
    probability_hard: dict[str, float]  # by medium, that the hardness reaches hard_hrc
    carbon: CarbonRange | None
    contradictions: tuple[str, ...]
    warnings: tuple[str, ...]
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
            "contradictions": [reason(code) for code in self.contradictions],
            "warnings": [reason(code) for code in self.warnings],
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


_MEDIA = ("air", "oil", "water")  # slowest first


def quench_response(
    *,
    water: HardnessResult | None = None,
    oil: HardnessResult | None = None,
    air: HardnessResult | None = None,
    tempered: HardnessResult | None = None,
    carbon_pct=None,
    carbon_u_pct=0.02,
    coupon_mm=None,
    section_mm=None,
    martensite=None,
    hard_hrc=HARD_HRC,
    sure=0.8,
):
    """Read the quench ladder: what it hardens in, what carbon fits, what contradicts.

    A faster quench hardens at least as far as a slower one, a temper does not harden, and
    martensite of a stated carbon has a greatest hardness; evidence against any of these is
    a contradiction. Section and severity are weighed in words: the numbers hold for the
    coupon's thickness.

    Parameters
    ----------
    water, oil, air : HardnessResult or None
        As-quenched hardness after each medium.
    tempered : HardnessResult or None
        Hardness after the temper, to be set against the as-quenched.
    carbon_pct, carbon_u_pct : float or None, float
        Carbon by a laboratory and its standard uncertainty, %.
    coupon_mm, section_mm : float or None
        Thickness of the coupon and of the blade section meant, mm.
    martensite : tuple of float or None
        Fraction of martensite believed in the hardest result (see `carbon_range`).
    hard_hrc : float
        As-quenched hardness counted as hard.
    sure : float
        Probability from which a result is called hard, and below 1 minus it soft.

    Returns
    -------
    QuenchResponse

    Raises
    ------
    UnusableInput
        If no quench is given.
    """
    given = {m: r for m, r in zip(_MEDIA, (air, oil, water), strict=True) if r is not None}
    if not given:
        raise UnusableInput("no as-quenched hardness", "quench", "quench a coupon and file it")
    hard = {m: r.probability_in_range(hard_hrc) for m, r in given.items()}
    hardens_in, warnings = _classify(given, hard, sure)
    contradictions, details = _contradictions(given, tempered, carbon_pct, carbon_u_pct)
    hardest = max(given.values(), key=lambda r: r.moments()[0])
    carbon = None if contradictions else carbon_range(hardest, martensite=martensite)
    if coupon_mm is not None and section_mm is not None and section_mm > coupon_mm:
        warnings.append("thick_section")
    thinner = coupon_mm is not None and section_mm is not None and section_mm < coupon_mm
    if thinner and "shallow_hardening" in warnings:
        warnings.append("thin_edge")
    if any("pieces_differ" in r.warnings for r in given.values()):
        warnings.append("pieces_differ")
    return QuenchResponse(
        hardens_in, hard_hrc, hard, carbon, contradictions, tuple(warnings), details
    )


def _classify(given, hard, sure):
    """The slowest medium that surely hardens, and the codes that go with it."""
    shallow = ["shallow_hardening"] if _shallow(given, sure) else []
    for medium in _MEDIA:  # slowest first
        if hard.get(medium, 0.0) >= sure:
            return medium, shallow if medium == "water" else [f"{medium}_hardening"]
    if hard.get("water", 1.0) <= 1 - sure:
        tough = given["water"].probability_in_range(SOFT_HRC) >= sure
        return "none", ["tool_hardness" if tough else "does_not_harden", *shallow]
    return "unclear", ["quench_unclear", *shallow]


def _shallow(given, sure):
    """Whether water hardens past what is soft and oil stays clearly behind it."""
    if "water" not in given or "oil" not in given:
        return False
    gap, u = _difference(given["water"], given["oil"])
    water = given["water"].probability_in_range(SOFT_HRC)
    return water >= sure and gap > max(NOTICEABLE_HRC, 2 * u)


def _difference(first, second):
    """Mean difference (HRC) between two results and its standard uncertainty."""
    (m1, s1), (m2, s2) = first.moments(), second.moments()
    return m1 - m2, float(np.hypot(s1, s2))


def _contradictions(given, tempered, carbon_pct, carbon_u_pct):
    """Codes of the contradictions and the numbers behind each."""
    codes, details = [], []
    media = [m for m in _MEDIA if m in given]
    for i, slow in enumerate(media):
        for fast in media[i + 1 :]:
            gap, u = _difference(given[slow], given[fast])
            if gap > max(NOTICEABLE_HRC, 2 * u):
                codes.append("quench_contradiction")
                details.append(f"{slow} gave {gap:.0f} HRC more than {fast}")
    hardest = max(given.values(), key=lambda r: r.moments()[0])
    if tempered is not None:
        gap, u = _difference(tempered, hardest)
        if gap > max(NOTICEABLE_HRC, 2 * u):
            codes.append("temper_contradiction")
            details.append(f"tempered {gap:.0f} HRC above the hardest quench")
    if carbon_pct is not None:
        mean, sd = hardest.moments()
        ceiling = as_quenched_hrc(carbon_pct)
        slope = (
            as_quenched_hrc(carbon_pct + 0.01) - as_quenched_hrc(max(carbon_pct - 0.01, 0.0))
        ) / 0.02
        u = float(np.hypot(np.hypot(sd, RELATION_SD_HRC), slope * carbon_u_pct))
        if mean - ceiling > 2 * u:
            codes.append("carbon_contradiction")
            details.append(
                f"{mean:.0f} HRC where {carbon_pct:.2f} % carbon gives {ceiling:.0f} at most"
            )
    return tuple(dict.fromkeys(codes)), tuple(details)
