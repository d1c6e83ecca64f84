"""How often the interval for the ratio of two blades covers the truth, with few billets.

Run: python tests/benchmarks/chop_coverage.py [studies]
"""

import platform
import sys
import time

import numpy as np
from scipy.special import stdtrit

from edgetest.chop.regression import fit_rate

TRUE_RATIO = 1.3
MEAN_CHOPS = 30.0
METHODS = {
    "poisson": {"spread": "poisson"},
    "estimated": {"spread": "estimated"},
    "moderated (default)": {"spread": "moderated"},
    "moderated, towards 1": {"spread": "moderated", "prior_cv": 0.0},
    "moderated, 20 %": {"spread": "moderated", "prior_cv": 0.20},
}


def poisson_counts(rng, mean, n):
    return rng.poisson(mean, n)


def uneven_billets(cv):
    def draw(rng, mean, n):
        return rng.poisson(rng.gamma(1 / cv**2, mean * cv**2, n))

    return draw


def chops_through(rng, mean, n):
    """Chop by chop: each takes a share that varies by 40 %, billets differ by 10 %."""
    counts = []
    for toughness in np.exp(0.1 * rng.standard_normal(n)):
        shares = np.exp(0.4 * rng.standard_normal(int(4 * mean) + 20) - 0.08)
        counts.append(int(np.argmax(np.cumsum(shares) > mean * toughness)) + 1)
    return np.array(counts)


TRUTHS = {
    "Poisson": poisson_counts,
    "billets differ by 15 %": uneven_billets(0.15),
    "billets differ by 30 %": uneven_billets(0.30),
    "chop by chop, even wood": chops_through,
}


def one_study(rng, draw, billets, options):
    """Whether the 95 % interval holds the true ratio, and its width as a factor."""
    count = np.concatenate(
        [draw(rng, MEAN_CHOPS, billets), draw(rng, MEAN_CHOPS * TRUE_RATIO, billets)]
    )
    design = np.repeat(np.eye(2), billets, axis=0)
    fit = fit_rate(design, np.maximum(count, 1), np.ones(2 * billets), **options)
    contrast = np.array([-1.0, 1.0])
    df = min(fit.df_interval, 1e9)
    half = stdtrit(df, 0.975) * np.sqrt(contrast @ fit.cov @ contrast)
    error = contrast @ fit.params - np.log(TRUE_RATIO)
    return abs(error) <= half, np.exp(half)


def main(studies):
    began = time.perf_counter()
    print(f"Python {platform.python_version()}, numpy {np.__version__}, {studies} studies each")
    print("coverage of a 95 % interval, in brackets the median factor either side\n")
    print("| truth | billets a blade | " + " | ".join(METHODS) + " |")
    print("| --- | --- |" + " --- |" * len(METHODS))
    for truth, draw in TRUTHS.items():
        for billets in (1, 2, 3, 5, 10):
            cells = []
            for options in METHODS.values():
                if billets == 1 and options["spread"] == "estimated":
                    cells.append("not possible")
                    continue
                rng = np.random.default_rng(20260101 + billets)
                runs = [one_study(rng, draw, billets, options) for _ in range(studies)]
                held, factor = zip(*runs, strict=True)
                cells.append(f"{np.mean(held):.3f} ({np.median(factor):.2f})")
            print(f"| {truth} | {billets} | " + " | ".join(cells) + " |", flush=True)
    print(f"\n{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
