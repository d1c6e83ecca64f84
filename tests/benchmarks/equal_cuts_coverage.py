"""How often the interval of the ratio at equal cuts holds the true ratio of widths.

Run: OMP_NUM_THREADS=1 python -m tests.benchmarks.equal_cuts_coverage [studies] [cell …]
Worlds of `tests/benchmarks/worlds`, three blades a side unless the name says otherwise; the cuts
are the last that all blades reached. `claims` counts a verdict on the side that is not better.
"""

import sys

import numpy as np
import pandas as pd

import edgetest as et
from tests.benchmarks.worlds.cells import CELLS

USUAL = (
    "powers_2.0_2.0_stop_0.5_n3",
    "powers_1.5_3.0_stop_1.0_n3",
    "two_stage_own_stop_1.0_n3",
    "chipping_stop_1.0_n3",
)


def judged(world):
    """Whether the interval holds the truth, its half-width (log), whether a claim is wrong."""
    columns = ("blade", "heat_treatment", "block", "cuts", "station", "reading")
    log = {name: getattr(world, name) for name in columns}
    log = pd.DataFrame({name: cells for name, cells in log.items() if len(cells)})
    log = log.rename(columns={"station": "station_mm", "reading": "edge_width_um"})
    at = et.compare(log, limit=world.limit).compared.at_cuts
    truth = world.true_log_width_ratio_at(at.cuts)
    first = world.treatments[0].name
    if at.comparison.first != first:
        truth = -truth
    low, high = np.log([at.ratio.low, at.ratio.high])
    wrong = (at.verdict == "second" and truth >= 0) or (at.verdict == "first" and truth <= 0)
    return low <= truth <= high, (high - low) / 2, wrong


def main(studies=200, *cells):
    """Print the table."""
    print(f"| cell | studies | covered | wrong claims | half-width |\n|{'---|' * 5}")
    for cell in cells or USUAL:
        rng = np.random.default_rng(20261126)
        rows = np.array([judged(CELLS[cell](rng)) for _ in range(int(studies))], dtype=float)
        covered, half, wrong = rows.mean(axis=0)
        print(f"| {cell} | {studies} | {covered:.1%} | {wrong:.1%} | {np.expm1(half):.1%} |")


if __name__ == "__main__":
    main(*sys.argv[1:])
