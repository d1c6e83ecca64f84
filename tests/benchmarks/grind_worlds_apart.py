"""The range with the grind taken out, judged by edges that wear in ways it was not made for.

Run:  python -m tests.benchmarks.grind_worlds_apart --studies 40 [--seeds even] [part of a way ...]

Studies of `worlds.other_grind` go the way of `edgetest compare`, are written and marked as those
of `grind_worlds`, and are told apart by how the edge wears. Three to five blades a side, scatter
of life 5 to 15 %, readings of 2 to 5 %, angle known to 0.5° and thickness to 0.02 mm: invented.
Prints Markdown, the way of wear worst held first. "even" seeds are there to choose by, "odd" to
report by.
"""

import argparse
import zlib
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from tests.benchmarks.grind_worlds import counted, new_tally
from tests.benchmarks.worlds.ground import GroundBlade, GroundStudy, stages_chosen
from tests.benchmarks.worlds.other_grind import (
    WAYS,
    Grind,
    OtherWear,
    drawn_wear,
    wanted_ratio,
    wear_at,
)

NAMES = ("temper_180", "temper_210")
THIN_MM, THICK_MM = 0.3, 0.6
ANGLES_DEG = (12.0, 24.0)


@dataclass(frozen=True)
class Cell:
    """The steel's true ratio, second over first, and how the grinds differ.

    `favour` is "with" where the grind lengthens the life of the better steel.
    """

    steel: float = 1.0
    apart_deg: float = 0.0
    thick: bool = False
    favour: str = ""

    @property
    def same(self):
        return not (self.apart_deg or self.thick)


GRINDS = {
    "2° a side apart": {"apart_deg": 2.0},
    "4° a side apart": {"apart_deg": 4.0},
    "8° a side apart": {"apart_deg": 8.0},
    "0.3 against 0.6 mm": {"thick": True},
}
CELLS = {f"same grind, steel {steel:g}": Cell(steel) for steel in (1.0, 1.3, 1.5)}
for _grind, _apart in GRINDS.items():
    CELLS[f"{_grind}, steel 1"] = Cell(**_apart)
    for _steel in (1.3, 1.5):
        for _favour in ("with", "against"):
            CELLS[f"{_grind} {_favour} steel {_steel}"] = Cell(_steel, favour=_favour, **_apart)


@dataclass(frozen=True)
class Bench:
    """What the blades of one study share."""

    wear: OtherWear
    limit_um: float
    cuts: float
    scatter: float
    reading: float
    stations: int


def apart_study(way, name, seed):
    """The study of a way of wear, a cell and a seed."""
    cell = CELLS[name]
    rng = np.random.default_rng([zlib.crc32(f"{way}, {name}".encode()), seed])
    wear = drawn_wear(way, rng)
    limit = float(np.round(rng.uniform(0.55, 0.9) * wear.end_um))
    cuts, scatter, reading = rng.uniform(200, 800), rng.uniform(0.05, 0.15), rng.uniform(0.02, 0.05)
    bench = Bench(wear, limit, cuts, scatter, reading, int(rng.integers(2, 4)))
    grinds = _grinds(rng, cell, wear, limit)
    blades, rows = _blades(rng, cell, bench, grinds)
    ground = cell.steel * wanted_ratio(wear, grinds[1], grinds[0], limit)
    pair = (NAMES[1], NAMES[0])
    return GroundStudy(
        way, limit, tuple(blades), tuple(rows), {pair: cell.steel}, {pair: float(ground)}
    )


def _grinds(rng, cell, wear, limit_um):
    """What the maker gave each heat treatment, turned so that it favours whom the cell says."""
    low = rng.uniform(ANGLES_DEG[0], ANGLES_DEG[1] - cell.apart_deg)
    thin, thick = (THIN_MM, THICK_MM) if cell.thick else 2 * (rng.uniform(0.25, 0.7),)
    grinds = [Grind(low, thin), Grind(low + cell.apart_deg, thick)]
    if rng.random() < 0.5:
        grinds.reverse()
    ratio = wanted_ratio(wear, grinds[1], grinds[0], limit_um)
    if (cell.favour == "with" and ratio < 1) or (cell.favour == "against" and ratio > 1):
        grinds.reverse()
    return grinds


