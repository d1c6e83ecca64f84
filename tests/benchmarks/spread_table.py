"""How far heat treatments differ, learnt of studies: is it held, and do chances come true?

    python -m tests.benchmarks.spread_table [--half look|report] [--count 400]

Invented shops of five heat treatments. Their true log ratios have the SD of the row; of its
variance a part lasts (none, half or all, at random) and the rest is drawn anew in each study of
two or three heat treatments of three blades each. Then one more study of two, and the chances
said of it: by our own prior, and by what the shop's studies say. Odd seeds are for choosing, even
ones for reporting.
"""

import argparse

import numpy as np

from edgetest.stats.linked_studies import StudyEffects
from edgetest.stats.true_spread import learnt_spread
from edgetest.wear.compare.chances import SeenDifference, shrunk_chances
from edgetest.wear.compare.shop_history import ShopHistory

SPREADS = (0.05, 0.1, 0.2, 0.4, 0.6)
STUDIES = (3, 6, 12)
ARMS, BLADES, SCATTER = 5, 3, 0.12


def shop(rng, spread, studies):
    """Effects of a shop's studies, and the true log ratio of one more."""
    part = rng.choice([0.0, 0.5, 1.0])
    lasting = rng.normal(size=ARMS) * spread * np.sqrt(part / 2)
    found = []
    for number in range(studies + 1):
        arms = rng.choice(ARMS, rng.choice([2, 3]) if number < studies else 2, replace=False)
        truth = lasting[arms] + rng.normal(size=len(arms)) * spread * np.sqrt((1 - part) / 2)
        seen = truth + rng.normal(size=len(arms)) * SCATTER / np.sqrt(BLADES)
        covariance = (np.eye(len(arms) - 1) + 1) * SCATTER**2 / BLADES
        found.append(StudyEffects(tuple(map(str, arms)), seen[1:] - seen[0], covariance))
    return found[:-1], truth[1] - truth[0]


def said(rng, truth, spread):
    """Chance given to the side that a study of three blades a side favours, and whether it was."""
    blades = rng.normal(0, SCATTER, (2, BLADES))
    blades[1] += truth
    sd = np.sqrt(blades.var(axis=1, ddof=1).mean())
    seen = SeenDifference(blades[1].mean() - blades[0].mean(), sd * np.sqrt(2 / BLADES), 4.0, sd)
    history = ShopHistory(0.15, 1.0, 0, spread)
    longer = float(shrunk_chances(seen, history=history).longer)
    return max(longer, 1 - longer), (longer > 0.5) == (truth > 0)


def row(half, count, spread, studies):
    """Cells of one row."""
    held, width, ours, shops = [], [], [], []
    for seed in range(1 if half == "look" else 0, 2 * count, 2):
        rng = np.random.default_rng((studies, round(100 * spread), seed))
        effects, truth = shop(rng, spread, studies)
        found = learnt_spread(effects)
        held.append(found.low <= spread <= found.high)
        width.append(found.high / found.low)
        state = rng.bit_generator.state
        ours.append(said(rng, truth, None))
        rng.bit_generator.state = state
        shops.append(said(rng, truth, found))
    over = [100 * np.diff(np.mean(each, axis=0))[0] for each in (ours, shops)]
    return np.mean(held) * 100, np.median(width), -over[0], -over[1]


def main():
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=("look", "report"), default="look")
    parser.add_argument("--count", type=int, default=400, help="shops of each row")
    asked = parser.parse_args()
    print("| SD of true differences | studies | held, % | width | said minus true, our prior "
          "| by the shop's studies |")  # fmt: skip
    print("| --- " * 6 + "|")
    for spread in SPREADS:
        for studies in STUDIES:
            held, width, ours, shops = row(asked.half, asked.count, spread, studies)
            print(f"| {spread:g} | {studies} | {held:.1f} | × {width:.1f} | {ours:+.1f} points "
                  f"| {shops:+.1f} |")  # fmt: skip


if __name__ == "__main__":
    main()
