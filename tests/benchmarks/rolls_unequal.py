"""Rolls beside few blades that scatter unequally: coverage, width and false 'take'.

Run:  python -m tests.benchmarks.rolls_unequal [studies a cell, 300] [seed, 1]

Log lives are normal, the true ratio is 1. Odd seeds report, even seeds choose. A layout is told
as its rolls. Prints Markdown; 'take' is how often an interval tells one of two equal heat
treatments as the longer-lived.
"""

import os
import sys
import time
from itertools import product

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

from edgetest.wear.compare.layout import SINGLE, between, lay_out
from edgetest.wear.compare.replicates import independent_results, lives_known
from tests.benchmarks.blocks_coverage import rows

LAYOUTS = ("AAABB", "AB AAB", "AB AB A", "AAB AAB")
SCATTERS = ((0.1, 0.1), (0.05, 0.3), (0.3, 0.05), (0.05, 0.05), (0.3, 0.3), (0.1, 0.2), (0.2, 0.1))


def half_and_covered(rng, layout, scatters, sd_rolls, studies):
    """Half-widths of the log ratio and whether the interval holds none, a study each."""
    found = []
    sd = np.array([scatters["AB".index(treatment)] for treatment, _ in layout])
    names = [roll for _, roll in layout]
    codes = np.unique(names, return_inverse=True)[1]
    for _ in range(studies):
        rolls = sd_rolls * rng.standard_normal(codes.max() + 1)
        y = sd * rng.standard_normal(len(layout)) + rolls[codes]
        lives = lives_known(
            [f"{t}{i}" for i, (t, _) in enumerate(layout)], [t for t, _ in layout], y, block=names
        )
        design = lay_out(independent_results(lives), "A")
        low, high = between(design, "A", "B", 0.95).limits(0.95, SINGLE)
        found.append(((high - low) / 2, low <= 0 <= high))
    half, covered = np.array(found).T
    return float(np.median(half)), float(covered.mean())


def main(studies, seed, layouts=LAYOUTS):
    """Print a row a layout and scatter."""
    print("| rolls | SD of A | SD of B | SD rolls | coverage | 'take' | half-width |")
    print("|" + " --- |" * 7)
    for text in layouts:
        for (sd_a, sd_b), sd_rolls in product(SCATTERS, (0.0, 0.1, 0.3)):
            cell = [seed, len(text), *(round(100 * sd) for sd in (sd_a, sd_b, sd_rolls))]
            rng = np.random.default_rng(cell)
            half, covered = half_and_covered(rng, rows(text), (sd_a, sd_b), sd_rolls, studies)
            told = f"{100 * covered:.1f} | {100 * (1 - covered):.1f} | {half:.3f}"
            print(f"| {text} | {sd_a:g} | {sd_b:g} | {sd_rolls:g} | {told} |", flush=True)


if __name__ == "__main__":
    asked = [int(x) for x in sys.argv[1:3]]
    studies, seed = (asked + [300, 1][len(asked) :])[:2]
    start = time.perf_counter()
    main(studies, seed, sys.argv[3:] or LAYOUTS)
    print(f"\n{time.perf_counter() - start:.0f} s")
