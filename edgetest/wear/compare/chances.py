"""Posterior chances (normal model, hierarchical prior): how likely does the second last longer?

The t interval says what the blades alone bear. A chance needs more: how much heat treatments
differ at all. Here true log ratios are normal about 0 with an SD that is half-normal: most
differ little, a few differ much. Large differences seen with few blades are shrunk by it.
"""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammaln, ndtr, ndtri

from edgetest.estimate import chance, checked_level, checked_margin, plain
from edgetest.stats.true_spread import TrueSpread, believed_spread
from edgetest.wear.compare.shop_history import ShopHistory

# Blade-to-blade SD of log life where the shop has no history, and the degrees of freedom that
# this belief is worth; common practice, no source.
USUAL_SCATTER = ShopHistory(0.15, 1.0, 0)
# The chance of the next blade is said no surer than 1 - NEXT_BLADE_CAP / df: three a side that
# said 0.89 were right in 0.84 of cases, since so sure a word comes from scatters small by luck.
NEXT_BLADE_CAP = 0.6
LEAST_DF = 3.0  # below, chances are said in words: the table of the guide
EVEN_TO = 0.60  # up to here a chance is about as likely as not
# What a chance is called, by its upper end; the words mean the same on both sides of even.
WORDS = (
    (0.05, "very unlikely"),
    (0.20, "unlikely"),
    (0.40, "rather unlikely"),
    (EVEN_TO, "about as likely as not"),
    (0.80, "rather likely"),
    (0.95, "likely"),
    (1.01, "very likely"),
)


@dataclass(frozen=True)
class SeenDifference:
    """What the blades say of a difference of log lives; numbers, or arrays of one shape.

    Attributes
    ----------
    difference, stderr : array_like
        Log ratio, second over first, and its standard error from the scatter between blades.
    df : float
        Degrees of freedom of that scatter; inf where it is known.
    sd_blades : array_like
        Scatter of log life between blades of one heat treatment, as seen (root mean square).
    known_se : array_like
        Further standard error of the difference that is known: what blades share.
    least_se : array_like
        Standard error that the readings alone leave, where blades by luck agree better.
    """

    difference: ArrayLike
    stderr: ArrayLike
    df: float
    sd_blades: ArrayLike
    known_se: ArrayLike = 0.0
    least_se: ArrayLike = 0.0


@dataclass(frozen=True)
class Chances:
    """Chances of the second heat treatment, and its ratio as the prior leaves it.

    `longer`: lives of its blades are longer on average; `longer_by_margin`: by the margin at
    least; `next_outlasts`: its next blade outlasts the next of the first, always nearer to
    even. `ratio`, `low`, `high`: posterior median and interval of the true ratio.
    """

    longer: np.ndarray
    longer_by_margin: np.ndarray
    next_outlasts: np.ndarray
    ratio: np.ndarray
    low: np.ndarray
    high: np.ndarray
    level: float
    in_words: bool  # so few degrees of freedom that a number would promise too much
    next_said: bool = True  # of the next blades anything can be said
    spread: TrueSpread = field(default_factory=believed_spread)  # that shrunk them
    history: ShopHistory | None = None

    def to_dict(self):
        """JSON-plain values; chances in words only, where numbers would promise too much."""
        names = ("longer", "longer_by_margin", "next_outlasts")
        chances = {name: float(getattr(self, name)) for name in names}
        return {
            **{name: None if self.in_words else plain(p) for name, p in chances.items()},
            "words": {
                name: chance_word(p) if name != "next_outlasts" or self.next_said else None
                for name, p in chances.items()
            },
            "ratio": plain(float(self.ratio)),
            "low": plain(float(self.low)),
            "high": plain(float(self.high)),
            "level": self.level,
            "prior": self.spread.prior(),
            "true_differences": self.spread.to_dict(),
        }

    def sentence(self, first, second):
        """How likely the one that lasted longer does so on average, and the next time."""
        longer, outlasts = float(self.longer), float(self.next_outlasts)
        if longer < 0.5:
            first, second, longer, outlasts = second, first, 1 - longer, 1 - outlasts
        ours, other = (
            f"blade of {name}" if name.startswith("the ") or " in its " in name else f"{name} blade"
            for name in (second, first)
        )
        if not self.in_words:
            return (
                f"Chance that {second} lasts longer on average: {chance(longer)}; that the next "
                f"{ours} outlasts the next {other}: {chance(outlasts)}."
            )
        following = (
            f"the next {ours} is {chance_word(outlasts)} to outlast the next {other}"
            if self.next_said
            else f"whether the next {ours} outlasts the next {other}, so few blades do not tell"
        )
        return f"{second} is {chance_word(longer)} to last longer on average; {following}."

    def basis(self):
        """How far heat treatments usually differ, on which the chances rest, and who says so."""
        told = [f"{self.spread.summary().removesuffix('.')}; the chances lean on it."]
        if self.history is not None and self.history.spread is None:
            told.append(self.history.differences())
        return " ".join(told)


def chance_word(probability):
    """The word for a chance, from 'very unlikely' over 'about as likely as not' up."""
    return next(word for end, word in WORDS if probability < end)


def opposite(word):
    """The word for the chance of the contrary; None for None."""
    words = [each for _, each in WORDS]
    return None if word is None else words[len(words) - 1 - words.index(word)]


