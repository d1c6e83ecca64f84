"""What else a maker logs of the same blades: checks, lives as typed, severing force, card."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.worlds import bench, blades, shapes
from tests.benchmarks.worlds.world import World

LADDER = ("shaves", "slices paper", "cuts cord", "dull")
PASS_FAIL = ("pass", "fail")
CYCLES = 60


@dataclass(frozen=True)
class Checking:
    """How blades are checked.

    Parameters
    ----------
    stages
        "fine" (every 10 cuts), "middle" (about six to a life) or "coarse" (doubling from 10).
    ladder
        `PASS_FAIL` or `LADDER`.
    stop
        Last check as a share of the geometric mean of the median lives (rope runs out).
    goes_on
        Whether checks go on after the last grade was given once.
    """

    stages: str
    ladder: tuple[str, ...] = PASS_FAIL
    stop: float = 3.0
    goes_on: bool = False


def _check_stages(checking, centre):
    """Cuts of the checks, the fresh blade first."""
    last = max(checking.stop * centre, 20.0)
    if checking.stages == "fine":
        return np.arange(0.0, last + 9.0, 10.0)
    if checking.stages == "middle":
        step = max(5.0, 5.0 * round(centre / 30.0))
        return np.arange(0.0, last + 0.9 * step, step)
    doublings = int(np.ceil(np.log2(last / 10.0)))
    return np.concatenate([[0.0], 10.0 * 2.0 ** np.arange(doublings + 1)])


def check_world(rng, design, checking, median=(100.0, 400.0)):
    """One study of checks, each decided by the true width with a little decision noise."""
    study = bench.draw_study(rng, design, median)
    runs = bench.draw_runs(rng, design)
    centre = np.exp(np.mean([one.log_median for one in study.treatments]))
    cuts = _check_stages(checking, centre)
    lives, widths, _ = bench.draw_truth(rng, study, runs, cuts)
    limit = study.edge.limit
    ends = (limit,)
    if len(checking.ladder) > 2:
        first = max(limit * rng.uniform(0.4, 0.5), 1.2 * study.edge.fresh)
        ends = (first, first + (limit - first) * rng.uniform(0.4, 0.65), limit)
    noise = rng.uniform(0.02, 0.05)
    felt = widths + noise * rng.standard_normal(widths.shape)
    given = (felt[:, :, None] >= np.log(ends)).sum(axis=2)
    worst = given == len(ends)
    last = np.where(worst.any(axis=1), worst.argmax(axis=1), len(cuts) - 1)
    if checking.goes_on:
        last = np.minimum(last + 2, len(cuts) - 1)
    run, stage = np.nonzero(np.arange(len(cuts)) <= last[:, None])
    labels = bench.roll_labels(runs.roll)
    return World(
        kind="checks",
        limit=limit,
        blade=runs.blade[run],
        heat_treatment=bench.treatment_names(study, runs)[run],
        block=labels[run],
        cuts=cuts[stage],
        grade=np.array(checking.ladder)[given[run, stage]],
        true_log_width=widths[run, stage],
        last_cuts=bench.last_by_blade(runs.blade[run], cuts[stage]),
        ladder=checking.ladder,
        grade_widths=ends,
        other_truths={"decision_noise": noise},
        **bench.truths(study, runs, lives),
    )


def _typed(counted, how, rope):
    """A life as typed: counted exactly, or met at a check every `how` cuts; rope is what he had."""
    if not how:
        return f">{rope:.0f}" if counted > rope else f"{max(counted, 1.0):.0f}"
    end = np.ceil(max(counted, 1e-9) / how) * how
    if end > rope:
        return f">{np.floor(rope / how) * how:.0f}"
    return f"<{how}" if end <= how else f"{end - how:.0f}-{end:.0f}"


def life_world(rng, design, every=0, median=(100.0, 1200.0)):
    """One study of lives as typed, one a blade.

    Parameters
    ----------
    every
        0: counted exactly; a number: checked every so many cuts; -1: some blades so, some so.
    median
        Range of the geometric mean of the median lives; rope runs out at design.stop of it.
    """
    study = bench.draw_study(rng, design, median)
    runs = bench.draw_runs(rng, design)
    return read_lives(rng, study, runs, every, rng.uniform(0.02, 0.06))


def read_lives(rng, study, runs, every, noise):
    """Typed lives of some runs of a study.

    When paper tears is decided with noise of its own, symmetric in the log of the cuts.
    """
    lives, _, _ = bench.draw_truth(rng, study, runs, np.zeros(1))
    counted = np.ceil(lives * np.exp(noise * rng.standard_normal(len(lives))))
    rope = float(study.cuts[-1])
    how = np.where(rng.random(len(lives)) < 0.5, 0, 20) if every < 0 else [every] * len(lives)
    text = [_typed(n, int(h), rope) for n, h in zip(counted, how, strict=True)]
    last = np.minimum(counted, rope).tolist()
    return World(
        kind="lives",
        limit=study.edge.limit,
        blade=runs.blade,
        heat_treatment=bench.treatment_names(study, runs),
        block=bench.roll_labels(runs.roll),
        life=np.array(text),
        last_cuts=dict(zip(runs.blade.tolist(), last, strict=True)),
        other_truths={"counting_noise": noise, "rope": rope},
        **bench.truths(study, runs, lives),
    )


def force_world(rng, design):
    """One study of severing force in gf, which grows and levels off; several severings a stage."""
    study = bench.draw_study(rng, design)
    edge = shapes.Edge(
        limit=float(rng.choice([350.0, 400.0, 500.0])),
        fresh=rng.uniform(80.0, 180.0),
        fresh_sd=rng.uniform(0.04, 0.1),
    )
    drawn = design.shapes(rng, edge)
    made = tuple(replace(t, shape=s) for t, s in zip(study.treatments, drawn, strict=True))
    # A severing scatters more than a width; where on the edge it falls is new each time.
    scope = bench.Microscope(rng.uniform(0.04, 0.1), 0.0, rng.uniform(0.01, 0.03))
    study = replace(study, edge=edge, treatments=made, microscope=scope)
    world = bench.read_widths(rng, design, study, bench.draw_runs(rng, design))
    return replace(world, kind="force", reading=np.round(world.reading, 0))


def _card_curves(initial, total, bend):
    """Card of each cycle with the given sums of the first three and of all cycles."""
    cycle = np.arange(CYCLES)[None, :]
    goal = (total / initial)[:, None]
    low, high = np.full_like(goal, np.log(1e-3)), np.full_like(goal, np.log(1e5))
    for _ in range(60):
        middle = (low + high) / 2.0
        cut = (1.0 + cycle / np.exp(middle)) ** -bend
        more = cut.sum(axis=1, keepdims=True) / cut[:, :3].sum(axis=1, keepdims=True) < goal
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    cut = (1.0 + cycle / np.exp((low + high) / 2.0)) ** -bend
    return cut * (initial[:, None] / cut[:, :3].sum(axis=1, keepdims=True))


def card_world(rng, counts=(3, 3), ratio=1.0, ratio_initial=1.0, scatter=None):
    """One study of card cut per cycle in mm.

    The sums of the first three and of all cycles are drawn, the curve made to meet both: the
    ratios of both medians are exact.
    """
    first, total = rng.uniform(90.0, 180.0), rng.uniform(5.0, 7.0)
    first_sd = rng.uniform(0.03, 0.1)
    rest_sd = rng.uniform(0.05, 0.15) if scatter is None else scatter
    bend, noise = rng.uniform(0.8, 1.4), rng.uniform(0.02, 0.06)
    treatment = np.repeat(np.arange(len(counts)), counts)
    k = len(treatment)
    # Held within 2.5 SD, which leaves the medians as they are.
    z = np.clip(rng.standard_normal((2, k)), -2.5, 2.5)
    initial = first * ratio_initial**treatment * np.exp(first_sd * z[0])
    totals = initial * total * (ratio / ratio_initial) ** treatment * np.exp(rest_sd * z[1])
    true = _card_curves(initial, totals, bend)
    readings = true * np.exp(noise * rng.standard_normal(true.shape))
    names = [f"{bench.LETTERS[t]}{i + 1 - sum(counts[:t])}" for i, t in enumerate(treatment)]
    blade = np.repeat(np.array(names), CYCLES)
    return World(
        kind="card",
        limit=float("nan"),
        blade=blade,
        heat_treatment=np.repeat(np.array(blades.NAMES)[treatment], CYCLES),
        block=np.full(len(blade), ""),
        cuts=np.tile(np.arange(1.0, CYCLES + 1.0), k),
        reading=np.round(readings.ravel(), 1),
        true_log_width=np.log(true.ravel()),
        true_log_ratio=float(np.log(ratio)),
        last_cuts=dict.fromkeys(names, float(CYCLES)),
        other_truths={
            "log_ratio_initial": float(np.log(ratio_initial)),
            "totals": dict(zip(names, totals.tolist(), strict=True)),
            "initial": dict(zip(names, initial.tolist(), strict=True)),
        },
    )
