"""From one row a reading to one cell a place and stage: what a curve is fitted to."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class Readings:
    """A study's readings as arrays, one element a reading, missing ones left out.

    `blade` labels; `cuts`; `value` (nan where only bounds are known); `lower`, `upper` bounds
    (nan where none); `station` labels ("" where not named); `relative_u`; `row`: position in
    the caller's arrays; `from_zero`: a zero that was taken as 'below the smallest reading'.
    """

    blade: np.ndarray
    cuts: np.ndarray
    value: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    station: np.ndarray
    relative_u: np.ndarray
    row: np.ndarray
    from_zero: np.ndarray


def gather(blade, cuts, value, *, lower=None, upper=None, station=None, relative_u=None):
    """Check and align the arrays of `fit_study`.

    Raises
    ------
    UnusableInput
        Arrays of unequal length, negative cuts or readings, cuts that are no number, a lower
        bound above its upper bound.
    """
    value = np.asarray(value, dtype=float)
    n = value.size
    blade = np.array(["" if b is None else str(b) for b in blade], dtype=object)
    cuts = np.asarray(cuts, dtype=float)
    lower = _or_nan(lower, n)
    upper = _or_nan(upper, n)
    relative_u = np.nan_to_num(_or_nan(relative_u, n), nan=0.0)
    station = np.full(n, "", dtype=object) if station is None else _labels(station)
    for name, array in (
        ("blade", blade),
        ("cuts", cuts),
        ("lower", lower),
        ("upper", upper),
        ("station", station),
        ("relative_u", relative_u),
    ):
        if array.size != n:
            what = f"{array.size} entries for {n} readings"
            raise UnusableInput(what, where=name, mend="give one entry a reading")
    _refuse(~np.isfinite(cuts) | (cuts < 0), cuts, "cuts", "write the cumulative cuts, 0 or more")
    _refuse(value < 0, value, "value", "a reading is 0 or more")
    _refuse(
        (lower < 0) | (upper <= 0),
        np.where(lower < 0, lower, upper),
        "bounds",
        "bounds are above 0",
    )
    _refuse(lower > upper, lower, "lower", "the lower bound must not be above the upper")
    from_zero = value == 0
    if from_zero.any():
        positive = value[value > 0]
        smallest = positive.min() if positive.size else np.nan
        upper = np.where(from_zero, smallest, upper)
        value = np.where(from_zero, np.nan, value)
    lower = np.where(lower == 0, np.nan, lower)
    known = np.isfinite(value) | np.isfinite(lower) | np.isfinite(upper)
    row = np.arange(n)
    arrays = (blade, cuts, value, lower, upper, station, relative_u, row, from_zero)
    return Readings(*(array[known] for array in arrays))


def _or_nan(array, n):
    return np.full(n, np.nan) if array is None else np.asarray(array, dtype=float)


def _labels(station):
    def label(s):
        return "" if s is None or (isinstance(s, float) and np.isnan(s)) else str(s)

    return np.array([label(s) for s in station], dtype=object)


def _refuse(bad, shown, where, mend):
    if np.any(bad):
        i = int(np.flatnonzero(bad)[0])
        raise UnusableInput(f"{shown[i]:g} in reading {i + 1}", where=where, mend=mend)


@dataclass(frozen=True)
class Cells:
    """One blade's readings gathered by stage and station, natural logs.

    `stages` (S,) cuts; per cell: `stage`, `station` indices, `log_value` (mean of the repeats),
    `known_var` from the readings' own uncertainty, `repeats`; `repeat_ss`, `repeat_df`: scatter
    of repeats of one place at one stage; `n_stations`.
    """

    stages: np.ndarray
    stage: np.ndarray
    station: np.ndarray
    log_value: np.ndarray
    known_var: np.ndarray
    repeats: np.ndarray
    repeat_ss: float
    repeat_df: int
    n_stations: int


def cells(cuts, log_value, station, known_var):
    """Average the repeats of each place at each stage: ten photographs of one place are one place."""
    stages, stage = np.unique(cuts, return_inverse=True)
    names, place = np.unique(station.astype(str), return_inverse=True)
    key = stage * len(names) + place
    used, index, repeats = np.unique(key, return_inverse=True, return_counts=True)
    weight = 1 / np.where(known_var > 0, known_var, 1.0)
    total = np.bincount(index, weight)
    mean = np.bincount(index, weight * log_value) / total
    ss = float(np.sum((log_value - mean[index]) ** 2))
    pooled = np.where(np.bincount(index, known_var > 0) == repeats, 1 / total, 0.0)
    return Cells(
        stages,
        used // len(names),
        used % len(names),
        mean,
        pooled,
        repeats,
        ss,
        int((repeats - 1).sum()),
        len(names),
    )
