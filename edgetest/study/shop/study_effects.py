"""What do a study's lives say of what it compared, with the scatter of all studies?"""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from edgetest.stats.linked_studies import StudyEffects


@dataclass(frozen=True)
class WithinStudy:
    """Log lives of a study's arms about their rolls: least squares, a blade counting once.

    Attributes
    ----------
    arms : tuple of str
    log_effects : ndarray, shape (arms - 1,)
        Of `arms[1:]` against `arms[0]`.
    unscaled : ndarray, shape (arms - 1, arms - 1)
        Their covariance over the variance between blades.
    squares : float
        Left over; with `df`, what the study says of that variance.
    df : int
    reading_se : float
        Root mean square uncertainty of a log life from its own readings.
    """

    arms: tuple[str, ...]
    log_effects: np.ndarray
    unscaled: np.ndarray
    squares: float
    df: int
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
    runs = Counter(each.blade for each in lives)
    weight = np.array([1.0 if e.arm == control else 1 / runs[e.blade] for e in lives])
    of_arms = np.array([[float(each.arm == arm) for arm in arms[1:]] for each in lives])
    shared = _shared(lives, of_arms)
    design = np.hstack([shared, of_arms]) * np.sqrt(weight)[:, None]
    covariance = np.linalg.inv(design.T @ design)
    found = covariance @ design.T @ (y * np.sqrt(weight))
    left = y * np.sqrt(weight) - design @ found
    n = shared.shape[1]
    units = round(float(weight.sum()))
    return WithinStudy(
        tuple(arms), found[n:], covariance[n:, n:], float(left @ left),
        max(units - design.shape[1], 0),
        float(np.sqrt(np.mean([each.log_life_se**2 for each in lives]))),
    )  # fmt: skip


def _shared(lives, of_arms):
    """What runs share besides their arm: their roll where arms meet in rolls, else a mean."""
    blocks = sorted({each.block for each in lives})
    by_block = np.array([[float(each.block == block) for block in blocks] for each in lives])
    rank = np.linalg.matrix_rank(np.hstack([by_block, of_arms]))
    met = len(blocks) > 1 and rank == len(blocks) + of_arms.shape[1]
    return by_block if met else np.ones((len(lives), 1))


def between_blades_sd(found):
    """Scatter of log life between blades, pooled over studies; nan where none knows it.

    Parameters
    ----------
    found : sequence of WithinStudy

    Returns
    -------
    (float, int)
        Never less than the readings' own part; and its degrees of freedom.
    """
    df = sum(each.df for each in found)
    if not df:
        return float("nan"), 0
    reading = float(np.mean([each.reading_se**2 for each in found]))
    return max(sum(each.squares for each in found) / df, reading) ** 0.5, df


def effects_of(found, sd):
    """The study's effects with the scatter of all studies, as they are pooled.

    Parameters
    ----------
    found : WithinStudy
    sd : float
        Scatter of log life between blades.

    Returns
    -------
    StudyEffects
    """
    return StudyEffects(found.arms, found.log_effects, sd**2 * found.unscaled)
