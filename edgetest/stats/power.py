"""How often would an interval show a true difference: by the noncentral t, or from simulation?"""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import nctdtr, ndtr

from edgetest.estimate import plain

EXACT = "exact"
SIMULATED = "simulated"
FAR = 37.0  # shift in standard errors beyond the range of the series, where the power is 1


@dataclass(frozen=True)
class Power:
    """Chance that an interval leaves out no difference, on the true difference's side."""

    value: float
    stderr: float  # of the simulation; 0 where exact
    how: str  # "exact" or "simulated"
    df: float | None  # of the t interval; None where it varies
    method: str  # of the comparison
    half_width: float | None = None  # typical one of the interval, log scale

    @property
    def factor(self):
        """Factor by which the ratio's interval typically reaches up and down."""
        return None if self.half_width is None else float(np.exp(min(self.half_width, 700)))

    def to_dict(self):
        """JSON-plain values."""
        return {
            "power": plain(self.value),
            "stderr": self.stderr,
            "how": self.how,
            "df": None if self.df is None else plain(self.df),
            "factor": None if self.factor is None else plain(self.factor),
            "method": self.method,
        }


def noncentral_power(shift, df, critical):
    """Power of a t interval from the noncentral t distribution [1]_.

    Parameters
    ----------
    shift : array_like
        True difference over its true standard error.
    df : array_like
    critical : array_like
        Multiple of the standard error that the interval reaches.

    Returns
    -------
    ndarray
        Chance that the interval lies on the true difference's side of none.

    References
    ----------
    .. [1] D. B. Owen, "A survey of properties and applications of the noncentral
       t-distribution", Technometrics 10 (1968) 445-478.
    """
    shift = np.abs(shift)
    power = 1 - nctdtr(df, np.minimum(shift, FAR), critical)
    return np.where(shift > FAR, 1.0, power)


def power_by_width(middles, halves, shift, *, method=""):
    """Power from simulated intervals, each one's chance taken given its width.

    Given the half width the estimate is taken as normal about the true difference with the
    variance that the simulation shows (Rao and Blackwell's device: fewer studies tell as much);
    exact where estimate and width are independent.

    Parameters
    ----------
    middles, halves : array_like, shape (studies,)
        Estimate less the true difference, and half width; nan and inf where there was none.
    shift : float
        True difference.
    method : str
        Of the comparison, to be told.

    Returns
    -------
    Power
    """
    middles, halves = np.asarray(middles, dtype=float), np.asarray(halves, dtype=float)
    count = len(middles)
    if not np.isfinite(middles).any():
        return Power(0.0, 0.0, SIMULATED, None, method)
    sd = max(sqrt(float(np.nanmean(middles**2))), 1e-12)

    def chances(sd):
        return ndtr((abs(shift) - halves) / sd)

    value = float(chances(sd).mean())
    by_width = chances(sd).std(ddof=1) / sqrt(count)
    by_sd = abs(chances(sd * (1 + sqrt(0.5 / count))).mean() - value)
    se = float(np.hypot(by_width, by_sd))
    return Power(value, se, SIMULATED, None, method, float(np.median(halves)))


def power_by_count(shown, *, method=""):
    """Power from simulated studies that showed the difference or not.

    Parameters
    ----------
    shown : array_like of bool, shape (studies,)
    method : str

    Returns
    -------
    Power
        Its standard error is that of a share with one study more of either kind.
    """
    count, told = len(shown), int(np.sum(shown))
    near = (told + 1) / (count + 2)
    return Power(told / count, sqrt(near * (1 - near) / count), SIMULATED, None, method)
