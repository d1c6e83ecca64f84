"""From blades to replicates: what counts as one independent result of a heat treatment."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.wear.compare.blank_batches import whole_batches
from edgetest.wear.compare.block_effects import told_apart
from edgetest.wear.compare.broken_runs import without_broken_runs
from edgetest.wear.compare.shared_batches import batches_shared, seen_by_block, weigh_batches


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
        Quench or temper batch, where they part; "" where none is noted, see `blank_batches`.
        Equal labels in two treatments mean one batch.
    block : array_like of str, shape (n,), optional
        Rope roll, board or day under which the blade was cut.
    law_u : array_like, shape (n,) or (n, K), optional
        Signed change of each log life for one standard normal unit of each of K things that
        blades share through the law (its powers; a root of their covariance): the difference
        of two groups' means counts in their ratio, squares added over K.
    covariate, covariate_u : array_like, shape (n,), optional
        A property of each blade on the scale on which log life goes with it linearly, such as
        the log of a thickness (nan where unknown), and its standard uncertainty.
    own_low, own_high : array_like, shape (n,), optional
        Ends of the interval of each log life that its curve gave, with all that it holds.
    shared_se : float
        Standard uncertainty of log life that all blades share: it widens lives, and no ratio.
    read : str
        What was read at equal cuts, as "edge width", where that stands in place of the lives.
    """

    blade: Sequence
    treatment: Sequence
    log_low: Sequence
    log_high: Sequence
    log_life_se: Sequence | None = None
    life_df: Sequence | None = None
    batch: Sequence | None = None
    block: Sequence | None = None
    law_u: Sequence | None = None
    covariate: Sequence | None = None
    covariate_u: Sequence | None = None
    own_low: Sequence | None = None
    own_high: Sequence | None = None
    shared_se: float = 0.0
    read: str = ""


def lives_known(blade, treatment, log_life, log_life_se=None, **columns):
    """`BladeLives` of lives that are all known: both ends of each are its `log_life`."""
    return BladeLives(blade, treatment, log_life, log_life, log_life_se, **columns)


@dataclass(frozen=True)
class Replicates:
    """Independent results, one element each, after batches, runs and gaps are dealt with."""

    blade: np.ndarray
    treatment: np.ndarray
    log_low: np.ndarray
    log_high: np.ndarray
    log_life_se: np.ndarray  # 0 where unknown
    life_df: np.ndarray
    block: np.ndarray | None
    law_u: np.ndarray  # (n, K): signed change of log life for one unit of what the law shares
    covariate: np.ndarray  # nan where unknown
    covariate_u: np.ndarray
    own_low: np.ndarray  # of a single run's curve; nan where there is none
    own_high: np.ndarray
    blades: dict[str, tuple[str, ...]]  # by heat treatment, before batches are averaged
    shared: str  # "batches" or "blocks" that cannot be told from the heat treatment; else ""
    control_log_life: np.ndarray  # (m,): the control blade's runs, where they can tell of blocks
    control_block: np.ndarray
    doubts: tuple[Doubt, ...]
    parts: dict[str, int]  # of how many batches or blocks a heat treatment is, where `shared`
    runs: "Replicates | None" = None  # a row a run, or a blade of a batch, which `blade` names

    @property
    def log_life(self):
        """One number a replicate: the life, the middle of its interval, or its one known end."""
        return middle(self.log_low, self.log_high)

    @property
    def exact(self):
        """Where a life is known and no interval."""
        return self.log_low == self.log_high

    def own_ends(self, treatment):
        """The interval that the curve gave a heat treatment's one blade; None of several."""
        low, high = (ends[self.of(treatment)] for ends in (self.own_low, self.own_high))
        return None if len(low) > 1 or np.isnan(low).any() else (float(low[0]), float(high[0]))

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
        If columns differ in length, a life has no end within reach or its ends the wrong way
        round, an uncertainty is negative, or the control blade is not among the blades.
    """
    table = _table(lives)
    doubts: list[Doubt] = []
    table = _known(table, doubts)
    of_control = table["log_low"][:0], np.array([], dtype=str)
    if control is not None:
        table, *of_control = _set_control_apart(table, str(control), doubts)
    table, of_broken = without_broken_runs(table)
    if len(table["blade"]) == 0:
        raise UnusableInput("no blade has a life", "log_low", "cut the blades to more stages")
    blades = {
        name: tuple(dict.fromkeys(table["blade"][table["treatment"] == name].tolist()))
        for name in dict.fromkeys(table["treatment"].tolist())
    }
    doubts += _of_blades("life_is_a_bound", table, np.isposinf(table["log_high"]))
    by_block = seen_by_block(table, lives.read)
    table, blank, told = whole_batches(table)
    table, more = weigh_batches(table, linked=len(of_control[0]) > 0, read=lives.read)
    doubts += [*of_broken, *told, *more, *by_block]
    every_run = dict(table)
    table = _average_runs(table, doubts)
    again = len(table["blade"]) < len(every_run["blade"])
    table, shared = _use_batches(table, doubts, blank)
    if any(one.code == "batches_are_replicates" for one in doubts):
        of = zip(every_run["treatment"], every_run["batch"], strict=True)
        again, every_run["blade"] = True, np.array([f"{name}: {batch}" for name, batch in of])
    if not shared:
        table, shared = _use_blocks(table, doubts, linked=len(of_control[0]) > 0)
    kept = {"blades": blades, "shared": shared, "doubts": tuple(doubts)}
    kept |= {"control_log_life": of_control[0], "control_block": of_control[1]}
    return _replicates(table, runs=_replicates(every_run, **kept) if again else None, **kept)


def _replicates(table, **more):
    """The rows of a table as replicates."""
    columns = {name: table[name] for name in (*COLUMNS, "law_u")}
    of = {"batches": "batch", "blocks": "block"}.get(more["shared"])
    pairs = set(zip(table["treatment"].tolist(), table[of].tolist(), strict=True)) if of else ()
    parts = Counter(name for name, _ in pairs)
    return Replicates(**columns, block=table.get("block"), parts=parts, **more)


def _known(table, doubts):
    """The rows that have a life; ends that no life can have are refused."""
    low, high = table["log_low"], table["log_high"]
    if np.isposinf(low).any() or np.isneginf(high).any() or (np.isinf(low) & np.isinf(high)).any():
        raise UnusableInput("a log life is infinite", "log_low", "give nan where there is none")
    if (low > high).any():
        what = f"{low[low > high][0]:g} to {high[low > high][0]:g} is no interval"
        raise UnusableInput(what, "log_low", "give the smaller end first")
    known = ~(np.isnan(low) | np.isnan(high))
    if known.all():
        return table
    doubts += _of_blades("blade_left_out", table, ~known)
    return _take(table, known)


COLUMNS = {
    **dict.fromkeys(("blade", "treatment"), (str, "")),
    **dict.fromkeys(("log_low", "log_high", "own_low", "own_high", "covariate"), (float, np.nan)),
    **dict.fromkeys(("log_life_se", "covariate_u"), (float, 0.0)),
    "life_df": (float, np.inf),
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
    return {**table, "log_life_se": np.nan_to_num(se)}


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


def _set_control_apart(table, control, doubts):
    """The table without the control's runs, their log lives and their blocks."""
    runs = table["blade"] == control
    if not runs.any():
        mend = f"name one of: {', '.join(sorted(set(table['blade'].tolist())))}"
        raise UnusableInput(f'no blade "{control}" with a life', "control", mend)
    blades, blocks = _take(table, ~runs), table.get("block")
    if blocks is None or len(set(blocks[runs].tolist())) < 2:
        doubts.append(doubt("control_not_used", where=Where(blade=control)))
        return blades, table["log_low"][:0], np.array([], dtype=str)
    bare = sorted(set(blades["block"].tolist()) - set(blocks[runs].tolist()))
    doubts += [doubt("no_control_in_block", where=Where(value=name)) for name in bare]
    log_life = middle(table["log_low"][runs], table["log_high"][runs])
    return blades, log_life, blocks[runs]


