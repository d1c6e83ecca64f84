"""How often true answers get a deciding doubt, and how often answers that an error spoiled do.

Run:  python -m tests.benchmarks.deciding_doubts            (about twenty minutes, one core)
      python -m tests.benchmarks.deciding_doubts 40         (studies a cell)

Studies are made up by `worlds` (power wedges of one draw, readings to 1.3 times the median
life) and go the whole way through `compare`. Each is answered as it is, then with one
of its readings ten times too large, or a tenth, or half as large again; the answer is spoiled
where the verdict is another one. Seeded; prints Markdown.
"""

import os
import sys
from collections import Counter
from dataclasses import replace

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import pandas as pd

from edgetest.verbs.log_verbs import compare
from tests.benchmarks.worlds.bench import Design, width_world
from tests.benchmarks.worlds.cells import same

COUNTS, RATIOS, TIMES = (3, 4, 5), (1.2, 1.35, 1.6), (10.0, 0.1, 1.5)


def answer(world, reading):
    """The answer of the notebook's verb to a made-up study with these readings."""
    log = pd.DataFrame(
        {
            "blade": world.blade,
            "heat_treatment": world.heat_treatment,
            "cuts": world.cuts,
            "station_mm": world.station.astype(float),
            "edge_width_um": np.round(reading, 3),
        }
    )
    return compare(log, limit=world.limit)


def decides(found):
    """The causes on which an answer hangs."""
    return sorted({one.what for one in found.compared.alternatives if one.decides})


def verdict_of(found):
    return found.comparison.practical.verdict if found.comparison else "none"


def cell(rng, count, ratio, studies):
    """Counts of one cell."""
    tally = Counter()
    design = Design(same("power"), counts=(count, count), ratios=(ratio,), stop=1.3)
    for study in range(studies):
        world = width_world(rng, replace(design, scatter=float(rng.uniform(0.08, 0.16))))
        found = answer(world, world.reading)
        clean = verdict_of(found)
        tally[clean] += 1
        if clean == "longer":
            tally["longer, doubted"] += bool(decides(found))
            tally.update(f"longer, {what}" for what in decides(found))
        times, row = TIMES[study % len(TIMES)], int(rng.integers(len(world.reading)))
        reading = np.array(world.reading)
        reading[row] *= times
        found = answer(world, reading)
        named = [one.where.row for one in found.doubts if one.code == "outlying_reading"]
        tally["errors"] += 1
        tally["errors, named"] += row + 2 in named
        if verdict_of(found) != clean:
            tally["spoiled"] += 1
            tally["spoiled, doubted"] += bool(decides(found))
            tally["spoiled, mended"] += any(
                one.verdict == clean for one in found.compared.alternatives
            )
    return tally


def share(tally, part, whole):
    return f"{100 * tally[part] / tally[whole]:.0f} % of {tally[whole]}" if tally[whole] else "none"


def main(studies):
    print("| blades a side | ratio | longer | of these doubted | errors named | spoiled by it |"
          " of these doubted | clean answer beside it |")  # fmt: skip
    print("| --- " * 8 + "|")
    causes = Counter()
    for count in COUNTS:
        for ratio in RATIOS:
            tally = cell(
                np.random.default_rng([17, count, int(100 * ratio)]), count, ratio, studies
            )
            causes.update({k: v for k, v in tally.items() if k.startswith("longer, ")})
            print(
                f"| {count} | {ratio} | {tally['longer']} of {studies} "
                f"| {share(tally, 'longer, doubted', 'longer')} "
                f"| {share(tally, 'errors, named', 'errors')} | {tally['spoiled']} "
                f"| {share(tally, 'spoiled, doubted', 'spoiled')} "
                f"| {share(tally, 'spoiled, mended', 'spoiled')} |",
                flush=True,
            )
    print("\nCauses of true answers doubted:", dict(causes))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
