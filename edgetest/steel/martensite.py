"""Carbon and as-quenched hardness: the polynomials of ASTM A255 and what they say backwards."""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.steel.hardness import HardnessResult

# ASTM A255 polynomials of as-quenched hardness (HRC) in % C, 100 % and 50 % martensite
# (coefficients read in a public implementation naming A255; which is which from memory).
_FULL = np.polynomial.Polynomial([35.395, 6.990, 312.330, -821.744, 1015.479, -538.346])
_HALF = np.polynomial.Polynomial([22.974, 6.214, 356.364, -1091.488, 1464.880, -750.441])
LOWEST_CARBON_PCT = 0.10
HIGHEST_CARBON_PCT = 0.665  # where the full-martensite polynomial turns over, 65.1 HRC
RELATION_SD_HRC = 1.5  # spread of steels about the relation; from memory, no source
_CARBON = np.linspace(LOWEST_CARBON_PCT, HIGHEST_CARBON_PCT, 1131)


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
