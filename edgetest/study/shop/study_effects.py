"""What do a study's lives say of what it compared, with the scatter of all studies?"""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from edgetest.stats.between_studies import FEWER
from edgetest.stats.linked_studies import StudyEffects

PRIOR = 2.0  # runs' worth of the scatter of both that each of the two is drawn to; own choice


@dataclass(frozen=True)
class WithinStudy:
    """Log lives of a study's arms about their rolls: least squares, a blade counting once.

    Attributes
    ----------
    arms : tuple of str
    log_effects : ndarray, shape (arms - 1,)
        Of `arms[1:]` against `arms[0]`.
    unscaled : ndarray, shape (3, arms - 1, arms - 1)
        Their covariance over the variance between blades, over that of the control's runs, and
        over that between oven loads.
    squares : ndarray, shape (2,)
        Left over of the blades, and of the control's runs.
    expected : ndarray, shape (2, 2)
        What each variance (columns) gives to `squares` (rows).
    df : int
    tails : ndarray, shape (4,)
        Of the blades, from `tails_of`.
    reading_se : float
        Root mean square uncertainty of a log life from its own readings.
    """

    arms: tuple[str, ...]
    log_effects: np.ndarray
    unscaled: np.ndarray
    squares: np.ndarray
    expected: np.ndarray
    df: int
    tails: np.ndarray
    reading_se: float


def within_study(lives, control=""):
    """Effects of a study's arms; None where it has fewer than two.

    Runs of one blade share a weight of 1; each run of the control blade counts, as it is always
    the same blade. Rolls are taken out where arms meet in them.

    Parameters
    ----------
    lives : sequence of ArmLife
    control : str
        The control blade's arm; it comes first.

    Returns
    -------
    WithinStudy or None
    """
    arms = sorted({each.arm for each in lives}, key=lambda arm: (arm != control, arm))
    if len(arms) < 2:
        return None
    y = np.array([each.log_life for each in lives])
    weight = run_weights(lives, control)
    of_arms = np.array([[float(each.arm == arm) for arm in arms[1:]] for each in lives])
    shared = shared_by(lives, of_arms)
    root = np.sqrt(weight)
    design = np.hstack([shared, of_arms]) * root[:, None]
    gain = np.linalg.pinv(design)
    n = shared.shape[1]
    effects, residual = gain[n:], np.eye(len(y)) - design @ gain
    of_control = np.array([each.arm == control for each in lives])
    groups = (~of_control, of_control)
    rest = residual @ (y * root)
    left = rest**2
    units = round(float(weight.sum()))
    return WithinStudy(
        tuple(arms), effects @ (y * root),
        np.array([*(effects[:, group] @ effects[:, group].T for group in groups),
                  _of_loads(lives, control, effects * root)]),
        np.array([left[group].sum() for group in groups]),
        np.array([[(residual[np.ix_(i, j)] ** 2).sum() for j in groups] for i in groups]),
        max(units - design.shape[1], 0),
        tails_of(rest[~of_control], residual[~of_control][:, ~of_control]),
        float(np.sqrt(np.mean([each.log_life_se**2 for each in lives]))),
    )  # fmt: skip


def tails_of(rest, residual):
    """What tells the tails of what is left over: sums that add up over studies.

    Parameters
    ----------
    rest : ndarray, shape (n,)
        Left over of each run.
    residual : ndarray, shape (n, n)
        What makes them of the runs.

    Returns
    -------
    ndarray, shape (4,)
        Of `rest`'s fourth powers, the squares of the diagonal of `residual`, the fourth powers
        of all of it, and its diagonal.
    """
    own = np.diag(residual)
    return np.array([(rest**4).sum(), (own**2).sum(), (residual**4).sum(), own.sum()])


