"""What a shop's earlier studies say of the scatter between blades: empirical Bayes.

Two or three blades hardly know their own scatter; ten earlier studies on the same protocol
know it well. The study's variance is moderated towards theirs, as far as theirs agree among
themselves. Always shown beside the answer without it.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import digamma, fdtr, polygamma

from edgetest.errors import UnusableInput
from edgetest.stats.contrast import contrast
from edgetest.stats.true_spread import LEAST_STUDIES, TrueSpread

# Spread of log variance between studies of one shop before any is seen, worth PRIOR_STUDIES
# studies: scatters within a factor of two of each other. Assumed, no source.
PRIOR_SPREAD, PRIOR_STUDIES = 0.7**2, 4


@dataclass(frozen=True)
class BatchScatter:
    """Scatter of log life within quench or temper batches and between them, its interval."""

    within: float
    between: float
    between_low: float
    between_high: float

    def to_dict(self):
        """JSON-plain values."""
        return dict(vars(self))

    def summary(self):
        """Both in a sentence."""
        between, low, high, within = (
            f"{100 * each:.0f} %"
            for each in (self.between, self.between_low, self.between_high, self.within)
        )
        return (
            f"By them batches of one heat treatment differ by about {between} in life ({low} to "
            f"{high}), blades of one batch by about {within}: the chances count both."
        )


@dataclass(frozen=True)
class ShopHistory:
    """Scatter of log life between blades in earlier studies: its middle, and what it weighs.

    `spread` is how far heat treatments truly differed in the `compared` of them that compared
    two; None where so few teach nothing. `batches` is None where they tell no batch from a blade.
    """

    sd_log_life: float
    df: float  # degrees of freedom that the history is worth to a new study
    studies: int
    spread: TrueSpread | None = None
    compared: int = 0
    batches: BatchScatter | None = None

    def to_dict(self):
        """JSON-plain values."""
        return {
            "sd_log_life": self.sd_log_life,
            "df": self.df,
            "studies": self.studies,
            "compared": self.compared,
            "true_differences": self.spread.to_dict() if self.spread else None,
            "batches": self.batches.to_dict() if self.batches else None,
        }

    def summary(self):
        """What the history amounts to, in sentences."""
        scatter = (
            f"{self.studies} earlier {'studies' if self.studies > 1 else 'study'}: blades of one "
            f"heat treatment scatter by about {100 * self.sd_log_life:.0f} % in life; worth "
            f"{self.df:.1f} further degrees of freedom."
        )
        return f"{scatter} {self.differences()}"

    def differences(self):
        """How far heat treatments truly differ, by these studies; or why nothing is taken."""
        if self.spread:
            return self.spread.summary()
        one, are = ("study", "is") if self.compared == 1 else ("studies", "are")
        return (
            f"Your shop's {self.compared} earlier {one} {are} too few to say how far its heat "
            f"treatments differ; it takes {LEAST_STUDIES} that compare two of them."
        )


def learn_scatter(sd_log_life, df):
    """Scatter that a new study may be expected to have, from earlier studies.

    Parameters
    ----------
    sd_log_life : array_like, shape (studies,)
        Pooled blade-to-blade standard deviation of log life in each study, above 0.
    df : array_like, shape (studies,)
        Its degrees of freedom, above 0.

    Returns
    -------
    ShopHistory
        Scaled inverse chi-square fitted to the log variances by moments [1]_; the spread
        between studies is held together by a prior worth four studies, and `df` never
        exceeds what the earlier studies had in all.

    Raises
    ------
    UnusableInput
        No study, or a value that is not above 0.

    References
    ----------
    .. [1] G. K. Smyth, "Linear models and empirical Bayes methods for assessing differential
       expression in microarray experiments", Stat. Appl. Genet. Mol. Biol. 3 (2004) 3.
    """
    sd, df = np.asarray(sd_log_life, dtype=float), np.asarray(df, dtype=float)
    if sd.size == 0 or sd.shape != df.shape:
        what = f"{sd.size} scatters and {df.size} degrees of freedom"
        raise UnusableInput(what, "history", "give one of each for every earlier study")
    if not (np.isfinite(sd) & (sd > 0) & np.isfinite(df) & (df > 0)).all():
        raise UnusableInput("a scatter or df is not above 0", "history", "leave that study out")
    # E[log s^2] lies below log sigma^2 by a known amount for each df.
    log_variance = 2 * np.log(sd) - digamma(df / 2) + np.log(df / 2)
    noise = polygamma(1, df / 2)
    weight = 1 / (noise + PRIOR_SPREAD)
    weight /= weight.sum()
    centre = float(weight @ log_variance)
    count = sd.size
    seen = 0.0
    if count > 1:
        seen = max(float(((log_variance - centre) ** 2 - noise).sum() / (count - 1)), 0.0)
    spread = ((count - 1) * seen + PRIOR_STUDIES * PRIOR_SPREAD) / (count - 1 + PRIOR_STUDIES)
    # The centre itself is known only so well: that doubt belongs to a new study too.
    spread += float(weight**2 @ (noise + spread))
    worth = min(2 * _inverse_trigamma(spread), float(df.sum()))
    variance = np.exp(centre + digamma(worth / 2) - np.log(worth / 2))
    return ShopHistory(float(np.sqrt(variance)), float(worth), count)


def _inverse_trigamma(value):
    """Solve trigamma(x) = value, by Newton's method on 1 / trigamma (Smyth 2004)."""
    x = 0.5 + 1 / value
    for _ in range(50):
        tri = polygamma(1, x)
        x += tri * (1 - tri / value) / polygamma(2, x)
    return float(x)


def moderated_t(difference, unscaled, variance, df, history, level):
    """Interval with the study's variance moderated by the shop's history.

    Parameters
    ----------
    difference : array_like
        Log ratio.
    unscaled : array_like
        Variance of the difference over the variance between blades: 1/n1 + 1/n2.
    variance, df : array_like
        Pooled variance between blades and its degrees of freedom; df 0 where no heat
        treatment has two blades.
    history : ShopHistory
    level : float

    Returns
    -------
    Contrast
        df = the study's + the history's.
    """
    total = df + history.df
    moderated = (history.df * history.sd_log_life**2 + df * variance) / total
    return contrast(difference, moderated * unscaled, total, level, "t with the shop's scatter")


def disagrees(variance, df, history):
    """Whether the study's scatter is beyond 1 % of what the history leads to expect."""
    if df <= 0:
        return False
    below = fdtr(df, history.df, variance / history.sd_log_life**2)
    return bool(below < 0.005 or below > 0.995)
