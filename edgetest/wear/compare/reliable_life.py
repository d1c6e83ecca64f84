"""Lower tolerance bound of a life: what can a customer rely on, who gets one blade?

An interval of the median life says where the middle of all blades lies; a single blade is
worse in half of all cases. The bound is that of `edgetest.stats.tolerance`, on log lives.
"""

from dataclasses import dataclass
from math import exp, sqrt

from scipy.special import fdtrc

from edgetest.doubts import Doubt, doubt, told
from edgetest.estimate import plain
from edgetest.stats.tolerance import tolerance_factor

# From how many blades' own scatter, or how many degrees of freedom of a pooled one, a bound is
# offered: three blades alone give 0.28 to 0.46 of the median at a scatter of 0.15 to 0.25.
LEAST_BLADES = 8
LEAST_POOLED_DF = 20.0
LARGER = 0.05  # chance of so large a scatter by luck, below which today's counts as larger


@dataclass(frozen=True)
class KnownScatter:
    """A standard deviation, its degrees of freedom, and whose it is, in words."""

    sd: float
    df: float
    whose: str


@dataclass(frozen=True)
class ReliableLife:
    """Lower tolerance bound of a life: a stated share of single blades lasts at least this.

    `life` in cuts; `share` of the blades, with `confidence`; `factor` the k of the bound.
    """

    life: float
    share: float
    confidence: float
    factor: float
    n: int
    scatter: KnownScatter
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """JSON-plain values."""
        return {
            "cuts": plain(self.life),
            "share": self.share,
            "confidence": self.confidence,
            "factor": plain(self.factor),
            "blades": self.n,
            "scatter": plain(self.scatter.sd),
            "scatter_df": plain(self.scatter.df),
            "scatter_of": self.scatter.whose,
            **told(self.doubts),
            "summary": self.summary(),
        }

    def summary(self):
        """What a customer can rely on, in a sentence."""
        share = "nine of ten" if self.share == 0.9 else f"{100 * self.share:g} of 100"
        scatter = f"{100 * self.scatter.sd:.0f} % from {self.scatter.whose}"
        return (
            f"{share.capitalize()} such blades last at least {rounded_down(self.life)} cuts, with "
            f"{100 * self.confidence:g} % confidence (scatter of {scatter})."
        )


def rounded_down(life):
    """Two figures of a life, never more than it is: a promise is not rounded up."""
    step = 1
    while life / step >= 100:
        step *= 10
    return int(life // step) * step


def reliable_life(log_lives, pooled=None, *, share=0.9, confidence=0.95):
    """What a share of single blades lasts at least; None where too little is known.

    Parameters
    ----------
    log_lives : array_like, shape (n,)
        Natural logs of the lives of one heat treatment's blades, all of them known.
    pooled : KnownScatter, optional
        Scatter of log life of more blades than these: of the study's other heat treatments, or
        of the shop's earlier studies.
    share, confidence : float
        As for `tolerance_factor`.

    Returns
    -------
    ReliableLife or None
        By the pooled scatter from 20 degrees of freedom on; else by the blades' own from 8
        blades on; else None. Where the blades' own scatter is larger than the pooled one (F
        test, 5 % one-sided) that is a doubt, and with 8 blades their own is used.
    """
    lives = [float(x) for x in log_lives]
    n = len(lives)
    mean = sum(lives) / n
    own = KnownScatter(
        sqrt(sum((x - mean) ** 2 for x in lives) / (n - 1)) if n > 1 else 0.0,
        n - 1.0,
        f"these {n} blades",
    )
    pooled = pooled if pooled is not None and pooled.df >= LEAST_POOLED_DF else None
    larger = pooled is not None and n > 1 and is_larger(own, pooled)
    scatter = own if pooled is None or (larger and n >= LEAST_BLADES) else pooled
    if scatter is own and n < LEAST_BLADES:
        return None
    factor = tolerance_factor(n, scatter.df, share=share, confidence=confidence)
    doubts = (
        (doubt("scatter_larger_today", own=_percent(own.sd), pooled=_percent(pooled.sd)),)
        if larger
        else ()
    )
    life = exp(mean - factor * scatter.sd)
    return ReliableLife(life, share, confidence, factor, n, scatter, doubts)


def is_larger(own, pooled):
    """Whether a scatter is larger than a pooled one, beyond luck: F test, one-sided."""
    if not pooled.sd > 0:
        return own.sd > 0
    return bool(fdtrc(own.df, pooled.df, (own.sd / pooled.sd) ** 2) < LARGER)


def _percent(sd):
    """A scatter of log life in words."""
    return f"{100 * sd:.0f} %"
