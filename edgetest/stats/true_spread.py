"""How far do the things that studies compare truly differ? Posterior of a standard deviation."""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import estimate_parts, format_estimate

# Scale of the half-normal SD of true log ratios. Chosen by tests/benchmarks/chances_table.py:
# said minus true stays within 0.03 for treatments that differ by an SD of 0.10 and of 0.25.
PRIOR_SCALE = 0.25
# The same before studies teach it. With 0.25 an SD of 0.6 was held in 76 to 81 % of simulated
# shops, with 0.4 and the parts below in 95 to 97 %, one of 0.05 to 0.4 in 94 to 99 % (3, 6 and 12
# studies, 200 shops, odd seeds of `tests.benchmarks.spread_table`).
LEARNT_SCALE = 0.4
FAR = 6  # scales, beyond which the half-normal holds nothing
NODES, LEARNT_NODES = 20, 80  # of the half-normal itself, and of what studies made sharper
# Of the variance of a true difference, what stays the same from study to study of one pair: flat.
LASTING = (0.02, 0.3, 0.6, 0.9, 0.98, 0.998)
LEAST_STUDIES = 3  # that compared two heat treatments; own choice, as the shop book's
ENDS = (0.025, 0.5, 0.975)


@dataclass(frozen=True)
class TrueSpread:
    """SD of true log ratios of two heat treatments: median and 95 % interval of its posterior.

    `studies` is how many taught it; 0 of the prior itself. `nodes` and `masses` are the
    posterior, for quadrature.
    """

    sd: float
    low: float
    high: float
    studies: int
    nodes: np.ndarray = field(repr=False, compare=False)
    masses: np.ndarray = field(repr=False, compare=False)

    def to_dict(self):
        """JSON-plain values."""
        return {"sd": self.sd, "low": self.low, "high": self.high, "studies": self.studies}

    def prior(self):
        """What it is as a prior of a true log ratio, in words."""
        if not self.studies:
            return (
                "our own prior, not the shop's: true log ratios of lives are normal about 0 with "
                f"an SD that is half-normal with scale {PRIOR_SCALE:g}"
            )
        return (
            "the shop's own: true log ratios of lives are normal about 0 with an SD of which "
            f"{self.studies} earlier studies say {format_estimate(self.sd, self.low, self.high)}"
        )

    def words(self):
        """The SD as a maker reads it: "22 % (12 to 40 %)"."""
        shown, ends = estimate_parts(100 * self.sd, 100 * self.low, 100 * self.high)
        return f"{shown} % ({ends} %)"

    def summary(self):
        """What the chances take true differences to be, and from where."""
        if not self.studies:
            return (
                f"That true differences between heat treatments are about {self.words()} is an "
                "assumption of this program, not measured in your shop."
            )
        return (
            f"That true differences between heat treatments are about {self.words()} comes from "
            f"{self.studies} earlier studies of your shop."
        )


def believed_spread():
    """The prior: an SD that is half-normal, most differences little and a few much.

    Returns
    -------
    TrueSpread
    """
    return _believed()


@lru_cache(maxsize=1)
def _believed():
    nodes, masses = _half_normal(NODES, PRIOR_SCALE)
    return _spread(nodes, masses, 0)


def learnt_spread(studies):
    """What studies teach of how far heat treatments differ: normal model, half-normal prior.

    A true log ratio has a part that lasts and a part of its own in each study; an arm (heat
    treatment) that several studies had is one arm. Over a grid of the SD of a difference, and of
    the share of it that lasts, the marginal likelihood of both parts is multiplied by the
    prior [1]_.

    Parameters
    ----------
    studies : sequence of StudyEffects
        Log effects within each study, with their covariance.

    Returns
    -------
    TrueSpread or None
        None of fewer than `LEAST_STUDIES`: so few would teach the prior back.

    Raises
    ------
    UnusableInput
        A covariance that is none.

    References
    ----------
    .. [1] A. Gelman, "Prior distributions for variance parameters in hierarchical models",
       Bayesian Anal. 1 (2006) 515.
    """
    studies = tuple(studies)
    if len(studies) < LEAST_STUDIES:
        return None
    nodes, masses = _half_normal(LEARNT_NODES, LEARNT_SCALE)
    log_likelihood = np.logaddexp.reduce(list(_log_likelihoods(studies, nodes)), axis=0)
    posterior = masses * np.exp(log_likelihood - log_likelihood.max())
    return _spread(nodes, posterior / posterior.sum(), len(studies))


def _log_likelihoods(studies, nodes):
    """By the part that lasts: log likelihood at each SD of a true difference."""
    arms = sorted({arm for study in studies for arm in study.arms})
    count = sum(len(study.log_effects) for study in studies)
    y = np.concatenate([study.log_effects for study in studies])
    within, own = np.zeros((2, count, count))
    contrasts, at = np.zeros((count, len(arms))), 0
    for study in studies:
        rows = slice(at, at + len(study.log_effects))
        within[rows, rows] = study.covariance
        own[rows, rows] = np.eye(len(study.log_effects)) + 1.0
        contrasts[rows, arms.index(study.arms[0])] = -1.0
        for row, arm in enumerate(study.arms[1:], at):
            contrasts[row, arms.index(arm)] = 1.0
        at = rows.stop
    try:
        root = np.linalg.inv(np.linalg.cholesky(within))
    except np.linalg.LinAlgError:
        raise UnusableInput("a study's covariance is none", "studies",
                            "leave that study out") from None  # fmt: skip
    for share in LASTING:
        shared = share * contrasts @ contrasts.T + (1 - share) * own
        sizes, turn = np.linalg.eigh(root @ shared @ root.T)
        squares = (turn.T @ root @ y) ** 2
        grown = 1 + nodes[:, None] ** 2 / 2 * np.maximum(sizes, 0.0)
        yield -(np.log(grown) + squares / grown).sum(axis=1) / 2


def _half_normal(count, scale):
    """Nodes and masses of the half-normal SD, dense near 0."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    root = (nodes + 1) / 2  # the SD is `FAR` scales times the square of it
    tau = FAR * scale * root**2
    mass = weights * root * np.exp(-0.5 * (tau / scale) ** 2)
    return tau, mass / mass.sum()


def _spread(nodes, masses, studies):
    """Median and interval of a posterior on nodes, its mass lying about each."""
    below = np.cumsum(masses) - masses / 2
    low, middle, high = np.interp(ENDS, below, nodes).tolist()
    return TrueSpread(middle, low, high, studies, nodes, masses)
