"""Names of two blades swapped at one stage, or at several: how often is it said, and rightly?

Run: python -m tests.benchmarks.swapped_names --studies 4 [--run] [--first 100] [part of a cell's
name ...]
Studies of the worlds that were written apart from the program (`worlds`), each read as it is and
once with the names of two blades exchanged at one stage, both drawn at random; with --run at two
stages that follow one another or more, fewer than half. Every second seed from the first: even ones
to choose a threshold by, odd ones to judge it, each once. Below 12 none are fresh. Prints a table.
"""

import argparse
import zlib
from itertools import combinations, pairwise
from math import exp

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study
from tests.benchmarks.comparison_worlds import _runs
from tests.benchmarks.worlds.cells import CELLS

APART = (0.1, 0.2, 0.4)  # log distance of both readings: where the rows of the table part
STARTS = ("power", "two_stage", "slow_fast", "levelling", "chip", "burnish", "force", "mixed")


def told(names, facts, world):
    """Pairs, first and last stage said to be swapped; None where nothing can be fitted."""
    columns = wear_readings(names, world.cuts, world.reading, station=world.station)
    how = FitOptions(
        limit=world.limit,
        law="wedge" if world.kind == "widths" else "saturating",
        treatment_of={k: t or f"control {b}" for k, (b, t, _) in facts.items()},
    )
    try:
        fit = fit_study(columns, how)
    except UnusableInput:
        return None
    found = [one.where for one in fit.doubts if one.code == "names_swapped"]
    return {(frozenset((o.blade, o.other)), o.stage, o.last_stage or o.stage) for o in found}


def exchanged(names, world, rng, *, run=False):
    """The names with those of two blades exchanged, what was done, the distance."""
    names, cuts = np.array(names, dtype=object), np.asarray(world.cuts, dtype=float)
    stages = [c for c in np.unique(cuts) if c > 0 and len(set(names[cuts == c])) > 1]
    if not stages:
        return None
    if run:
        return _exchanged_run(names, world, rng)
    stage = rng.choice(stages)
    one, two = rng.choice(sorted(set(names[cuts == stage])), 2, replace=False)
    return _with_names(names, world, (one, two), (stage, stage))


def _exchanged_run(names, world, rng):
    """The names of two blades of the same stages exchanged at a run of them, if there are any."""
    cuts = np.asarray(world.cuts, dtype=float)
    own = {name: tuple(np.unique(cuts[names == name]).tolist()) for name in sorted(set(names))}
    pairs = [(a, b) for a, b in combinations(own, 2) if own[a] == own[b] and len(own[a]) > 4]
    if not pairs:
        return None
    one, two = pairs[rng.integers(len(pairs))]
    stages = own[one]
    length = int(rng.integers(2, (len(stages) - 1) // 2 + 1))
    start = int(rng.integers(len(stages) - length + 1))
    return _with_names(names, world, (one, two), (stages[start], stages[start + length - 1]))


def _with_names(names, world, pair, ends):
    """The names of a pair exchanged from one stage to another; the mean distance of both."""
    cuts, names = np.asarray(world.cuts, dtype=float), names.copy()
    within = (cuts >= ends[0]) & (cuts <= ends[1])
    here = [within & (names == name) for name in pair]
    logs = [np.nanmean(np.log(np.asarray(world.reading, dtype=float)[rows])) for rows in here]
    names[here[0]], names[here[1]] = pair[1], pair[0]
    return names, (frozenset(pair), *map(float, ends)), abs(logs[0] - logs[1])


def judge(cells, seeds, *, run=False):
    """Counts by kind of world: studies, said for nothing; by distance: swapped, found."""
    counts = {}
    for name in cells:
        kind = next((one for one in STARTS if name.startswith(one)), "other")
        for seed in seeds:
            rng = np.random.default_rng([zlib.crc32(name.encode()), seed])
            world = CELLS[name](rng)
            if world.kind not in ("widths", "force"):
                break
            names, facts = _runs(world)
            sound, slip = told(names, facts, world), exchanged(names, world, rng, run=run)
            if sound is None or slip is None:
                continue
            row = counts.setdefault(kind, np.zeros((2 + len(APART), 2), dtype=int))
            row[0] += (1, bool(sound))
            found = told(list(slip[0]), facts, world)
            if found is not None:
                row[1 + np.searchsorted(APART, slip[2])] += (1, slip[1] in found)
    return counts


def main():
    """Print the table, the most said for nothing first."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("cells", nargs="*")
    parser.add_argument("--studies", type=int, default=4)
    parser.add_argument("--run", action="store_true", help="at several stages in a row")
    parser.add_argument("--first", type=int, default=1, help="first seed; odd ones judge")
    given = parser.parse_args()
    cells = [c for c in CELLS if not given.cells or any(part in c for part in given.cells)]
    seeds = range(given.first, given.first + 2 * given.studies, 2)
    counts = judge(cells, seeds, run=given.run)
    ends = [f"{exp(one):.2f}" for one in APART]
    heads = [f"to {ends[0]}", *(f"{a} to {b}" for a, b in pairwise(ends))]
    print(f"| true shape | studies | said for nothing | {' | '.join(heads)} | over {ends[-1]} |")
    print("| --- " * (4 + len(APART)) + "|")
    rows = [*sorted(counts.items(), key=lambda kv: -kv[1][0, 1] / kv[1][0, 0])]
    for kind, row in [*rows, ("all", sum(counts.values()))]:
        found = [f"{hit} of {n}" if n else "–" for n, hit in row[1:]]
        print(f"| {kind.replace('_', ' ')} | {row[0, 0]} | {row[0, 1]} | {' | '.join(found)} |")


if __name__ == "__main__":
    main()
