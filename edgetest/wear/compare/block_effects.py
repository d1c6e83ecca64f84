"""What rolls, boards and days do to lives: heat treatments within blocks, drift by a control."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class BlockFit:
    """Least squares of log life on heat treatment and block."""

    effects: np.ndarray  # (treatments,) relative to their mean
    unscaled: np.ndarray  # (treatments, treatments) covariance of the effects / variance
    variance: float
    df: int
    complete: bool  # every block holds every heat treatment


def fit_blocks(treatment, block, log_life):
    """Heat treatments compared within blocks.

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
    table = np.zeros((block.max() + 1, count))
    np.add.at(table, (block, treatment), 1)
    return BlockFit(
        effects=coding @ params[-(count - 1) :],
        unscaled=coding @ inner @ coding.T,
        variance=variance,
        df=int(df),
        complete=bool((table > 0).all()),
    )


def control_drift(log_life, log_life_se, block, is_control):
    """What the control blade says of each block: how far its medium stood from the mean.

    Parameters
    ----------
    log_life, log_life_se : array_like, shape (n,)
        Log lives and their standard uncertainties, control runs among them.
    block : array_like of str, shape (n,)
    is_control : array_like of bool, shape (n,)
        At least one true.

    Returns
    -------
    drift : ndarray, shape (n,)
        Control's mean in the row's block less its mean over blocks; 0 in a block without.
    drift_se : ndarray, shape (n,)
        Its standard uncertainty, common to all rows of the block.
    bare : list of str
        Blocks that hold blades and no control run.
    """
    names, where = np.unique(block[is_control], return_inverse=True)
    runs = np.bincount(where)
    level = np.bincount(where, weights=log_life[is_control]) / runs
    stderr = np.sqrt(np.bincount(where, weights=log_life_se[is_control] ** 2)) / runs
    place = {name: i for i, name in enumerate(names.tolist())}
    rows = [place.get(name) for name in block.tolist()]
    drift = np.array([0.0 if i is None else level[i] - level.mean() for i in rows])
    drift_se = np.array([0.0 if i is None else stderr[i] for i in rows])
    return drift, drift_se, sorted(set(block[~is_control].tolist()) - set(place))
