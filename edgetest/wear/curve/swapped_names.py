"""Do readings of two blades at some stages lie on each other's curves? Mean-shift test."""

from dataclasses import dataclass

import numpy as np

ERROR = 0.01  # chance that a study without a slip is told to have one (Bonferroni)
ERROR_OF_RUN = 1e-6  # the same of several stages, which shapes of wear imitate
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


@dataclass(frozen=True)
class _Exchange:
    """The likeliest exchange of its kind: who, which stages of each, and what it explains.

    `swap` is gained by it of the sum of squares; `pull` and `room` tell the move that the
    readings ask for, along the exchange: pull / room is 1 where it is the exchange itself.
    """

    first: int
    second: int
    stages: tuple[tuple[int, int], ...]
    swap: float
    pull: float
    room: float
    tried: int

    def told(self, total, df, one_reading):
        """Whether neither chance nor one reading put right explains as much."""
        from scipy.special import stdtr

        error = np.sqrt(max((total - self.pull**2 / self.room) / df, 1e-300) / self.room)
        share = self.pull / self.room
        error_told = ERROR if len(self.stages) == 1 else ERROR_OF_RUN
        clear = 2 * stdtr(df, -abs(share) / error) * self.tried < error_told
        return bool(clear and abs(1 - share) < NEAR * error and self.swap > one_reading)


def swapped_names(blades):
    """Pairs of blades whose readings at some stages were probably noted under each other's name.

    An exchange moves both blades' stages by the same distance, one up and one down: the distance
    between the two readings. A pair is told where the readings, left free, ask for such a move
    (Student's t, the error from all other stages, Bonferroni over every pair at every stage, or
    at every run of stages), where that move is the exchange to within its error, and where no
    single reading put right explains more. A run is shorter than half of the stages: the rest
    exchanged makes the same two curves.

    Parameters
    ----------
    blades : sequence of StageMeans

    Returns
    -------
    list of (int, int, tuple of float)
        Numbers of both blades and the cuts of the stages, the clearest first.

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
        one, two = best.first, best.second
        found.append((one, two, tuple(float(blades[one].cuts[i]) for i, _ in best.stages)))
        for i, j in best.stages:
            move = log_mean[two][j] - log_mean[one][i]
            for blade, stage, by in ((one, i, move), (two, j, -move)):
                residual[blade][stage] += by
                log_mean[blade][stage] += by
    return found


def _basis(slopes):
    """Orthonormal columns (S, rank) that span what the fit can follow."""
    u, s, _ = np.linalg.svd(np.asarray(slopes, dtype=float), full_matrices=False)
    return u[:, s > 1e-10 * s.max(initial=0.0)]


def _clearest(blades, bases, residual, log_mean):
    """The likeliest exchange; None where chance or one reading explains it."""
    left = [r - q @ (q.T @ r) for q, r in zip(bases, residual, strict=True)]
    free = np.concatenate([1 - (q**2).sum(axis=1) for q in bases])
    df = sum(len(q) - q.shape[1] for q in bases) - 1
    flat = np.concatenate(left)
    total = float(flat @ flat)
    if df < 1 or total <= 0:
        return None
    one_reading = np.max(flat**2 / np.maximum(free, 1e-9))  # gained by putting one stage right
    of_one = _of_one_stage(blades, flat, free, np.concatenate(log_mean))
    of_runs = _of_runs(blades, bases, left, log_mean)
    told = [one for one in (of_one, of_runs) if one and one.told(total, df, one_reading)]
    return max(told, key=lambda one: one.swap, default=None)


def _of_one_stage(blades, left, free, log_mean):
    """The two blades and the stage whose exchange explains most; None without a pair."""
    blade = np.repeat(np.arange(len(blades)), [len(b.cuts) for b in blades])
    stage = np.concatenate([np.arange(len(b.cuts)) for b in blades])
    first, second = _pairs(blade, np.concatenate([b.cuts for b in blades]))
    if not len(first):
        return None
    move = log_mean[second] - log_mean[first]
    pull = move * (left[second] - left[first])
    room = move**2 * (free[first] + free[second])
    best = int(np.argmax(2 * pull - room))
    one, two = first[best], second[best]
    stages = ((int(stage[one]), int(stage[two])),)
    return _exchange(int(blade[one]), int(blade[two]), stages, pull[best], room[best], len(first))


def _exchange(first, second, stages, pull, room, tried):
    """An exchange from what pulls at it; None where both read the same."""
    if not room > 0:
        return None
    swap = 2 * pull - room
    return _Exchange(first, second, stages, float(swap), float(pull), float(room), tried)


def _of_runs(blades, bases, left, log_mean):
    """The two blades of the same stages and the run of these whose exchange explains most."""
    groups: dict[bytes, list[int]] = {}
    for number, b in enumerate(blades):
        groups.setdefault(np.asarray(b.cuts, dtype=float).tobytes(), []).append(number)
    best, tried = None, 0
    for members in (np.array(group) for group in groups.values() if len(group) > 1):
        free = np.stack([np.eye(len(bases[m])) - bases[m] @ bases[m].T for m in members])
        rest, mean = np.stack([left[m] for m in members]), np.stack([log_mean[m] for m in members])
        one, two = np.triu_indices(len(members), 1)
        for run in _runs(rest.shape[1]):
            move = mean[two][:, run] - mean[one][:, run]
            pull = np.einsum("pk,pk->p", move, rest[two][:, run] - rest[one][:, run])
            both = free[one][:, run, run] + free[two][:, run, run]
            room = np.einsum("pk,pkl,pl->p", move, both, move)
            tried += len(pull)
            k = int(np.argmax(2 * pull - room))
            if best is None or 2 * pull[k] - room[k] > best[-1]:
                stages = tuple((i, i) for i in range(run.start, run.stop))
                ends = int(members[one[k]]), int(members[two[k]])
                best = (*ends, stages, pull[k], room[k], 2 * pull[k] - room[k])
    return None if best is None else _exchange(*best[:-1], tried)


def _runs(stages):
    """Every run of two stages or more that is shorter than half of them."""
    for length in range(2, (stages - 1) // 2 + 1):
        for start in range(stages - length + 1):
            yield slice(start, start + length)


def _pairs(blade, cuts):
    """Every two stages of different blades at the same cuts (P,), (P,)."""
    pairs = []
    for at in np.unique(cuts):
        here = np.flatnonzero(cuts == at)
        pairs.append(here[np.array(np.triu_indices(len(here), 1))])
    first, second = np.concatenate(pairs, axis=1)
    other = blade[first] != blade[second]
    return first[other], second[other]
