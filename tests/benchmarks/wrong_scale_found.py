"""How often does `edgetest validate` find a wrong scale, and how often does it accuse a right one?

Invented widths of 5 to 25 µm of one set-up; its scale is known to 0.5 %, each reading to 1 %, each
reference to 1 % (standard uncertainties, normal). 2000 sets a cell.

Run: python -m tests.benchmarks.wrong_scale_found
"""

import numpy as np

from edgetest.stats.held_references import common_ratio, held_references

SETS, SCALE_U, READING_U, REFERENCE_U = 2000, 0.005, 0.01, 0.01


def found(widths, wrong, rng):
    """Shares: sets whose set-up is named, whose claim is called broken; references held."""
    named = broken = held = 0
    for _ in range(SETS):
        true = rng.uniform(5, 25, widths)
        reference = true * (1 + REFERENCE_U * rng.standard_normal(widths))
        scale = wrong * (1 + SCALE_U * rng.standard_normal())
        value = true * scale * (1 + READING_U * rng.standard_normal(widths))
        half = 1.96 * value * np.hypot(READING_U, SCALE_U)
        u = REFERENCE_U * reference
        ratio = common_ratio(value, half, reference, u, SCALE_U)
        named += not ratio.low <= 1 <= ratio.high
        score = held_references(value, value - half, value + half, reference, u)
        broken += score.misses
        held += score.held / widths
    return named / SETS, broken / SETS, held / SETS


def main():
    """Print the table."""
    rng = np.random.default_rng(20261127)
    print("| scale off by | widths | set-up named | claim called broken | references held |")
    print("| --- | --- | --- | --- | --- |")
    for wrong in (1.0, 1.02, 1.05):
        for widths in (1, 2, 3, 6, 12, 30):
            cells = " | ".join(f"{100 * share:.1f} %" for share in found(widths, wrong, rng))
            print(f"| {100 * (wrong - 1):.0f} % | {widths} | {cells} |")


if __name__ == "__main__":
    main()
