"""Contrasts of treatments in incomplete blocks: recovery of inter-block information.

A result is y = treatment + block + e; the blocks' effects are normal with SD B, and e, a blade's
own part, with SD S. Where treatments do not stand in the blocks alike, as of unequal numbers, each
of the two compared has an S of its own. A control has a treatment's effect of its own and scatters
by an SD of its own, C: its runs say something of the blocks and never of how much blades scatter.
For known S, B and C the treatments' effects are those of generalised least squares (Yates [1]_);
what is not known of the three is averaged out, which is what makes the degrees of freedom honest
(Box and Tiao [2]_).

References
----------
.. [1] F. Yates, "The recovery of inter-block information in balanced incomplete block
   designs", Annals of Eugenics 10 (1940) 317-325.
.. [2] G. E. P. Box, G. C. Tiao, Bayesian Inference in Statistical Analysis (1973), ch. 7.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

import numpy as np
from scipy.special import ndtr, ndtri, stdtrit

from edgetest.stats.contrast import contrast
from edgetest.stats.uneven_scatter import df_of_sizes, part_of_scatter, ratios_of_scatter

# Prior of the blocks' SD and of the control's own, of log lives: half-Cauchy about this. Own
# choice by simulation, no source; the table stands among the guide's tables.
SCALE = 0.1
# SDs of blocks and control that are tried, even in log; the least stands for all below it.
BLOCKS = np.geomspace(0.004, 3.0, 22)
CONTROL = np.geomspace(0.01, 1.0, 14)
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(32)
SQRT_2_PI = float(np.sqrt(2 * np.pi))
QUANTILE_AT = 1e-10  # a quantile is found to this share of the SD
LEAST_WEIGHT = 1e-16  # of the heaviest part; lighter ones do not enter a quantile
SMALLEST = 1e-6  # SD of log life that stands for none
# The least that is tried: with less the blocks' share of the normal equations is lost in rounding.
LEAST_TRIED = 1e-5
BY_WEIGHT = "t, blocks weighed"


@dataclass(frozen=True)
class BlockedResults:
    """One result a row: its treatment (from 0), its block (from 0); the control's runs apart."""

    y: np.ndarray  # (n,)
    treatment: np.ndarray
    block: np.ndarray
    control_y: np.ndarray  # (m,)
    control_block: np.ndarray

    @property
    def blocks(self):
        """Number of blocks, with those that hold the control alone."""
        return int(max(self.block.max(), self.control_block.max(initial=0))) + 1

    @property
    def treatments(self):
        """Number of treatments, the control not counted."""
        return int(self.treatment.max()) + 1

    @property
    def even(self):
        """Whether any two treatments can swap names: AAAB BB, a lone B beside three A, cannot."""
        held = np.eye(self.blocks, dtype=int)[self.block].T @ _of_treatments(self)
        pairs = (held[:, pair].tolist() for pair in combinations(range(self.treatments), 2))
        return all(sorted(pair) == sorted(two[::-1] for two in pair) for pair in pairs)


