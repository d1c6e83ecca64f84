"""Readings of edge widths as the maker logs them: designs, stages, stations, errors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.benchmarks.worlds import blades, shapes
from tests.benchmarks.worlds.world import World

LETTERS = "ABDEF"


@dataclass(frozen=True)
class Design:
    """What a cell fixes; everything else is drawn afresh in each study.

    Parameters
    ----------
    shapes
        Function of (rng, edge) giving one shape a treatment.
    counts
        Blades of each treatment; with blocks in which a blade of each runs, the rolls.
    ratios
        Ratios of median lives of the second and later treatments over the first.
    stop
        Last cuts as a share of the geometric mean of the median lives.
    stages
        "doubling", "even", "few" (5), "many" (12), or "" for any of these.
    scatter, df
        SD of log life (None: drawn from 0.05 to 0.3; "unequal") and t degrees of freedom.
    blocks
        "", "complete", "incomplete", "confounded" or "hidden" (complete, but not logged).
    control
        Whether a control blade runs on each roll.
    ending
        "" (all to the last stage), "random" stage per blade, or "dull" (at the limit as read).
    gross
        "", "x10", "tenth" (one reading each) or "chips" (3 % of readings, 1.3 to 3 times).
    stations
        Number of stations (0: drawn from 2 to 4).
    missing
        Share of readings that were not taken.
    digits
        Decimals of a reading.
    """

    shapes: Callable
    counts: tuple[int, ...] = (3, 3)
    ratios: tuple[float, ...] = (1.0,)
    stop: float = 1.0
    stages: str = ""
    scatter: float | str | None = None
    df: float = 0.0
    blocks: str = ""
    control: bool = False
    ending: str = ""
    gross: str = ""
    stations: int = 3
    missing: float = 0.0
    digits: int = 2


@dataclass(frozen=True)
class Microscope:
    """Log SDs of a reading, of a station's own stand-off and of what a stage shares."""

    reading: float
    station: float
    stage: float


@dataclass(frozen=True)
class Study:
    """The truth of one study before any blade of it is drawn; cuts holds its stages."""

    edge: shapes.Edge
    treatments: tuple[blades.Treatment, ...]
    control: blades.Treatment | None
    block_sd: float
    microscope: Microscope
    cuts: np.ndarray
    stations: int


@dataclass(frozen=True)
class Runs:
    """One row a run: treatment (-1: control), name of the blade, index of the roll (-1: none)."""

    treatment: np.ndarray
    blade: np.ndarray
    roll: np.ndarray


def schedule(rng, last, kind=""):
    """Stages as whole cuts from 0 to last."""
    kind = kind or str(rng.choice(["doubling", "even", "few", "many"]))
    last = max(float(round(last / 5.0) * 5), 10.0)
    count = {"few": 4, "many": 11}.get(kind) or int(rng.integers(5, 8))
    doubling = kind == "doubling" or (kind == "few" and rng.random() < 0.5)
    if doubling:
        steps = last / 2.0 ** np.arange(count - 1, -1, -1)
    else:
        steps = last * np.arange(1, count + 1) / count
    return np.unique(np.concatenate([[0.0], np.maximum(np.round(steps), 1.0)]))


def draw_study(rng, design, median=None):
    """The settings of one study of a design."""
    edge = blades.draw_edge(rng)
    made = blades.draw_treatments(
        rng, design.shapes(rng, edge), design.ratios, design.scatter, design.df, median
    )
    centre = float(np.mean([one.log_median for one in made]))
    control = None
    if design.control:
        control = blades.Treatment(
            "",
            centre + rng.uniform(-0.35, 0.35),
            rng.uniform(0.05, 0.1),
            0.0,
            made[int(rng.integers(len(made)))].shape,
        )
    return Study(
        edge=edge,
        treatments=made,
        control=control,
        block_sd=rng.uniform(0.1, 0.2) if design.blocks else 0.0,
        microscope=Microscope(
            rng.uniform(0.02, 0.08), rng.uniform(0.02, 0.06), rng.uniform(0.01, 0.03)
        ),
        cuts=schedule(rng, design.stop * np.exp(centre), design.stages),
        stations=design.stations or int(rng.integers(2, 5)),
    )


def _rolls(rng, design):
    """Treatment and roll of each run of the heat-treated blades."""
    counts, kinds = design.counts, len(design.counts)
    treatment = np.repeat(np.arange(kinds), counts)
    within = np.concatenate([np.arange(n) for n in counts])
    if design.blocks in ("complete", "hidden"):
        return treatment, within
    if design.blocks == "incomplete":
        # Every roll but the first lacks a treatment, each in its turn; two see all of them.
        rolls = max(counts)
        lacks = np.full(rolls, -1)
        lacks[2:] = (np.arange(2, rolls) + rng.integers(kinds)) % kinds
        kept = lacks[within] != treatment
        return treatment[kept], within[kept]
    if design.blocks == "confounded":
        # Two rolls a treatment where there are enough blades, never two treatments on one.
        rolls = [min(2, n) for n in counts]
        starts = np.concatenate([[0], np.cumsum(rolls)[:-1]])
        return treatment, starts[treatment] + within % np.array(rolls)[treatment]
    return treatment, np.full(len(treatment), -1)


