"""From blades to replicates: what counts as one independent result of a heat treatment."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.stats.multiple_comparisons import control_drift


@dataclass(frozen=True)
class Replicates:
    """Independent results, one element each, after control, batches and gaps are dealt with."""

    treatment: np.ndarray
    log_life: np.ndarray
    log_life_se: np.ndarray  # 0 where unknown
    censored: np.ndarray
    block: np.ndarray | None
    law_u: np.ndarray  # signed change of log life for one standard uncertainty of the law
    control_se: np.ndarray  # what a block's control runs lend to all of its blades
    covariate: np.ndarray  # nan where unknown
    covariate_u: np.ndarray
    blades: dict[str, tuple[str, ...]]  # by heat treatment, before batches are averaged
    confounded: bool  # batch and heat treatment cannot be told apart
    normalised: bool  # drift between blocks was taken out by the control blade
    warnings: tuple[str, ...]

    def of(self, treatment):
        """Mask of a heat treatment's replicates."""
        return self.treatment == treatment


def gather(
    blade,
    treatment,
    log_life,
    log_life_se=None,
    *,
    law_u=None,
    censored=None,
    batch=None,
    block=None,
    control=None,
    covariate=None,
    covariate_u=None,
):
    """Turn blades into replicates; arguments as in `compare_lives.compare_lives`.

    `covariate` and `covariate_u` as in `edgetest.wear.compare.covariate.without_covariate`.

    Raises
    ------
    UnusableInput
        If arrays differ in length, a life is infinite, an uncertainty is negative, or the
        control blade is not among the blades.
    """
    n = np.size(blade)
    table = {
        "blade": _column(blade, str, n, "blade"),
        "treatment": _column(treatment, str, n, "treatment"),
        "log_life": _column(log_life, float, n, "log_life"),
        "se": _uncertainty(log_life_se, n),
        "censored": _column(np.zeros(n) if censored is None else censored, bool, n, "censored"),
        "law_u": np.nan_to_num(_column(np.zeros(n) if law_u is None else law_u, float, n, "law_u")),
        "control_se": np.zeros(n),
        "covariate": _column(np.full(n, np.nan) if covariate is None else covariate, float, n,
                             "covariate"),
        "covariate_u": _column(np.zeros(n) if covariate_u is None else covariate_u, float, n,
                               "covariate_u"),
    }  # fmt: skip
    if batch is not None:
        table["batch"] = _column(batch, str, n, "batch")
    if block is not None:
        table["block"] = _column(block, str, n, "block")
    if np.isinf(table["log_life"]).any():
        raise UnusableInput("a log life is infinite", "log_life", "give nan where there is none")
    warnings = []
    known = ~np.isnan(table["log_life"])
    if not known.all():
        warnings.append("blade_left_out")
        table = _take(table, known)
    normalised = False
    if control is not None:
        table, normalised = _use_control(table, str(control), warnings)
    if len(table["blade"]) == 0:
        raise UnusableInput("no blade has a life", "log_life", "cut the blades to more stages")
    blades = {
        name: tuple(dict.fromkeys(table["blade"][table["treatment"] == name].tolist()))
        for name in dict.fromkeys(table["treatment"].tolist())
    }
    table = _average_runs(table, warnings)
    if table["censored"].any():
        warnings.append("life_is_a_bound")
    table, confounded = _use_batches(table, warnings)
    return Replicates(
        treatment=table["treatment"],
        log_life=table["log_life"],
        log_life_se=table["se"],
        censored=table["censored"],
        law_u=table["law_u"],
        block=table.get("block"),
        control_se=table["control_se"],
        covariate=table["covariate"],
        covariate_u=table["covariate_u"],
        blades=blades,
        confounded=confounded,
        normalised=normalised,
        warnings=tuple(warnings),
    )


def _column(values, kind, n, where):
    """The argument as an array of n, or an error that names it."""
    array = np.asarray(values).astype(kind)
    if array.shape != (n,):
        what = f"{array.size} values for {n} blades"
        raise UnusableInput(what, where, "give one value a blade")
    return array


def _uncertainty(values, n):
    """Standard uncertainties; unknown ones (None, nan) as 0."""
    if values is None:
        return np.zeros(n)
    array = _column(values, float, n, "log_life_se")
    if (array < 0).any() or np.isinf(array).any():
        what = f"{array[(array < 0) | np.isinf(array)][0]:g} is no standard uncertainty"
        raise UnusableInput(what, "log_life_se", "give nan where it is unknown")
    return np.nan_to_num(array, nan=0.0)


def _take(table, rows):
    """The table's chosen rows."""
    return {name: column[rows] for name, column in table.items()}


def _use_control(table, control, warnings):
    """Take the drift between blocks out and the control's rows away."""
    runs = table["blade"] == control
    if not runs.any():
        mend = f"name one of: {', '.join(sorted(set(table['blade'].tolist())))}"
        raise UnusableInput(f'no blade "{control}" with a life', "control", mend)
    blocks = table.get("block")
    if blocks is None or len(set(blocks[runs].tolist())) < 2:
        warnings.append("control_not_used")
        return _take(table, ~runs), False
    drift, drift_se, bare = control_drift(table["log_life"], table["se"], blocks, runs)
    if bare:
        warnings.append("no_control_in_block")
    table = {**table, "log_life": table["log_life"] - drift, "control_se": drift_se}
    return _take(table, ~runs), True


def _use_batches(table, warnings):
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
        warnings.append("batch_confounded")
        return table, True
    warnings.append("batches_are_replicates")
    return _average(table, keys), False


def _average_runs(table, warnings):
    """One row a blade: runs of one blade are one replicate, however often it was cut."""
    keys = list(zip(table["treatment"].tolist(), table["blade"].tolist(), strict=True))
    if len(set(keys)) == len(keys):
        return table
    warnings.append("runs_averaged")
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

    return {
        **_take(table, np.array([keys.index(key) for key in order])),
        "log_life": mean(table["log_life"]),
        "se": np.sqrt(mean(table["se"] ** 2) / count),
        "law_u": mean(table["law_u"]),
        "control_se": mean(table["control_se"]),
        "covariate": mean(table["covariate"]),
        "covariate_u": np.sqrt(mean(table["covariate_u"] ** 2)),
        "censored": np.bincount(index, weights=table["censored"]) > 0,
    }
