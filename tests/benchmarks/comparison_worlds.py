"""The comparison judged by made-up studies that were written apart from it (`worlds`).

Run:  python -m tests.benchmarks.comparison_worlds [part of a cell's name ...]
          --studies 2000   how many a cell; a cell is judged where any of the parts is in its name
          --seeds odd      "even" to choose by, "odd" to report by, "all"
          --verb 2         of so many a cell the answer is held against the notebook's `compare`
          --save FILE      the rows as JSON lines as well

Each study goes the way of `edgetest compare`: readings, curves, lives, comparison. Printed, worst
coverage first: share of ratios whose 95 % interval holds the true ratio of median lives, share
of claims that are false (longer where it is not, or the wrong way), of all claims, median log
half-width, share of lives that their interval holds, of lives answered by a bound. Prints
Markdown.
"""

import argparse
import json
import os
import time
from dataclasses import dataclass, field
from math import exp, inf, isfinite, log

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.cells import parse_life
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study
from edgetest.wear.graded.grade_lives import grade_lives
from edgetest.wear.graded.run_lives import RunLife, noted_lives
from tests.benchmarks.worlds.cells import CELLS

CONTROL = "C"


@dataclass
class Tally:
    """What a cell's studies came to."""

    studies: int = 0
    answered: int = 0
    ratios: int = 0
    held: int = 0
    low_side: int = 0
    claims: int = 0
    false: int = 0
    widths: list = field(default_factory=list)
    lives: int = 0
    lives_held: int = 0
    bounds: int = 0
    runs: int = 0
    life_widths: list = field(default_factory=list)
    faults: dict = field(default_factory=dict)
    seconds: float = 0.0


def compared(world, tally):
    """The comparison of a made-up study, its lives tallied; None where there is none."""
    control = CONTROL if (world.blade == CONTROL).any() else None
    options = ComparisonOptions(control=control)
    if world.kind in ("widths", "force"):
        return compare_lives(_from_curves(world, tally), options)
    return compare_lives(_noted(world), options)


def _runs(world):
    """Name of the run of every row, and facts of each run."""
    block = world.block if len(world.block) else np.full(len(world.blade), "")
    names = [f"{b} · {r}" if r else b for b, r in zip(world.blade, block, strict=True)]
    facts = {}
    for name, b, t, r in zip(names, world.blade, world.heat_treatment, block, strict=True):
        facts[name] = (str(b), str(t), str(r))
    return names, facts


def _from_curves(world, tally):
    """Lives read off wear curves."""
    names, facts = _runs(world)
    columns = wear_readings(names, world.cuts, world.reading, station=world.station)
    how = FitOptions(
        limit=world.limit,
        law="wedge" if world.kind == "widths" else "saturating",
        treatment_of={k: t or f"control {b}" for k, (b, t, _) in facts.items()},
    )
    fit = fit_study(columns, how)
    rows = [(one.life, facts[one.blade]) for one in fit.blades if one.life is not None]
    for life, (blade, treatment, block) in rows:
        if treatment:
            _tally_life(tally, life, world.true_life[(blade, block)])
    return fitted_lives(
        [life for life, _ in rows],
        blade=[f[0] for _, f in rows],
        treatment=[f[1] for _, f in rows],
        block=[f[2] for _, f in rows],
    )


def _tally_life(tally, life, truth):
    """Whether a life's interval holds the true one."""
    tally.runs += 1
    tally.lives_held += life.low <= truth <= life.high
    if life.high == inf:
        tally.bounds += 1
    elif life.low > 0:
        tally.life_widths.append(log(life.high / life.low) / 2)


def _noted(world):
    """Lives of checks or as the maker typed them."""
    if world.kind == "lives":
        lives = []
        for i, text in enumerate(world.life):
            found = parse_life(str(text))
            if found.value is not None:
                lives.append(RunLife(str(i), float(found.value), float(found.value)))
            else:
                lives.append(RunLife(str(i), float(found.lower or 0), float(found.upper or inf)))
        facts = [_fact(world, i) for i in range(len(world.blade))]
    else:
        names, by_name = _runs(world)
        lives = grade_lives(
            names, world.cuts, world.grade, ladder=world.ladder, leaves=_leaves(world)
        )
        facts = [by_name[life.blade] for life in lives]
    known = [(life, f) for life, f in zip(lives, facts, strict=True) if life.told]
    return noted_lives(
        [life for life, _ in known],
        blade=[f[0] for _, f in known],
        treatment=[f[1] for _, f in known],
        batch=None,
        block=[f[2] for _, f in known],
    )


def _fact(world, i):
    block = world.block[i] if len(world.block) else ""
    return str(world.blade[i]), str(world.heat_treatment[i]), str(block)


def _leaves(world):
    """The grade whose leaving is the life at the limit."""
    widths = np.asarray(world.grade_widths)
    return world.ladder[int(np.argmin(np.abs(widths - world.limit)))]


def tally_cell(name, seeds, verb=0):
    """The tally of a cell over seeds; the first `verb` are held against the notebook's verb."""
    tally = Tally()
    start = time.perf_counter()
    for k, seed in enumerate(seeds):
        world = CELLS[name](np.random.default_rng(seed))
        tally.studies += 1
        try:
            found = compared(world, tally)
        except UnusableInput as why:
            tally.faults[str(why)[:70]] = tally.faults.get(str(why)[:70], 0) + 1
            continue
        _tally_ratios(tally, world, found)
        if k < verb:
            _same_as_verb(world, found)
    tally.seconds = time.perf_counter() - start
    return tally