def draw_runs(rng, design):
    """Which blade runs on which roll; names are letters and numbers, the control is C."""
    treatment, roll = _rolls(rng, design)
    number = np.zeros(len(treatment), dtype=int)
    for kind in np.unique(treatment):
        here = treatment == kind
        number[here] = np.arange(1, here.sum() + 1)
    names = [f"{LETTERS[t]}{n}" for t, n in zip(treatment, number, strict=True)]
    if design.control:
        seen = np.unique(roll)
        treatment = np.concatenate([treatment, np.full(len(seen), -1)])
        names += ["C"] * len(seen)
        roll = np.concatenate([roll, seen])
    return Runs(treatment, np.array(names), roll)


def draw_truth(rng, study, runs, cuts=None):
    """Lives of the runs, and at the stages the log widths and what stations add to them.

    Returns
    -------
    tuple
        lives (runs), log widths (runs, stages), stand-offs of stations (runs, stages, stations).
    """
    cuts = study.cuts if cuts is None else cuts
    k, m = len(runs.treatment), len(cuts)
    effects = study.block_sd * rng.standard_normal(runs.roll.max() + 1) if study.block_sd else None
    lives = np.empty(k)
    widths = np.empty((k, m))
    beside = np.zeros((k, m, study.stations))
    for kind in np.unique(runs.treatment):
        here = np.flatnonzero(runs.treatment == kind)
        made = study.control if kind < 0 else study.treatments[kind]
        logs = made.log_lives(rng, len(here))
        if effects is not None:
            logs = logs + effects[runs.roll[here]]
        lives[here] = np.exp(logs)
        curve = made.shape(rng, len(here))
        times = cuts[None, :] / lives[here, None]
        widths[here] = curve.log_width(times)
        if curve.local is not None:
            beside[here] = curve.local(times, study.stations)
    return lives, widths, beside


def _logged(rng, design, study, log_readings):
    """Which readings (runs, stages, stations) were taken at all."""
    k, m, stations = log_readings.shape
    last = np.full(k, m - 1)
    if design.ending == "random" and m > 3:
        last = rng.integers(2, m, k)
    elif design.ending == "dull":
        dull = log_readings.mean(axis=2) >= np.log(study.edge.limit)
        last = np.where(dull.any(axis=1), dull.argmax(axis=1), m - 1)
    taken = np.broadcast_to((np.arange(m) <= last[:, None])[:, :, None], log_readings.shape)
    if design.missing:
        taken = taken & (rng.random((k, m, stations)) >= design.missing)
        taken[:, 0, 0] = True
    return taken


def _gross(rng, gross, readings):
    """Gross errors in the readings of the log, in place."""
    if gross in ("x10", "tenth"):
        readings[rng.integers(len(readings))] *= 10.0 if gross == "x10" else 0.1
    elif gross == "chips":
        hit = rng.random(len(readings)) < 0.03
        readings[hit] *= rng.uniform(1.3, 3.0, hit.sum())


def truths(study, runs, lives, blocks=True):
    """true_life and true_log_ratio of a world."""
    labels = roll_labels(runs.roll) if blocks else np.full(len(runs.roll), "")
    keys = zip(runs.blade.tolist(), labels.tolist(), strict=True)
    return {
        "true_life": dict(zip(keys, lives.tolist(), strict=True)),
        "true_log_ratio": blades.true_log_ratio(study.treatments),
        "treatments": study.treatments,
    }


def roll_labels(roll):
    """Names of the rolls as logged."""
    return np.array(["" if r < 0 else f"roll {r + 1}" for r in roll])


def treatment_names(study, runs):
    """Heat treatment of each run as logged: that of the control is empty."""
    names = np.array([one.name for one in study.treatments] + [""])
    return names[runs.treatment]


def last_by_blade(blade, cuts):
    """Largest cuts logged of each blade."""
    last: dict[str, float] = {}
    for one, n in zip(blade.tolist(), cuts.tolist(), strict=True):
        last[one] = max(n, last.get(one, 0.0))
    return last


def read_widths(rng, design, study, runs):
    """The log of the widths of some runs of a study."""
    lives, widths, beside = draw_truth(rng, study, runs)
    k, m, stations = beside.shape
    scope = study.microscope
    logs = widths[:, :, None] + beside
    logs = logs + scope.station * rng.standard_normal((k, 1, stations))
    logs = logs + scope.stage * rng.standard_normal((k, m, 1))
    logs = logs + scope.reading * rng.standard_normal((k, m, stations))
    taken = _logged(rng, design, study, logs)
    run, stage, station = np.nonzero(taken)
    readings = np.exp(logs[taken])
    _gross(rng, design.gross, readings)
    hidden = design.blocks == "hidden"
    labels = np.full(k, "") if hidden else roll_labels(runs.roll)
    return World(
        kind="widths",
        limit=study.edge.limit,
        blade=runs.blade[run],
        heat_treatment=treatment_names(study, runs)[run],
        block=labels[run],
        cuts=study.cuts[stage],
        station=np.array([str(s + 1) for s in range(stations)])[station],
        reading=np.round(readings, design.digits),
        grade=np.full(len(run), ""),
        life=np.full(len(run), ""),
        true_log_width=widths[run, stage],
        last_cuts=last_by_blade(runs.blade[run], study.cuts[stage]),
        other_truths={"microscope": scope, "block_sd": study.block_sd},
        **truths(study, runs, lives, not hidden),
    )


def width_world(rng, design):
    """One study of edge widths."""
    return read_widths(rng, design, draw_study(rng, design), draw_runs(rng, design))
