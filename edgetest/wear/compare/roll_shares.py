"""How much of its cutting did each heat treatment do on each roll of the medium?

A roll (bundle, board) that wears an edge g times as fast makes a life of which it had the share s
shorter by s·log g, to first order. The log ratio of two heat treatments so moves by the sum over
the rolls of (share of the second less share of the first)·log g. Where log g scatters by a known
SD from roll to roll, that sum has a variance, and part of it is in the interval already: what
made blades of one heat treatment differ among themselves is in their scatter. The rest is not.
"""

from dataclasses import dataclass

import numpy as np

# Scatter of log life from one roll, board or day to the next; common practice, no source.
ASSUMED_SD_BLOCKS = 0.15
# Shares further apart than this are told; two rolls and no scatter of shares among the blades of
# one heat treatment, for which a tenth adds 0.02 to the SD of a log ratio. Our choice.
TOLD = 0.1
# Half the cutting and more on rolls that were not shared: what rolls differ by, which is assumed,
# would carry the answer, and where rolls differ twice as much, of steels alike 20 to 28 studies in
# 100 would still claim a difference. Below, what rolls differ by is added to the interval, so that
# a difference larger than that is still found.
TOO_FAR = 0.5


@dataclass(frozen=True)
class RollShares:
    """Shares of the cutting of two heat treatments by roll, and how unlike they are.

    `unlike` is the difference of the shares that no scatter between blades holds: 1 where each
    heat treatment had one roll of its own, 0 where all were shared evenly or by lot.
    """

    rolls: tuple[str, ...]
    first: tuple[float, ...]
    second: tuple[float, ...]
    unlike: float

    def sd_log_ratio(self, sd_rolls):
        """SD of the log ratio by the rolls alone, beyond the interval's own scatter."""
        return float(np.sqrt(2) * self.unlike * sd_rolls)


def shares_of_runs(run, cuts, roll, up_to_cuts):
    """Shares of each run's cutting by roll, up to one number of cuts for all.

    One end for all: up to its own life a blade that lasts longer would have a larger share of the
    later roll, though every blade changed at the same stage.

    Parameters
    ----------
    run, roll : array_like of str, shape (n,)
        Of each stage: the run, and the roll on which the blade was cut since the stage before;
        "" where it is not noted: it goes on with the last one noted.
    cuts : array_like, shape (n,)
        Cuts at the stage.
    up_to_cuts : float
        Where shares end, > 0. Beyond its last stage a run goes on with its last roll.

    Returns
    -------
    tuple of str, tuple of str, ndarray of shape (R, K)
        Runs that note a roll, rolls ("" before the first one noted), shares of each run, which
        add up to 1.
    """
    run, roll = np.asarray(run, dtype=str), np.asarray(roll, dtype=str)
    cuts = np.minimum(np.asarray(cuts, dtype=float), up_to_cuts)
    rows = {}
    for name in dict.fromkeys(run.tolist()):
        of_run = np.flatnonzero(run == name)
        of_run = of_run[np.argsort(cuts[of_run], kind="stable")]
        if any(roll[of_run] != ""):
            rows[name] = _shares(cuts[of_run].tolist(), roll[of_run].tolist(), up_to_cuts)
    rolls = tuple(dict.fromkeys(name for shares in rows.values() for name in shares))
    table = [[shares.get(name, 0.0) for name in rolls] for shares in rows.values()]
    return tuple(rows), rolls, np.array(table, dtype=float).reshape(len(rows), len(rolls))


def _shares(cuts, rolls, up_to_cuts):
    """Share of the cutting on each roll, of one run's stages in order."""
    noted = [name for name in rolls if name]
    on = noted[0] if len(set(noted)) == 1 else ""
    done = 0.0
    shares: dict[str, float] = {}
    for at, name in zip(cuts, rolls, strict=True):
        on = name or on
        if at > done:
            shares[on] = shares.get(on, 0.0) + (at - done) / up_to_cuts
            done = at
    if up_to_cuts > done:
        shares[on] = shares.get(on, 0.0) + (up_to_cuts - done) / up_to_cuts
    return shares


def roll_shares(shares, treatment, first, second, *, rolls, block=None):
    """How unlike the shares of two heat treatments are, as their comparison meets them.

    The shares are compared as the lives are, by least squares on heat treatment and, where lives
    are compared within blocks, on block: what a block did to all of it is out of the ratio. From
    the squared differences goes what their scatter within a heat treatment lets one expect.

    Parameters
    ----------
    shares : ndarray of shape (n, K)
        Of each replicate, by roll; each row adds up to 1.
    treatment : array_like of str, shape (n,)
    first, second : str
        Heat treatments.
    rolls : sequence of str, length K
    block : array_like of str, shape (n,), optional
        Left out where blocks are in the scatter; no use is made of it where it cannot be told
        from the heat treatment.

    Returns
    -------
    RollShares or None
        None where a heat treatment has no replicate with shares.
    """
    treatment = np.asarray(treatment, dtype=str)
    if not ((treatment == first).any() and (treatment == second).any()):
        return None
    names = np.unique(treatment)
    contrast = (names == second).astype(float) - (names == first)
    design = (treatment[:, None] == names).astype(float)
    if block is not None:
        blocks = np.unique(np.asarray(block, dtype=str))[1:]
        wide = np.hstack([design, np.asarray(block, dtype=str)[:, None] == blocks])
        asked = np.append(contrast, np.zeros(len(blocks)))
        if np.allclose(asked @ np.linalg.pinv(wide) @ wide, asked):
            design, contrast = wide, asked
    inverse = np.linalg.pinv(design)
    weights = contrast @ inverse
    difference = weights @ shares
    left = shares - design @ (inverse @ shares)
    df = len(shares) - np.linalg.matrix_rank(design)
    in_scatter = (left**2).sum() / df * (weights @ weights) if df > 0 else 0.0
    unlike = np.sqrt(max(0.0, (difference @ difference - in_scatter) / 2))
    of_first, of_second = (
        tuple(shares[treatment == name].mean(axis=0).tolist()) for name in (first, second)
    )
    return RollShares(tuple(rolls), of_first, of_second, float(unlike))
