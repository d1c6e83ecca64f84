"""How rolls, boards and days enter a comparison: the analysis that the layout of blocks calls for.

Decided by which blade stood in which block, never by how much the blocks turn out to differ:

- every block holds the heat treatments in the same shares: blocks cancel in the difference, and
  blades are judged within blocks (with one blade of each of two, the paired t test). A control
  has nothing to add. Of unequal numbers each heat treatment has its own scatter, as without blocks.
- blocks that do not: blades within blocks, and what the blocks' own means and the control tell
  of them beside (`edgetest.stats.inter_block`). Where two heat treatments cannot swap places in
  the blocks (AAAB BB: one B beside three A decides) each has its own scatter too. Blocks that
  hold one heat treatment each, with no control, tell nothing: they stay in the scatter.
- blades that ran more than once, in differing blocks, and batches whose blades stood in differing
  blocks, where batches count once: blade (batch) and block are random effects. Where each ran in
  the blocks in the same shares, they cancel in its mean.
- two complete blocks: they stay in the scatter, which makes the interval wider and never too
  narrow.
"""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.stats.contrast import contrast
from edgetest.stats.inter_block import BlockedResults, recovered_contrast
from edgetest.stats.mixed import fit_mixed
from edgetest.stats.uneven_scatter import df_of_sizes


@dataclass(frozen=True)
class BlockFit:
    """Least squares of log life on heat treatment and block."""

    effects: np.ndarray  # (treatments,) relative to their mean
    unscaled: np.ndarray  # (treatments, treatments) covariance of the effects / variance
    variance: float
    df: int
    complete: bool  # every block holds the heat treatments in the same shares

    def contrast(self, first, second, level):
        """Second treatment less first, by the scatter within blocks."""
        difference = self.effects[second] - self.effects[first]
        variance = self.variance * self.unscaled_difference(first, second)
        return contrast(difference, variance, float(self.df), level, "t within blocks")

    def unscaled_difference(self, first, second):
        """Variance of the difference over that between blades."""
        cov = self.unscaled
        return float(cov[first, first] + cov[second, second] - 2 * cov[first, second])


@dataclass(frozen=True)
class BlockPlan:
    """The analysis that the blocks call for: within complete ones (`fit`), or by all they tell."""

    results: BlockedResults
    fit: BlockFit | None  # of complete blocks alone

    @property
    def weighed(self):
        """Whether all that the blocks tell is weighed, no one scatter taken from within them."""
        return self.fit is None or not self.results.even

    @property
    def by_control(self):
        """Whether the control's runs have a part in it."""
        return self.fit is None and len(self.results.control_y) > 0

    def contrast(self, first, second, level):
        """Second treatment less first."""
        if self.fit is not None and not self.weighed:
            return self.fit.contrast(first, second, level)
        return recovered_contrast(self.results, first, second, level=level)


@dataclass(frozen=True)
class RunsPlan:
    """Runs of blades that stood in several blocks: blades and blocks are random effects."""

    results: BlockedResults  # a row a run
    blade: np.ndarray  # of each run
    fit = None
    weighed = True

    @property
    def by_control(self):
        """Whether the control's runs have a part in it."""
        return len(self.results.control_y) > 0

    def contrast(self, first, second, level):
        """Second treatment less first, by restricted maximum likelihood.

        Satterthwaite's degrees of freedom, never more than the blades bear; of unequal numbers
        no more than a scatter each would leave.
        """
        runs = self.results
        kind = np.concatenate([runs.treatment, np.full(len(runs.control_y), runs.treatments)])
        control = [f"control run {i}" for i in range(len(runs.control_y))]
        blade = np.concatenate([np.char.add("blade ", self.blade), np.array(control, dtype=str)])
        block = np.concatenate([runs.block, runs.control_block])
        same = (blade[:, None] == blade) & (kind < runs.treatments)
        levels = {"blade": same.astype(float), "block": np.equal.outer(block, block).astype(float)}
        y = np.concatenate([runs.y, runs.control_y])
        fit = fit_mixed(y, np.eye(kind.max() + 1)[kind], levels)
        asked = np.zeros(kind.max() + 1)
        asked[second], asked[first] = 1.0, -1.0
        found = fit.contrast(asked, level)
        blades = dict(zip(self.blade.tolist(), runs.treatment.tolist(), strict=True))
        sizes = np.bincount(list(blades.values()))
        most = float(max(len(blades) - runs.treatments, 1))
        if len(set(sizes.tolist())) > 1:
            most = df_of_sizes(sizes[[first, second]], most)
        df = min(float(found.df), most)
        return contrast(found.difference, found.stderr**2, df, level, found.method)