def fewer_df(left, tails):
    """Share of the degrees of freedom that the tails of what is left over leave.

    A dud among the blades makes the sum of squares as unsure as fewer blades would: its variance
    is that of a quadratic form [1]_, with the excess kurtosis that makes the fourth powers what
    they are. Never more than `FEWER`, for few blades hardly show their tails.

    Parameters
    ----------
    left : float
        Sum of squares that is left over.
    tails : ndarray, shape (4,)
        Summed over studies.

    References
    ----------
    .. [1] G. A. F. Seber, A. J. Lee, Linear Regression Analysis (2003), theorem 1.6.
    """
    fourth, squares, all_fourths, trace = tails
    if left <= 0 or all_fourths <= 0:
        return FEWER
    excess = (fourth / (left / trace) ** 2 - 3 * squares) / all_fourths
    return min(FEWER, 1 / (1 + max(excess, 0.0) * squares / (2 * trace)))


def run_weights(lives, control):
    """What each run counts: a blade once, however often it was run; each run of the control."""
    runs = Counter(each.blade for each in lives)
    return np.array([1.0 if e.arm == control else 1 / runs[e.blade] for e in lives])


def batches_of(lives, control):
    """Each run's oven load, None for the control's; where one is not noted, a load an arm."""
    noted = all(each.batch for each in lives if each.arm != control)
    return [None if e.arm == control else (e.batch if noted else e.arm) for e in lives]


def _of_loads(lives, control, gain):
    """Covariance of the effects over the variance between loads; `gain` of each log life."""
    batches = batches_of(lives, control)
    sums = [gain[:, [each == name for each in batches]].sum(axis=1)
            for name in dict.fromkeys(batches) if name is not None]  # fmt: skip
    each = np.array(sums).reshape(-1, len(gain))
    return each.T @ each


def shared_by(lives, of_arms):
    """What runs share besides their arm: their roll where arms meet in rolls, else a mean."""
    blocks = sorted({each.block for each in lives})
    by_block = np.array([[float(each.block == block) for block in blocks] for each in lives])
    rank = np.linalg.matrix_rank(np.hstack([by_block, of_arms]))
    met = len(blocks) > 1 and rank == len(blocks) + of_arms.shape[1]
    return by_block if met else np.ones((len(lives), 1))


def scatters_of(found):
    """Scatter of log life between blades and between the control's runs, pooled over studies.

    Each from what is left over of its own runs, by equating squares to what they lead to expect
    (method of moments); the control's lies between the readings' part and the blades'.

    Parameters
    ----------
    found : sequence of WithinStudy

    Returns
    -------
    (float, float, int)
        Standard deviations of blades and of the control's runs, nan where none knows them, never
        less than the readings' own part; and the degrees of freedom of both together.
    """
    df = sum(each.df for each in found)
    if not df:
        return float("nan"), float("nan"), 0
    reading = float(np.mean([each.reading_se**2 for each in found]))
    squares = np.sum([each.squares for each in found], axis=0)
    expected = np.sum([each.expected for each in found], axis=0)
    both = max(squares.sum() / df, reading)
    expected = expected * (df / expected.sum())  # a blade counts once, however often it was run
    if np.linalg.matrix_rank(expected, tol=0.5) < 2:
        return both**0.5, both**0.5, df
    blades, control = np.linalg.solve(expected + PRIOR * np.eye(2), squares + PRIOR * both)
    control = min(max(control, reading), both)
    blades = max(blades, both)
    return blades**0.5, control**0.5, df


def effects_of(found, scatters, loads=0.0):
    """The study's effects with the scatter of all studies, as they are pooled.

    Parameters
    ----------
    found : WithinStudy
    scatters : (float, float)
        Of log life, between blades and between the control's runs.
    loads : float
        The same between oven loads, where it is told apart from what differs between studies.

    Returns
    -------
    StudyEffects
    """
    covariance = np.tensordot(np.square([*scatters[:2], loads]), found.unscaled, 1)
    return StudyEffects(found.arms, found.log_effects, covariance)
