"""What the evidence lets one believe of each criterion: normal posteriors on its working scale."""

from dataclasses import dataclass
from math import exp, hypot, inf, log, sqrt

import numpy as np
from scipy.special import digamma, expit, ndtr, ndtri, polygamma, stdtr, stdtrit

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hardness import HardnessResult

BLADE_SD_LOG = 0.15  # blade-to-blade spread of log life where the study gives none
PIECE_SD_LOG = 0.10  # piece-to-piece spread of log life, prior scale worth three pieces
PIECE_SD_LOG_DAMAGE = 0.5
PIECE_SD_HRC = 1.5
PRIOR_PIECES = 3.0
# What is thought before any evidence: wide about the limit or a middling steel; no source.
PRIOR_LIFE, PRIOR_SD_LOG_LIFE = 0.8, 0.5
PRIOR_SD_LOG_DAMAGE = 1.5
PRIOR_SD_HRC = 8.0
PRIOR_SD_EDGE_PCT = 0.3
LEAST_SD = 1e-6  # keeps a belief that is sure a distribution
UNITS = {
    "life": "of the reference's life",
    "hardness": "HRC",
    "damage": "per 100 chops",
    "edge": "% C",
    "cracking": "of quenches",
}


@dataclass(frozen=True)
class LifeEvidence:
    """Log of a life ratio to the reference blade, with its standard error."""

    log_ratio: float
    se: float
    df: float = inf
    piece: str = "1"
    blades: int = 1
    reference_blades: int = 1
    between_blades_in_se: bool = False  # True where the error came from blades as replicates


@dataclass(frozen=True)
class DamageEvidence:
    """Rate of chips and rolls per 100 chops with its interval."""

    per_100: float
    low: float
    high: float
    level: float = 0.95
    piece: str = "1"


@dataclass(frozen=True)
class Belief:
    """Normal belief in a quantity on its working scale, and the limits it must keep.

    Life and damage are held as logs, cracking as a logit, hardness in HRC, edge carbon in
    per cent. `evidence` is False where only the stated prior stands behind it. `fixed_sd`
    is the part of `sd` that no further test reduces: the lot's piece-to-piece spread, and
    the reference blade's own place among its kind.
    """

    name: str
    mean: float
    sd: float
    full: tuple[float, float]
    light: tuple[float, float]
    evidence: bool = True
    fixed_sd: float = 0.0
    student: tuple[float, float] | None = None  # standard error and degrees of freedom

    def probability(self, limits, mean=None, sd=None):
        """Probability of keeping the limits, for this or another mean and sd (arrays).

        The belief itself is Student's t where it came as one; what a further test would
        leave is taken as normal with the same 95 % interval.
        """
        low, high = limits
        if mean is None and sd is None and self.student is not None:
            se, df = self.student
            return stdtr(df, (high - self.mean) / se) - stdtr(df, (low - self.mean) / se)
        mean = self.mean if mean is None else mean
        sd = self.sd if sd is None else sd
        return ndtr((high - mean) / sd) - ndtr((low - mean) / sd)

    def in_units(self, x):
        """A value of the working scale in the maker's units."""
        if self.name in ("life", "damage"):
            return exp(x)
        return float(expit(x)) if self.name == "cracking" else float(x)

    def estimate(self, level=0.95):
        """The believed value in the maker's units."""
        reach = float(ndtri(0.5 + level / 2)) * self.sd
        middle, low, high = (self.in_units(self.mean + k * reach) for k in (0, -1, 1))
        method = "normal on the working scale" if self.evidence else "prior, no evidence"
        return Estimate(middle, low, high, UNITS[self.name], level, method)


def combine_pieces(mean, se, prior_sd):
    """Random-effects prediction of a further piece of the lot, from several pieces.

    The spread between pieces is the method-of-moments estimate (variance of the estimates
    less their mean squared error), shrunk to a prior worth `PRIOR_PIECES` pieces.

    Parameters
    ----------
    mean, se : array_like, shape (pieces,)
        Estimate of each piece and its standard error.
    prior_sd : float
        Piece-to-piece standard deviation expected before, worth `PRIOR_PIECES` pieces.

    Returns
    -------
    mean, sd, fixed_sd : float
        Of a further piece; `fixed_sd` is the piece-to-piece part of `sd`.
    """
    mean, se = np.asarray(mean, dtype=float), np.asarray(se, dtype=float)
    k = mean.size - 1
    extra = max(float(mean.var(ddof=1) - np.mean(se**2)), 0.0) if k else 0.0
    between = (PRIOR_PIECES * prior_sd**2 + k * extra) / (PRIOR_PIECES + k)
    weight = 1 / (se**2 + between)
    return (
        float(weight @ mean / weight.sum()),
        float(sqrt(1 / weight.sum() + between)),
        float(sqrt(between)),
    )


def _life_moments(one: LifeEvidence):
    """A piece's log life ratio and its standard deviation, without the reference's own share.

    A result in Student's t is taken as the normal with the same 95 % interval.
    """
    if not one.se >= 0 or not np.isfinite(one.log_ratio):
        raise UnusableInput(f"{one.log_ratio} ± {one.se}", "life", "give log ratio and its error")
    se = one.se
    if np.isfinite(one.df):
        se *= float(stdtrit(one.df, 0.975) / ndtri(0.975))
    spread = 0.0 if one.between_blades_in_se else BLADE_SD_LOG / sqrt(one.blades)
    return one.log_ratio, max(sqrt(se**2 + spread**2), LEAST_SD)


