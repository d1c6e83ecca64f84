"""At which cuts to stop and read, so that a life is pinned down with few readings."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.wear.plan.expected_wear import stage_se

# Life and bend may be this factor off either way: schedules are judged over nine such cases.
DOUBT = 1.5


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
    for i in range(1, len(cuts) - 1):
        cuts[i] = max(cuts[i], cuts[i - 1] + 1)
    for i in range(len(cuts) - 2, 0, -1):
        cuts[i] = min(cuts[i], cuts[i + 1] - 1)
    return cuts.astype(int)


def typical_se(cuts, wear):
    """Standard uncertainty of a blade's log life at given stages, typical over what may be.

    Parameters
    ----------
    cuts : array_like, shape (..., stages)
    wear : ExpectedWear

    Returns
    -------
    ndarray, shape (...)
        Geometric mean over life and bend as thought and `DOUBT` times as much either way; a
        case in which the law does not reach the limit is left out.
    """
    steps, bend = (1 / DOUBT, 1.0, DOUBT), wear.usual_bend
    cases = [replace(wear, life=wear.life * a, bend=bend * b) for a in steps for b in steps]
    return np.exp(np.nanmean([np.log(stage_se(cuts, case)) for case in cases], axis=0))


@dataclass(frozen=True)
class Schedule:
    """Stages that pin the life best, beside doubling ones and the protocol's own."""

    cuts: tuple[int, ...]
    se: float  # of log life, typical over what may be
    geometric_cuts: tuple[int, ...]
    geometric_se: float
    own_cuts: tuple[int, ...] = ()
    own_se: float | None = None

    @property
    def loss(self):
        """How much wider doubling stages leave the interval of a life, as a share."""
        return self.geometric_se / self.se - 1

    @property
    def own_loss(self):
        """How much wider the protocol's own stages leave it; None without them."""
        return None if self.own_se is None else self.own_se / self.se - 1

    def to_dict(self):
        """JSON-plain values."""
        return {
            "cuts": list(self.cuts),
            "geometric_cuts": list(self.geometric_cuts),
            "own_cuts": list(self.own_cuts),
            "se_log_life": self.se,
            "geometric_se_log_life": self.geometric_se,
            "own_se_log_life": self.own_se,
            "loss": self.loss,
            "own_loss": self.own_loss,
        }

    def summary(self):
        """The stages, and what the protocol's own and the habit cost."""
        stages = ", ".join(str(n) for n in self.cuts)
        words = f"Stop and read at {stages} cuts."
        others = [("Doubling stages", self.loss)]
        if self.own_loss is not None:
            others.insert(0, ("The protocol's own stages", self.own_loss))
        for name, loss in others:
            share = f"{100 * abs(loss):.0f} % {'less' if loss > 0 else 'more'} sure"
            words += f" {name} leave the life {share if round(100 * loss) else 'just as sure'}."
        return words


def handy(cuts):
    """The nearest numbers of cuts that are easily counted to: 7, 45, 70, 300, 320, 1500.

    Whole below 10, by fives below 100, by tens below 1,000 and so on. It costs little: with 4 to
    9 stages up to 50 to 2,000 cuts and lives of 0.4 to 1.2 of the last stage, the standard error
    of a log life grew by 2 % at most, by 6 % where 8 or 9 stages crowd within 50 cuts.

    Parameters
    ----------
    cuts : ndarray (n,)

    Returns
    -------
    ndarray (n,)
    """
    cuts = np.asarray(cuts, float)
    power = np.floor(np.log10(np.maximum(np.round(cuts), 1)))
    step = np.where(power < 1, 1, np.where(power < 2, 5, 10 ** (power - 1)))
    return np.round(cuts / step) * step


def best_schedule(stages, last, wear, *, own=(), first=0, least_gap=0.05):
    """Stages that pin a life down best for a given number of readings.

    Parameters
    ----------
    stages : int
        Readings a blade, the fresh edge included; 3 or more.
    last : float
        Cuts at which the test ends at the latest.
    wear : ExpectedWear
    own : sequence of int
        Stages of the protocol, to be held against the best.
    first : int
        Cuts at the first reading, which stays.
    least_gap : float
        Stages lie at least this share of `last` apart, so that a law that does not hold
        shows itself; without it the best stages bunch.

    Returns
    -------
    Schedule
        By exchange of one stage at a time over a grid of handy numbers, from evenly spaced
        stages.
    """
    geometric = geometric_schedule(stages, last)

    gap = max(1.0, min(least_gap, 0.8 / stages) * last)
    grid = np.r_[0, np.geomspace(1, last, 40), np.linspace(1, last, 60)]
    grid = np.unique(np.append(handy(grid)[handy(grid) <= last], np.round(last)))
    cuts = _whole(np.linspace(0, last, stages), last).astype(float)
    if len(np.unique(handy(cuts[:-1]))) == stages - 1 and handy(cuts[-2]) < cuts[-1]:
        cuts[:-1] = handy(cuts[:-1])
    cuts[0] = first
    best = float(typical_se(cuts, wear))
    while True:
        before = best
        for place in range(1, stages):  # the fresh edge stays
            others = np.delete(cuts, place)
            apart = np.abs(grid[:, None] - others[1:]).min(axis=1)
            choice = grid[(apart >= gap) & (grid > first)]
            trials = np.sort(np.column_stack([np.tile(others, (len(choice), 1)), choice]), axis=1)
            if len(choice) == 0:
                continue
            value = typical_se(trials, wear)
            if value.min() < best * (1 - 1e-9):
                cuts, best = trials[value.argmin()], float(value.min())
        if best > before * (1 - 1e-6):
            break
    return Schedule(
        cuts=tuple(int(x) for x in cuts),
        se=best,
        geometric_cuts=tuple(int(x) for x in geometric),
        geometric_se=float(typical_se(geometric, wear)),
        own_cuts=tuple(own),
        own_se=float(typical_se(own, wear)) if len(own) else None,
    )


schedule_once = lru_cache(maxsize=32)(best_schedule)  # one plan is asked for again and again
