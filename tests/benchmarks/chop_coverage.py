"""How often the intervals of a chop test cover the truth, with few billets.

First the ratio of two blades by kinds of spread; then whole studies with boards, dulling and
woods known by name only.

Run: python -m tests.benchmarks.chop_coverage [studies]
"""

import platform
import sys
import time

import numpy as np
from scipy.special import stdtrit

from edgetest.chop.count_design import Billets
from edgetest.chop.counts import fit_counts
from edgetest.stats.rates import poisson_ratio
from edgetest.stats.regression import UsualSpread, fit_rate

TRUE_RATIO = 1.3
MEAN_CHOPS = 30.0
METHODS = {
    "poisson": {"spread": "poisson"},
    "estimated": {"spread": "estimated"},
    "moderated (default)": {"spread": "moderated"},
    "moderated, towards 1": {"spread": "moderated", "usual": UsualSpread(cv=0.0)},
    "moderated, 20 %": {"spread": "moderated", "usual": UsualSpread(cv=0.20)},
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


def one_whole_study(rng, boards, board_sd, exponent):
    """Two blades in turn on some boards: do ratio, fresh rate and loss hold the truth?"""
    area = 33.87
    fresh, loss = 75.0, 0.10
    hardness = 3200 * np.exp(0.2 * rng.standard_normal(boards))
    uneven = np.exp(board_sd * rng.standard_normal(boards))
    rows, before = [], {"A": 0.0, "B": 0.0}
    for board in range(boards):
        for blade, factor in (("A", 1.0), ("B", TRUE_RATIO)):
            wood = uneven[board] * (hardness[board] / 3200) ** exponent
            mean = fresh * factor * area / 100 * wood * np.exp(loss * before[blade] / 100)
            chops = max(1, rng.poisson(mean * rng.gamma(100, 0.01)))
            rows.append((blade, chops, before[blade], board))
            before[blade] += chops
    blade, chops, before_each, board = zip(*rows, strict=True)
    fit = fit_counts(
        Billets(
            blade,
            chops,
            [area] * len(rows),
            hardness_n=[3200.0] * len(rows),
            hardness_sd_log=0.2 / np.sqrt(boards),
            chops_before=before_each,
            board=board,
        )
    )
    ratio = fit.ratios[0].ratio
    rate = fit.blades[0].fresh_chops_per_100_cm2
    dulling = fit.dulling_pct_per_100_chops
    return (
        ratio.low <= TRUE_RATIO <= ratio.high,
        rate.low <= fresh <= rate.high,
        dulling.low <= 100 * np.expm1(loss) <= dulling.high,
        np.sqrt(ratio.high / ratio.low),
        np.sqrt(rate.high / rate.low),
    )


def ratio_table(studies):
    """Coverage of the ratio by kind of spread."""
    print("coverage of a 95 % interval for the ratio, in brackets the median factor either side\n")
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


def whole_table(studies):
    """Coverage of a whole study's figures."""
    print("\nwhole studies, one billet a blade from every board\n")
    print("| boards | boards differ by | hardness power | ratio | fresh rate | loss |")
    print("| --- | --- | --- | --- | --- | --- |")
    for boards in (2, 3, 5):
        for board_sd, exponent in ((0.10, 0.55), (0.25, 0.55), (0.10, 1.0)):
            rng = np.random.default_rng(20260201 + boards)
            runs = [one_whole_study(rng, boards, board_sd, exponent) for _ in range(studies)]
            ratio, rate, loss, ratio_factor, rate_factor = zip(*runs, strict=True)
            print(
                f"| {boards} | {board_sd:.0%} | {exponent:g} |"
                f" {np.mean(ratio):.3f} ({np.median(ratio_factor):.2f}) |"
                f" {np.mean(rate):.3f} ({np.median(rate_factor):.2f}) | {np.mean(loss):.3f} |",
                flush=True,
            )


def one_treatment_study(rng, blades, blade_sd):
    """Two heat treatments, three billets a blade: does the ratio hold, scope of the blades?"""
    names = [f"{kind}{i}" for kind in "xy" for i in range(blades)]
    own = dict(zip(names, np.exp(blade_sd * rng.standard_normal(len(names))), strict=True))
    blade = np.repeat(names, 3)
    mean = [MEAN_CHOPS * own[b] * (TRUE_RATIO if b[0] == "y" else 1.0) for b in blade]
    chops = np.maximum(1, rng.poisson(mean * rng.gamma(44, 1 / 44, len(blade))))
    fit = fit_counts(Billets(blade, chops, [30.0] * len(blade), treatment=[b[0] for b in blade]))
    (kinds,) = fit.treatments
    pooled = poisson_ratio(chops[len(chops) // 2 :].sum(), 1, chops[: len(chops) // 2].sum(), 1)
    return (
        kinds.ratio.low <= TRUE_RATIO <= kinds.ratio.high,
        np.sqrt(kinds.ratio.high / kinds.ratio.low),
        pooled.low <= TRUE_RATIO <= pooled.high,
    )


def treatment_table(studies):
    """Coverage of the ratio of heat treatments, and of the mistake of counting billets."""
    print("\nheat treatments, three billets a blade\n")
    print("| blades each | blades differ by | ratio | billets taken for blades |")
    print("| --- | --- | --- | --- |")
    for blades in (2, 3, 5):
        for blade_sd in (0.0, 0.10, 0.25):
            rng = np.random.default_rng(20260301 + blades)
            runs = [one_treatment_study(rng, blades, blade_sd) for _ in range(studies)]
            held, factor, naive = zip(*runs, strict=True)
            print(
                f"| {blades} | {blade_sd:.0%} | {np.mean(held):.3f} ({np.median(factor):.2f}) |"
                f" {np.mean(naive):.3f} |",
                flush=True,
            )


def main(studies):
    began = time.perf_counter()
    print(f"Python {platform.python_version()}, numpy {np.__version__}, {studies} studies each")
    ratio_table(studies)
    whole_table(studies)
    treatment_table(studies)
    print(f"\n{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
