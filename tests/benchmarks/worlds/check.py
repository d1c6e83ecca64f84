"""Shows that the truth stated by the worlds holds; prints a table and the worst of each column.

Run as ``python -m tests.benchmarks.worlds.check [part of a name]``.
"""

from __future__ import annotations

import sys
import time
import zlib

import numpy as np

from tests.benchmarks.worlds import bench, blades
from tests.benchmarks.worlds.cells import CELLS
from tests.benchmarks.worlds.sequence import STREAMS, first_pairs

WORLDS = 60
DRAWS = 100_000
COLUMNS = ("lives z", "median z", "not rising", "not at 1", "grid", "at limit", "noise", "ms")


def _seed(name):
    return np.random.default_rng(zlib.crc32(name.encode()))


def _all_pairs(ratio):
    return list(ratio.values()) if isinstance(ratio, dict) else [ratio]


def lives_z(worlds):
    """Mean difference of drawn log lives less the stated log ratio, in standard errors.

    Second over first treatment as logged; a world counts by its mean over blades.
    """
    off = []
    for one in worlds:
        names = list(dict.fromkeys(n for n in one.heat_treatment.tolist() if n))
        kind = dict(zip(one.blade.tolist(), one.heat_treatment.tolist(), strict=True))
        logs: dict[str, list[float]] = {name: [] for name in names}
        if one.kind == "card":
            for blade, total in one.other_truths["totals"].items():
                logs[kind[blade]].append(np.log(total))
        for (blade, _), life in one.true_life.items():
            if kind[blade]:
                logs[kind[blade]].append(np.log(life))
        stated = _all_pairs(one.true_log_ratio)[0]
        off.append(np.mean(logs[names[1]]) - np.mean(logs[names[0]]) - stated)
    return np.mean(off) / (np.std(off, ddof=1) / np.sqrt(len(off)))


def median_z(world, rng):
    """Worst of the log ratios of medians of large draws, in standard errors."""
    medians, errors = [], []
    for made in world.treatments:
        logs = made.log_lives(rng, DRAWS)
        low, middle, high = np.quantile(logs, [0.49, 0.5, 0.51])
        medians.append(middle)
        # Density at the median from the two quantiles about it.
        errors.append((high - low) / 0.02 * 0.5 / np.sqrt(DRAWS))
    pairs = _all_pairs(blades.pairs_of(world.treatments, medians))
    off = np.array(pairs) - np.array(_all_pairs(world.true_log_ratio))
    return np.abs(off).max() / np.hypot(*sorted(errors)[-2:])


def curve_faults(world, rng):
    """How many of many curves fall anywhere, and how many first reach the limit elsewhere."""
    falling = elsewhere = 0
    limit = np.log(world.limit)
    for made in world.treatments:
        curve = made.shape(rng, 200)
        grid = np.tile(np.linspace(0.0, 6.0, 601), (200, 1))
        falling += int((np.diff(curve.log_width(grid), axis=1) < -1e-12).any(axis=1).sum())
        at = curve.log_width(np.tile([1.0 - 1e-6, 1.0], (200, 1)))
        elsewhere += int(((at[:, 0] >= limit) | (at[:, 1] < limit - 1e-9)).sum())
    return falling, elsewhere


def grid_faults(design, rng):
    """Runs whose width on a fine grid of cuts first reaches the limit not at their life."""
    study = bench.draw_study(rng, design)
    runs = bench.draw_runs(rng, design)
    cuts = np.linspace(0.0, 4.0 * study.cuts[-1], 4001)
    lives, widths, _ = bench.draw_truth(rng, study, runs, cuts)
    reached = widths >= np.log(study.edge.limit) - 1e-12
    first = np.where(reached.any(axis=1), reached.argmax(axis=1), len(cuts))
    return int((first != np.searchsorted(cuts, lives)).sum())


def noise_of(world):
    """Log SD of the readings about the true width, by the median absolute difference."""
    off = np.log(world.reading) - world.true_log_width
    return 1.4826 * float(np.median(np.abs(off)))


def row_of(name, make):
    """One row of the table."""
    rng = _seed(name)
    start = time.process_time()
    worlds = [make(rng) for _ in range(WORLDS)]
    spent = (time.process_time() - start) * 1000.0 / WORLDS
    one = worlds[0]
    row = dict.fromkeys(COLUMNS, float("nan"))
    row |= {"lives z": lives_z(worlds), "ms": spent}
    if len(one.reading):
        row["noise"] = float(np.mean([noise_of(w) for w in worlds]))
    if one.treatments:
        row["median z"] = median_z(one, rng)
        row["not rising"], row["not at 1"] = curve_faults(one, rng)
        stated = np.array(_all_pairs(one.true_log_ratio))
        found = np.array(_all_pairs(one.true_log_life_ratio_at(one.limit)))
        row["at limit"] = np.abs(found - stated).max()
    design = getattr(make, "args", (None,))[0]
    if isinstance(design, bench.Design) and one.kind != "force":
        row["grid"] = grid_faults(design, rng)
    return row


def width_ratio_error(name, make):
    """The stated differences of median log width less those of a larger draw of its own."""
    rng = _seed(name)
    world = make(rng)
    life = np.exp(world.treatments[0].log_median)
    cuts = np.array([0.1, 0.5, 1.0, 2.0]) * life
    medians = []
    for made in world.treatments:
        parts = []
        for _ in range(20):
            lives = np.exp(made.log_lives(rng, 4000))[:, None]
            parts.append(made.shape(rng, 4000).log_width(cuts / lives))
        medians.append(np.median(np.concatenate(parts), axis=0))
    found = blades.pairs_of(world.treatments, medians)
    stated = world.true_log_width_ratio_at(cuts)
    first = (lambda v: next(iter(v.values()))) if isinstance(found, dict) else (lambda v: v)
    return np.abs(first(found) - first(stated)).max(), first(stated)


def main(part=""):
    """Print the tables."""
    makes = {n: m for n, m in CELLS.items() if part in n}
    for name, stream in STREAMS.items():
        if part in name:
            makes[name] = lambda rng, stream=stream: first_pairs(stream(rng), 3)
    print(f"{'cell':52}" + "".join(f"{c:>11}" for c in COLUMNS))
    rows = []
    for name, make in makes.items():
        row = row_of(name, make)
        rows.append([row[c] for c in COLUMNS])
        print(f"{name:52}" + "".join(f"{v:11.3g}" for v in rows[-1]))
    worst = np.nanmax(np.abs(np.array(rows)), axis=0)
    print(f"{'worst of ' + str(len(rows)):52}" + "".join(f"{v:11.3g}" for v in worst))
    spread = np.nanstd(np.array(rows)[:, 0])
    print(f"SD of lives z over the cells: {spread:.2f} (about 1 is right)")
    print("\ndifference of median log width at 0.1, 0.5, 1 and 2 lives: stated, error of a cell")
    for name, make in makes.items():
        if name in CELLS and ("own_stop_1.0_n3" in name or "_v_" in name or "powers" in name):
            error, stated = width_ratio_error(name, make)
            print(f"{name:52}" + "".join(f"{v:9.4f}" for v in stated) + f"   {error:.4f}")


if __name__ == "__main__":
    main(*sys.argv[1:2])
