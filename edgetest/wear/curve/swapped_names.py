"""Do the readings of two blades at one stage lie on each other's curves? Mean-shift test."""

from dataclasses import dataclass

import numpy as np

ERROR = 0.01  # chance that a study without a slip is told to have one (Bonferroni)
NEAR = 2.5  # standard errors within which the shift must be that of an exchange
MOST = 3  # slips looked for, one after the other


@dataclass(frozen=True)
class StageMeans:
    """One blade's stages as the fit has them.

    `cuts` and `log_mean` (S,), `residual` (S,) of the log means from the fitted curve, `slopes`
    (S, k) of the log curve by the parameters that this blade has for itself.
    """

    blade: str
    cuts: np.ndarray
    log_mean: np.ndarray
    residual: np.ndarray
    slopes: np.ndarray


def swapped_names(blades):
    """Pairs of blades whose readings at one stage were probably noted under each other's name.

    An exchange moves both stages by the same distance, one up and one down: the distance
    between the two readings. A pair is told where the readings, left free, ask for such a move
    (Student's t, the error from all other stages, Bonferroni over every pair at every stage),
    where that move is the exchange to within its error, and where no single reading put right
    explains more.

    Parameters
    ----------
    blades : sequence of StageMeans

    Returns
    -------
    list of (int, int, float)
        Numbers of both blades and the cuts of the stage, the clearest first.

    References
    ----------
    .. [1] R. D. Cook and S. Weisberg, "Residuals and Influence in Regression", Chapman and
       Hall 1982, section 2.2 (mean-shift outlier model; from memory).
    """
    found, residual = [], [np.array(b.residual, dtype=float) for b in blades]
    log_mean = [np.array(b.log_mean, dtype=float) for b in blades]
    bases = [_basis(b.slopes) for b in blades]
    for _ in range(MOST if len(blades) > 1 else 0):
        best = _clearest(blades, bases, residual, log_mean)
        if best is None:
            break
        (first, i), (second, j) = best
        found.append((first, second, float(blades[first].cuts[i])))
        move = log_mean[second][j] - log_mean[first][i]
        for blade, stage, by in ((first, i, move), (second, j, -move)):
            residual[blade][stage] += by
            log_mean[blade][stage] += by
    return found


def _basis(slopes):
    """Orthonormal columns (S, rank) that span what the fit can follow."""
    u, s, _ = np.linalg.svd(np.asarray(slopes, dtype=float), full_matrices=False)
    return u[:, s > 1e-10 * s.max(initial=0.0)]


def _clearest(blades, bases, residual, log_mean):
    """Blade and stage of both ends of the likeliest exchange; None where chance explains it."""
    left = [r - q @ (q.T @ r) for q, r in zip(bases, residual, strict=True)]
    free = np.concatenate([1 - (q**2).sum(axis=1) for q in bases])
    df = sum(len(q) - q.shape[1] for q in bases) - 1
    blade = np.repeat(np.arange(len(blades)), [len(one) for one in left])
    stage = np.concatenate([np.arange(len(one)) for one in left])
    pairs = _pairs(blade, np.concatenate([b.cuts for b in blades]))
    best = _exchange(pairs, np.concatenate(left), free, np.concatenate(log_mean), df)
    if best is None:
        return None
    return tuple((int(blade[end]), int(stage[end])) for end in best)


def _exchange(pairs, left, free, log_mean, df):
    """The two stages whose exchange explains most; None where chance or one reading does."""
    from scipy.special import stdtr

    first, second = pairs
    total = float(left @ left)
    if df < 1 or total <= 0 or not len(first):
        return None
    room = free[first] + free[second]
    pull, move = left[second] - left[first], log_mean[second] - log_mean[first]
    swap = 2 * move * pull - move**2 * room  # of the sum of squares, gained by the exchange
    best = int(np.argmax(swap))
    one_reading = np.max(left**2 / np.maximum(free, 1e-9))  # gained by putting one stage right
    shift, gain = pull[best] / room[best], pull[best] ** 2 / room[best]
    error = np.sqrt(max((total - gain) / df, 1e-300) / room[best])
    told = 2 * stdtr(df, -abs(shift) / error) * len(first) < ERROR
    if told and abs(move[best] - shift) < NEAR * error and swap[best] > one_reading:
        return first[best], second[best]
    return None


def _pairs(blade, cuts):
    """Every two stages of different blades at the same cuts (P,), (P,)."""
    pairs = []
    for at in np.unique(cuts):
        here = np.flatnonzero(cuts == at)
        pairs.append(here[np.array(np.triu_indices(len(here), 1))])
    first, second = np.concatenate(pairs, axis=1)
    other = blade[first] != blade[second]
    return first[other], second[other]