def _reference_sd(items):
    """How far the reference blades may stand off their kind: shared by all pieces run on them."""
    shares = [
        0.0 if one.between_blades_in_se else BLADE_SD_LOG / sqrt(one.reference_blades)
        for one in items
    ]
    return max(shares)


def _gather(items, moments, prior_sd, lot):
    """Inverse-variance mean, its sd and fixed sd: of one piece, or of a further one of the lot."""
    names = list(dict.fromkeys(item.piece for item in items))
    means, sds = np.empty(len(names)), np.empty(len(names))
    for i, name in enumerate(names):
        m, s = np.array([moments(item) for item in items if item.piece == name]).T
        weight = 1 / s**2
        means[i], sds[i] = weight @ m / weight.sum(), 1 / sqrt(weight.sum())
    if lot:
        return combine_pieces(means, sds, prior_sd)
    return float(means[0]), float(sds[0]), 0.0


def life_belief(items, *, full, light, lot):
    """Belief in the log life ratio; `full` and `light` are the least ratios wanted."""
    limits = (log(full), inf), (log(light), inf)
    if not items:
        return Belief("life", log(PRIOR_LIFE), PRIOR_SD_LOG_LIFE, *limits, evidence=False)
    mean, sd, fixed = _gather(items, _life_moments, PIECE_SD_LOG, lot)
    shared = _reference_sd(items)
    one = items[0]
    pure = len(items) == 1 and not lot and one.between_blades_in_se and np.isfinite(one.df)
    return Belief(
        "life",
        mean,
        hypot(sd, shared),
        *limits,
        fixed_sd=hypot(fixed, shared),
        student=(one.se, one.df) if pure else None,
    )


def _damage_moments(one: DamageEvidence):
    """Mean and sd of the log rate; no damage at all by the Jeffreys posterior of its exposure."""
    if not 0 <= one.low <= one.per_100 <= one.high or one.high == 0:
        what = f"{one.per_100:g} ({one.low:g} to {one.high:g}) is not a rate with its interval"
        raise UnusableInput(what, "damage", "give rate, low and high, with high above zero")
    reach = float(ndtri(0.5 + one.level / 2))
    if one.per_100 == 0:
        exposure = -log((1 - one.level) / 2) / one.high
        return float(digamma(0.5)) - log(exposure), sqrt(float(polygamma(1, 0.5)))
    if one.low == 0:
        return log(one.per_100), max(log(one.high / one.per_100) / reach, LEAST_SD)
    return log(one.per_100), max(log(one.high / one.low) / (2 * reach), LEAST_SD)


def damage_belief(items, *, full, light, lot):
    """Belief in the log damage rate; `full` and `light` are the greatest rates borne."""
    limits = (-inf, log(full)), (-inf, log(light))
    if not items:
        return Belief("damage", log(full), PRIOR_SD_LOG_DAMAGE, *limits, evidence=False)
    mean, sd, fixed = _gather(items, _damage_moments, PIECE_SD_LOG_DAMAGE, lot)
    return Belief("damage", mean, sd, *limits, fixed_sd=fixed)


def hardness_belief(result: HardnessResult | None, *, full, light, piece, lot):
    """Belief in the true hardness of the piece, or of a further piece of the lot."""
    if result is None:
        return Belief("hardness", sum(full) / 2, PRIOR_SD_HRC, full, light, evidence=False)
    if not lot:
        mean, sd = result.moments(piece)
        return Belief("hardness", mean, sd, full, light)
    mean, total = result.moments()
    if result.lot_mean_sd_hrc is None:  # one piece read: the others vary about it
        total, fixed = sqrt(total**2 + 2 * PIECE_SD_HRC**2), PIECE_SD_HRC
    else:
        fixed = sqrt(max(total**2 - result.lot_mean_sd_hrc**2, 0.0))
    return Belief("hardness", mean, total, full, light, fixed_sd=fixed)


def edge_belief(result: CaseResult | None, *, full_pct, light_pct):
    """Belief in the least carbon of the finished edge."""
    limits = (full_pct, inf), (light_pct, inf)
    if result is None:
        return Belief("edge", full_pct, PRIOR_SD_EDGE_PCT, *limits, evidence=False)
    sample = result.edge_carbon_samples
    return Belief("edge", float(sample.mean()), max(float(sample.std()), LEAST_SD), *limits)


def cracking_belief(counts, *, full, light):
    """Belief in the share of quenches that crack, from (cracked, quenched); Jeffreys prior."""
    cracked, quenched = (0, 0) if counts is None else counts
    if not 0 <= cracked <= quenched:
        what = f"{cracked} of {quenched} cracked"
        raise UnusableInput(what, "cracking", "give cracked and quenched counts")
    a, b = cracked + 0.5, quenched - cracked + 0.5
    mean, sd = float(digamma(a) - digamma(b)), sqrt(float(polygamma(1, a) + polygamma(1, b)))
    limits = (-inf, log(full / (1 - full))), (-inf, log(light / (1 - light)))
    return Belief("cracking", mean, sd, *limits, evidence=quenched > 0)
