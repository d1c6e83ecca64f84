"""How much of a ratio of lives the edges' own geometry could explain."""

from dataclasses import dataclass, replace
from math import inf, log, radians, tan

import numpy as np
from scipy.special import ndtri

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate

WORTH_SAYING_DEG = (
    1.0  # of included angle; a degree is 2 to 4.5 % of card cut (glossary, from memory)
)


@dataclass(frozen=True)
class AngleShare:
    """Ratio of lives that the difference of edge angles alone would bring about."""

    first: str  # heat treatments
    second: str
    first_deg: float  # mean included angle
    second_deg: float
    factor: Estimate  # second over first
    matters: bool  # the angles differ by more than a degree
    left_over: float | None  # the ratio found, with the angles' share taken out
    ends: tuple[float, float] | None = None  # of its interval, the angles' own doubt in it

    def to_dict(self):
        """JSON-plain values."""
        return {
            "first_deg": self.first_deg,
            "second_deg": self.second_deg,
            "factor": self.factor.value,
            "low": self.factor.low,
            "high": self.factor.high,
            "matters": self.matters,
            "left_over": self.left_over,
        }

    def _turned(self, left_over):
        """First over second: the longer life over the shorter, as the answer tells its ratio."""
        return replace(
            self,
            first=self.second,
            second=self.first,
            first_deg=self.second_deg,
            second_deg=self.first_deg,
            factor=inverted(self.factor),
            left_over=left_over,
            ends=self.ends and (1 / self.ends[1], 1 / self.ends[0] if self.ends[0] > 0 else inf),
        )

    def summary(self):
        """What the angles explain, in a sentence; empty where they are alike."""
        if not self.matters:
            return ""
        if self.left_over and self.left_over * self.factor.value < 1:
            return self._turned(1 / self.left_over).summary()
        text = (
            f"The edge angles differ on average: {self.first_deg:.1f}° included ({self.first}) and "
            f"{self.second_deg:.1f}° ({self.second}). At equal worn volume a cut, that alone makes "
            f"the life of {self.second} "
            f"{factor_words(self.factor)} times as long"
        )
        if not self.left_over:
            return f"{text}."
        ends = f" ({self.ends[0]:.2f} to {self.ends[1]:.2f})" if self.ends else ""
        return f"{text}; {self.left_over:.2f}{ends} is left over."


def inverted(factor):
    """A factor of lives, told the other way round."""
    return replace(factor, value=1 / factor.value, low=1 / factor.high, high=1 / factor.low)


def factor_words(factor):
    """A factor with its interval; where nobody noted an uncertainty, that there is none."""
    if factor.low == factor.high:
        return f"{factor.value:.2f} (no uncertainty was noted)"
    return factor.summary()


def angle_share(
    treatment,
    included_angle_deg,
    first,
    second,
    *,
    angle_u_deg=0.0,
    ratio=None,
    ratio_ends=None,
    level=0.95,
):
    """Part of a ratio of edge-width lives that the included angles account for.

    Parameters
    ----------
    treatment : array_like of str, shape (n,)
        Heat treatment of each blade.
    included_angle_deg : array_like, shape (n,)
        Whole angle of the edge, degrees, between 0 and 180; nan where unknown.
    first, second : str
        The ratio is second over first.
    angle_u_deg : float or array_like, shape (n,)
        Standard uncertainty of each angle, degrees.
    ratio : float, optional
        The ratio found, to say what is left over.
    ratio_ends : (float, float), optional
        Ends of its interval.
    level : float

    Returns
    -------
    AngleShare
        From w² = w0² + 4 tan(α)·v·n with α half the included angle: at equal worn area v a cut
        the life goes as 1/tan(α). Where the wear is read as worn area this is no part of it.

    Raises
    ------
    UnusableInput
        An angle out of range, or none known in a group.
    """
    treatment = np.asarray(treatment, dtype=str)
    angle = np.asarray(included_angle_deg, dtype=float)
    known = ~np.isnan(angle)
    if ((angle[known] <= 0) | (angle[known] >= 180)).any():
        bad = angle[known][(angle[known] <= 0) | (angle[known] >= 180)][0]
        mend = "give the whole angle in degrees, between 0 and 180"
        raise UnusableInput(f"{bad:g}° is no included angle", "included_angle_deg", mend)
    u = np.broadcast_to(np.asarray(angle_u_deg, dtype=float), angle.shape)
    means, variance = [], 0.0
    for name in (first, second):
        rows = known & (treatment == name)
        if not rows.any():
            mend = "measure at least one of its edges"
            raise UnusableInput(f"no edge angle of {name}", "included_angle_deg", mend)
        half = np.radians(angle[rows]) / 2
        means.append(float(angle[rows].mean()))
        # d log tan(a) / da = 2 / sin(2a); a is half of the angle that u speaks of.
        slope = 2 / np.sin(2 * half) * np.radians(u[rows]) / 2
        variance += float((slope**2).sum() / rows.sum() ** 2)
    middle = log(tan(radians(means[0]) / 2) / tan(radians(means[1]) / 2))
    reach = float(ndtri(0.5 + level / 2)) * variance**0.5
    value, low, high = np.exp([middle, middle - reach, middle + reach]).tolist()
    return AngleShare(
        first=first,
        second=second,
        first_deg=means[0],
        second_deg=means[1],
        factor=Estimate(value, low, high, "", level, "equal worn area a cut"),
        matters=abs(means[1] - means[0]) > WORTH_SAYING_DEG,
        left_over=None if ratio is None else float(ratio / value),
        ends=None if ratio_ends is None else (ratio_ends[0] / high, ratio_ends[1] / low),
    )
