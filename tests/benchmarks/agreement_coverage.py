"""How often do the intervals of two looks hold the truth?

Run: python -m tests.benchmarks.agreement_coverage
Invented observers: scatter of one look 0.15 µm, the second look 0.1 µm wider, a drift of 0.01 µm
a day over 30 days; normal scatter, heavy tails (Student's t of 4), and scatter that grows with
the width. Prints a table for edgetest/guide/tables.
"""

import numpy as np

from edgetest.stats.agreement import agreement

RUNS = 4000
SD, BIAS, DRIFT, DAYS = 0.15, 0.10, 0.01, 30.0
COUNTS = (6, 8, 12, 20, 40)


def scatter(kind, width, rng):
    """Error of one look at each width."""
    if kind == "heavy tails":
        return SD / np.sqrt(2) * rng.standard_t(4, len(width))
    size = SD * width / 6.0 if kind == "grows with the width" else SD
    return size * rng.standard_normal(len(width))


def once(kind, count, rng):
    """Whether bias, limits, scatter and slope were held in one study."""
    width = rng.uniform(2, 10, count)
    days = np.sort(rng.uniform(0, DAYS, count))
    first = width + scatter(kind, width, rng)
    shift = BIAS + DRIFT * (days - DAYS / 2)
    second = width + shift + scatter(kind, width, rng)
    steady = agreement(first, second - shift + BIAS)
    quiet = agreement(first, second - shift)
    drifting = agreement(first, second, time=days)
    size = SD * np.sqrt(np.mean((width / 6.0) ** 2)) if kind == "grows with the width" else SD
    far = 1.959964 * np.sqrt(2) * size
    truths = (
        (steady.bias, BIAS), (steady.upper, BIAS + far), (quiet.within, size),
        (drifting.drift, DRIFT),
    )  # fmt: skip
    return [each.low <= truth <= each.high for each, truth in truths]


def main():
    """Print the table."""
    print("| scatter | pairs | mean difference | limit of agreement | one look's sd | drift |")
    print("| --- | --- | --- | --- | --- | --- |")
    for kind in ("heavy tails", "grows with the width", "normal"):
        for count in COUNTS:
            rng = np.random.default_rng(count)
            held = np.mean([once(kind, count, rng) for _ in range(RUNS)], axis=0)
            cells = " | ".join(f"{100 * each:.1f} %" for each in held)
            print(f"| {kind} | {count} | {cells} |")


if __name__ == "__main__":
    main()