def _blades(rng, cell, bench, grinds):
    """The blades as noted and their readings; all start on the same stages."""
    made, count = [], int(rng.integers(3, 6))
    for k, steel in enumerate((1.0, cell.steel)):
        for i in range(count):
            true = Grind(
                grinds[k].angle_deg + 0.4 * rng.standard_normal(),
                grinds[k].thickness_mm + 0.02 * rng.standard_normal(),
            )
            cuts = bench.cuts * steel * np.exp(bench.scatter * rng.standard_normal())
            made.append((f"{'AB'[k]}{i + 1}", NAMES[k], true, cuts))
    lives = [cuts * wear_at(bench.wear, true, bench.limit_um) for *_, true, cuts in made]
    stages = stages_chosen(rng, 1.3 * np.median(lives), 1.1 * max(lives))
    rows = []
    for name, _, true, cuts in made:
        rows += _readings(
            rng, bench, stages, name, lambda n, c=cuts, g=true: _width(bench, n / c, g)
        )
    return [_noted(rng, *one[:3]) for one in made], rows


def _width(bench, wear, grind):
    return bench.wear.width_um(max(wear, 1e-9), grind)


def _readings(rng, bench, stages, name, width_at):
    """Widths of a blade until a stage at which it reads 1.2 times the limit or more."""
    places = np.exp(0.02 * rng.standard_normal(bench.stations))
    rows = []
    for cuts in stages:
        read = width_at(float(cuts)) * places * np.exp(0.015 * rng.standard_normal())
        read = read * np.exp(bench.reading * rng.standard_normal(bench.stations))
        rows += [(name, int(cuts), 20 * (i + 1), round(float(x), 2)) for i, x in enumerate(read)]
        if read.mean() >= 1.2 * bench.limit_um:
            break
    return rows


def _noted(rng, name, treatment, true):
    """The blade as the maker would write it into the study."""
    angle = round(true.angle_deg + 0.5 * rng.standard_normal(), 1)
    thickness = round(max(true.thickness_mm + 0.02 * rng.standard_normal(), 0.05), 2)
    return GroundBlade(name, treatment, angle, 0.5, thickness, 0.02)


def judged(job):
    """What is to be counted of the study of a way, a cell and a seed."""
    return counted(apart_study(*job))


def tallied(jobs, workers):
    """The tallies by way of wear with grinds apart, by way at one grind, and by cell."""
    apart, same, cells = (defaultdict(new_tally) for _ in range(3))
    with ProcessPoolExecutor(workers) as pool:
        found = pool.map(judged, jobs, chunksize=8)
        for (way, name, _), (kinds, widths) in zip(jobs, found, strict=True):
            by_way = same if CELLS[name].same else apart
            for tally in (by_way[way], cells[name]):
                tally["studies"] += 1
                tally["width"] += widths
                for kind in kinds:
                    tally[kind] += 1
    return apart, same, cells


def held(tally):
    """The share of ranges with the grind taken out that hold the steel's ratio."""
    return 1 - tally["missed"] / tally["range"] if tally["range"] else 1.0


def table(tallies, head, same=None):
    """Markdown, the worst held first."""
    more = "| true claim at the same grind doubted " if same is not None else ""
    print(
        f"| {head} | studies | range without the grind holds the steel's ratio | false claim told "
        f"| false claim doubted | true claim | of these doubted | the range's factor {more}|"
    )
    print("| --- " * (9 if more else 8) + "|")
    for name, t in sorted(tallies.items(), key=lambda kv: (held(kv[1]), -kv[1]["false told"])):
        n = t["studies"] - t["refused"]
        told, doubted, true = (
            f"{100 * t[kind] / n:.0f} %" for kind in ("false told", "false doubted", "true claim")
        )
        factor = f"{np.exp(np.median(t['width'])):.2f}" if t["width"] else "–"
        parts = [name, n, f"{100 * held(t):.0f} %", told, doubted, true, _doubted(t), factor]
        parts += [_doubted(same[name])] if more else []
        print("| " + " | ".join(map(str, parts)) + " |", flush=True)


def _doubted(tally):
    return f"{tally['true doubted']} of {tally['true claim']}" if tally["true claim"] else "–"


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("ways", nargs="*")
    parser.add_argument("--studies", type=int, default=40)
    parser.add_argument("--seeds", choices=("even", "odd"), default="odd")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    ways = [w for w in WAYS if not given.ways or any(part in w for part in given.ways)]
    seeds = range(given.seeds == "odd", 2 * given.studies, 2)
    jobs = [(way, name, seed) for way in ways for name in CELLS for seed in seeds]
    apart, same, cells = tallied(jobs, given.workers)
    table(apart, "way of wear, grinds apart", same)
    print()
    table(cells, "cell, all ways")


if __name__ == "__main__":
    main()
