"""Coverage, bias, type I error and width of the comparison, in the cells that makers meet.

Run:  python -m tests.benchmarks.comparison_coverage            (about four minutes, one core)
      python -m tests.benchmarks.comparison_coverage --full     (wear curves fitted as well)

Lives are simulated: blade i of a heat treatment has log life mu + b_i, SD of b_i as stated;
its reading uncertainty follows from the readings (9 doubling stages, 4 stations, CV as stated,
the life at 0.75 of the last stage) and a station reads its own wear with a spread of 5 %. The
intervals are those of the package, vectorised over studies. Seeded; prints Markdown.
"""

import argparse
import os
import platform
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import scipy
from scipy.special import fdtr

from edgetest.stats.contrast import (
    by_design,
    contrast,
    guarded_t,
    pooled_t,
    welch_t,
)
from edgetest.wear.compare.replicates import lives_known
from edgetest.wear.compare.shop_history import learn_scatter, moderated_t
from edgetest.wear.compare.verdict_on_ratio import chance_to_settle
from edgetest.wear.plan.expected_wear import ExpectedWear, stage_se
from edgetest.wear.plan.stage_schedule import geometric_schedule
from tests.benchmarks.interval_ways import (
    bootstrap,
    covers,
    factor,
    hold_floor,
    normal_reml,
    readings_alone,
    stations_as_blades,
)

STUDIES = 20_000
STATIONS, STATION_CV = 4, 0.05
SD_BLADES = (0.05, 0.1, 0.2, 0.3)
READING_CV = (0.03, 0.06, 0.1)
RATIOS = (1.0, 1.2, 1.5)


def reading_se(cv):
    """Standard uncertainty of a blade's log life from its readings."""
    cuts = geometric_schedule(9, 400)
    noise = np.hypot(cv, STATION_CV) / np.sqrt(STATIONS)
    return float(stage_se(cuts, ExpectedWear(300.0, 1.0, 10.0, reading_cv=noise, deviation=0.0)))


def simulate(rng, n, mean, sd_blades, se, studies=STUDIES):
    """Log lives (studies, n) and those of the single stations (studies, n, stations)."""
    blades = mean + sd_blades * rng.standard_normal((studies, n))
    noise = se * np.sqrt(STATIONS) * rng.standard_normal((studies, n, STATIONS))
    stations = blades[..., None] + noise
    return stations.mean(axis=-1), stations


def balanced(rng):
    """Coverage, bias, type I error and width for 2, 3 and 5 blades a side."""
    print("\n### Balanced groups, nominal 95 %\n")
    print("Coverage in %, over ratios 1, 1.2 and 1.5; type I error at ratio 1; bias of the ratio")
    print("in %; factor by which the program's interval reaches up and down.")
    print("`held at readings`: the same interval, never narrower than the readings alone allow.\n")
    head = "blades | SD blades | CV | coverage | type I | bias | factor | held at readings | Welch"
    head += " | REML, normal | bootstrap | stations as blades | readings alone"
    print(f"| {head} |\n|{' --- |' * (head.count('|') + 1)}")
    worst = [100.0, 0.0]
    for n in (2, 3, 5):
        for sd in SD_BLADES:
            for cv in READING_CV:
                row, bias, type1 = [], [], 0.0
                se = reading_se(cv)
                for ratio in RATIOS:
                    truth = np.log(ratio)
                    a, a_stations = simulate(rng, n, 0.0, sd, se)
                    b, b_stations = simulate(rng, n, truth, sd, se)
                    ours = by_design(a, b)
                    held = hold_floor(ours, se**2 * 2 / n)
                    bias.append(100 * (np.exp(np.mean(ours.difference) - truth) - 1))
                    if ratio == 1:
                        type1 = 100 - covers(ours, 0.0)
                    row.append(
                        [
                            covers(ours, truth),
                            factor(ours),
                            covers(held, truth),
                            covers(welch_t(a, b), truth),
                            covers(normal_reml(a, b, se), truth),
                            covers(bootstrap(rng, a, b), truth),
                            covers(stations_as_blades(a_stations, b_stations), truth),
                            covers(readings_alone(a, b, se), truth),
                        ]
                    )
                mean = np.mean(row, axis=0)
                worst = [min(worst[0], mean[0]), max(worst[1], mean[0])]
                ours, reach, *others = mean
                print(
                    f"| {n} | {sd:g} | {100 * cv:.0f} % | {ours:.1f} | {type1:.1f} | "
                    f"{np.mean(bias):+.1f} | {reach:.2f} | "
                    + " | ".join(f"{x:.1f}" for x in others)
                    + " |"
                )
    print(f"\nCoverage of the program's interval over all cells: {worst[0]:.1f} to {worst[1]:.1f}")


