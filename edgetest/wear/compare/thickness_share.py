"""How much of a ratio of lives a differing thickness behind the edge could explain."""

from dataclasses import dataclass, replace
from math import log

import numpy as np
from scipy.special import ndtri

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.wear.compare.angle_share import factor_words, inverted
from edgetest.wear.compare.comparison_result import Ratio


@dataclass(frozen=True)
class ThicknessShare:
    """The most that thickness behind the edge would do to a ratio of lives, and what blades say.

    `factor` is second over first if the whole cutting force went with the thickness and the
    wear with the force; none of it holds if the force comes from the apex alone. `adjusted` is
    the ratio with thickness taken out by the blades' own spread of it
    (`covariate.without_covariate`), where they have enough.
    """

    first: str  # heat treatments
    second: str
    first_mm: float  # geometric mean
    second_mm: float
    factor: Estimate
    matters: bool  # at its most it moves the ratio by more than the margin
    known: int  # blades whose thickness is known
    blades: int
    ratio: float | None  # the ratio found
    adjusted: Ratio | None = None

    @property
    def left_over(self):
        """The ratio found with the most that thickness could do taken out."""
        return None if self.ratio is None else self.ratio / self.factor.value

    def to_dict(self):
        """JSON-plain values."""
        return {
            "first_mm": self.first_mm,
            "second_mm": self.second_mm,
            "factor": self.factor.value,
            "low": self.factor.low,
            "high": self.factor.high,
            "matters": self.matters,
            "known": self.known,
            "blades": self.blades,
            "left_over": plain(self.left_over),
            "adjusted": self.adjusted.to_dict() if self.adjusted else None,
        }

    def _turned(self, ratio):
        """First over second: the longer life over the shorter, as the answer tells its ratio."""
        return replace(
            self,
            first=self.second,
            second=self.first,
            first_mm=self.second_mm,
            second_mm=self.first_mm,
            factor=inverted(self.factor),
            ratio=ratio,
            adjusted=self.adjusted and self.adjusted.inverted(),
        )

    def summary(self):
        """What thickness could explain, in sentences; empty where it is alike."""
        if not self.matters:
            return ""
        if self.ratio is not None and 0 < self.ratio < 1:
            return self._turned(1 / self.ratio).summary()
        known = "" if self.known == self.blades else f", known of {self.known} of {self.blades}"
        text = (
            f"The thickness behind the edge differs: {self.first_mm:.2g} mm ({self.first}) and "
            f"{self.second_mm:.2g} mm ({self.second}{known}). If all of the cutting force went "
            f"with it and the wear with the force, that alone would make the life of {self.second} "
            f"{factor_words(self.factor)} times as long; if none did, it does nothing "
            "(an assumption, no source)."
        )
        if self.left_over is not None:
            low, high = sorted((self.ratio, self.left_over))
            text += f" Between {low:.2f} and {high:.2f} is left over."
        if self.adjusted is None:
            return f"{text} These blades cannot tell which; grind to one thickness."
        return (
            f"{text} Taken out by what thickness does among the blades of one heat treatment, the "
            f"ratio is {self.adjusted}."
        )


def thickness_share(
    treatment,
    thickness_mm,
    first,
    second,
    *,
    thickness_u_mm=0.0,
    ratio=None,
    margin=0.10,
    level=0.95,
):
    """The most that a difference of thickness behind the edge would do to a ratio of lives.

    The wear curve of a width or worn area knows the edge angle alone: near the apex there is
    no other geometry. Thickness behind the edge acts through the force with which the medium
    is parted. Two ends are sure: where the force comes from the apex alone, thickness does
    nothing; where all of it comes from parting the medium and grows in proportion to the
    thickness (an assumption, no source), wear in proportion to force [1]_ makes life go as
    1 / thickness.

    Parameters
    ----------
    treatment : array_like of str, shape (n,)
        Heat treatment of each blade.
    thickness_mm : array_like, shape (n,)
        Thickness behind the edge, mm, above 0; nan where unknown.
    first, second : str
        The ratio is second over first.
    thickness_u_mm : float or array_like, shape (n,)
        Standard uncertainty of each thickness, mm.
    ratio : float, optional
        The ratio found, to say what is left over.
    margin : float
        Relevant difference as a share of life: a smaller effect is not worth a word.
    level : float

    Returns
    -------
    ThicknessShare

    Raises
    ------
    UnusableInput
        A thickness not above 0, or none known in a group.

    References
    ----------
    .. [1] J. F. Archard, "Contact and rubbing of flat surfaces", Journal of Applied Physics
       24 (1953) 981-988.
    """
    treatment = np.asarray(treatment, dtype=str)
    thickness = np.asarray(thickness_mm, dtype=float)
    known = ~np.isnan(thickness)
    if (thickness[known] <= 0).any():
        bad = thickness[known][thickness[known] <= 0][0]
        mend = "give millimetres above 0"
        raise UnusableInput(f"{bad:g} mm is no thickness", "thickness_mm", mend)
    u = np.broadcast_to(np.asarray(thickness_u_mm, dtype=float), thickness.shape)
    logs, variance = [], 0.0
    for name in (first, second):
        rows = known & (treatment == name)
        if not rows.any():
            mend = "measure at least one of its blades"
            raise UnusableInput(f"no thickness of {name}", "thickness_mm", mend)
        logs.append(float(np.log(thickness[rows]).mean()))
        variance += float(((u[rows] / thickness[rows]) ** 2).sum() / rows.sum() ** 2)
    middle = logs[0] - logs[1]
    reach = float(ndtri(0.5 + level / 2)) * variance**0.5
    value, low, high = np.exp([middle, middle - reach, middle + reach]).tolist()
    of_pair = np.isin(treatment, [first, second])
    return ThicknessShare(
        first=first,
        second=second,
        first_mm=float(np.exp(logs[0])),
        second_mm=float(np.exp(logs[1])),
        factor=Estimate(value, low, high, "", level, "force and wear in proportion to thickness"),
        matters=abs(middle) > log(1 + margin),
        known=int((known & of_pair).sum()),
        blades=int(of_pair.sum()),
        ratio=None if ratio is None else float(ratio),
    )