def plan_runs(results, blade):
    """How blades that ran in several blocks are compared.

    Parameters
    ----------
    results : BlockedResults
        A row a run.
    blade : array_like of str, shape (n,)

    Returns
    -------
    RunsPlan or None
        None where every blade (batch) ran in the same blocks in the same shares: they cancel
        in its mean, of however many runs.
    """
    _, of = np.unique(blade, return_inverse=True)
    table = np.zeros((of.max() + 1, results.block.max() + 1))
    np.add.at(table, (of, results.block), 1.0)
    shares = table / table.sum(axis=1, keepdims=True)
    return None if np.allclose(shares, shares[0]) else RunsPlan(results, np.asarray(blade, str))


def plan_blocks(results):
    """Which analysis blocks call for, and the codes of what is to be said of it.

    Parameters
    ----------
    results : BlockedResults
        Blades' log lives and the control's runs.

    Returns
    -------
    BlockPlan or None
        None where the blocks stay in the scatter, or there is only one.
    codes : tuple of str
    """
    if results.blocks < 2:
        return None, ()
    fit = fit_blocks(results.treatment, results.block, results.y)
    control = len(results.control_y) > 0
    if fit is not None and fit.complete:
        unneeded = ("control_not_needed",) if control else ()
        if fit.df < PAIRS_DF:
            return None, ("blocks_too_few", *unneeded)
        none = results.control_y[:0], results.control_block[:0]
        return BlockPlan(replace(results, control_y=none[0], control_block=none[1]), fit), unneeded
    codes = () if control else ("incomplete_block",)
    if control or told_apart(results.treatment, results.block):
        return BlockPlan(results, None), codes
    return None, codes


# Degrees of freedom from which complete blocks are used. With one (two pairs) t is 12.7, which is
# worse than to leave the blocks in the scatter until rolls differ 2.6 times as much as blades.
PAIRS_DF = 2


def fit_blocks(treatment, block, log_life):
    """Heat treatments compared within blocks (intra-block analysis).

    Parameters
    ----------
    treatment, block : array_like of int, shape (n,)
        Indices from 0.
    log_life : array_like, shape (n,)

    Returns
    -------
    BlockFit or None
        None where blocks and heat treatments cannot be told apart. With one blade of
        each of two heat treatments in every block this is the paired t test.
    """
    treatment, block = np.asarray(treatment), np.asarray(block)
    count = treatment.max() + 1
    blocks = np.eye(block.max() + 1)[block]
    blocks = blocks[:, blocks.any(axis=0)]  # a block of the control alone holds no blade
    # Heat treatments coded against their mean, so that blocks carry the level.
    coding = np.vstack([np.eye(count - 1), -np.ones(count - 1)])
    design = np.hstack([blocks, coding[treatment]])
    rank = np.linalg.matrix_rank(design)
    if rank < design.shape[1]:
        return None
    params, *_ = np.linalg.lstsq(design, log_life, rcond=None)
    df = len(log_life) - rank
    residuals = log_life - design @ params
    variance = float(residuals @ residuals / df) if df > 0 else np.nan
    inner = np.linalg.inv(design.T @ design)[-(count - 1) :, -(count - 1) :]
    table = blocks.T @ np.eye(count)[treatment]
    shares = np.outer(table.sum(axis=1), table.sum(axis=0)) / len(treatment)
    return BlockFit(
        effects=coding @ params[-(count - 1) :],
        unscaled=coding @ inner @ coding.T,
        variance=variance,
        df=int(df),
        complete=bool(np.allclose(table, shares)),
    )


def told_apart(treatment, block):
    """Whether blocks link all heat treatments: no part of them stands on blocks of its own.

    Parameters
    ----------
    treatment, block : array_like of int, shape (n,)
        Indices from 0.
    """
    table = np.zeros((np.max(treatment) + 1, np.max(block) + 1))
    table[treatment, block] = 1.0
    linked = (table @ table.T) > 0
    reached = np.linalg.matrix_power(linked.astype(float), len(linked)) > 0
    return bool(reached[0].all())
