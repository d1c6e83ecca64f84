"""Blocks, a control and repeated runs: coverage, power and width of the comparison of lives.

Run:  python -m tests.benchmarks.blocks_coverage [studies a cell, 1000] [seed, 1]

Log lives are normal: a blade's own part with SD 0.1, a roll's with SD 0 to 0.2, a control's own
with SD 0.05 or 0.1; a blade that runs again differs by 0.05. Odd seeds report, even seeds
choose. Each study is compared three ways: as the program does, without the control, and without
rolls and control; unequal numbers of blades are for `rolls_unequal`. Prints Markdown.
"""

import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.compare.layout import SINGLE, between, lay_out
from edgetest.wear.compare.replicates import independent_results, lives_known

SD_BLADES, RUN_TO_RUN = 0.1, 0.05


def rows(text, control=False):
    """Heat treatment and roll of every blade: "AB AAB" is two rolls, one with two of A."""
    found = [(t, f"roll {i}") for i, roll in enumerate(text.split()) for t in roll]
    if control:
        found += [("control", f"roll {i}") for i in range(len(text.split()))]
    return found


LAYOUTS = {
    **{f"{n} pairs": "AB " * n for n in (2, 3, 5, 8)},
    "3 pairs, 2 and 2 alone": "AB AB AB A B A B",
    "three heat treatments, two a roll, twice": "AB AC BC AB AC BC",
    **{f"{n} a side, a roll each": "A " * n + "B " * n for n in (2, 3, 5, 8)},
    "rolls of AA, BB, AA, BB": "AA BB AA BB",
}


def log_lives(rng, layout, ratio, sd_rolls, sd_control):
    """Log lives of one study's rows."""
    roll = {name: sd_rolls * rng.standard_normal() for name in {r for _, r in layout}}
    level = {"A": 0.0, "B": np.log(ratio), "C": 0.1, "control": 0.3}
    sd = [sd_control if t == "control" else SD_BLADES for t, _ in layout]
    return np.array(
        [
            level[t] + roll[r] + s * rng.standard_normal()
            for (t, r), s in zip(layout, sd, strict=True)
        ]
    )


def answers(layout, y, ways):
    """Interval of the log ratio B over A by each way."""
    for control, blocks in ways:
        kept = [i for i, (t, _) in enumerate(layout) if control or t != "control"]
        lives = lives_known(
            [f"{layout[i][0]}{i}" if layout[i][0] != "control" else "control" for i in kept],
            [layout[i][0] for i in kept],
            y[kept],
            block=[layout[i][1] for i in kept] if blocks else None,
        )
        options = ComparisonOptions(control="control" if control else None)
        design = lay_out(independent_results(lives, options.control), None)
        yield between(design, "A", "B", 0.95).limits(0.95, SINGLE)


def cells(studies, seed):
    """One line a layout and scatter of the rolls."""
    print("| layout | SD rolls | SD control | coverage | half-width | power at 1.2 | "
          "without control: coverage | half-width | power | without rolls: coverage | half-width "
          "| power |\n|" + " --- |" * 12)  # fmt: skip
    ways = (True, True), (False, True), (False, False)
    for name, text in LAYOUTS.items():
        for sd_rolls, sd_control in ((0.0, 0.1), (0.05, 0.1), (0.1, 0.1), (0.2, 0.1), (0.2, 0.05)):
            rng = np.random.default_rng([seed, len(name), int(100 * sd_rolls)])
            layout = rows(text, control=True)
            ends = []
            for _ in range(studies):
                y = log_lives(rng, layout, 1.2, sd_rolls, sd_control)
                ends.append(list(answers(layout, y, ways)))
            low, high = np.array(ends)[..., 0], np.array(ends)[..., 1]
            covered = 100 * ((low < np.log(1.2)) & (np.log(1.2) < high)).mean(axis=0)
            half, found = np.median(high - low, axis=0) / 2, (low > 0).mean(axis=0)
            told = " | ".join(
                f"{c:.1f} | {h:.3f} | {p:.2f}" for c, h, p in zip(covered, half, found, strict=True)
            )
            print(f"| {name} | {sd_rolls:g} | {sd_control:g} | {told} |", flush=True)


def runs_of_blades(studies, seed):
    """Blades that ran twice, on rolls that differ from blade to blade."""
    print("\n| runs | SD rolls | coverage | half-width | rolls left out: coverage | half-width |")
    print("|" + " --- |" * 6)
    plans = {
        "3 a side, twice, all on rolls 1 and 2": [(0, 1)] * 6,
        "3 a side, twice, rolls in turn": [(0, 1), (1, 2), (2, 0)] * 2,
        "4 a side, A on rolls 1 2, B on 3 4": [(0, 1)] * 4 + [(2, 3)] * 4,
        "4 a side, some twice": [(0, 1), (1,), (2,), (3, 0), (1, 2), (0,), (3,), (2, 3)],
    }
    for name, plan in plans.items():
        side = len(plan) // 2
        for sd_rolls in (0.0, 0.1, 0.2):
            rng = np.random.default_rng([seed, side, int(100 * sd_rolls)])
            ends = []
            for _ in range(studies):
                rolls = sd_rolls * rng.standard_normal(4)
                blades = SD_BLADES * rng.standard_normal(len(plan))
                run = [(i, r) for i, stood in enumerate(plan) for r in stood]
                y = [blades[i] + rolls[r] + RUN_TO_RUN * rng.standard_normal() for i, r in run]
                columns = [i for i, _ in run], ["AB"[i >= side] for i, _ in run], y
                both = []
                for block in ([r for _, r in run], None):
                    design = lay_out(independent_results(lives_known(*columns, block=block)), None)
                    both.append(between(design, "A", "B", 0.95).limits(0.95, SINGLE))
                ends.append(both)
            low, high = np.array(ends)[..., 0], np.array(ends)[..., 1]
            covered = 100 * ((low < 0) & (high > 0)).mean(axis=0)
            half = np.median(high - low, axis=0) / 2
            told = " | ".join(f"{c:.1f} | {h:.3f}" for c, h in zip(covered, half, strict=True))
            print(f"| {name} | {sd_rolls:g} | {told} |", flush=True)


if __name__ == "__main__":
    asked = [int(x) for x in sys.argv[1:]]
    studies, seed = (asked + [1000, 1][len(asked) :])[:2]
    start = time.perf_counter()
    print(f"\n### Blocks, control and repeated runs, nominal 95 %\n\n{studies} studies a cell.\n")
    cells(studies, seed)
    runs_of_blades(studies, seed)
    print(f"\n{time.perf_counter() - start:.0f} s")
