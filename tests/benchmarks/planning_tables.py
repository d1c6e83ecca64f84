"""Tables of the guide on planning: blades, chances told and true, stages, readings to answer.

Run:  python -m tests.benchmarks.planning_tables [blades chances stages whole]     (minutes)

The studies of `chances` and `whole` are made here, apart from the plan's own simulation, and go
through the comparison (`one_ratio`, which a test holds equal to `compare_lives`, and that itself);
those of `stages` and `whole` through `fit_study` first.
"""

import sys
import time
from dataclasses import replace
from math import inf, log

import numpy as np

from edgetest.chop.chop_power import ChopsExpected, chop_power
from edgetest.chop.count_design import BOARD_SD, Billets
from edgetest.chop.counts import fit_counts
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives
from edgetest.wear.compare.one_ratio import one_ratio
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.plan.expected_wear import ExpectedWear, stage_se
from edgetest.wear.plan.planned_runs import Bench, planned_runs, runs_with
from edgetest.wear.plan.pooled_blades import blades_to_tell
from edgetest.wear.plan.stage_schedule import best_schedule, geometric_schedule, typical_se
from edgetest.wear.plan.study_design import Expected, Goal, PlannedLayout, Sampling, plan_study
from edgetest.wear.plan.study_power import LifeScatter, LifeSeen, power_of
from tests.wear.columns import fit_study

STUDIES = 2000
OWN = (0, 10, 25, 50, 100, 150, 200, 300, 400)  # the rope protocol's stages


def blades():
    """Blades of each heat treatment, without rolls and with one of each under every roll."""
    print("### Blades of each heat treatment for a chance of 80 % to show a ratio\n")
    ratios = (1.1, 1.2, 1.3, 1.5, 2.0)
    for title, bench in (("all under one roll", Bench()), ("one of each a roll", Bench(a_block=1))):
        print(f"| SD of log life, {title} | " + " | ".join(f"{r:g}" for r in ratios) + " |")
        print("|" + " --- |" * (len(ratios) + 1))
        for sd in (0.05, 0.1, 0.15, 0.2, 0.3):
            print(f"| {sd:g} | " + " | ".join(_need(r, sd, bench) for r in ratios) + " |")
        print()
    print("### Chance to show a ratio of 1.2, and the factor of the interval, SD 0.1\n")
    print("| blades of each | one roll: chance | factor | one of each a roll: chance | factor |")
    print("|" + " --- |" * 5)
    rng = np.random.default_rng(1)
    for n in (2, 3, 4, 5, 6, 8, 10):
        cells = []
        for bench in (Bench(), Bench(a_block=1)):
            told = power_of(runs_with(bench, n), 1.2, LifeScatter(0.1), rng)
            cells += [f"{100 * told.value:.0f} %", f"{told.factor:.2f}"]
        print(f"| {n} | {' | '.join(cells)} |")


def _need(ratio, sd, bench):
    """Blades needed, from the plan itself."""
    if not np.isfinite(blades_to_tell(ratio, sd)):
        return "over 200"
    plan = plan_study(
        Goal(ratio), PlannedLayout(bench), Sampling((0,), 1), Expected(LifeScatter(sd)),
        np.random.default_rng(1),
    )  # fmt: skip
    return str(plan.chosen.blades or "over 200")