def _use_batches(table, doubts, blank):
    """Average batches that hold several blades, or say that they cannot be told apart."""
    if "batch" not in table:
        doubts.append(doubt("batches_unknown"))
        return table, ""
    if batches_shared(table):
        return table, ""
    keys = list(zip(table["treatment"].tolist(), table["batch"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table, ""
    alone = {name for name, count in Counter(name for name, _ in set(keys)).items() if count < 2}
    if alone:
        several = {name for name in alone if (table["treatment"] == name).sum() > 1} or alone
        doubts.append(doubt("batch_may_be_confounded" if several <= blank else "batch_confounded"))
        return table, "batches"
    doubts.append(doubt("batches_are_replicates"))
    return _average(table, keys), ""


def _use_blocks(table, doubts, *, linked):
    """Average blocks that hold blades of one heat treatment each, or say what they hide.

    Blocks that link the heat treatments, or that a control links, are for the analysis; others
    are what batches are: each counts once.
    """
    if "block" not in table:
        return table, ""
    names, treatment = np.unique(table["treatment"], return_inverse=True)
    block = np.unique(table["block"], return_inverse=True)[1]
    if len(names) < 2 or told_apart(treatment, block):
        return table, ""
    keys = list(zip(table["treatment"].tolist(), table["block"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table, ""
    if min(len(set(block[treatment == i].tolist())) for i in range(len(names))) < 2:
        doubts.append(doubt("block_confounded"))
        return table, "blocks"
    if linked:
        return table, ""
    doubts.append(doubt("blocks_are_replicates"))
    return _average(table, keys), ""


def _average_runs(table, doubts):
    """One row a blade: runs of one blade are one replicate, however often it was cut."""
    keys = list(zip(table["treatment"].tolist(), table["blade"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table
    runs = Counter(keys)
    doubts += _of_blades("runs_averaged", table, [runs[key] > 1 for key in keys])
    return _average(table, keys)


def _average(table, keys):
    """One row a key: the mean of its log lives; what stood in several blocks has none."""
    place = {key: i for i, key in enumerate(dict.fromkeys(keys))}
    index = np.array([place[key] for key in keys])
    count = np.bincount(index)
    first = np.unique(index, return_index=True)[1]
    if "block" in table:
        stood = set(zip(index.tolist(), table["block"].tolist(), strict=True))
        if len(stood) > len(place):
            table = {name: column for name, column in table.items() if name != "block"}

    def mean(column):
        return np.bincount(index, weights=column) / count

    return {
        **_take(table, first),
        "log_low": mean(table["log_low"]),
        "log_high": mean(table["log_high"]),
        "log_life_se": np.sqrt(mean(table["log_life_se"] ** 2) / count),
        "life_df": np.array([table["life_df"][index == i].min() for i in range(len(count))]),
        "law_u": np.column_stack([mean(column) for column in table["law_u"].T]),
        "covariate": mean(table["covariate"]),
        "covariate_u": np.sqrt(mean(table["covariate_u"] ** 2)),
        "own_low": np.where(count > 1, np.nan, table["own_low"][first]),
        "own_high": np.where(count > 1, np.nan, table["own_high"][first]),
    }
