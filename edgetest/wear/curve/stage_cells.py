"""From one row a reading to one cell a place and stage: what a curve is fitted to."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class WearReadings:
    """A study's readings as arrays, one element a reading, missing ones left out.

    `blade` labels; `cuts`; `value` (nan where only bounds are known); `lower`, `upper` bounds
    (nan where none); `station` labels ("" where not named); `relative_u`; `row`: the number by
    which the caller knows the reading; `position` in the caller's arrays; `from_zero`: a zero
    that was taken as 'below the smallest reading'.
    """

    blade: np.ndarray
    cuts: np.ndarray
    value: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    station: np.ndarray
    relative_u: np.ndarray
    row: np.ndarray
    position: np.ndarray
    from_zero: np.ndarray

    def take(self, rows):
        """The readings numbered `rows`."""
        return WearReadings(**{name: array[rows] for name, array in vars(self).items()})

    def by_blade(self):
        """The readings of each blade, by its label, in the order in which they first come."""
        number: dict[str, int] = {}
        at = np.array([number.setdefault(name, len(number)) for name in self.blade], dtype=int)
        order = np.argsort(at, kind="stable")
        ends = np.cumsum(np.bincount(at, minlength=len(number)))
        rows = np.split(order, ends[:-1]) if number else []
        return {name: self.take(these) for name, these in zip(number, rows, strict=True)}


def wear_readings(
    blade, cuts, value, *, lower=None, upper=None, station=None, relative_u=None, row=None
):
    """Check and align the readings of a study, for `fit_study` and `rank_laws`.

    Parameters
    ----------
    blade, cuts, value : array_like, shape (n,)
        Label of the blade, cumulative cuts, and the reading (nan where only bounds are known);
        one element a reading. A reading of zero counts as 'below the smallest read'.
    lower, upper : array_like, shape (n,), optional
        Bounds of readings written '>x', '<x' or 'a-b', nan elsewhere.
    station : sequence of str, optional
        Place along the edge; the same name at every stage is the same place. Readings of one
        place at one stage are repeats and are averaged.
    relative_u : array_like, shape (n,), optional
        Each reading's own relative standard uncertainty, nan or 0 where not known; what the
        readings scatter beyond it is estimated.
    row : array_like of int, shape (n,), optional
        Number of each reading in its table, by which a doubt names it; left out, its place in
        these arrays, counted from 1.

    Returns
    -------
    WearReadings

    Raises
    ------
    UnusableInput
        Arrays of unequal length, negative cuts or readings, cuts that are no number, a lower
        bound above its upper bound.
    """
    value = np.asarray(value, dtype=float)
    n = value.size
    blade = _labels(blade)
    cuts = np.asarray(cuts, dtype=float)
    lower, upper = _or_nan(lower, n), _or_nan(upper, n)
    relative_u = np.nan_to_num(_or_nan(relative_u, n), nan=0.0)
    station = np.full(n, "", dtype=object) if station is None else _labels(station)
    position = np.arange(n)
    row = position + 1 if row is None else np.asarray(row)
    named = {"blade": blade, "cuts": cuts, "lower": lower, "upper": upper, "station": station}
    for name, array in (named | {"relative_u": relative_u, "row": row}).items():
        if array.size != n:
            what = f"{array.size} entries for {n} readings"
            raise UnusableInput(what, where=name, mend="give one entry a reading")
    _refuse(~np.isfinite(cuts) | (cuts < 0), cuts, "cuts", "write the cumulative cuts, 0 or more")
    _refuse((value < 0) | np.isinf(value), value, "value", "a reading is a number, 0 or more")
    _refuse((lower < 0) | np.isinf(lower), lower, "lower", "a bound is 0 or more")
    _refuse((upper <= 0) | np.isinf(upper), upper, "upper", "an upper bound is above 0")
    _refuse(lower > upper, lower, "lower", "the lower bound must not be above the upper")
    _refuse(relative_u < 0, relative_u, "relative_u", "an uncertainty is 0 or more")
    from_zero = value == 0
    if from_zero.any():
        positive = value[value > 0]
        upper = np.where(from_zero, positive.min() if positive.size else np.nan, upper)
    value = np.where(from_zero, np.nan, value)
    lower = np.where(lower == 0, np.nan, lower)
    exact = np.isnan(value) & (lower == upper)
    value = np.where(exact, lower, value)
    known = np.isfinite(value) | np.isfinite(lower) | np.isfinite(upper)
    readings = WearReadings(
        blade, cuts, value, lower, upper, station, relative_u, row, position, from_zero
    )
    return readings.take(known | from_zero)


def _or_nan(array, n):
    return np.full(n, np.nan) if array is None else np.asarray(array, dtype=float)


def _labels(names):
    def label(s):
        return "" if s is None or (isinstance(s, float) and np.isnan(s)) else str(s)

    return np.array([label(s) for s in names], dtype=object)


def _refuse(bad, shown, where, mend):
    if np.any(bad):
        i = int(np.flatnonzero(bad)[0])
        raise UnusableInput(f"{shown[i]:g} in reading {i + 1}", where=where, mend=mend)


@dataclass(frozen=True)
class Cells:
    """One blade's readings gathered by stage and station, natural logs.

    `blade` its label; `stages` (S,) cuts. Per cell (N,): `stage` and `station` indices;
    `log_value`, the mean of the repeats; `own_var` from the readings' stated uncertainty;
    `log_lower`, `log_upper`, open where the cell holds a number; `bounded` tells the cells
    that hold bounds only; `known_var`, the variance beyond the residual one with which the cell
    enters the fit at present (a bound enters as a number with its own variance, see
    `bounded_readings`). `repeat_ss` on `repeat_df`: scatter of repeats of one place at one stage.
    `group` numbers the blade's heat treatment.
    """

    blade: str
    stages: np.ndarray
    stage: np.ndarray
    station: np.ndarray
    log_value: np.ndarray
    own_var: np.ndarray
    log_lower: np.ndarray
    log_upper: np.ndarray
    bounded: np.ndarray
    known_var: np.ndarray
    repeat_ss: float
    repeat_df: int
    n_stations: int
    group: int = 0

    @property
    def cuts(self):
        """Cuts at every cell (N,)."""
        return self.stages[self.stage]

    @property
    def stages_numbered(self):
        """Number of stages with a number."""
        return len(np.unique(self.stage[~self.bounded]))

    @property
    def stages_told(self):
        """Number of stages with a number or a reading bounded on both sides."""
        told = np.isfinite(self.log_value) & ~self.bounded
        told |= np.isfinite(self.log_lower) & np.isfinite(self.log_upper)
        return len(np.unique(self.stage[told]))


def stage_cells(readings):
    """Gather one blade's readings: repeats of a place at a stage are averaged.

    Ten photographs of one place are one place; where no station is named, all readings of a
    stage are.

    Parameters
    ----------
    readings : WearReadings
        Of one blade.

    Returns
    -------
    Cells
    """
    stages, stage = np.unique(readings.cuts, return_inverse=True)
    names, place = np.unique(readings.station.astype(str), return_inverse=True)
    number = np.isfinite(readings.value)
    key, var = (stage * len(names) + place)[number], readings.relative_u[number] ** 2
    log_value = np.log(readings.value[number])
    used, index, repeats = np.unique(key, return_inverse=True, return_counts=True)
    weight = 1 / np.where(var > 0, var, 1.0)
    total = np.bincount(index, weight)
    mean = np.bincount(index, weight * log_value) / total
    stated = np.bincount(index, var > 0) == repeats
    ss = float(np.sum((log_value - mean[index]) ** 2))
    lower, upper = np.nan_to_num(readings.lower), np.nan_to_num(readings.upper, nan=np.inf)
    bounds = np.column_stack([stage, place, lower, upper, readings.relative_u**2])
    bounds = bounds[~number & ((lower > 0) | (upper < np.inf))]
    bounds = np.unique(bounds, axis=0) if len(bounds) else bounds  # one told twice counts once
    n, m = len(used), len(bounds)
    with np.errstate(divide="ignore"):
        low, high = np.log(bounds[:, 2]), np.log(bounds[:, 3])
    # First guesses of the bounds, soon replaced: the middle, or a third inside the bound.
    one_sided = np.where(np.isinf(low), high - 0.3, low + 0.3)
    guess = np.where(np.isinf(low) | np.isinf(high), one_sided, (low + high) / 2)
    own_var = np.r_[np.where(stated, 1 / total, 0.0), bounds[:, 4]]
    return Cells(
        blade=str(readings.blade[0]),
        stages=stages,
        stage=np.r_[used // len(names), bounds[:, 0].astype(int)].astype(int),
        station=np.r_[used % len(names), bounds[:, 1].astype(int)].astype(int),
        log_value=np.r_[mean, guess],
        own_var=own_var,
        log_lower=np.r_[np.full(n, -np.inf), low],
        log_upper=np.r_[np.full(n, np.inf), high],
        bounded=np.r_[np.zeros(n, dtype=bool), np.ones(m, dtype=bool)],
        known_var=own_var + np.r_[np.zeros(n), np.full(m, 0.1)],
        repeat_ss=ss,
        repeat_df=int((repeats - 1).sum()),
        n_stations=len(names),
    )