@dataclass(frozen=True)
class MixtureContrast:
    """Second treatment minus first as a mixture of normals; reads like a `Contrast`.

    `df` is that of the scatter between blades; `stderr` the half-width at `level` over its
    t quantile, so that difference, stderr and df tell the interval as a t interval would.
    """

    weight: np.ndarray
    centre: np.ndarray
    spread: np.ndarray
    df: float
    level: float
    method: str

    @cached_property
    def difference(self):
        """The middle of what the difference may be: its median."""
        return self.quantile(0.5)

    @cached_property
    def half_width(self):
        """Half of the interval at `level`."""
        tail = (1 - self.level) / 2
        return (self.quantile(1 - tail) - self.quantile(tail)) / 2

    @property
    def stderr(self):
        """Standard error that goes with `df`."""
        return self.half_width / float(stdtrit(self.df, 0.5 + self.level / 2))

    def probability_above(self, shift=0.0):
        """Chance that the difference is above `shift`."""
        return float(self.weight @ ndtr((self.centre - shift) / self.spread))

    @cached_property
    def _parts(self):
        """Weight, centre and spread of the parts that weigh anything; most do not."""
        some = ~(self.weight <= LEAST_WEIGHT * self.weight.max())  # what is no number stays one
        return self.weight[some], self.centre[some], self.spread[some]

    def quantile(self, probability):
        """Quantile of the difference, by Newton's method kept within a bracket."""
        weight, centre, spread = self._parts
        at = float(weight @ centre)
        sd = float(np.sqrt(weight @ (spread**2 + (centre - at) ** 2)))
        low, high = at - 80 * sd, at + 80 * sd
        at += sd * float(ndtri(probability))
        for _ in range(60):
            z = (at - centre) / spread
            excess = float(weight @ ndtr(z)) - probability
            low, high = (low, at) if excess > 0 else (at, high)
            density = float(weight @ (np.exp(-0.5 * z**2) / spread)) / SQRT_2_PI
            step = at - excess / density if density > 0 else low
            last, at = at, step if low < step < high else (low + high) / 2
            if abs(at - last) <= QUANTILE_AT * sd:
                break
        return at

    def limits(self, level, family):
        """Ends of the interval at `level`; a family of comparisons by Sidak's bound."""
        tail = (1 - level ** (1 / family.size)) / 2
        return self.quantile(tail), self.quantile(1 - tail)

    def widened(self, variance):
        """The contrast with a further, known `variance` of the difference added."""
        return replace(self, spread=np.sqrt(self.spread**2 + variance))


def recovered_contrast(results, first, second, *, level=0.95):
    """Contrast of two treatments from within blocks, between them, and from the control.

    Parameters
    ----------
    results : BlockedResults
    first, second : int
        The difference is second less first.
    level : float

    Returns
    -------
    MixtureContrast or Contrast
        The latter, without any scatter, where all blades of a treatment lived alike.
        Where blades of one block leave at least `WITHIN_DF` degrees of freedom, the scatter
        between blades is learned from them alone, whatever the blocks turn out to do: with
        complete blocks this is the paired t interval. Else from all blades together.
    """
    square, df = _about_treatments(results)
    if square < df * SMALLEST**2:
        means = [results.y[results.treatment == which].mean() for which in (first, second)]
        return contrast(float(means[1] - means[0]), 0.0, float(df), level, BY_WEIGHT)
    within_square, within_df = _within(results)
    within = within_df >= WITHIN_DF
    if within:
        square, df = within_square, within_df
    uneven = not results.even
    sd, mass = _scatter_nodes(square, df, within)
    ratio, of_ratio = np.zeros(1), np.ones(1)
    if uneven:
        smaller = np.bincount(results.treatment)[[first, second]].min()
        ratio, of_ratio = ratios_of_scatter(within, smaller)
    control = _controls(results, uneven)
    s, u, b, c = (x.ravel() for x in np.meshgrid(sd, ratio, BLOCKS, control, indexing="ij"))
    own = np.repeat(s[:, None], results.treatments, axis=1)
    own[:, first] *= part_of_scatter(-u)
    own[:, second] *= part_of_scatter(u)
    evidence, effects, cov = _generalised_least_squares(results, own, b, c)
    evidence = evidence.reshape(len(sd), len(ratio), len(BLOCKS), len(control))
    evidence = evidence + np.log(_prior(BLOCKS))[:, None]
    evidence = evidence + (np.log(_prior(control)) if len(control) > 1 else 0.0)
    if within:  # what the blocks may be, for each scatter; the scatters' own weight beside
        weight = np.exp(evidence - evidence.max(axis=(2, 3), keepdims=True))
        weight = weight / weight.sum(axis=(2, 3), keepdims=True)
    else:
        weight = np.exp(evidence - evidence.max())
    of_scatter = mass[:, None] * of_ratio
    if within and uneven:
        each = own[:: len(BLOCKS) * len(control)]
        told = _by_squares_within(results, each).reshape(len(sd), len(ratio))
        of_scatter = _WEIGHTS[:, None] * of_ratio * told
    weight = weight * of_scatter[:, :, None, None]
    weight = weight / weight.sum()
    asked = np.zeros(effects.shape[1])
    asked[second], asked[first] = 1.0, -1.0
    variance = np.einsum("i,gij,j->g", asked, cov, asked)
    return MixtureContrast(
        weight.ravel(),
        effects @ asked,
        np.sqrt(variance),
        _df_told(results, (first, second), within_df) if uneven else float(df),
        level,
        "t, blocks by the control" if not within and len(results.control_y) else BY_WEIGHT,
    )


