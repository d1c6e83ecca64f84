"""What it costs to look at a plain interval again and again: false claims where nothing differs.

Run: python -m tests.benchmarks.peeking_table
Simulated studies that grow by a blade a side, read by the plain 95 % t at every number of blades.
"""

import numpy as np

from edgetest.stats.group_sequential import growing_studies, normal_deviate

STUDIES = 20_000
LOOKS = ((12, 12), (2, 3), (2, 5), (2, 8), (2, 12), (3, 8), (3, 12))


def peeking(first, most, studies=STUDIES):
    """Share of studies that claim a difference at one of the looks at least."""
    sizes = range(first, most + 1)
    t, _ = growing_studies(sizes, studies, np.random.default_rng(7))
    df = 2.0 * np.array(sizes)[:, None] - 2
    return (normal_deviate(t, df) > 1.96).any(axis=0).mean()


def main():
    """Print the table."""
    print("| blades a side at the looks | looks | false claims |")
    print("| --- | ---: | ---: |")
    for first, most in LOOKS:
        said = f"{first} to {most}" if most > first else f"{most} alone"
        print(f"| {said} | {most - first + 1} | {100 * peeking(first, most):.1f} % |")


if __name__ == "__main__":
    main()
