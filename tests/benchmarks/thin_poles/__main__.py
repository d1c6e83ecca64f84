"""Do the intervals of `edgetest chop` hold for poles that fall in one to five strokes?

    python -m tests.benchmarks.thin_poles --half tune|judge --count N

Each study of `poles` is written as a maker would write it, the command is run on it, and its JSON
is held against 20,000 pieces of the same world. Even seeds are for choosing, odd ones for telling.
Printed are the share of 95 % intervals that held the expected strokes of a piece, the same for the
ratio of the two tools, and how often a tool was said to take fewer strokes where it does not.
"""

import argparse
import csv
import tempfile
from functools import cache
from pathlib import Path

import numpy as np

from tests.benchmarks.chop_worlds import answers
from tests.benchmarks.thin_poles import poles

CIRCUMSTANCES = [
    (wood, thick, scatter)
    for scatter in ("twice", "usual")
    for wood, thick in (("hazel", 20), ("ash", 25), ("hazel", 30), ("ash", 35), ("hawthorn", 42))
]
NAMES = {"hazel": "hazel", "ash": "European ash", "hawthorn": "hawthorn"}
RATIOS = (0.7, 1.0, 1.5)
STUDY = """title = "poles"
protocol = "lumber_chop"
control = "T2"
blades = [{id = "T1"}, {id = "T2"}]
"""
COLUMNS = ["blade", "kind", "order", "chops", "diameter_mm", "species", "moisture_pct", "board"]


@cache
def expected(wood, thick, scatter, ratio, rods, per_rod):
    """What the world itself gives."""
    return poles.truth(
        thickness_mm=thick, wood=wood, ratio=ratio, scatter=scatter, rods=rods, per_rod=per_rod
    )


def told(rows, wood):
    """The answer to a study of these rows; every piece is noted with the rods' nominal size."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "study.toml").write_text(STUDY, "utf-8")
        with Path(folder, "chops.csv").open("w", encoding="utf-8", newline="") as file:
            lines = csv.writer(file)
            lines.writerow(COLUMNS)
            for row in rows:
                lines.writerow([
                    row["tool"], "billet", row["order"], row["strokes"], row["nominal_mm"],
                    NAMES[wood], "green", row["rod"],
                ])  # fmt: skip
        return answers.ask(folder)


def held(wood, thick, scatter, seeds):
    """Counts of one circumstance: cells held and met, ratios held and met, false claims, nulls."""
    met = dict.fromkeys(("cells", "cell", "ratios", "ratio", "nulls", "false"), 0)
    for seed in seeds:
        ratio = RATIOS[seed // 2 % 3]
        rods, per_rod = (4, 6, 9)[seed // 6 % 3], 1 + seed // 18 % 2
        rng = np.random.default_rng([seed, thick])
        rows = poles.study(
            rng, rods=rods, per_rod=per_rod, thickness_mm=thick, wood=wood, ratio=ratio,
            scatter=scatter,
        )  # fmt: skip
        answer = told([{**row, "nominal_mm": thick} for row in rows], wood)
        if answer.fault:
            raise SystemExit(f"{wood} {thick} {seed}: {answer.fault}")
        true = expected(wood, thick, scatter, ratio, rods, per_rod)
        for cell in answer.told["as_chopped"]:
            span = answers.interval(cell["strokes_per_piece"])
            met["cells"] += 1
            met["cell"] += span is not None and span.holds(true[f"mean_{cell['blade']}"])
        for each in answer.told["counts"]["ratios"]:
            span = answers.interval(each["ratio"])
            met["ratios"] += 1
            met["ratio"] += span.holds(true["ratio_T1_T2"])
            if ratio == 1.0:
                met["nulls"] += 1
                met["false"] += not span.holds(1.0)
    return met


def main():
    """Read the command line, judge, print the table."""
    words = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    words.add_argument("--half", choices=("tune", "judge"), default="judge")
    words.add_argument("--count", type=int, default=60)
    options = words.parse_args()
    first = 0 if options.half == "tune" else 1
    seeds = range(first, first + 2 * options.count, 2)
    print("| poles | scatter of pieces | strokes, about | strokes of a piece | ratio of two tools "
          "| said to differ where they do not |")  # fmt: skip
    print("| --- | --- | --- | --- | --- | --- |")
    for wood, thick, scatter in CIRCUMSTANCES:
        met = held(wood, thick, scatter, seeds)
        mean = expected(wood, thick, scatter, 1.0, 6, 1)["mean_T1"]
        print(
            f"| {wood} of {thick} mm | {scatter} | {mean:.1f} "
            f"| {100 * met['cell'] / met['cells']:.1f} % of {met['cells']} "
            f"| {100 * met['ratio'] / max(met['ratios'], 1):.1f} % of {met['ratios']} "
            f"| {met['false']} of {met['nulls']} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