def _df_told(results, pair, within_df):
    """Degrees of freedom of two scatters, no more than blades of one block leave.

    With a control no more than all blades leave, for its runs tell what the blocks did.
    """
    most = len(results.y) - results.treatments if len(results.control_y) else within_df
    return df_of_sizes(np.bincount(results.treatment)[list(pair)], most)


def _controls(results, uneven):
    """SDs of the control that are tried: fewer where scatters of the treatments are tried too."""
    if not len(results.control_y):
        return np.ones(1)
    return CONTROL[::2] if uneven else CONTROL


# Degrees of freedom from which the scatter is learned within blocks alone; below, what the
# blocks' own means tell of it beside makes intervals a third narrower where blocks hardly
# differ, and they cover no less. By simulation; the table stands among the guide's tables.
WITHIN_DF = 3
# Share of its degrees of freedom that the scatter is held back by where it is learned beside
# the blocks: with none the intervals cover up to 2 points too little. Own choice by simulation.
HELD_BACK = 0.1
APART = 30.0  # SD of blocks so far apart that their means tell nothing


def _by_squares_within(results, own):
    """Weight of scatters (G, treatments) by what blades of one block tell of them."""
    none = results.control_y[:0], results.control_block[:0]
    blades = replace(results, control_y=none[0], control_block=none[1])
    apart = np.full(len(own), APART)
    evidence, _, _ = _generalised_least_squares(blades, own, apart, np.ones(len(own)))
    return np.exp(evidence - evidence.max())


def _scatter_nodes(square, df, within):
    """Scatters between blades to try, and their mass: prior 1/SD, with the squares where known."""
    sd = max(np.sqrt(square / df), SMALLEST)
    spread = np.sqrt(0.5 / df)
    low, high = (-8 * spread, max(8 * spread, 12 / df)) if within else (-4.0, 12 / df)
    low, high = max(low, -4.0), min(high, 7.0)
    x = low + (high - low) * (_NODES + 1) / 2
    log_mass = -df * x - df / 2 * np.exp(-2 * x) if within else HELD_BACK * df * x
    mass = _WEIGHTS * np.exp(log_mass - log_mass.max())
    return np.maximum(sd * np.exp(x), LEAST_TRIED), mass / mass.sum()


def _prior(sd):
    """Mass of each SD tried: half-Cauchy."""
    ends = np.r_[0.0, np.sqrt(sd[1:] * sd[:-1]), 1.2 * sd[-1]]
    mass = np.diff(ends) / (1 + (sd / SCALE) ** 2)
    return mass / mass.sum()


def _within(results):
    """Sum of squares between blades within blocks, and its degrees of freedom."""
    columns = np.hstack([np.eye(results.blocks)[results.block], _of_treatments(results)])
    return _left_over(columns, results.y)


def _about_treatments(results):
    """Sum of squares of blades about their treatment, and its degrees of freedom; 1 at least."""
    square, df = _left_over(_of_treatments(results), results.y)
    return square, max(df, 1)


def _of_treatments(results):
    """One column a treatment."""
    return np.eye(results.treatments)[results.treatment]