def unbalanced(rng):
    """Unequal numbers and unequal scatter: pooled, Welch, guarded, smaller df, by design."""
    print("\n### Unequal numbers, unequal scatter, nominal 95 %\n")
    head = "blades | SD small : large group | pooled t | Welch | guarded | smaller df"
    head += " | variance test first | by design | factor | factor pooled"
    print(f"| {head} |\n|{' --- |' * (head.count('|') + 1)}")
    for n1, n2 in ((2, 3), (2, 5), (3, 5), (3, 3), (2, 2)):
        for r in (1 / 6, 1 / 3, 0.5, 1, 2, 3, 6) if n1 < n2 else (1, 2, 3, 6):
            a = 0.1 * np.sqrt(r) * rng.standard_normal((5 * STUDIES, n1))
            b = 0.1 / np.sqrt(r) * rng.standard_normal((5 * STUDIES, n2))
            pooled, welch, guarded = pooled_t(a, b), welch_t(a, b), guarded_t(a, b)
            least = contrast(welch.difference, welch.stderr**2, n1 - 1.0, 0.95, "")
            f = a.var(axis=1, ddof=1) / b.var(axis=1, ddof=1)
            p = fdtr(n1 - 1, n2 - 1, f)
            tested = np.where((p < 0.025) | (p > 0.975), welch.half_width, pooled.half_width)
            found = by_design(a, b)
            print(
                f"| {n1}, {n2} | {r:.2g} | {covers(pooled, 0):.1f} | {covers(welch, 0):.1f} | "
                f"{covers(guarded, 0):.1f} | {covers(least, 0):.1f} | "
                f"{100 * np.mean(np.abs(pooled.difference) <= tested):.1f} | "
                f"{covers(found, 0):.1f} | {factor(found):.2f} | {factor(pooled):.2f} |"
            )


def verdicts(rng):
    """Chance of each verdict, margin 10 %."""
    print("\n### Verdicts, margin 10 %, SD between blades 0.1, readings' CV 6 %\n")
    print("| blades | true ratio | longer | shorter | no relevant difference | cannot tell |")
    print("|" + " --- |" * 6)
    se, edge = reading_se(0.06), np.log(1.1)
    for n in (2, 3, 5, 10):
        for ratio in (1.0, 1.1, 1.2, 1.5):
            a, _ = simulate(rng, n, 0.0, 0.1, se)
            b, _ = simulate(rng, n, np.log(ratio), 0.1, se)
            wide = by_design(a, b)
            narrow = by_design(a, b, level=0.9)
            same = (narrow.low > -edge) & (narrow.high < edge)
            longer, shorter = (wide.low > 0) & ~same, (wide.high < 0) & ~same
            rest = ~(same | longer | shorter)
            shares = " | ".join(f"{100 * np.mean(x):.1f}" for x in (longer, shorter, same, rest))
            print(f"| {n} | {ratio:g} | {shares} |")