def _tally_ratios(tally, world, found):
    """Coverage and claims of a comparison; of several treatments jointly over all of them."""
    truth = world.true_log_ratio
    if isinstance(truth, dict):
        every = [p for p in found.pairs if p.family.startswith("against")]
        pairs = [(p.first, p.second, p.ratio, p.verdict) for p in every]
    else:
        order = list(dict.fromkeys(t for t in world.heat_treatment.tolist() if t))
        truth = {(order[1], order[0]): truth}
        pairs = [(found.first, found.second, found.ratio, found.practical.verdict)]
    tally.answered += 1
    held, claim, false = True, False, False
    finite = True
    for first, second, ratio, verdict in pairs:
        true = truth[(second, first)] if (second, first) in truth else -truth[(first, second)]
        low, high = (log(x) if 0 < x < inf else (-inf if x <= 0 else inf)
                     for x in (ratio.low, ratio.high))  # fmt: skip
        held &= low <= true <= high
        tally.low_side += true < low
        finite &= isfinite(low) and isfinite(high)
        if verdict in ("longer", "shorter"):
            claim = True
            right = true > 0 if verdict == "longer" else true < 0
            false |= not right
        if isfinite(low) and isfinite(high):
            tally.widths.append((high - low) / 2)
    tally.held += held
    tally.ratios += finite
    tally.claims += claim
    tally.false += false


def _same_as_verb(world, found):
    """Hold the answer against the notebook's verb; raises where they differ."""
    import pandas as pd

    import edgetest as et

    frame = pd.DataFrame({"blade": world.blade, "heat_treatment": world.heat_treatment})
    if len(world.block) and (world.block != "").any():
        frame["block"] = world.block
    more = {}
    if world.kind == "lives":
        frame["life"] = world.life
    elif world.kind == "checks":
        if len(world.ladder) > 2:
            return  # a ladder needs a study with a protocol
        frame["cuts"], frame["pass_fail"] = world.cuts, world.grade
    else:
        frame["cuts"], frame["station_mm"] = world.cuts, _places(world.station)
        column = "edge_width_um" if world.kind == "widths" else "sever_force_gf"
        frame[column] = world.reading
        more = {"limit": world.limit}
    if (world.blade == CONTROL).any():
        more["control"] = CONTROL
    other = et.compare(frame.astype(str), **more).comparison
    if other is None or abs(log(other.ratio.estimate / found.ratio.estimate)) > 1e-6:
        raise AssertionError(f"the verb says {other and other.ratio}, here {found.ratio}")


def _places(station):
    names = list(dict.fromkeys(station.tolist()))
    return [names.index(s) + 1 for s in station.tolist()]


def row_of(name, tally):
    """A cell's figures as plain values."""
    n = max(tally.answered, 1)
    return {
        "cell": name,
        "studies": tally.studies,
        "answered": tally.answered,
        "covers": tally.held / n,
        "false": tally.false / n,
        "claims": tally.claims / n,
        "closed": tally.ratios / n,
        "half_width": float(np.median(tally.widths)) if tally.widths else None,
        "lives_cover": tally.lives_held / tally.runs if tally.runs else None,
        "bounds": tally.bounds / tally.runs if tally.runs else None,
        "life_half_width": float(np.median(tally.life_widths)) if tally.life_widths else None,
        "ms": 1000 * tally.seconds / max(tally.studies, 1),
        "faults": tally.faults,
    }


def shown(row):
    """A cell as a row of the table."""

    def share(x):
        return "–" if x is None else f"{100 * x:.1f}"

    def size(x):
        return "–" if x is None else f"{exp(x):.2f}"

    faults = "; ".join(f"{n}x {why}" for why, n in row["faults"].items())
    return (
        f"| {row['cell']} | {row['studies']} | {share(row['covers'])} | {share(row['false'])} | "
        f"{share(row['claims'])} | {share(row['closed'])} | {size(row['half_width'])} | "
        f"{share(row['lives_cover'])} | {share(row['bounds'])} | {size(row['life_half_width'])} | "
        f"{row['ms']:.0f} | {faults} |"
    )


HEADING = (
    "| cell | studies | ratio held, % | false claims, % | claims, % | closed, % | factor of the "
    "interval | lives held, % | bounds, % | factor of a life | ms | refused |\n"
    + "| --- " * 12
    + "|"
)


def main():
    """Judge the cells asked for and print them, worst coverage first."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("parts", nargs="*")
    ask.add_argument("--studies", type=int, default=200)
    ask.add_argument("--seeds", choices=["even", "odd", "all"], default="odd")
    ask.add_argument("--verb", type=int, default=0)
    ask.add_argument("--share", default="0/1", help="k/n: every n-th cell from the k-th on")
    ask.add_argument("--save")
    asked = ask.parse_args()
    step, first = (1, 0) if asked.seeds == "all" else (2, int(asked.seeds == "odd"))
    seeds = range(first, first + step * asked.studies, step)
    names = [n for n in CELLS if not n.startswith("card")]
    names = [n for n in names if not asked.parts or any(part in n for part in asked.parts)]
    k, n = map(int, asked.share.split("/"))
    rows = []
    for name in names[k::n]:
        rows.append(row_of(name, tally_cell(name, seeds, asked.verb)))
        print(shown(rows[-1]), flush=True)
        if asked.save:
            with open(asked.save, "a") as file:
                file.write(json.dumps(rows[-1]) + "\n")
    rows.sort(key=lambda row: row["covers"])
    print("\n" + HEADING)
    for row in rows:
        print(shown(row))


if __name__ == "__main__":
    main()
