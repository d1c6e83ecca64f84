"""At which cuts to stop and read, so that a life is pinned down with few readings."""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.errors import UnusableInput

# Weak knowledge of p beside the data: SD of log p, as the wear curves take it.
LOG_POWER_SD = 0.5


def geometric_schedule(stages, last, *, first=None):
    """Stages that grow by a constant factor, 0 included: the bench's habit.

    Parameters
    ----------
    stages : int
        Number of readings a blade, that of the fresh edge included; 3 or more.
    last : float
        Cuts at the last stage.
    first : float, optional
        Cuts at the first stage after 0; default such that each stage doubles the last, but
        no less than 1.

    Returns
    -------
    ndarray of int, shape (stages,)
        Strictly rising.
    """
    _check(stages, last)
    first = max(1.0, last / 2.0 ** (stages - 2)) if first is None else first
    return _whole(np.r_[0.0, np.geomspace(first, last, stages - 1)], last)


def _check(stages, last):
    if stages < 3:
        raise UnusableInput(f"{stages} stages", "stages", "a curve needs 3 or more")
    if last < stages:
        raise UnusableInput(f"{last:g} cuts for {stages} stages", "last", "cut longer")


def _whole(cuts, last):
    """Whole cuts, strictly rising from 0 to `last`."""
    cuts = np.round(cuts)
    cuts[-1] = round(last)
    for i in range(1, len(cuts)):
        cuts[i] = max(cuts[i], cuts[i - 1] + 1)
    for i in range(len(cuts) - 2, 0, -1):
        cuts[i] = min(cuts[i], cuts[i + 1] - 1)
    return cuts.astype(int)


@dataclass(frozen=True)
class ExpectedWear:
    """What is thought beforehand of a blade's wear and of one reading of it.

    Attributes
    ----------
    life : float
        Cuts to the limit.
    start_width, limit : float
        Fresh and dull edge width, µm.
    law_power : float
        p of w = (w0^p + K·n)^(1/p), known beforehand to a factor of about e^±0.5.
    reading_cv : float
        Relative standard uncertainty of one reading's width.
    """

    life: float
    start_width: float = 1.0
    limit: float = 10.0
    law_power: float = 2.0
    reading_cv: float = 0.05


def stage_se(cuts, wear):
    """Standard uncertainty of a blade's log life from readings at the given stages.

    Parameters
    ----------
    cuts : array_like, shape (..., stages)
        Cumulative cuts; leading axes are alternatives.
    wear : ExpectedWear
        Its `reading_cv` is that of a stage's mean width.

    Returns
    -------
    ndarray, shape (...)
        From the information matrix of log w0, log life and log p (Cramer and Rao's bound,
        which a fit of a few readings comes near).

    Raises
    ------
    UnusableInput
        If the limit is not above the fresh width.
    """
    p, start_width, limit = wear.law_power, wear.start_width, wear.limit
    if not limit > start_width > 0:
        what = f"{limit:g} µm is not above the fresh edge, {start_width:g} µm"
        raise UnusableInput(what, "limit", "choose a wider limit")
    n = np.asarray(cuts, dtype=float) / wear.life
    fresh, dull = start_width**p, limit**p
    w = fresh + (dull - fresh) * n  # width to the power p
    by_fresh = fresh * (1 - n) / w
    by_life = -(dull - fresh) * n / (p * w)
    slope = fresh * np.log(start_width) * (1 - n) + dull * np.log(limit) * n
    by_power = slope / w - np.log(w) / p
    jac = np.stack([by_fresh, by_life, by_power], axis=-1) / wear.reading_cv
    information = np.swapaxes(jac, -1, -2) @ jac
    information[..., 2, 2] += 1 / LOG_POWER_SD**2
    # log w0 is known beforehand to a factor of three at least: keeps the matrix regular.
    information[..., 0, 0] += 1.0
    return np.sqrt(np.linalg.inv(information)[..., 1, 1])


@dataclass(frozen=True)
class Schedule:
    """Stages that pin the life best, and what the geometric ones lose against them."""

    cuts: tuple[int, ...]
    geometric_cuts: tuple[int, ...]
    se: float  # of log life, typical over what may be
    geometric_se: float

    @property
    def loss(self):
        """How much wider the geometric schedule's interval of a life is, as a share."""
        return self.geometric_se / self.se - 1

    def to_dict(self):
        """JSON-plain values."""
        return {
            "cuts": list(self.cuts),
            "geometric_cuts": list(self.geometric_cuts),
            "se_log_life": self.se,
            "geometric_se_log_life": self.geometric_se,
            "loss": self.loss,
        }

    def summary(self):
        """The stages, and what the habit costs."""
        stages = ", ".join(str(n) for n in self.cuts)
        return (
            f"Stop and read at {stages} cuts. Doubling stages would leave the life "
            f"{100 * self.loss:.0f} % less sure."
        )


def best_schedule(stages, last, wear, *, doubt=1.5, least_gap=0.05):
    """Stages that pin a life down best for a given number of readings.

    Parameters
    ----------
    stages : int
        Readings a blade, the fresh edge included; 3 or more.
    last : float
        Cuts at which the test ends at the latest.
    wear : ExpectedWear
    doubt : float
        Life and p may be this factor off either way; the schedule is best on average (mean of
        log variance) over nine such cases.
    least_gap : float
        Stages lie at least this share of `last` apart, so that a law that does not hold
        shows itself; without it the best stages bunch at the end.

    Returns
    -------
    Schedule
        By exchange of one stage at a time over a grid, from evenly spaced stages.
    """
    geometric = geometric_schedule(stages, last)
    cases = [
        replace(wear, life=wear.life * a, law_power=wear.law_power * b)
        for a in (1 / doubt, 1.0, doubt)
        for b in (1 / doubt, 1.0, doubt)
    ]

    def typical(cuts):
        return np.mean([np.log(stage_se(cuts, case)) for case in cases], axis=0)

    gap = max(1.0, min(least_gap, 0.8 / stages) * last)
    grid = np.unique(np.round(np.r_[0, np.geomspace(1, last, 40), np.linspace(1, last, 60)]))
    cuts = _whole(np.linspace(0, last, stages), last).astype(float)
    best = float(typical(cuts))
    while True:
        before = best
        for place in range(1, stages):  # the fresh edge stays
            others = np.delete(cuts, place)
            apart = np.abs(grid[:, None] - others[1:]).min(axis=1)
            choice = grid[(apart >= gap) & (grid > 0)]
            trials = np.sort(np.column_stack([np.tile(others, (len(choice), 1)), choice]), axis=1)
            if len(choice) == 0:
                continue
            value = typical(trials)
            if value.min() < best - 1e-9:
                cuts, best = trials[value.argmin()], float(value.min())
        if best > before - 1e-6:
            break
    return Schedule(
        cuts=tuple(int(x) for x in cuts),
        geometric_cuts=tuple(int(x) for x in geometric),
        se=float(np.exp(best)),
        geometric_se=float(np.exp(typical(geometric))),
    )