def history(rng):
    """Moderated by earlier studies: coverage over shops whose studies scatter alike or not."""
    print("\n### With the shop's history, nominal 95 %\n")
    print("Earlier studies of 3 blades a side (df 4); `spread` is the SD of log scatter from study")
    print("to study about 0.1. Coverage and factor, without and with the history.\n")
    print("| blades | earlier studies | spread | coverage without | with | factor without | with |")
    print("|" + " --- |" * 7)
    for n in (1, 2, 3, 5):
        for count in (1, 3, 10):
            for spread in (0.0, 0.35, 0.7):
                hits, reach, plain_hits, plain_reach = [], [], [], []
                for _ in range(1500):
                    past = 0.1 * np.exp(spread * rng.standard_normal(count))
                    seen = past * np.sqrt(rng.chisquare(4, count) / 4)
                    shop = learn_scatter(seen, np.full(count, 4.0))
                    sd = 0.1 * np.exp(spread * rng.standard_normal((20, 1)))
                    a, b = (sd * rng.standard_normal((20, n)) for _ in range(2))
                    df = 2.0 * n - 2
                    variance = np.zeros(20)
                    if n > 1:
                        plain = pooled_t(a, b)
                        variance = plain.stderr**2 * n / 2
                        plain_hits.append(covers(plain, 0.0))
                        plain_reach.append(np.median(plain.half_width))
                    difference = b.mean(axis=1) - a.mean(axis=1)
                    found = moderated_t(difference, 2 / n, variance, df, shop, 0.95)
                    hits.append(covers(found, 0.0))
                    reach.append(np.median(found.half_width))
                without = (
                    ("none", "none")
                    if n == 1
                    else (f"{np.mean(plain_hits):.1f}", f"{np.exp(np.median(plain_reach)):.2f}")
                )
                print(
                    f"| {n} | {count} | {spread:g} | {without[0]} | {np.mean(hits):.1f} | "
                    f"{without[1]} | {np.exp(np.median(reach)):.2f} |"
                )


def thickness(rng, studies=1000):
    """Thickness behind the edge taken out by the blades' own spread of it."""
    from edgetest.wear.compare.covariate import without_covariate

    print("\n### Thickness behind the edge taken out, nominal 95 %\n")
    print("True ratio at equal thickness 1.2, SD between blades 0.1, heat treatments 30 % apart in")
    print(
        "thickness; `effect` is the power of thickness with which life goes. `told`: studies whose"
    )
    print("blades can tell. `left in`: the answer that knows nothing of the thickness.\n")
    head = "blades | blades differ by | measured to | effect | told | coverage | factor"
    print(f"| {head} | left in: coverage | factor |")
    print("|" + " --- |" * 9)
    for n in (4, 5, 8):
        for spread, error, effect in (
            (0.1, 0.0, 0),
            (0.1, 0.0, -1),
            (0.1, 0.03, -1),
            (0.2, 0.0, -1),
            (0.2, 0.06, -1),
        ):
            hit, reach, naive, naive_reach = [], [], [], []
            group = np.repeat([0.0, 1.0], n)
            for _ in range(studies):
                true = np.log(1.3) * group + spread * rng.standard_normal(2 * n)
                log_life = np.log(1.2) * group + effect * true + 0.1 * rng.standard_normal(2 * n)
                seen = true + error * rng.standard_normal(2 * n)
                lives = lives_known(
                    range(2 * n),
                    group,
                    log_life,
                    covariate=seen,
                    covariate_u=np.full(2 * n, error),
                )
                found = without_covariate(lives, "0.0", "1.0")
                if found is not None:
                    hit.append(found.low < 1.2 < found.high)
                    reach.append(np.log(found.high / found.estimate))
                plain = pooled_t(log_life[:n], log_life[n:])
                naive.append(covers(plain, np.log(1.2)))
                naive_reach.append(plain.half_width)
            print(
                f"| {n} | {100 * spread:.0f} % | {100 * error:.0f} % | {effect:g} | "
                f"{100 * len(hit) / studies:.0f} % | {100 * np.mean(hit):.1f} | "
                f"{np.exp(np.median(reach)):.2f} | {np.mean(naive):.1f} | "
                f"{np.exp(np.median(naive_reach)):.2f} |"
            )


