"""Is it the blade or the measuring? Repeatability and reproducibility after ISO 5725-2."""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import chdtri, fdtrc, fdtri

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.stats.outliers import grubbs


@dataclass(frozen=True)
class Repeatability:
    """Spread of repeated readings of one edge, within and between set-ups.

    `sd_repeat`: same person, same set-up, shortly after. `sd_between`: from set-up to set-up.
    `sd_reproduce`: one reading by any set-up, both together. `repeat_limit` and
    `reproduce_limit`: two single readings differ by more only once in twenty.
    """

    mean: float
    sd_repeat: float
    sd_repeat_low: float  # 95 % interval
    sd_repeat_high: float
    sd_between: float
    sd_reproduce: float
    repeat_limit: float
    reproduce_limit: float
    f: float  # mean squares, between over within
    p_value: float
    set_ups: int
    readings: int
    df_repeat: int
    relative: bool
    doubts: tuple[Doubt, ...]

    def to_dict(self):
        """JSON-plain values."""
        numbers = {
            name: plain(getattr(self, name))
            for name in (
                "mean",
                "sd_repeat",
                "sd_repeat_low",
                "sd_repeat_high",
                "sd_between",
                "sd_reproduce",
                "repeat_limit",
                "reproduce_limit",
                "f",
                "p_value",
            )
        }
        return {
            **numbers,
            "set_ups": self.set_ups,
            "readings": self.readings,
            "df_repeat": self.df_repeat,
            "relative": self.relative,
            **told(self.doubts),
        }

    def summary(self):
        """The two spreads as a maker reads them out."""

        def show(sd):
            return f"{100 * sd:.2g} %" if self.relative else f"{sd:.3g}"

        text = (
            f"The same edge measured again by the same hand differs by {show(self.sd_repeat)} "
            f"(standard deviation); two such readings differ by more than "
            f"{show(self.repeat_limit)} once in twenty times."
        )
        if self.set_ups > 1:
            text += (
                f" Measured by another set-up it differs by {show(self.sd_reproduce)}, two such "
                f"readings by up to {show(self.reproduce_limit)}."
            )
        return text


def repeatability(value, set_up=None, *, relative=False):
    """Repeatability and reproducibility of one quantity at one level, unequal numbers allowed.

    Parameters
    ----------
    value : array_like, shape (n,)
        Readings of the same edge (any unit; above 0 if `relative`).
    set_up : array_like of str, shape (n,), optional
        Person, microscope or day of each reading; ISO 5725's laboratory.
    relative : bool
        Work on logs, so that spreads are shares of the reading.

    Returns
    -------
    Repeatability
        Standard deviations in the unit of `value`, or as shares.

    Raises
    ------
    UnusableInput
        Fewer than two readings by any set-up, lengths that differ, or values that are no
        numbers (or not above 0).

    References
    ----------
    .. [1] ISO 5725-2:1994, Accuracy (trueness and precision) of measurement methods and
       results, part 2, clause 7.
    """
    value = np.asarray(value, dtype=float)
    labels = np.zeros(len(value), dtype=str) if set_up is None else np.asarray(set_up, dtype=str)
    if value.shape != labels.shape:
        what = f"{len(labels)} set-ups for {len(value)} readings"
        raise UnusableInput(what, "set_up", "give one to each reading")
    if not np.isfinite(value).all() or (relative and (value <= 0).any()):
        raise UnusableInput("a reading is no number above 0", "value", "leave it out")
    y = np.log(value) if relative else value
    names, index, count = np.unique(labels, return_inverse=True, return_counts=True)
    p, n = len(count), len(y)
    if n - p < 1:
        what = f"{n} readings by {p} set-ups"
        raise UnusableInput(what, "value", "measure the same edge at least twice by one set-up")
    mean = np.bincount(index, weights=y) / count
    within = np.bincount(index, weights=(y - mean[index]) ** 2)
    repeat_variance = float(within.sum() / (n - p))
    between, f, p_value = _between(mean, count, repeat_variance, n)
    reproduce = sqrt(repeat_variance + between)
    sd_repeat = sqrt(repeat_variance)
    low, high = np.sqrt(within.sum() / chdtri(n - p, np.array([0.025, 0.975]))).tolist()
    grand = float((count * mean).sum() / n)
    return Repeatability(
        mean=float(np.exp(grand)) if relative else grand,
        sd_repeat=sd_repeat,
        sd_repeat_low=low,
        sd_repeat_high=high,
        sd_between=sqrt(between),
        sd_reproduce=reproduce,
        repeat_limit=2.8 * sd_repeat,
        reproduce_limit=2.8 * reproduce,
        f=f,
        p_value=p_value,
        set_ups=p,
        readings=n,
        df_repeat=n - p,
        relative=relative,
        doubts=tuple(_doubts(names, mean, within, count, f)),
    )


def _between(mean, count, repeat_variance, n):
    """Variance between set-ups, F and its p value; 0 where the means agree too well."""
    p = len(count)
    if p < 2:
        return 0.0, float("nan"), float("nan")
    square = float((count * (mean - (count * mean).sum() / n) ** 2).sum() / (p - 1))
    typical = (n - (count**2).sum() / n) / (p - 1)
    f = square / repeat_variance if repeat_variance > 0 else float("inf")
    return max((square - repeat_variance) / typical, 0.0), f, float(fdtrc(p - 1, n - p, f))


def _doubts(names, mean, within, count, f):
    """What is doubtful about the spreads; `value` is the set-up or the number met."""
    if len(count) < 2:
        yield doubt("one_set_up")
        return
    if f < 1:
        yield doubt("set_ups_agree", where=Where(value=f))
    several = count > 1
    even = several.sum() > 2 and len(set(count[several].tolist())) == 1
    if even and _cochran(within[several], int(count[several][0])):
        most = str(names[several][within[several].argmax()])
        yield doubt("set_up_scatters_more", where=Where(value=most))
    if len(mean) > 2:
        farthest, statistic, critical = grubbs(mean, level=0.99)
        if statistic > critical:
            yield doubt("set_up_stands_out", where=Where(value=str(names[farthest])))


def _cochran(within, each):
    """Whether the largest of equal-sized variances is larger than chance allows, at 1 %."""
    p = len(within)
    if within.sum() == 0:
        return False
    f = fdtri((p - 1) * (each - 1), each - 1, 0.01 / p)  # lower tail of the reciprocal
    critical = 1 / (1 + (p - 1) * f)
    return float(within.max() / within.sum()) > critical
