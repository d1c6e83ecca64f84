"""What does a plan promise where a few degrees of freedom alone tell how blades scatter?

The chance at the middle of what is known would promise too much: where blades scatter more, it
falls further than it rises where they scatter less. So the chance is averaged over the scatter.
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import chdtri

from edgetest.estimate import plain
from edgetest.stats.power import SIMULATED, Power
from edgetest.wear.plan.pooled_blades import MOST_BLADES

LEVEL = 0.95  # of the scatter's interval


def scatter_ends(df):
    """Ends of the scatter's interval, as shares of the one that was seen (chi-square).

    Parameters
    ----------
    df : float
        Degrees of freedom behind it.

    Returns
    -------
    ndarray, shape (2,)
    """
    return _shares(df, np.array([(1 - LEVEL) / 2, (1 + LEVEL) / 2]))


def scatter_nodes(df, count):
    """So many equally likely scatters, as shares of the one that was seen.

    The variance is taken as scaled inverse chi-square [1]_.

    Parameters
    ----------
    df : float
    count : int

    Returns
    -------
    ndarray, shape (count,)
        Rising.

    References
    ----------
    .. [1] A. O'Hagan, J. W. Stevens, M. J. Campbell, "Assurance in clinical trial design",
       Pharm. Stat. 4 (2005) 187.
    """
    return _shares(df, (np.arange(count) + 0.5) / count)


def _shares(df, quantiles):
    """Quantiles of the true scatter over the one that was seen."""
    return np.sqrt(df / chdtri(df, quantiles))


def averaged(powers):
    """The mean of equally likely chances, with its standard error."""
    stderr = sqrt(sum(power.stderr**2 for power in powers)) / len(powers)
    value = float(np.mean([power.value for power in powers]))
    how = SIMULATED if any(power.how == SIMULATED for power in powers) else powers[0].how
    return Power(value, stderr, how, None, powers[0].method)


@dataclass(frozen=True)
class ScatterKnown:
    """How surely the scatter between blades is known, and what that does to a plan.

    Attributes
    ----------
    df : float
        Degrees of freedom behind it.
    sd, low, high : float
        Scatter of log life, readings left out, and its 95 % interval.
    blades : int or None
        Of each heat treatment that it took were `sd` the truth; None beyond reach.
    blades_low, blades_high : int or None
        The same at the ends of the interval.
    own : Power or None
        The study's own runs, averaged over the scatter; None where they compare nothing.
    """

    df: float
    sd: float
    low: float
    high: float
    blades: int | None
    blades_low: int | None
    blades_high: int | None
    own: Power | None = None

    def to_dict(self):
        """JSON-plain values."""
        return {
            "df": plain(self.df),
            "low": plain(self.low),
            "high": plain(self.high),
            "level": LEVEL,
            "blades_at_middle": self.blades,
            "as_planned": None if self.own is None else plain(self.own.value),
        }

    def summary(self):
        """How far the scatter is known, and what that does to the number of blades."""
        ends = [each or f"more than {MOST_BLADES}" for each in (self.blades_low, self.blades_high)]
        middle = self.blades or f"more than {MOST_BLADES}"
        takes = f"from {ends[0]} to {ends[1]} blades" if len({*ends}) > 1 else f"{ends[0]} blades"
        return (
            f"What is known of their scatter, worth {self.df:.1f} degrees of freedom, leaves "
            f"{_percent(self.low)} to {_percent(self.high)} open (95 % interval), which takes "
            f"{takes}; {middle} at its middle, {_percent(self.sd)}. Chances that are not called "
            "averaged hold at the middle."
        )

    def of_curve(self):
        """What the chances by the number of blades hold for."""
        return (
            f"Drawn as if blades scattered by {_percent(self.sd)}, the middle of what is known; "
            "the number above is averaged over all of that."
        )


def _percent(sd):
    return f"{100 * sd:.2g} %" if sd < 1 else f"{100 * sd:.0f} %"
