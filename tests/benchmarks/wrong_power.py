"""What a wrong power of the wear law costs: a life, and a ratio of two lives.

Run: python -m tests.benchmarks.wrong_power
Two blades, the second of 1.3 times the life, eight stages, readings without error made with the
true power; the law alone with p set to 2. Prints a table for edgetest/guide/tables.
"""

import numpy as np

from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study

FRESH, LIMIT, RATIO = 2.0, 10.0, 1.3


def lives(power, reach):
    """Lives of both blades fitted with p = 2, over the true ones."""
    cuts = np.r_[0.0, np.geomspace(0.04, 1.0, 7)] * 300 * reach
    blade, n, value = [], [], []
    for name, life in (("A", 300.0), ("B", 300.0 * RATIO)):
        grown = (LIMIT**power - FRESH**power) / life
        blade += [name] * len(cuts)
        n += cuts.tolist()
        value += ((FRESH**power + grown * cuts) ** (1 / power)).tolist()
    fit = fit_study(wear_readings(blade, n, value), FitOptions(limit=LIMIT, power=2.0))
    lives = [fit[name].life.by_law.cuts for name in "AB"]
    return lives[0] / 300.0, lives[1] / (300.0 * RATIO)


def main():
    """Print the table."""
    print("| true p | last stage / life | life, fitted with p = 2 | ratio of two lives |")
    print("| --- | --- | --- | --- |")
    for power in (1.0, 1.5, 2.0, 3.0, 4.0):
        for reach in (1.2, 0.7, 0.5, 0.25):
            first, second = lives(power, reach)
            row = (first - 1, second / first - 1)
            life, ratio = (0.0 if abs(x) < 5e-4 else x for x in row)
            print(f"| {power:g} | {reach:g} | {life:+.0%} | {ratio:+.1%} |")


if __name__ == "__main__":
    main()
