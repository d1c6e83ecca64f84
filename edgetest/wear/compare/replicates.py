"""From blades to replicates: what counts as one independent result of a heat treatment."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.wear.compare.block_effects import control_drift


@dataclass(frozen=True)
class BladeLives:
    """The blades' lives as columns; a control blade has one element a block.

    Attributes
    ----------
    blade, treatment : array_like of str, shape (n,)
        One element a blade.
    log_low, log_high : array_like, shape (n,)
        Ends between which the natural log of the life in cuts lies: equal where it is known,
        -inf or inf where an end is open (stopped before the limit: inf), nan in both for a
        blade without a life (left out, and said). An extrapolated life is an ordinary one
        with its larger uncertainty.
    log_life_se : array_like, shape (n,), optional
        Within-blade standard uncertainty of the log life (readings and fit, without what all
        blades share); nan or None where unknown.
    batch : array_like of str, shape (n,), optional
        Quench or temper batch. Equal labels in two heat treatments mean the same batch.
    block : array_like of str, shape (n,), optional
        Rope roll, board or day under which the blade was cut.
    law_u : array_like, shape (n,) or (n, K), optional
        Signed change of each log life for one standard normal unit of each of K things that
        blades share through the law (its powers; a root of their covariance): the difference
        of two groups' means counts in their ratio, squares added over K.
    covariate, covariate_u : array_like, shape (n,), optional
        A property of each blade on the scale on which log life goes with it linearly, such as
        the log of a thickness (nan where unknown), and its standard uncertainty.
    shared_se : float
        Standard uncertainty of log life that all blades share (scale, law): it widens the
        lives and cancels in every ratio.
    """

    blade: Sequence
    treatment: Sequence
    log_low: Sequence
    log_high: Sequence
    log_life_se: Sequence | None = None
    batch: Sequence | None = None
    block: Sequence | None = None
    law_u: Sequence | None = None
    covariate: Sequence | None = None
    covariate_u: Sequence | None = None
    shared_se: float = 0.0


def lives_known(blade, treatment, log_life, log_life_se=None, **columns):
    """`BladeLives` of lives that are all known: both ends of each are its `log_life`."""
    return BladeLives(blade, treatment, log_life, log_life, log_life_se, **columns)


@dataclass(frozen=True)
class Replicates:
    """Independent results, one element each, after control, batches and gaps are dealt with."""

    treatment: np.ndarray
    log_low: np.ndarray
    log_high: np.ndarray
    log_life_se: np.ndarray  # 0 where unknown
    block: np.ndarray | None
    law_u: np.ndarray  # (n, K): signed change of log life for one unit of what the law shares
    control_se: np.ndarray  # what a block's control runs lend to all of its blades
    covariate: np.ndarray  # nan where unknown
    covariate_u: np.ndarray
    blades: dict[str, tuple[str, ...]]  # by heat treatment, before batches are averaged
    confounded: bool  # batch and heat treatment cannot be told apart
    normalised: bool  # drift between blocks was taken out by the control blade
    doubts: tuple[Doubt, ...]

    @property
    def log_life(self):
        """One number a replicate: the life, the middle of its interval, or its one known end."""
        return middle(self.log_low, self.log_high)

    @property
    def exact(self):
        """Where a life is known and no interval."""
        return self.log_low == self.log_high

    @property
    def censored(self):
        """Where a life is only known to be a least one."""
        return np.isposinf(self.log_high)

    def of(self, treatment):
        """Mask of a heat treatment's replicates."""
        return self.treatment == treatment


def independent_results(lives, control=None):
    """Turn blades into replicates: one independent result of a heat treatment each.

    Parameters
    ----------
    lives : BladeLives
    control : str, optional
        Name of the control blade, run once a block; it is no member of a heat treatment.

    Returns
    -------
    Replicates

    Raises
    ------
    UnusableInput
        If columns differ in length, a life has no end within reach or its ends stand the
        wrong way round, an uncertainty is negative, or the control blade is not among the blades.
    """
    table, doubts = _table(lives), []
    low, high = table["log_low"], table["log_high"]
    if np.isposinf(low).any() or np.isneginf(high).any() or (np.isinf(low) & np.isinf(high)).any():
        raise UnusableInput("a log life is infinite", "log_low", "give nan where there is none")
    if (low > high).any():
        what = f"{low[low > high][0]:g} to {high[low > high][0]:g} is no interval"
        raise UnusableInput(what, "log_low", "give the smaller end first")
    known = ~(np.isnan(low) | np.isnan(high))
    if not known.all():
        doubts += _of_blades("blade_left_out", table, ~known)
        table = _take(table, known)
    normalised = False
    if control is not None:
        table, normalised = _use_control(table, str(control), doubts)
    if len(table["blade"]) == 0:
        raise UnusableInput("no blade has a life", "log_low", "cut the blades to more stages")
    blades = {
        name: tuple(dict.fromkeys(table["blade"][table["treatment"] == name].tolist()))
        for name in dict.fromkeys(table["treatment"].tolist())
    }
    table = _average_runs(table, doubts)
    doubts += _of_blades("life_is_a_bound", table, np.isposinf(table["log_high"]))
    table, confounded = _use_batches(table, doubts)
    return Replicates(
        **{name: table[name] for name in (*COLUMNS, "law_u") if name != "blade"},
        block=table.get("block"),
        control_se=table["control_se"],
        blades=blades,
        confounded=confounded,
        normalised=normalised,
        doubts=tuple(doubts),
    )


