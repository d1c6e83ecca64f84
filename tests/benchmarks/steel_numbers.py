"""Which numbers of the tables, and which hours, does a headline hang on? Each alone, ± 1.5 times.

Over all written cases of ``tests/study/steel``; about six minutes on one core. Prints the table
of the guide chapter on mystery steel:

    python -m tests.benchmarks.steel_numbers
"""

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from edgetest.steel.survives import is_reversed, variants
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.study.steel.written_cases import CASES, decided, written_case


def main():
    """Count the headlines that another number would change, and name the numbers."""
    tables = load_steel_tables()
    tried, changed, turned = 0, Counter(), Counter()
    fits = []
    for path in CASES:
        case = written_case(path)
        first = decided(case, tables)
        for place, factor, found in variants(case.seen, tables, case.losses, case.piece):
            tried += 1
            cause = f"{case.name}: {' '.join(place)} x {factor:.2f}"
            if found.action != first.action:
                changed[f"{cause}: {first.action} to {found.action}"] += 1
            if is_reversed(found.action, first.action):
                turned[cause] += 1
            if first.chance_fit is not None and found.chance_fit is not None:
                fits.append(abs(found.chance_fit - first.chance_fit))
    print(f"{len(CASES)} cases, {sum(1 for _ in tables.places())} numbers, {tried} trials")
    print("| headline | trials | share |\n| --- | --- | --- |")
    print(f"| another action | {sum(changed.values())} | {sum(changed.values()) / tried:.3%} |")
    print(
        f"| reuse to leave or back | {sum(turned.values())} | {sum(turned.values()) / tried:.3%} |"
    )
    large = sum(fit > 0.1 for fit in fits)
    print(f"| chance of being fit moved by over 0.1 | {large} | {large / len(fits):.2%} |")
    for cause in sorted(changed):
        print(f"- {cause}")


if __name__ == "__main__":
    main()
