"""Tables of the guide on planning: blades, stages, and what the doubling stages lose.

Run:  python tests/benchmarks/planning_tables.py          (seconds)
"""

import time

from edgetest.wear.plan.expected_wear import ExpectedWear
from edgetest.wear.plan.pooled_blades import blades_to_tell, interval_factor, power_to_tell
from edgetest.wear.plan.stage_schedule import best_schedule


def main():
    """Print the tables in Markdown."""
    begun = time.perf_counter()
    print("### Blades a side for a chance of 80 % to show a ratio\n")
    ratios = (1.1, 1.2, 1.3, 1.5, 2.0)
    print("| SD of log life | " + " | ".join(f"{r:g}" for r in ratios) + " |")
    print("|" + " --- |" * (len(ratios) + 1))
    for sd in (0.05, 0.1, 0.15, 0.2, 0.3):
        needs = [blades_to_tell(r, sd) for r in ratios]
        row = " | ".join(
            "over 200" if n == float("inf") else f"{int(-(-(n - 1e-9) // 1))}" for n in needs
        )
        print(f"| {sd:g} | {row} |")
    print("\n### Chance to show a ratio of 1.2, and the factor of the interval, SD 0.1\n")
    print("| blades a side | chance | factor |\n| --- | --- | --- |")
    for n in (2, 3, 4, 5, 6, 8, 10):
        print(f"| {n} | {100 * power_to_tell(n, 1.2, 0.1):.0f} % | {interval_factor(n, 0.1):.2f} |")
    print("\n### Stages: last 400 cuts, fresh edge 1 µm, limit 10 µm, readings' CV 5 %\n")
    print("| stages | life thought | best stages | u(log life) | doubling stages | loss |")
    print("|" + " --- |" * 6)
    for stages in (5, 8, 12):
        for life in (200, 300, 400, 800):
            plan = best_schedule(stages, 400, ExpectedWear(life))
            print(
                f"| {stages} | {life} | {', '.join(map(str, plan.cuts))} | {plan.se:.3f} | "
                f"{plan.geometric_se:.3f} | {100 * plan.loss:.0f} % |"
            )
    print(f"\n{time.perf_counter() - begun:.1f} s")


if __name__ == "__main__":
    main()
