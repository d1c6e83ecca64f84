"""Chances said against chances come true: `python -m tests.benchmarks.chances_table`.

Two heat treatments, blades a side and scatter as in the rows; true log ratios drawn from a
normal, a heavy-tailed (Student's t, 3 degrees of freedom) or a two-point world of the stated SD.
Said is the mean chance given to the side that it favours, true how often that side was right.
"""

import sys
from itertools import pairwise

import numpy as np

from edgetest.stats.contrast import pooled_t
from edgetest.wear.compare.chances import SeenDifference, shrunk_chances

BINS = (0.5, 0.7, 0.85, 0.95, 1.0)
SCATTERS = (0.05, 0.10, 0.15, 0.25)
SIDES = (2, 3, 5, 8)


def draw_normal(rng, sd, count):
    """True log ratios of a normal world."""
    return rng.normal(0, sd, count)


def draw_heavy(rng, sd, count):
    """True log ratios with heavy tails: Student's t with 3 degrees of freedom."""
    return rng.standard_t(3, count) * sd / np.sqrt(3)


def draw_two_points(rng, sd, count):
    """True log ratios that are plus or minus one size."""
    return rng.choice([-sd, sd], count)


WORLDS = {"normal": draw_normal, "heavy tails": draw_heavy, "two points": draw_two_points}


def said_and_true(draw, sd, scatter, side, studies, seed):
    """Chances said and whether they came true, shape (studies,) each, for mean and next blade."""
    rng = np.random.default_rng(seed)
    truth = draw(rng, sd, studies)
    first = rng.normal(0, scatter, (studies, side))
    second = truth[:, None] + rng.normal(0, scatter, (studies, side))
    found = pooled_t(first, second)
    pooled = np.sqrt((first.var(axis=-1, ddof=1) + second.var(axis=-1, ddof=1)) / 2)
    chances = shrunk_chances(SeenDifference(found.difference, found.stderr, found.df, pooled))
    ahead = truth + rng.normal(0, scatter * np.sqrt(2), studies)
    claimed = np.abs(found.difference) > found.half_width
    exaggerated = [
        np.median(np.abs(x[claimed]) / np.maximum(np.abs(truth[claimed]), 1e-9))
        for x in (found.difference, np.log(chances.ratio))
    ]
    return (chances.longer, truth > 0), (chances.next_outlasts, ahead > 0), exaggerated


def folded(said, true):
    """Chances of the favoured side, and whether it was right."""
    return np.where(said > 0.5, said, 1 - said), np.where(said > 0.5, true, ~true)


def main(studies=4000):
    """Print the table."""
    print("world | SD of true log ratios | a side | what |", " | ".join(
        f"{100 * a:.0f} to {100 * b:.0f} %" for a, b in pairwise(BINS)
    ), "| all | exaggerated seen, shrunk")  # fmt: skip
    for world, draw in WORLDS.items():
        for sd in (0.10, 0.25):
            for side in SIDES:
                runs = [
                    said_and_true(draw, sd, scatter, side, studies, seed)
                    for seed, scatter in enumerate(SCATTERS)
                ]
                exaggerated = np.mean([run[2] for run in runs], axis=0)
                for place, what in enumerate(("mean", "next blade")):
                    said, true = (np.concatenate(part) for part in zip(
                        *(folded(*run[place]) for run in runs), strict=True
                    ))  # fmt: skip
                    cells = []
                    for low, high in pairwise(BINS):
                        held = (said >= low) & (said <= high)
                        cells.append(
                            f"{said[held].mean():.3f}, {true[held].mean():.3f}"
                            if held.sum() > 100 else "few"
                        )  # fmt: skip
                    print(world, sd, side, what, *cells, f"{said.mean() - true.mean():+.3f}",
                          "{:.2f}, {:.2f}".format(*exaggerated) if place == 0 else "",
                          sep=" | ")  # fmt: skip


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