def needed(rng, studies=300):
    """Blades a side named by studies that could not tell, against the true number."""
    from edgetest.wear.compare.compare_lives import compare_lives

    print("\n### Blades a side that would settle it, as named by studies that could not tell\n")
    print("True number: 80 % chance of a verdict at the true ratio and scatter, margin 10 %.\n")
    head = "blades now | SD blades | true ratio | true number | named, median (quartiles)"
    print(f"| {head} | its range holds the true number |")
    print("|" + " --- |" * 6)
    grid = np.arange(2, 401)
    for n, sd, ratio in (
        (2, 0.1, 1.2),
        (3, 0.1, 1.2),
        (3, 0.15, 1.2),
        (5, 0.15, 1.2),
        (3, 0.1, 1.1),
    ):
        power = chance_to_settle(grid, np.log(ratio), sd, 0.1)
        true = int(grid[np.argmax(power >= 0.8)])
        named, holds, treatment = [], [], ["A"] * n + ["B"] * n
        for _ in range(studies):
            a, b = sd * rng.standard_normal((2, n)) + np.array([[0.0], [np.log(ratio)]])
            found = compare_lives(lives_known(range(2 * n), treatment, [*a, *b])).needed
            if found is not None:
                named.append(found.per_side or 401)
                holds.append((found.low or 401) <= true <= (found.high or 401))
        low, middle, high = np.quantile(named, [0.25, 0.5, 0.75])
        print(
            f"| {n} | {sd:g} | {ratio:g} | {true} | {middle:.0f} ({low:.0f} to {high:.0f}) | "
            f"{100 * np.mean(holds):.0f} % |"
        )


def full(rng, studies=400):
    """Readings to curves to lives to the ratio, with the curve fit of the package."""
    from edgetest.wear.compare.compare_lives import compare_lives
    from edgetest.wear.curve.stage_cells import wear_readings
    from edgetest.wear.curve.study_curves import FitOptions, fit_study

    print(f"\n### From readings: {studies} studies a cell, 9 stages, 4 stations, ratio 1.2\n")
    print("| blades | SD blades | CV | coverage | bias | median factor | seconds a study |")
    print("|" + " --- |" * 7)
    cuts = geometric_schedule(9, 400)
    for n, sd, cv in ((2, 0.1, 0.06), (3, 0.1, 0.06), (3, 0.05, 0.1), (5, 0.2, 0.03)):
        hit, difference, reach, begun = 0, [], [], time.perf_counter()
        for _ in range(studies):
            rows = []
            for group, treatment in enumerate("AB"):
                for blade in range(n):
                    life = 300 * 1.2**group * np.exp(sd * rng.standard_normal())
                    for station in range(STATIONS):
                        place = np.exp(STATION_CV * rng.standard_normal())
                        width = np.sqrt(1 + 99 * cuts / life) * place
                        width = width * np.exp(cv * rng.standard_normal(len(cuts)))
                        name = f"{treatment}{blade}"
                        rows += [
                            (name, c, w, str(station)) for c, w in zip(cuts, width, strict=True)
                        ]
            blade, at, value, station = zip(*rows, strict=True)
            fit = fit_study(
                wear_readings(blade, at, value, station=station), FitOptions(limit=10.0)
            )
            lives = lives_known(
                [c.blade for c in fit.blades],
                [c.blade[0] for c in fit.blades],
                [c.life.log_life for c in fit.blades],
                [c.life.log_life_se for c in fit.blades],
                law_u=[c.life.log_life_law_u for c in fit.blades],
            )
            found = compare_lives(lives)
            hit += found.ratio.low <= 1.2 <= found.ratio.high
            difference.append(np.log(found.ratio.estimate / 1.2))
            reach.append(np.log(found.ratio.high / found.ratio.estimate))
        each = (time.perf_counter() - begun) / studies
        print(
            f"| {n} | {sd:g} | {100 * cv:.0f} % | {100 * hit / studies:.1f} | "
            f"{100 * (np.exp(np.mean(difference)) - 1):+.1f} % | {np.exp(np.median(reach)):.2f} | "
            f"{each:.3f} |"
        )


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--full", action="store_true", help="fit wear curves as well (minutes)")
    parser.add_argument("--seed", type=int, default=20261125)
    options = parser.parse_args()
    rng = np.random.default_rng(options.seed)
    begun = time.perf_counter()
    print(
        f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}, "
        f"{platform.machine()}, one core; {STUDIES} studies a cell, seed {options.seed}"
    )
    for table in (balanced, unbalanced, verdicts, needed, history, thickness):
        table(rng)
    if options.full:
        full(rng)
    print(f"\n{time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main()
