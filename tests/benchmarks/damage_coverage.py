"""How often the intervals of damage cover the truth where blades' rates scatter.

Two heat treatments, the first with twice the chips; blades of one treatment scatter by the
stated sd of their log rate. Chips a blade are those of the second treatment's middle blade.

Run: python -m tests.benchmarks.damage_coverage [studies]
"""

import platform
import sys
import time

import numpy as np

from edgetest.chop.damage_rates import DAMAGE_SCATTER
from edgetest.stats.scattered_rates import scattered_counts, scattered_rate, scattered_ratio

TRUE_RATIO = 2.0


def one_study(rng, blades, chips, scatter):
    """Whether ratio and mean rate of the second hold the truth; the ratio's factor either side."""
    own = np.exp(scatter * rng.standard_normal((2, blades)))
    counts = rng.poisson(chips * own * np.array([[TRUE_RATIO], [1.0]]))
    first, second = (scattered_counts(row, np.ones(blades)) for row in counts)
    rate = scattered_rate(second, DAMAGE_SCATTER)
    mean = chips * np.exp(scatter**2 / 2)
    if counts.sum() == 0:
        return True, rate.low <= mean <= rate.high, np.inf
    ratio = scattered_ratio(first, second, DAMAGE_SCATTER).ratio
    factor = np.sqrt(ratio.high / ratio.low) if ratio.low > 0 else np.inf
    return ratio.low <= TRUE_RATIO <= ratio.high, rate.low <= mean <= rate.high, factor


def main(studies):
    began = time.perf_counter()
    print(f"Python {platform.python_version()}, numpy {np.__version__}, {studies} studies each\n")
    print("ratio (its median factor either side); mean rate of the second treatment\n")
    scatters = (0.0, 0.3, 0.5, 0.8)
    print(
        "| blades each | chips a blade | " + " | ".join(f"scatter {s:g}" for s in scatters) + " |"
    )
    print("| --- | --- |" + " --- |" * len(scatters))
    for blades in (2, 3, 5):
        for chips in (1, 5, 20):
            cells = []
            for scatter in scatters:
                rng = np.random.default_rng([20260401, blades, chips])
                runs = [one_study(rng, blades, chips, scatter) for _ in range(studies)]
                ratio, rate, factor = zip(*runs, strict=True)
                cells.append(f"{np.mean(ratio):.3f} ({np.median(factor):.1f}); {np.mean(rate):.3f}")
            print(f"| {blades} | {chips} | " + " | ".join(cells) + " |", flush=True)
    print(f"\n{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