CHECKS = tuple(range(0, 401, 40))
GAPS = planned_runs([
    *[(f"a{i}", "a", k) for i, k in enumerate("112334")],
    *[(f"b{i}", "b", k) for i, k in enumerate("122344")],
])  # fmt: skip
PARTS = planned_runs([
    *[(f"a{i}", "a", k) for i, k in enumerate("123")],
    *[(f"b{i}", "b", k) for i, k in enumerate("124")],
    *[(f"c{i}", "c", k) for i, k in enumerate("345")],
    *[("C", "control", k) for k in "12345"],
])  # fmt: skip
UNEQUAL = planned_runs(
    [(f"a{i}", "a", "1") for i in range(2)] + [(f"b{i}", "b", "1") for i in range(5)]
)
CASES = {
    "3 of each, one roll, ratio 1.5, SD 0.15": (runs_with(Bench(), 3), 1.5, 0.15, LifeSeen()),
    "3 of each, a roll a pair, 1.5, 0.15": (runs_with(Bench(a_block=1), 3), 1.5, 0.15, LifeSeen()),
    "5 of each, a roll a pair, 1.2, 0.10": (runs_with(Bench(a_block=1), 5), 1.2, 0.1, LifeSeen()),
    "the same and a control": (runs_with(Bench(2, 1, True), 5), 1.2, 0.1, LifeSeen()),
    "4 of each cut twice, 4 rolls, 1.3, 0.15": (
        runs_with(Bench(2, 1, runs=2), 4), 1.3, 0.15, LifeSeen()),
    "6 of each, 4 rolls with gaps, 1.25, 0.12": (GAPS, 1.25, 0.12, LifeSeen()),
    "3 treatments, parts of 5 rolls, control, 1.5, 0.12": (PARTS, 1.5, 0.12, LifeSeen()),
    "2 against 5, one roll, 1.5, 0.15": (UNEQUAL, 1.5, 0.15, LifeSeen()),
    "3 treatments of 4, a roll each, 1.3, 0.12": (
        runs_with(Bench(3, 1), 4), 1.3, 0.12, LifeSeen()),
    "5 of each, checks every 40 cuts, 1.3, 0.12": (
        runs_with(Bench(), 5), 1.3, 0.12, LifeSeen(200, checks=CHECKS)),
    "4 pairs, checks every 40 cuts, 1.4, 0.12": (
        runs_with(Bench(a_block=1), 4), 1.4, 0.12, LifeSeen(200, checks=CHECKS)),
    "5 of each, stopped at 190 of 200, 1.3, 0.12": (
        runs_with(Bench(), 5), 1.3, 0.12, LifeSeen(200, last=190)),
}  # fmt: skip


def chances():
    """Chance told by the plan and share of separately made studies that show the ratio."""
    print("### Chance told and true, worst first\n")
    rows = []
    for number, (name, (runs, ratio, sd, seen)) in enumerate(CASES.items()):
        begun = time.perf_counter()
        scatter = LifeScatter(sd, blocks=0.15 if runs.blocks > 1 else 0.0, runs=0.1)
        told = power_of(runs, ratio, scatter, np.random.default_rng(number), seen=seen,
                        studies=600)  # fmt: skip
        seconds = time.perf_counter() - begun
        true = _true_share(runs, ratio, scatter, seen, np.random.default_rng(100 + number))
        rows.append((told.value - true, name, told, true, seconds))
        print(f"{name}: {told.value:.3f} {true:.3f}", file=sys.stderr, flush=True)
    rows.append(_chops())
    print("| design, ratio, SD between blades | how | told | true | told less true | seconds |")
    print("|" + " --- |" * 6)
    for off, name, told, true, seconds in sorted(rows, key=lambda row: -abs(row[0])):
        print(
            f"| {name} | {told.how} | {told.value:.3f} ± {told.stderr:.3f} | {true:.3f} | "
            f"{off:+.3f} | {seconds:.1f} |"
        )


