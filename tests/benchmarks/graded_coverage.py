"""Coverage of the ratio of lives from pass and fail, by how far apart the checks are.

Run:  python tests/benchmarks/graded_coverage.py [studies]      (about a minute for 200)

True ratio 1.2, SD of log life between blades 0.2; every blade is checked at stages that grow by
the stated factor and is dull at the first check that it fails. Seeded; prints Markdown.
"""

import sys
import time

import numpy as np
from scipy.special import chdtri

from edgetest.wear.graded.life_distributions import fit_lives


def main(studies=200):
    """Print the table."""
    rng, begun = np.random.default_rng(20261125), time.perf_counter()
    print("### Ratio of lives from pass and fail, nominal 95 %\n")
    print(f"{studies} studies a cell; `chi-square` is the large-sample threshold.\n")
    print("| blades | stages grow by | t threshold | chi-square | median factor |")
    print("|" + " --- |" * 5)
    for n in (3, 5):
        for step in (1.1, 1.25, 1.5, 2.0):
            checks = 50 * step ** np.arange(0, 1 + round(np.log(40) / np.log(step)))
            hit, plain_hit, factors = 0, 0, []
            for _ in range(studies):
                life = np.exp(0.2 * rng.standard_normal((2, n)) + np.log([[200.0], [240.0]]))
                place = np.searchsorted(checks, life.ravel())
                lower = np.r_[0.0, checks][place]
                upper = np.r_[checks, np.inf][place]
                group = ["A"] * n + ["B"] * n
                ratio = fit_lives(lower, upper, group=group).ratios[0][2]
                hit += ratio.low <= 1.2 <= ratio.high
                factors.append(np.log(ratio.high / ratio.low) / 2)
                plain = fit_lives(lower, upper, group=group, small_sample=False).ratios[0][2]
                plain_hit += plain.low <= 1.2 <= plain.high
            print(
                f"| {n} | {step:g} | {100 * hit / studies:.1f} | {100 * plain_hit / studies:.1f} | "
                f"{np.exp(np.median(factors)):.2f} |",
                flush=True,
            )
    print(f"\nchi-square threshold {chdtri(1, 0.05) / 2:.3f}; {time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
