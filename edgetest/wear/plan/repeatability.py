"""Is it the blade or the measuring? Repeatability and reproducibility after ISO 5725-2."""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import chdtri, fdtrc, fdtri

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.stats.outliers import grubbs
from edgetest.wear.plan.levels_apart import scatter_differs, sizes_apart


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
    levels: int  # edges of different size, each judged by itself
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
            "levels": self.levels,
            "readings": self.readings,
            "df_repeat": self.df_repeat,
            "relative": self.relative,
            **told(self.doubts),
        }

    def summary(self):
        """The two spreads as a maker reads them out."""

        def show(sd):
            return f"{float(f'{100 * sd:.2g}'):g} %" if self.relative else f"{sd:.3g}"

        text = (
            f"The same edge measured again by the same hand differs by {show(self.sd_repeat)} "
            f"(standard deviation); two such readings differ by more than "
            f"{show(self.repeat_limit)} once in twenty times."
        )
        if self.set_ups > 1:
            text += (
                " Measured by another person or with another set-up it differs by "
                f"{show(self.sd_reproduce)}, two such readings by up to "
                f"{show(self.reproduce_limit)}."
            )
        return text


def repeatability(value, set_up=None, *, level=None, relative=False):
    """Repeatability and reproducibility of one quantity, unequal numbers allowed.

    Levels are never compared: spreads within and between set-ups are those of each level,
    pooled by their degrees of freedom.

    Parameters
    ----------
    value : array_like, shape (n,)
        Readings of the same edge (any unit; above 0 if `relative`).
    set_up : array_like of str, shape (n,), optional
        Person, microscope or day of each reading; ISO 5725's laboratory.
    level : array_like of str, shape (n,), optional
        The edge that each reading is of, where there were several; ISO 5725's level.
    relative : bool
        Work on logs, so that spreads are shares of the reading.

    Returns
    -------
    Repeatability
        Standard deviations in the unit of `value`, or as shares. Its doubts say where readings
        without a level fall into clearly different sizes, and where levels scatter differently.

    Raises
    ------
    UnusableInput
        Fewer than two readings by any set-up, readings of an edge that are all the same, lengths
        that differ, or values that are no numbers (or not above 0).

    References
    ----------
    .. [1] ISO 5725-2:1994, Accuracy (trueness and precision) of measurement methods and
       results, part 2, clause 7.
    .. [2] JCGM 100:2008, F.2.2.1: a reading rounded to a step is doubtful by 0.29 of the step.
    """
    value = np.asarray(value, dtype=float)
    labels, levels = _labels(set_up, value, "set-ups"), _labels(level, value, "levels")
    if not np.isfinite(value).all() or (relative and (value <= 0).any()):
        raise UnusableInput("a reading is no number above 0", "value", "leave it out")
    y = np.log(value) if relative else value
    cells = _cells(y, labels, levels)
    n, df = len(y), len(y) - len(cells.count)
    people = len(set(labels.tolist()))
    if df < 1:
        what = f"{n} readings by {len(cells.count)} set-ups"
        raise UnusableInput(what, "value", "measure the same edge at least twice by one set-up")
    if not cells.within.sum() > 0:
        raise UnusableInput(
            f"all {n} readings are the same" if len(cells.count) == 1
            else "all readings of one edge and set-up are the same",
            "value",
            "read between the marks, or by a finer scale: readings that never differ do not "
            "tell how far they may",
        )  # fmt: skip
    repeat_variance = float(cells.within.sum() / df)
    coarse = _coarse_step(value, labels, levels, df)
    if coarse:
        as_spread = coarse / (float(np.exp(y.mean())) if relative else 1.0)
        repeat_variance = max(repeat_variance, as_spread**2 / 12)
    between, f, p_value = _between(cells, repeat_variance, df)
    reproduce = sqrt(repeat_variance + between)
    sd_repeat = sqrt(repeat_variance)
    low, high = (sd_repeat * np.sqrt(df / chdtri(df, np.array([0.025, 0.975])))).tolist()
    grand = float(y.mean())
    doubts = [*_doubts(cells, people, f)]
    if coarse:
        doubts.append(doubt("read_in_steps", step=f"{coarse:.3g}", where=Where(value=coarse)))
    if level is not None:
        doubts += _by_level(value, labels, levels, relative)
    if len(set(levels.tolist())) == 1:
        doubts += _of_one_edge(value, relative, named=level is not None)
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
        set_ups=people,
        levels=len(set(levels.tolist())),
        readings=n,
        df_repeat=df,
        relative=relative,
        doubts=tuple(doubts),
    )