COLUMNS = {
    "blade": (str, ""),
    "treatment": (str, ""),
    "log_low": (float, np.nan),
    "log_high": (float, np.nan),
    "log_life_se": (float, 0.0),
    "covariate": (float, np.nan),
    "covariate_u": (float, 0.0),
}  # kind, and what stands in an optional column that is not given


def _table(lives):
    """The columns as arrays of one length."""
    n = np.size(lives.blade)
    table = {
        name: np.full(n, usual)
        if getattr(lives, name) is None
        else _column(getattr(lives, name), kind, n, name)
        for name, (kind, usual) in COLUMNS.items()
    }
    shared = np.zeros(n) if lives.law_u is None else np.asarray(lives.law_u, dtype=float)
    table["law_u"] = np.nan_to_num(shared[:, None] if shared.ndim == 1 else shared)
    if len(table["law_u"]) != n:
        what = f"{len(shared)} values for {n} blades"
        raise UnusableInput(what, "law_u", "give one value a blade")
    for name in ("batch", "block"):
        if getattr(lives, name) is not None:
            table[name] = _column(getattr(lives, name), str, n, name)
    se = table["log_life_se"]
    if (se < 0).any() or np.isinf(se).any():
        what = f"{se[(se < 0) | np.isinf(se)][0]:g} is no standard uncertainty"
        raise UnusableInput(what, "log_life_se", "give nan where it is unknown")
    return {**table, "log_life_se": np.nan_to_num(se), "control_se": np.zeros(n)}


def middle(low, high):
    """The middle of each interval; where one end is open, the other end."""
    with np.errstate(invalid="ignore"):
        both = (low + high) / 2
    return np.where(np.isposinf(high), low, np.where(np.isneginf(low), high, both))


def _column(values, kind, n, where):
    """The argument as an array of n, or an error that names it."""
    array = np.asarray(values).astype(kind)
    if array.shape != (n,):
        what = f"{array.size} values for {n} blades"
        raise UnusableInput(what, where, "give one value a blade")
    return array


def _of_blades(code, table, rows):
    """The doubt about each of the blades in the chosen rows, with its life where it has one."""
    found: dict[str, float | None] = {}
    for i in np.flatnonzero(rows):
        life = float(np.exp(middle(table["log_low"][i], table["log_high"][i])))
        found.setdefault(str(table["blade"][i]), life if np.isfinite(life) else None)
    return [doubt(code, where=Where(blade=blade, value=life)) for blade, life in found.items()]


def _take(table, rows):
    """The table's chosen rows."""
    return {name: column[rows] for name, column in table.items()}


def _use_control(table, control, doubts):
    """Take the drift between blocks out and the control's rows away."""
    runs = table["blade"] == control
    if not runs.any():
        mend = f"name one of: {', '.join(sorted(set(table['blade'].tolist())))}"
        raise UnusableInput(f'no blade "{control}" with a life', "control", mend)
    blocks = table.get("block")
    if blocks is None or len(set(blocks[runs].tolist())) < 2:
        doubts.append(doubt("control_not_used", where=Where(blade=control)))
        return _take(table, ~runs), False
    log_life = middle(table["log_low"], table["log_high"])
    drift, drift_se, bare = control_drift(log_life, table["log_life_se"], blocks, runs)
    doubts += [doubt("no_control_in_block", where=Where(value=name)) for name in bare]
    moved = {name: table[name] - drift for name in ("log_low", "log_high")}
    table = {**table, **moved, "control_se": drift_se}
    return _take(table, ~runs), True


def _use_batches(table, doubts):
    """Average batches that hold several blades, or say that they cannot be told apart.

    A batch that holds blades of every heat treatment is a block: what it did to one it did
    to the others.
    """
    if "batch" not in table:
        return table, False
    members = {
        name: set(table["batch"][table["treatment"] == name].tolist())
        for name in dict.fromkeys(table["treatment"].tolist())
    }
    everywhere = set.intersection(*members.values())
    if everywhere:
        return {"block": table["batch"], **table}, False
    keys = list(zip(table["treatment"].tolist(), table["batch"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table, False
    if min(map(len, members.values())) < 2:
        doubts.append(doubt("batch_confounded"))
        return table, True
    doubts.append(doubt("batches_are_replicates"))
    return _average(table, keys), False


def _average_runs(table, doubts):
    """One row a blade: runs of one blade are one replicate, however often it was cut."""
    keys = list(zip(table["treatment"].tolist(), table["blade"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table
    again = [keys.count(key) > 1 for key in keys]
    doubts += _of_blades("runs_averaged", table, again)
    if "block" in table:
        spread = {(key, block) for key, block in zip(keys, table["block"].tolist(), strict=True)}
        if len(spread) > len(set(keys)):  # a blade that ran in several blocks has none
            table = {name: column for name, column in table.items() if name != "block"}
    return _average(table, keys)


def _average(table, keys):
    """One row a key: the mean of its log lives."""
    order = list(dict.fromkeys(keys))
    index = np.array([order.index(key) for key in keys])
    count = np.bincount(index)

    def mean(column):
        return np.bincount(index, weights=column) / count

    shared = np.column_stack([mean(column) for column in table["law_u"].T])
    return {
        **_take(table, np.array([keys.index(key) for key in order])),
        "log_low": mean(table["log_low"]),
        "log_high": mean(table["log_high"]),
        "log_life_se": np.sqrt(mean(table["log_life_se"] ** 2) / count),
        "law_u": shared,
        "control_se": mean(table["control_se"]),
        "covariate": mean(table["covariate"]),
        "covariate_u": np.sqrt(mean(table["covariate_u"] ** 2)),
    }