def _left_over(columns, y):
    """Sum of squares that the columns leave of y, and its degrees of freedom."""
    params, _, rank, _ = np.linalg.lstsq(columns, y, rcond=None)
    left = y - columns @ params
    return float(left @ left), int(len(y) - rank)


def _generalised_least_squares(results, s, b, c):
    """Restricted log-likelihood (G,), effects (G, p) and their covariance for each s, b, c.

    `s` has a column a treatment (G, treatments), `b` and `c` are (G,). Blocks that hold the same
    numbers enter by their sums, so the number of blocks costs nothing.
    """
    count, with_control = results.treatments, len(results.control_y) > 0
    kinds = count + with_control
    kind = np.concatenate([results.treatment, np.full(len(results.control_y), count)])
    block = np.concatenate([results.block, results.control_block])
    y = np.concatenate([results.y, results.control_y])
    precision = np.column_stack([s, c] if with_control else [s]) ** -2  # (G, kinds)
    of_kind = np.eye(kinds)[kind]
    # Sums by kind, of ones and of y; each kind's sum of ones is its own column, all y are one.
    of_blocks = np.eye(results.blocks)[block].T @ np.hstack([of_kind, of_kind * y[:, None]])
    gather = np.zeros((2 * kinds, kinds + 1))
    gather[range(kinds), range(kinds)], gather[kinds:, kinds] = 1.0, 1.0
    scale = np.hstack([precision, precision])[:, :, None] * gather  # (G, 2 kinds, kinds + 1)
    rows = np.column_stack([of_kind, y])
    squares = np.einsum("nk,ni,nj->kij", of_kind, rows, rows)
    normal = np.einsum("gk,kij->gij", precision, squares)
    log_det = -np.log(precision) @ of_kind.sum(axis=0)
    held = of_blocks[:, :kinds]
    for numbers in np.unique(held, axis=0):
        alike = of_blocks[(held == numbers).all(axis=1)]
        inside = 1 + b**2 * (precision @ numbers)
        drawn = (b**2 / inside)[:, None, None]
        normal -= drawn * (scale.transpose(0, 2, 1) @ (alike.T @ alike) @ scale)
        log_det = log_det + len(alike) * np.log(inside)
    p = kinds
    cov, log_of_cov = _inverse(normal[:, :p, :p])
    effects = np.einsum("gij,gj->gi", cov, normal[:, :p, p])
    left = normal[:, p, p] - np.einsum("gi,gi->g", normal[:, :p, p], effects)
    evidence = -0.5 * (log_det - log_of_cov + left)
    return evidence, effects, cov


def _inverse(normal):
    """Inverse of each matrix (G, p, p) and its log-determinant; two and three rows by cofactors.

    Cofactors lose as many digits as the determinant is smaller than the product of the diagonal.
    """
    p = normal.shape[1]
    if p not in (2, 3):
        return _by_elimination(normal)
    cov = np.empty_like(normal)
    for i, j in zip(*np.triu_indices(p), strict=True):
        rows = [k for k in range(p) if k != i]
        columns = [k for k in range(p) if k != j]
        minor = normal[:, rows][:, :, columns]
        cofactor = minor[:, 0, 0] if p == 2 else _two(minor)
        cov[:, i, j] = cov[:, j, i] = (-1) ** (i + j) * cofactor
    det = np.einsum("gj,gj->g", normal[:, 0], cov[:, 0])
    if np.any(det < 1e-6 * np.prod(np.einsum("gii->gi", normal), axis=1)):
        return _by_elimination(normal)
    return cov / det[:, None, None], -np.log(det)


def _by_elimination(normal):
    cov = np.linalg.inv(normal)
    return cov, np.linalg.slogdet(cov)[1]


def _two(matrix):
    """Determinant of matrices of two rows (G, 2, 2)."""
    return matrix[:, 0, 0] * matrix[:, 1, 1] - matrix[:, 0, 1] * matrix[:, 1, 0]