@dataclass(frozen=True)
class _Cells:
    """One element a set-up and level: its names, readings, mean, squares about it."""

    set_up: np.ndarray
    level: np.ndarray
    count: np.ndarray
    mean: np.ndarray
    within: np.ndarray

    def squares_and_df(self):
        """Sum of squares within, and its degrees of freedom, of every level."""
        _, index = np.unique(self.level, return_inverse=True)
        return np.bincount(index, weights=self.within), np.bincount(index, weights=self.count - 1)


def _labels(given, value, what):
    """A column of labels, one a reading; all alike where none is given."""
    labels = np.zeros(len(value), dtype=str) if given is None else np.asarray(given, dtype=str)
    if value.shape != labels.shape:
        where = "set_up" if what == "set-ups" else "level"
        raise UnusableInput(
            f"{len(labels)} {what} for {len(value)} readings", where, "give one to each reading"
        )
    return labels


def _cells(y, set_up, level):
    """The readings by set-up and level."""
    names, index = np.unique(np.column_stack([level, set_up]), axis=0, return_inverse=True)
    index = index.ravel()
    count = np.bincount(index)
    mean = np.bincount(index, weights=y) / count
    within = np.bincount(index, weights=(y - mean[index]) ** 2)
    return _Cells(names[:, 1], names[:, 0], count, mean, within)


def _coarse_step(value, set_up, level, df):
    """The step between readings where they scatter by less than half of it; else 0."""
    apart = np.diff(np.unique(value))
    apart = apart[apart > 1e-9 * np.abs(value).max()]
    if not len(apart):
        return 0.0
    sd = sqrt(_cells(value, set_up, level).within.sum() / df)
    return float(apart.min()) if apart.min() > 2 * sd else 0.0


def _of_one_edge(value, relative, *, named):
    """What readings of one edge leave open: whether it is one, and by what they scatter."""
    sizes = None if named else sizes_apart(value)
    if sizes is not None:
        words = " and ".join(f"{size:.3g}" for size in sizes)
        yield doubt("levels_pooled", sizes=words, where=Where(value=sizes[1]))
    elif relative:
        yield doubt("one_edge_read")


def _by_level(value, set_up, level, relative):
    """The doubt about levels that scatter differently, and whether the other scale would do."""
    scales = {True: np.log(value) if (value > 0).all() else None, False: value}
    differs = {
        scale: y is None or scatter_differs(*_cells(y, set_up, level).squares_and_df())
        for scale, y in scales.items()
    }
    if differs[relative]:
        scale = "in the reading's unit (--absolute)" if relative else "as shares of the reading"
        mend = f"look at the spread {scale}" if not differs[not relative] else "judge each apart"
        yield doubt("levels_scatter_differently", mend=mend)


def _between(cells, repeat_variance, df):
    """Variance between set-ups, F and its p value; 0 where the means agree too well."""
    square = typical = free = 0.0
    for name in np.unique(cells.level):
        own = cells.level == name
        count, mean = cells.count[own], cells.mean[own]
        n = count.sum()
        square += float((count * (mean - (count * mean).sum() / n) ** 2).sum())
        typical += n - (count**2).sum() / n
        free += len(count) - 1
    if free < 1:
        return 0.0, float("nan"), float("nan")
    square, typical = square / free, typical / free
    f = square / repeat_variance
    return max((square - repeat_variance) / typical, 0.0), f, float(fdtrc(free, df, f))


def _doubts(cells, people, f):
    """What is doubtful about the spreads; `value` is the set-up or the number met."""
    names, count, within = cells.set_up, cells.count, cells.within
    if people < 2:
        yield doubt("one_set_up")
        return
    if f < 1:
        yield doubt("set_ups_agree", where=Where(value=f))
    several = count > 1
    even = several.sum() > 2 and len(set(count[several].tolist())) == 1
    if even and _cochran(within[several], int(count[several][0])):
        most = str(names[several][within[several].argmax()])
        yield doubt("set_up_scatters_more", where=Where(value=most))
    centres = {name: cells.mean[cells.level == name].mean() for name in np.unique(cells.level)}
    mean = cells.mean - np.array([centres[name] for name in cells.level])
    if len(mean) > 2:
        farthest, statistic, critical = grubbs(mean, level=0.99)
        if statistic > critical:
            yield doubt("set_up_stands_out", where=Where(value=str(names[farthest])))


def _cochran(within, each):
    """Whether the largest of equal-sized variances is larger than chance allows, at 1 %."""
    p = len(within)
    f = fdtri((p - 1) * (each - 1), each - 1, 0.01 / p)  # lower tail of the reciprocal
    critical = 1 / (1 + (p - 1) * f)
    return float(within.max() / within.sum()) > critical
