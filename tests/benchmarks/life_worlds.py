"""Lives of blades whose wear is made up apart from our laws: held how often, how wide, what beyond.

Run: python -m tests.benchmarks.life_worlds [studies a row, 100]
Studies of `tests.benchmarks.worlds`, each heat treatment with its own power. A life beyond reach
is held where the blade outlasts its bound. 'By the law alone' is the figure that the law makes of
the same lives. 'Claims': studies whose interval of the ratio leaves out the true one (1 unless the
row names another). Odd seeds: the priors of the fit were chosen on even ones. Prints a table for
edgetest/guide/tables.
"""

import sys

import numpy as np

from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study
from tests.benchmarks.worlds.cells import CELLS

ROWS = (
    "power_stop_1.3_n3",
    "power_stop_1.0_n3",
    "power_stop_0.5_n3",
    "two_stage_stop_1.3_n3",
    "levelling_stop_1.3_n3",
    "slow_fast_stop_1.0_n3",
    "burnish_stop_1.0_n3",
    "chipping_stop_1.0_n3",
    "power_one_station_n3",
    "powers_1.8_2.2_stop_0.5_n3",
    "powers_1.8_2.2_stop_1.0_n3",
    "powers_1.8_2.2_stop_2.0_n3",
    "powers_1.6_2.5_stop_0.5_n3",
    "powers_1.6_2.5_stop_1.0_n3",
    "powers_1.6_2.5_stop_2.0_n3",
    "powers_1.5_3.0_stop_0.5_n3",
    "powers_1.5_3.0_stop_1.0_n3",
    "powers_1.5_3.0_stop_2.0_n3",
    "powers_1.5_3.0_stop_0.75_n8",
    "two_stage_ratio_1.2_stop_1.3_n5",
)


def lives_of(world):
    """The study's lives, each with its truth, and whether its ratio leaves out the true one."""
    treatment_of = dict(zip(world.blade.tolist(), world.heat_treatment.tolist(), strict=True))
    station = world.station.tolist() if len(world.station) else None
    readings = wear_readings(world.blade.tolist(), world.cuts, world.reading, station=station)
    fit = fit_study(readings, FitOptions(limit=world.limit, treatment_of=treatment_of))
    known = [curve for curve in fit.blades if curve.life is not None]
    rows = [(curve.life, world.true_life[curve.blade, ""]) for curve in known]
    lives = fitted_lives(
        [curve.life for curve in known],
        blade=[curve.blade for curve in known],
        treatment=[treatment_of[curve.blade] for curve in known],
    )
    found = compare_lives(lives, ComparisonOptions())
    in_order = (found.first, found.second) == tuple(dict.fromkeys(world.heat_treatment.tolist()))
    truth = np.exp(world.true_log_ratio * (1 if in_order else -1))
    return rows, not found.ratio.low <= truth <= found.ratio.high


def row_of(name, studies):
    """Coverage, half-widths, shares and claims of a cell."""
    seed = sum(map(ord, name))
    made = [lives_of(CELLS[name](np.random.default_rng([2 * s + 1, seed]))) for s in range(studies)]
    rows = [row for study, _ in made for row in study if np.isfinite(row[1])]
    read = [(life, truth) for life, truth in rows if not life.beyond_reach]
    closed = [life for life, _ in read if np.isfinite(life.high) and life.low > 0]
    alone = [(life.by_law, truth) for life, truth in rows]
    half = [np.log(life.high / life.low) / 2 for life in closed]
    by_law = [np.log(life.by_law.high / life.by_law.low) / 2 for life in closed]
    return {
        "lives held": f"{np.mean([x.low <= t <= x.high for x, t in rows]):.1%}",
        "read lives held": f"{np.mean([x.low <= t <= x.high for x, t in read]):.1%}",
        "half-width": f"{np.median(half):.1%}" if half else "",
        "over that by the law": f"{np.median(np.divide(half, by_law)):.2f}" if half else "",
        "no upper end": f"{1 - len(closed) / max(len(read), 1):.0%}",
        "beyond reach": f"{1 - len(read) / len(rows):.0%}",
        "held by the law alone": f"{np.mean([law.low <= t <= law.high for law, t in alone]):.1%}",
        "claims": f"{np.mean([claim for _, claim in made]):.1%}",
    }


def main():
    """Print the table."""
    studies = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    for k, name in enumerate(ROWS):
        row = row_of(name, studies)
        if not k:
            print("| cell |", " | ".join(row), "|")
            print("| --- " * (1 + len(row)) + "|")
        print(f"| {name} |", " | ".join(row.values()), "|", flush=True)


if __name__ == "__main__":
    main()
