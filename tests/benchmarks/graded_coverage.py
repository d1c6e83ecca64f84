"""Coverage of the ratio of lives from pass and fail and from noted lives, by spacing of the checks.

Run:  python -m tests.benchmarks.graded_coverage [studies]      (about 4 minutes for 2000)

Every cell: SD of log life between blades 0.05 to 0.3, true ratios 1 and 1.5, mean lives of 110 to
270 cuts (so that the checks fall differently about them), normal or heavy-tailed blades (t with 3
degrees of freedom). The worst and the mean coverage of all of them, and the median half-width (of
log ratio, blades of 0.15 and ratio 1.2) over that of the same lives known exactly. A study is
covered where the likelihood at the true ratio has fallen by less than the limits allow, all of a
cell at once; those of the half-width are held against `compare_lives`. Seeded; prints Markdown.
"""

import sys
import time

import numpy as np
from scipy.special import stdtrit

from edgetest.stats.interval_likelihood import highest
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.replicates import BladeLives

CHECKS = {
    "every 10 cuts": np.arange(10, 3000, 10.0),
    "every 25 cuts": np.arange(25, 3000, 25.0),
    "every 50 cuts": np.arange(50, 3000, 50.0),
    "growing by 1.25": 25 * 1.25 ** np.arange(25),
    "growing by 1.5": 25 * 1.5 ** np.arange(14),
    "doubling": 25 * 2.0 ** np.arange(9),
}
BLADES = ((2, 2), (3, 3), (5, 5))
SCATTERS, RATIOS, LIVES = (0.05, 0.15, 0.3), (1.0, 1.5), (110, 200, 270)
LEVEL, WIDTHS = 0.95, 40


def main(studies=2000):
    """Print the table."""
    rng, begun = np.random.default_rng(20261127), time.perf_counter()
    print("### Ratio of lives from checks, nominal 95 %\n")
    cells = 2 * len(SCATTERS) * len(RATIOS) * len(LIVES)
    print(f"{cells} cells a row, {studies} studies each.\n")
    print("| blades | checks | worst cell | mean | false claims, worst | half-width |")
    print("|" + " --- |" * 6)
    for sizes in BLADES:
        for name, stages in CHECKS.items():
            covered, false = [], []
            for sd in SCATTERS:
                for ratio in RATIOS:
                    for life in LIVES:
                        for heavy in (False, True):
                            y = world(rng, studies, sizes, life, ratio, sd, heavy=heavy)
                            share = coverage(*checked(y, stages), sizes, np.log(ratio)).mean()
                            covered.append(share)
                            false += [1 - share] if ratio == 1 else []
            print(
                f"| {sizes[0]} and {sizes[1]} | {name} | {100 * min(covered):.1f} | "
                f"{100 * np.mean(covered):.1f} | {100 * max(false):.1f} | "
                f"{wider(rng, sizes, stages):.2f} |",
                flush=True,
            )
    print(f"\n{time.perf_counter() - begun:.0f} s")


def world(rng, studies, sizes, life, ratio, sd, *, heavy=False):
    """Log lives (studies, blades), the second heat treatment's last."""
    n = sum(sizes)
    z = rng.standard_t(3, (studies, n)) / np.sqrt(3) if heavy else rng.standard_normal((studies, n))
    return np.log(life) + np.log(ratio) * design(sizes)[:, 1] + sd * z


def design(sizes):
    """A column for each heat treatment."""
    return np.repeat(np.eye(2), sizes, axis=0)


def checked(log_life, stages):
    """Log of the last pass and of the first fail, open where there is none."""
    ends = np.r_[-np.inf, np.log(stages), np.inf]
    place = np.searchsorted(ends, log_life)
    return ends[place - 1], ends[place]


def coverage(low, high, sizes, truth):
    """Whether the interval of each study holds the true log ratio."""
    columns = design(sizes)
    closed = np.isfinite(low) & np.isfinite(high)
    n, groups = closed.sum(axis=1), (closed @ columns > 0).sum(axis=1)
    df = np.maximum(n - groups, 1)
    top, _ = highest(columns, low, high)
    moved = truth * columns[:, 1]
    held, _ = highest(np.ones((len(columns), 1)), low - moved, high - moved)
    t = np.sqrt(df * np.expm1(2 * np.maximum(top - held, 0) / np.maximum(n, 1)))
    return (t <= stdtrit(df, 0.5 + LEVEL / 2)) | (n - groups < 1)


def logs_of(low, high, sizes):
    """Ends of the interval that the comparison gives, log scale."""
    treatment = ["A"] * sizes[0] + ["B"] * sizes[1]
    blades = [f"{name}{i}" for i, name in enumerate(treatment)]
    found = compare_lives(BladeLives(blades, treatment, low, high)).ratio
    with np.errstate(divide="ignore"):
        return np.log(found.low), np.log(found.high)


def wider(rng, sizes, stages):
    """Median half-width over that of lives that are known exactly."""
    halves, truth = [], np.log(1.2)
    for y in world(rng, WIDTHS, sizes, 200, 1.2, 0.15):
        ends = checked(y, stages)
        known, seen = logs_of(y, y, sizes), logs_of(*ends, sizes)
        halves.append([known[1] - known[0], seen[1] - seen[0]])
        inside = coverage(*(end[None] for end in ends), sizes, truth)[0]
        near = np.abs(np.array(seen) - truth).min() < 1e-3
        assert near or inside == (seen[0] < truth < seen[1])
    known, seen = np.median(halves, axis=0)
    return seen / known


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