def shrunk_chances(evidence, *, margin=0.10, level=0.95, history=None):
    """Chances of a difference, shrunk by what true differences usually are.

    Parameters
    ----------
    evidence : SeenDifference
    margin : float
        Relevant difference as a share of life, above 0 and below 1.
    level : float
        Coverage of the posterior interval of the ratio, between 0.5 and 1.
    history : ShopHistory, optional
        Scatter between blades in the shop's earlier studies, and its degrees of freedom;
        without it the usual scatter of 0.15 counts as one degree of freedom. Its spread of true
        differences, where it knows one, else the prior's.

    Returns
    -------
    Chances
        Arrays of the evidence's shape. Double Gauss quadrature over the SD of true differences
        and the scatter between blades; given both, all is normal.

    Notes
    -----
    Where no spread is learnt, the prior of a difference d of log lives has the density
    ``K0(|d| / s) / (pi s)``, that of a product of two normals [1]_, with s = 0.25 and K0 the
    modified Bessel function. The prior of the scatter is the scaled inverse chi-square of the
    history.

    References
    ----------
    .. [1] C. C. Craig, "On the frequency function of xy", Ann. Math. Stat. 7 (1936) 1-15.
    """
    level, edge = checked_level(level), np.log1p(checked_margin(margin))
    known, history = history, history or USUAL_SCATTER
    spread = history.spread or believed_spread()
    mean, sd, scatter, weight = _posterior(evidence, history, spread)

    def above(shift, further=0.0):
        return (weight * ndtr((mean - shift) / np.hypot(sd, further))).sum(axis=(-2, -1))

    most = 1 - min(NEXT_BLADE_CAP / float(evidence.df), 0.5)
    tail = (1 - level) / 2
    low, middle, high = _quantiles(mean, sd, weight, (tail, 0.5, 1 - tail))
    return Chances(
        longer=above(0.0),
        longer_by_margin=above(edge),
        next_outlasts=np.clip(above(0.0, np.sqrt(2) * scatter), 1 - most, most),
        ratio=np.exp(middle),
        low=np.exp(low),
        high=np.exp(high),
        level=level,
        in_words=bool(evidence.df < LEAST_DF),
        next_said=most > EVEN_TO,
        spread=spread,
        history=known,
    )


def _posterior(evidence, history, spread):
    """Normals whose weighted sum is the posterior: means, SDs, scatters, weights.

    Shapes (..., tau, sigma); each of the SD tau of true differences and the scatter sigma.
    """
    difference = _column(evidence.difference)
    seen, stderr = _column(evidence.sd_blades), _column(evidence.stderr)
    df = min(float(evidence.df), 1e6)
    total = df + history.df
    squares = df * seen**2 + history.df * history.sd_log_life**2
    scale, scale_mass = _scatter_nodes(round(total, 6))
    tau, tau_mass = spread.nodes[:, None], spread.masses
    scatter = np.sqrt(squares / total) * scale
    share = np.where(seen > 0, stderr / np.where(seen > 0, seen, 1.0), 0.0)
    error = np.maximum(scatter * share, _column(evidence.least_se))
    error = np.hypot(error, _column(evidence.known_se))
    error = np.maximum(error, 1e-6)
    whole = np.hypot(tau, error)
    log_weight = -np.log(whole) - (difference / whole) ** 2 / 2
    weight = np.exp(log_weight - log_weight.max(axis=(-2, -1), keepdims=True))
    weight = weight * (tau_mass[:, None] * scale_mass)
    weight = weight / weight.sum(axis=(-2, -1), keepdims=True)
    return difference * (tau / whole) ** 2, tau * error / whole, scatter, weight


def _column(values):
    """Values with two further axes, for tau and for the scatter."""
    return np.asarray(values, dtype=float)[..., None, None]


@lru_cache(maxsize=256)
def _scatter_nodes(df):
    """Nodes and masses of the true scatter over the one seen: sqrt(df / chi-square)."""
    nodes, weights = np.polynomial.legendre.leggauss(24)
    spread = np.sqrt(0.5 / df)
    low, high = -min(8 * spread, 3.0), max(8 * spread, min(18 / df, 8.0))
    log_scale = low + (high - low) * (nodes + 1) / 2
    log_mass = -df * (log_scale + np.exp(-2 * log_scale) / 2)
    log_mass += np.log(2) + df / 2 * np.log(df / 2) - gammaln(df / 2)
    mass = weights * (high - low) / 2 * np.exp(log_mass)
    return np.exp(log_scale), mass / mass.sum()


def _quantiles(mean, sd, weight, shares):
    """Quantiles of the weighted sum of normals, by Newton's method held within a bracket."""
    middle = (weight * mean).sum(axis=(-2, -1))
    spread = np.sqrt((weight * (sd**2 + (mean - middle[..., None, None]) ** 2)).sum(axis=(-2, -1)))
    shares = np.asarray(shares)
    at = middle[..., None] + spread[..., None] * ndtri(shares)
    # By Cantelli's inequality no quantile lies farther from the mean.
    reach = spread[..., None] * np.sqrt(np.maximum(1 / shares, 1 / (1 - shares))) + 1e-9
    low, high = middle[..., None] - reach, middle[..., None] + reach
    mean, sd, weight = (part[..., None, :, :] for part in (mean, sd, weight))
    for _ in range(40):
        z = (at[..., None, None] - mean) / sd
        short = shares - (weight * ndtr(z)).sum(axis=(-2, -1))
        low, high = np.where(short > 0, at, low), np.where(short > 0, high, at)
        if (np.abs(short) < 1e-5).all():
            break
        density = (weight / sd * np.exp(-(z**2) / 2)).sum(axis=(-2, -1)) / np.sqrt(2 * np.pi)
        at = at + short / np.maximum(density, 1e-12)
        at = np.where((low < at) & (at < high), at, (low + high) / 2)
    return np.moveaxis(at, -1, 0)
