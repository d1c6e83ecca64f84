"""How even are the turns of heat treatments over 200 draws? Prints the guide's table.

python -m tests.benchmarks.order_table
"""

from collections import Counter

import numpy as np

from edgetest.wear.plan.run_order import balanced_order

SEEDS = range(1, 201)
# Blades of each heat treatment, rolls, control blade, runs of each blade.
LAYOUTS = {
    "3 and 3, 3 rolls": ((3, 3), 3, False, 1),
    "4 and 4, 2 rolls, control": ((4, 4), 2, True, 1),
    "7 and 7, 3 rolls, control": ((7, 7), 3, True, 1),
    "3 and 3, each on 2 of 4 rolls, control": ((3, 3), 4, True, 2),
    "5 and 3, 3 rolls, control": ((5, 3), 3, True, 1),
    "2, 3 and 4, 3 rolls": ((2, 3, 4), 3, False, 1),
    "2 each of 4, 2 rolls": ((2, 2, 2, 2), 2, False, 1),
    "6 and 6, one roll": ((6, 6), 1, False, 1),
}


def drawn(layout, seed):
    """The heat treatments of every roll in their turns, the control blade left out."""
    counts, rolls, control, runs = layout
    blades = {f"{t}{i}": t for t, n in zip("ABCD", counts, strict=False) for i in range(n)}
    order = balanced_order(
        blades, [f"roll {k}" for k in range(rolls)], np.random.default_rng(seed),
        control="X" if control else None, runs=runs,
    )  # fmt: skip
    blocks: dict[str, list] = {}
    for run in order:
        if run.treatment != "control":
            blocks.setdefault(run.block, []).append(run.treatment)
    return list(blocks.values())


def by_lot(blocks, seed):
    """The same rolls, each in an order that is drawn by lot alone."""
    rng = np.random.default_rng(seed)
    return [[held[i] for i in rng.permutation(len(held))] for held in blocks]


def firsts_apart(blocks):
    """How many rolls more the one heat treatment begins than the other."""
    firsts = Counter(held[0] for held in blocks)
    names = {name for held in blocks for name in held}
    return max(firsts.values()) - min(firsts.get(name, 0) for name in names)


def places_apart(blocks):
    """How far the heat treatments' mean places lie apart, as a share of a roll."""
    had: dict[str, list] = {}
    for held in blocks:
        for place, name in enumerate(held):
            had.setdefault(name, []).append((place + 0.5) / len(held))
    means = [np.mean(places) for places in had.values()]
    return max(means) - min(means)


def main():
    """Print the table."""
    print(
        "| blades, rolls | firsts apart, at most | mean places apart, at most "
        "| by lot alone: one first on every roll | mean places apart, at most |"
    )
    print("| --- | --- | --- | --- | --- |")
    for words, layout in LAYOUTS.items():
        orders = [drawn(layout, seed) for seed in SEEDS]
        lots = [by_lot(blocks, seed) for seed, blocks in zip(SEEDS, orders, strict=True)]
        same = sum(len(b) > 1 and len({held[0] for held in b}) == 1 for b in lots)
        print(
            f"| {words} | {max(map(firsts_apart, orders))} | {max(map(places_apart, orders)):.2f} "
            f"| {same} of {len(SEEDS)} | {max(map(places_apart, lots)):.2f} |"
        )


if __name__ == "__main__":
    main()
