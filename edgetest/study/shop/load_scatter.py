"""What do oven loads add to the scatter of a shop's blades, and can it be told apart?"""

from dataclasses import dataclass

import numpy as np

from edgetest.stats.between_studies import FEWER
from edgetest.stats.nested_scatter import NestedScatter, nested_scatter
from edgetest.study.shop.study_effects import (
    batches_of,
    fewer_df,
    run_weights,
    shared_by,
    tails_of,
)

LEAST_CONTRASTS = 2  # of loads; one alone leaves the interval open by powers of ten
WIDEST = 1.0  # upper end of a standard deviation of log life that still tells something
TINY = 1e-9


@dataclass(frozen=True)
class LoadScatter:
    """Scatter between loads and within them, or why it cannot be told apart.

    `found` is None where it cannot, and `why` says so in words.
    """

    found: NestedScatter | None
    why: str = ""

    @property
    def sd(self):
        """Between loads; 0 where it cannot be told apart."""
        return self.found.between if self.found else 0.0


def load_scatter(studies, ratio, level=0.95):
    """Scatter of log life between oven loads, pooled over studies.

    Parameters
    ----------
    studies : sequence of (sequence of ArmLife, str)
        Runs of each study, and its control blade's arm.
    ratio : float
        Scatter between blades over that between the control's runs.
    level : float

    Returns
    -------
    LoadScatter
        What arms and rolls explain is taken out of each study by least squares; loads are told
        from blades where a study has a heat treatment in two loads, one of them of two blades.
    """
    sizes, squares, left, df, noted, tails = [], [], 0.0, 0, 0, np.zeros(4)
    for lives, control in studies:
        parts = _parts(lives, control, ratio)
        if parts is None:
            continue
        noted += 1
        sizes.append(parts[0])
        squares.append(parts[1])
        left, df, tails = left + parts[2], df + parts[3], tails + parts[4]
    if not noted:
        return LoadScatter(None, "no study names the batch of each blade")
    if (told := sum(map(len, sizes))) < LEAST_CONTRASTS:
        return LoadScatter(
            None,
            f"{'one' if told else 'no'} difference between batches of one heat treatment stands "
            "apart from what rolls and boards do, and two are needed",
        )
    found = nested_scatter(np.concatenate(sizes), np.concatenate(squares), left, df, level,
                           fewer=FEWER, fewer_within=fewer_df(left, tails))  # fmt: skip
    if found is None:
        return LoadScatter(None, "each blade came out of a batch of its own")
    if found.between_high > WIDEST:
        return LoadScatter(None, "so few batches leave it open")
    return LoadScatter(found)


def _parts(lives, control, ratio):
    """Contrasts of loads, their squares, and what is left within loads; None where not noted."""
    arms = sorted({each.arm for each in lives})
    if len(arms) < 2 or not all(each.batch for each in lives if each.arm != control):
        return None
    weight = run_weights(lives, control)
    of_control = np.array([each.arm == control for each in lives])
    scale = np.sqrt(weight) * np.where(of_control, ratio, 1.0)
    of_arms = _columns([each.arm for each in lives], arms[1:])
    fixed = np.hstack([shared_by(lives, of_arms), of_arms]) * scale[:, None]
    batches = batches_of(lives, control)
    loads = _columns(batches, sorted(set(batches) - {None}))
    y = np.array([each.log_life for each in lives]) * scale
    beyond = np.eye(len(y)) - fixed @ np.linalg.pinv(fixed)
    turned, sizes, _ = np.linalg.svd(beyond @ (loads * scale[:, None]))
    kept = sizes > TINY
    along = turned[:, : len(sizes)][:, kept].T @ y
    within = beyond - turned[:, : len(sizes)][:, kept] @ turned[:, : len(sizes)][:, kept].T
    rest = within @ y
    df = round(float(weight.sum())) - np.linalg.matrix_rank(fixed) - int(kept.sum())
    if df < 1:
        return sizes[kept] ** 2, along**2, 0.0, 0, np.zeros(4)
    return sizes[kept] ** 2, along**2, float(rest @ rest), df, tails_of(rest, within)


def _columns(values, names):
    """Indicators of the values, a column a name."""
    return np.array([[float(each == name) for name in names] for each in values])
