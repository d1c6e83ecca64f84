"""Rolls beside few blades that scatter unequally: coverage, width and false 'take'.

Run:  python -m tests.benchmarks.rolls_unequal [studies a cell, 300] [seed, 1] [stopped]

Log lives are normal, the true ratio is 1. Odd seeds report, even seeds choose. A layout is told
as its rolls. With `stopped`, about one blade in seven is stopped before its limit, in each study at
least one. Prints Markdown; 'take' is how often an interval tells one of two equal heat
treatments as the longer-lived.
"""

import os
import sys
import time
from itertools import product

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

from edgetest.wear.compare.layout import SINGLE, between, lay_out
from edgetest.wear.compare.replicates import BladeLives, independent_results
from tests.benchmarks.blocks_coverage import rows

LAYOUTS = ("AAABB", "AB AAB", "AB AB A", "AAB AAB", "AAAB BB")
SCATTERS = ((0.1, 0.1), (0.05, 0.3), (0.3, 0.05), (0.05, 0.05), (0.3, 0.3), (0.1, 0.2), (0.2, 0.1))


STOPPED_LAYOUTS = ("AAB AAB", "AAB AAB AAB", "AAAB AAAB AAAB", "AAB AB")
STOPPED_SCATTERS = ((0.1, 0.1), (0.1, 0.2), (0.1, 0.3), (0.2, 0.1))
STOPPED = 0.15  # share of blades, each by up to this much of its log life:
SHORT = 0.3


def half_and_covered(rng, layout, scatters, sd_rolls, studies, stopped=0.0):
    """Half-widths of the log ratio and whether the interval holds none, a study each."""
    found = []
    sd = np.array([scatters["AB".index(treatment)] for treatment, _ in layout])
    names = [roll for _, roll in layout]
    codes = np.unique(names, return_inverse=True)[1]
    for _ in range(studies):
        rolls = sd_rolls * rng.standard_normal(codes.max() + 1)
        y = sd * rng.standard_normal(len(layout)) + rolls[codes]
        early = rng.random(len(layout)) < stopped
        if stopped and not early.any():
            early[rng.integers(len(layout))] = True
        lives = BladeLives(
            [f"{t}{i}" for i, (t, _) in enumerate(layout)], [t for t, _ in layout],
            y - early * SHORT * rng.random(len(layout)) if stopped else y,
            np.where(early, np.inf, y), None, block=names,
        )  # fmt: skip
        design = lay_out(independent_results(lives), "A")
        low, high = between(design, "A", "B", 0.95).limits(0.95, SINGLE)
        found.append(((high - low) / 2, low <= 0 <= high))
    half, covered = np.array(found).T
    return float(np.median(half)), float(covered.mean())


def main(studies, seed, stopped):
    """Print a row a layout and scatter."""
    layouts = STOPPED_LAYOUTS if stopped else LAYOUTS
    scatters = STOPPED_SCATTERS if stopped else SCATTERS
    print("| rolls | SD of A | SD of B | SD rolls | coverage | 'take' | half-width |")
    print("|" + " --- |" * 7)
    for text in layouts:
        for (sd_a, sd_b), sd_rolls in product(scatters, (0.2,) if stopped else (0.0, 0.1, 0.3)):
            cell = [seed, len(text), *(round(100 * sd) for sd in (sd_a, sd_b, sd_rolls))]
            rng = np.random.default_rng(cell)
            half, covered = half_and_covered(
                rng, rows(text), (sd_a, sd_b), sd_rolls, studies, STOPPED if stopped else 0.0
            )
            told = f"{100 * covered:.1f} | {100 * (1 - covered):.1f} | {half:.3f}"
            print(f"| {text} | {sd_a:g} | {sd_b:g} | {sd_rolls:g} | {told} |", flush=True)


if __name__ == "__main__":
    asked = [int(x) for x in sys.argv[1:3] if x.isdecimal()]
    studies, seed = (asked + [300, 1][len(asked) :])[:2]
    start = time.perf_counter()
    main(studies, seed, "stopped" in sys.argv)
    print(f"\n{time.perf_counter() - start:.0f} s")
