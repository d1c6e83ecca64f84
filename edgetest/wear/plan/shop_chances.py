"""How often would a study show a difference as large as this shop's truly are? Assurance."""

from dataclasses import dataclass
from math import log

import numpy as np
from scipy.special import ndtr

from edgetest.estimate import Estimate, estimate_parts
from edgetest.stats.true_spread import TrueSpread
from edgetest.wear.plan.pooled_blades import power_to_tell, scatter_like

STEPS = (np.arange(60) + 0.5) / 60 * 5  # of a true difference over its SD, to both sides
WEIGHTS = np.exp(-(STEPS**2) / 2) / np.exp(-(STEPS**2) / 2).sum()


@dataclass(frozen=True)
class ShopChance:
    """What a plan buys where true differences are as the shop's studies say.

    Attributes
    ----------
    spread : TrueSpread
    ratio : float
        Worth knowing.
    beyond : Estimate
        Share of comparisons whose true ratio is that or more, whichever lasts longer.
    shown : dict of int to Estimate
        By blades of each heat treatment: share of comparisons that would be shown to differ.
    """

    spread: TrueSpread
    ratio: float
    beyond: Estimate
    shown: dict[int, Estimate]

    def to_dict(self):
        """JSON-plain values."""
        return {
            "true_differences": self.spread.to_dict(),
            "beyond": self.beyond.to_dict(),
            "shown": [{"blades": n, **each.to_dict()} for n, each in self.shown.items()],
        }

    def sentences(self, blades=()):
        """What is shared by the shop's comparisons, and what some numbers of blades show of them.

        Parameters
        ----------
        blades : sequence of int
            Those of `shown` that are told.
        """
        yield (
            f"Of two heat treatments as your shop compares them {_share(self.beyond)} truly differ "
            f"by {100 * abs(self.ratio - 1):.0f} % or more."
        )
        told = [f"{n} blades of each in {_share(self.shown[n])}" for n in blades if n in self.shown]
        if told:
            yield f"A test would show which of two lasts longer with {'; '.join(told)}."


def _share(estimate):
    """A share with its interval: "31 % (12 to 55 %)"."""
    shown, ends = estimate_parts(
        *(100 * each for each in (estimate.value, estimate.low, estimate.high))
    )
    return f"{shown} % ({ends} %)"


def shop_chance(spread, ratio, curve, sd_log_life, *, level=0.95):
    """Average chance to show a difference, over how far heat treatments truly differ [1]_.

    Parameters
    ----------
    spread : TrueSpread
    ratio : float
        Worth knowing, above 0 and not 1.
    curve : Curve
        Chance to show that ratio by blades of each heat treatment. The pooled t with the same
        chances tells of other ratios.
    sd_log_life : float
        Scatter between blades, readings included, by which the curve was made.
    level : float
        Of the interval that is to leave out 1.

    Returns
    -------
    ShopChance

    References
    ----------
    .. [1] A. O'Hagan, J. W. Stevens, M. J. Campbell, "Assurance in clinical trial design",
       Pharm. Stat. 4 (2005) 187.
    """
    edge = abs(log(ratio))
    beyond = _averaged(lambda tau: 2 * ndtr(-edge / np.maximum(tau, 1e-9)), spread)
    sd, shown = scatter_like(curve, ratio, sd_log_life, level=level), {}
    for n in curve.blades:

        def chance(tau, n=n):
            return power_to_tell(n, np.exp(np.outer(tau, STEPS)), sd, level=level) @ WEIGHTS

        shown[n] = _averaged(chance, spread)
    return ShopChance(spread, ratio, beyond, shown)


def _averaged(chance, spread):
    """A chance that rises with the SD of true differences: its mean, and at that SD's ends."""
    low, high = chance(np.array([spread.low, spread.high])).tolist()
    return Estimate(float(chance(spread.nodes) @ spread.masses), low, high, "",
                    method="averaged over the shop's spread")  # fmt: skip