def _true_share(runs, ratio, scatter, seen, rng):
    """Share of studies, made blade by blade, that the comparison shows the ratio of."""
    shown = 0
    own = (scatter.blades**2 - scatter.again**2) ** 0.5
    block = runs.block if runs.blocks > 1 else None
    options = ComparisonOptions(control=runs.control, reference=runs.names[0])
    for _ in range(STUDIES):
        blade = {name: rng.normal(0, own) for name in dict.fromkeys(runs.blade.tolist())}
        roll = {name: rng.normal(0, scatter.blocks) for name in dict.fromkeys(runs.block.tolist())}
        y = np.array([
            log(seen.life) + roll[k] + rng.normal(0, scatter.again)
            + (0.0 if t == "control" else blade[b] + log(ratio) * (t == runs.names[1]))
            for b, t, k in zip(runs.blade.tolist(), runs.treatment.tolist(), runs.block.tolist(),
                               strict=True)
        ])  # fmt: skip
        lives = BladeLives(runs.blade, runs.treatment, *_told_ends(y, seen), block=block)
        seen_ratio, _ = one_ratio(lives, runs.names[1], options)
        shown += seen_ratio.low > 1
    return shown / STUDIES


def _told_ends(y, seen):
    """Ends of the log lives by checks, or by the last stage."""
    if not seen.checks:
        beyond = y > log(1.3 * seen.last) if seen.last < inf else np.zeros(len(y), bool)
        least = log(seen.last) if seen.last < inf else 0.0
        return np.where(beyond, least, y), np.where(beyond, inf, y)
    low, high = [], []
    for life in np.exp(y):
        low.append(max(c for c in seen.checks if c < life))
        high.append(min((c for c in seen.checks if c >= life), default=inf))
    with np.errstate(divide="ignore"):
        return np.log(low), np.log(high)


