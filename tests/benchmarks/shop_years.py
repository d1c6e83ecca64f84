"""Are a shop's yearly changes held, and is what is worth the next rope worth it?

    python -m tests.benchmarks.shop_years [--half look|report] [--count 60]

The shops of `tests.benchmarks.shop_worlds`; odd seeds to look, even ones to report. Yearly
changes: of the rope, of the control blade against fresh blades. Worth the next rope: the book of
four studies names comparisons with the chance that one more study settles each; that study is
then made, and the book of five is asked whether the two are apart.
"""

import argparse

import numpy as np

from edgetest.study.shop.shop_book import shop_book
from tests.benchmarks.shop_worlds import (
    ARMS,
    HELD_CONTROL,
    KINDS,
    arm_name,
    history_of,
    studied,
)

AT = (3, 4, 6, 12)
BEFORE = 4


def slopes(kind, seed):
    """By number of studies: whether each slope was told, held, and how wide it was."""
    history = history_of(kind, seed)
    truths = {"medium": history.shop.rope_drift, "control": -history.shop.control_loss}
    rows = {}
    for many in AT:
        for pool in shop_book(history.lives[:many]).to_dict()["pools"]:
            for name, truth in truths.items():
                found = pool["drifts"][name]
                told = [np.nan, np.nan]
                if found:
                    told = [found["low"] <= truth <= found["high"], found["high"] - found["low"]]
                rows.setdefault((many, name), []).append(told)
    return rows


def next_ropes(kind, seed):
    """Of each comparison named, its place: the chance said, and whether one study settled it."""
    found, arms = [], {arm_name(each): each for each in range(ARMS)}
    for place in range(3):
        history = history_of(kind, seed)
        pools = shop_book(history.lives[:BEFORE]).pools
        pool = max(pools, key=lambda each: len(each.studies))
        if place >= len(pool.next_studies):
            break
        asked = pool.next_studies[place]
        pair = [asked.first, asked.second]
        del history.lives[BEFORE:]
        studied(history, BEFORE, [], np.random.default_rng((9, seed, place)),
                [arms[name] for name in pair if name != HELD_CONTROL])  # fmt: skip
        after = [each for pool in shop_book(history.lives).pools for each in
                 (*pool.arms, *pool.pairs) if {each.arm, each.against} == set(pair)]  # fmt: skip
        settled = any(each.ratio.low > 1 or each.ratio.high < 1 for each in after)
        found.append((place, asked.chance_to_settle, settled))
    return found


def main():
    """Print the two tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=("look", "report"), default="look")
    parser.add_argument("--count", type=int, default=60, help="shops of each kind")
    parser.add_argument("--first", type=int, default=0, help="first seed, even: fresh ones")
    asked = parser.parse_args()
    first = asked.first + (asked.half == "look")
    seeds = range(first, asked.first + 2 * asked.count, 2)
    print("| kind | yearly change | " + " | ".join(f"held at {n}" for n in AT)
          + " | told at 4 | told at 12 | width at 12 |")  # fmt: skip
    print("| --- " * (len(AT) + 5) + "|")
    for kind in ("plain", "drifting rope and control", "heavy tails", "no control blade"):
        all_rows = [slopes(kind, seed) for seed in seeds]
        for name in ("medium", "control"):
            by = [np.array([r for rows in all_rows for r in rows[many, name]], float)
                  for many in AT]  # fmt: skip
            if np.isnan(by[-1]).all():
                continue
            held = [f"{100 * np.nanmean(each[:, 0]):.1f}" if not np.isnan(each).all() else "–"
                    for each in by]  # fmt: skip
            told = " | ".join(f"{100 * np.mean(~np.isnan(by[n][:, 0])):.0f}" for n in (1, -1))
            width = f"{100 * np.nanmedian(by[-1][:, 1]):.0f} points"
            print(f"| {kind} | {name} | " + " | ".join(held) + f" | {told} | {width} |")
    print("\n| place | times | settled, said | settled | standard error |")
    print("| --- " * 5 + "|")
    found = [row for kind in KINDS for seed in seeds for row in next_ropes(kind, seed)]
    for place in range(3):
        _, said, settled = np.array([row for row in found if row[0] == place], float).T
        error = np.sqrt(settled.var() / len(settled))
        print(f"| {place + 1} | {len(said)} | {100 * said.mean():.0f} % "
              f"| {100 * settled.mean():.0f} % | {100 * error:.0f} |")  # fmt: skip


if __name__ == "__main__":
    main()