def _chops():
    """Billets: told, and the share of separately made tests whose interval leaves out 1."""
    begun, rng = time.perf_counter(), np.random.default_rng(9)
    expected = ChopsExpected(0.12, strokes=25, pieces=3)
    told = chop_power((4, 4), 1.4, expected, rng, studies=400)
    seconds, shown = time.perf_counter() - begun, 0
    for _ in range(STUDIES // 2):
        rows, wood = [], rng.normal(0, BOARD_SD, 3)
        for t, name in ((0, "a"), (1, "b")):
            for i in range(4):
                blade, before = rng.normal(log(25) + t * log(1.4), 0.12), 0
                for board in range(3):
                    rate = np.exp(blade + wood[board] + rng.normal(0, expected.piece_cv))
                    chops = max(int(rng.poisson(rate)), 1)
                    rows.append((f"{name}{i}", chops, 100.0, before, f"{board}", name))
                    before += chops
        blade, chops, area, before, board, treatment = zip(*rows, strict=True)
        found = fit_counts(
            Billets(blade, chops, area, chops_before=before, board=board, treatment=treatment)
        )
        shown += found.treatments[0].ratio.low > 1
    true = shown / (STUDIES // 2)
    return told.value - true, "billets: 4 of each, 3 of 25 chops, 1.4, 0.12", told, true, seconds


def stages():
    """The stages of the plan, and what fits of made-up readings make of them."""
    print("### Stages: last 400 cuts, fresh edge 1 µm, limit 10 µm, readings' CV 5 %\n")
    print("| stages | life thought | best stages | u(log life) | doubling | loss |")
    print("|" + " --- |" * 6)
    for count in (5, 8, 12):
        for life in (200, 300, 400):
            plan = best_schedule(count, 400, ExpectedWear(life))
            print(
                f"| {count} | {life} | {', '.join(map(str, plan.cuts))} | {plan.se:.3f} | "
                f"{plan.geometric_se:.3f} | {100 * plan.loss:.0f} % |"
            )
    print("\n### Nine stages as fits of made-up readings have them: life 267, doubt 1.5, CV 5 %\n")
    print("| departure from the law | stages | u(log life) told | error of fitted lives |")
    print("|" + " --- |" * 4)
    for deviation in (0.0, 0.05, 0.15):
        wear = ExpectedWear(267, 1.0, 10.0, deviation=deviation)
        best = best_schedule(9, 400, replace(wear, deviation=0.05)).cuts
        for name, cuts in (
            ("best", best), ("the protocol's", OWN), ("doubling", geometric_schedule(9, 400)),
        ):  # fmt: skip
            told, seen = float(typical_se(cuts, wear)), _fitted_error(np.array(cuts), wear)
            print(f"| {deviation:g} | {name} | {told:.3f} | {seen:.3f} |")


def _fitted_error(cuts, wear, studies=25, each=4):
    """Root mean square error of fitted log lives, blades from half as long again either way."""
    rng, errors = np.random.default_rng(3), []
    fine = np.arange(0, 1201.0)
    for _ in range(studies):
        rows, truth = [], {}
        power = wear.usual_bend * 1.5 ** rng.uniform(-1, 1)
        for i in range(each):
            life = wear.life * 1.5 ** rng.uniform(-1, 1)
            fresh, dull = wear.fresh**power, wear.limit**power
            walk = np.cumsum(np.r_[0.0, rng.normal(0, wear.deviation / life**0.5, 1200)])
            line = np.log(fresh + (dull - fresh) * fine / life) / power + walk
            past = np.flatnonzero(line >= log(wear.limit))
            truth[f"{i}"] = log(fine[past[0]] if len(past) else 1200.0)
            read = np.exp(line[cuts] + rng.normal(0, wear.reading_cv, len(cuts)))
            rows += [(f"{i}", c, w) for c, w in zip(cuts, read, strict=True)]
        blade, at, value = zip(*rows, strict=True)
        fit = fit_study(blade, at, value, limit=wear.limit)
        errors += [c.life.log_life - truth[c.blade] for c in fit.blades if c.life is not None]
    return float(np.sqrt(np.median(np.square(errors)) / 0.4549))  # robust: as of a normal


def whole():
    """From readings through the fit to the answer: chance told and true."""
    print("### From readings to the answer: 5 of each, ratio 1.3, 9 stages to 400, CV 5 %\n")
    print("| life | SD between blades | told | true |")
    print("|" + " --- |" * 4)
    studies = 300
    for life, sd in ((200, 0.12), (267, 0.12), (200, 0.05)):
        wear = ExpectedWear(life, 2.5, 12.0, reading_cv=0.05)
        se = float(stage_se(OWN, wear))
        scatter, seen = LifeScatter(sd, se, blocks=0.0), LifeSeen(life, 400)
        told = power_of(runs_with(Bench(), 5), 1.3, scatter, np.random.default_rng(1), seen=seen)
        rng, shown = np.random.default_rng(7), 0
        for _ in range(studies):
            shown += _whole_study(rng, wear, sd)
        print(f"| {life} | {sd:g} | {told.value:.3f} ± {told.stderr:.3f} | {shown / studies:.3f} |")


def _whole_study(rng, wear, sd):
    """Whether one study shows the ratio of 1.3, from its readings on."""
    cuts, rows = np.array(OWN, dtype=float), []
    for t, name in enumerate("ab"):
        for i in range(5):
            life = wear.life * 1.3**t * np.exp(rng.normal(0, sd))
            width = (wear.fresh**2 + (wear.limit**2 - wear.fresh**2) * cuts / life) ** 0.5
            read = width * np.exp(rng.normal(0, wear.reading_cv, len(cuts)))
            rows += [(f"{name}{i}", c, w) for c, w in zip(cuts, read, strict=True)]
    blade, at, value = zip(*rows, strict=True)
    kind = {b: b[0] for b in blade}
    fit = fit_study(blade, at, value, limit=wear.limit, treatment_of=kind)
    names = [curve.blade for curve in fit.blades]
    lives = fitted_lives([c.life for c in fit.blades], blade=names,
                         treatment=[kind[name] for name in names])  # fmt: skip
    return compare_lives(lives, ComparisonOptions(reference="a")).ratio.low > 1


PRINTED = {"blades": blades, "chances": chances, "stages": stages, "whole": whole}


def main(wanted):
    """Print the tables in Markdown."""
    for name in wanted or PRINTED:
        begun = time.perf_counter()
        PRINTED[name]()
        print(f"\n{name}: {time.perf_counter() - begun:.0f} s\n", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
