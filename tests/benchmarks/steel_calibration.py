"""Is the verdict's chance of a fit piece a true one, and does following it save hours?

Run:  python -m tests.benchmarks.steel_calibration [world ...]
          --count 40000    pieces a world (4000 takes about half a minute a world)
          --lots 300       lots a world and size that are followed to the end
          --seed 3         even to choose by, odd to report by
          --bins           the ten bins of every world as well
          --by story       the error by story, origin, use or explanation
          --thumb          lots follow a smith's plain rule instead, to see what is to be had
          --blank          lots begin with nothing but a look at the sparks
          --heap 20        the shop has settled so many pieces of the heap before, and wrote them
                           down as its own pieces (origin, fit or unfit), drawn anew for each piece

Printed as Markdown, worst world first. Calibration error: mean over ten bins of equal count of
|mean chance claimed - share truly fit|; "one blade" is the error where the truth is one blade
with its own luck (scatter 0.1 to 0.25 from blade to blade) instead of the median blade.
Hours of a lot: each test its hours, a trial blade 8 h, known steel 2 h a blade, an unfit blade
8 h and its known steel; the program's own advice is followed for at most six steps. Goals:
error at most 0.05 in each world; for 40 blades no more hours than leaving all.
"""

import argparse
import os
from collections import Counter
from dataclasses import dataclass, replace
from functools import cache

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tests.benchmarks.steel_worlds.advice import (
    BLADE_HOURS,
    KNOWN_STEEL_HOURS,
    follow,
    lot_costs,
    rule_of_thumb,
)
from tests.benchmarks.steel_worlds.salvage import WORLDS, case

BINS = 10
MOST_ERROR = 0.05
LOT_SIZES = (40, 4)
FEWEST_OF_A_GROUP = 100
SETTLED, SETTLED_SEED = 2000, 1000  # settled pieces to draw from; their seed is so much higher


@cache
def _mind():
    """What weighs the evidence, and its tables; imported when first asked."""
    from edgetest.steel.weigh_steel import weigh_steel
    from edgetest.study.steel.steel_tables_file import load_steel_tables

    tables = load_steel_tables()
    return lambda seen: weigh_steel(seen, tables, piece=seen.pieces[0].id), tables


def chance_of(seen, own=()):
    """The chance claimed that the first piece is fit for the use, after some pieces settled."""
    from edgetest.steel.weigh_steel import weigh_steel

    tables = replace(_mind()[1], own=own)
    return weigh_steel(seen, tables, piece=seen.pieces[0].id).chance_fit


@cache
def _settled(world, seed):
    """Pieces of the world whose truth is known, of a seed that neither chooses nor reports."""
    from edgetest.steel.own_pieces import FIT, UNFIT, OwnPieces

    cases = (case(world, seed + SETTLED_SEED, number) for number in range(SETTLED))
    return [OwnPieces(c.seen.pieces[0].origin, FIT if c.fit else UNFIT) for c in cases]


def record_of(world, seed, number, pieces):
    """So many settled pieces of the heap, drawn anew for each case."""
    if not pieces:
        return ()
    known = _settled(world, seed)
    drawn = np.random.default_rng([seed, number]).choice(len(known), pieces, replace=False)
    return tuple(known[i] for i in drawn)


def judge(seen):
    """The chance claimed that the first piece is fit, and the decision."""
    from edgetest.steel.steel_actions import SteelLosses, decide

    weigh, tables = _mind()
    belief = weigh(seen)
    losses = SteelLosses(blade_hours=BLADE_HOURS, known_steel_hours=KNOWN_STEEL_HOURS)
    return belief.chance_fit, decide(seen, belief, tables, losses)


@dataclass(frozen=True)
class Calibration:
    """Claims against the truth of one world."""

    claimed: np.ndarray  # mean of each bin
    true: np.ndarray  # share truly fit in each bin
    counts: np.ndarray

    @property
    def error(self):
        """Mean over the bins of |claimed - true|."""
        return float(np.mean(np.abs(self.claimed - self.true)))


def calibration(chances, fits, bins=BINS):
    """Claims sorted into bins of equal count; ties are split at random but always alike.

    Parameters
    ----------
    chances, fits
        (n,) chance claimed, and whether the piece is truly fit.
    """
    chances, fits = np.asarray(chances, float), np.asarray(fits, float)
    shuffled = np.random.default_rng(0).permutation(chances.size)
    order = shuffled[np.argsort(chances[shuffled], kind="stable")]
    parts = np.array_split(order, bins)
    return Calibration(
        np.array([chances[p].mean() for p in parts]),
        np.array([fits[p].mean() for p in parts]),
        np.array([p.size for p in parts]),
    )


@dataclass(frozen=True)
class Claims:
    """What was claimed of the pieces of one world, and what is true."""

    world: str
    chances: np.ndarray
    fits: np.ndarray
    blade_fits: np.ndarray  # of one blade, with the luck of a blade
    groups: list[str]
    silent: int  # pieces of which nothing was claimed


def claims_of(world, count, seed, by=None, heap=0):
    """Ask the program about `count` pieces of a world, `heap` of which were settled before."""
    chances, fits, blades, groups, silent = [], [], [], [], 0
    for number in range(count):
        made = case(world, seed, number)
        chance = chance_of(made.seen, record_of(world, seed, number, heap))
        if chance is None:
            silent += 1
            continue
        chances.append(chance)
        fits.append(made.fit)
        blades.append(made.blade_fit)
        groups.append(group_of(made, by))
    return Claims(world, *map(np.array, (chances, fits, blades)), groups, silent)


def group_of(made, by):
    """The group that a piece belongs to in the second table."""
    return {
        None: "",
        "story": made.story,
        "use": made.seen.use,
        "origin": made.seen.pieces[0].origin,
        "explanation": made.explanation,
        "steel": made.piece.steel.name,
    }[by]


def print_claims(all_claims, show_bins):
    """The table of errors, worst first, and the bins."""
    rows = sorted(
        ((calibration(c.chances, c.fits), c) for c in all_claims), key=lambda row: -row[0].error
    )
    print("| world | pieces | truly fit | claimed | error | goal 0.05 | one blade | silent |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for found, c in rows:
        met = "met" if found.error <= MOST_ERROR else "missed"
        print(
            f"| {c.world} | {c.fits.size} | {c.fits.mean():.2f} | {c.chances.mean():.2f} "
            f"| {found.error:.3f} | {met} "
            f"| {calibration(c.chances, c.blade_fits).error:.3f} | {c.silent} |"
        )
    for found, c in rows if show_bins else ():
        print(f"\n{c.world}: claimed, true")
        for claimed, true, count in zip(found.claimed, found.true, found.counts, strict=True):
            print(f"  {claimed:.2f}  {true:.2f}  ({count})")


def print_groups(all_claims):
    """Claimed against true by group, the farthest off first."""
    chances = np.concatenate([c.chances for c in all_claims])
    fits = np.concatenate([c.fits for c in all_claims])
    groups = np.array([g for c in all_claims for g in c.groups])
    rows = []
    for group in np.unique(groups):
        of = groups == group
        if of.sum() >= FEWEST_OF_A_GROUP:
            error = calibration(chances[of], fits[of]).error
            rows.append((error, group, of.sum(), chances[of].mean(), fits[of].mean()))
    print("\n| group | pieces | claimed | truly fit | error |\n| --- | --- | --- | --- | --- |")
    for error, group, count, claimed, true in sorted(rows, reverse=True):
        print(f"| {group} | {count} | {claimed:.2f} | {true:.2f} | {error:.3f} |")


@dataclass(frozen=True)
class Hours:
    """Mean hours of the lots of one world and size."""

    world: str
    size: int
    advice: float
    tests: float
    leave: float
    use: float
    best: float  # of one who knows each lot: the cheaper of leaving and using all
    se: float  # standard error of advice less leaving
    ends: Counter
    steps: Counter


def hours_of(world, size, lots, asked):
    """Follow the advice for many lots of one size of a world."""
    cases = (case(world, asked.seed, number, blank=asked.blank) for number in range(lots))
    return hours_over(world, size, cases, rule_of_thumb if asked.thumb else judge)


def hours_over(name, size, cases, mind=judge):
    """Follow the advice for each of some lots of one size."""
    rows, ends, steps = [], Counter(), Counter()
    for made in cases:
        leave, use = lot_costs(made.lot_fit, size)
        went = follow(made, size, mind)
        rows.append((went.hours, went.test_hours, leave, use, min(leave, use)))
        ends[went.end] += 1
        steps.update(went.steps)
    means = np.mean(rows, axis=0)
    se = np.std([r[0] - r[2] for r in rows]) / np.sqrt(len(rows))
    return Hours(name, size, *means, se, ends, steps)


def print_hours(all_hours):
    """The table of hours, the worst world first."""
    print("\n| blades | world | advice | of it tests | leave all | use all | knowing all | ends |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for h in sorted(all_hours, key=lambda h: (-h.size, h.leave - h.advice)):
        ends = ", ".join(f"{word} {n}" for word, n in h.ends.most_common())
        print(
            f"| {h.size} | {h.world} | {h.advice:.1f} ± {2 * h.se:.1f} | {h.tests:.1f} "
            f"| {h.leave:.1f} | {h.use:.1f} | {h.best:.1f} | {ends} |"
        )
    steps = sum((h.steps for h in all_hours), Counter())
    print("\nsteps: " + ", ".join(f"{word} {n}" for word, n in steps.most_common()))


def main():
    """Print both tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("worlds", nargs="*", default=list(WORLDS))
    parser.add_argument("--count", type=int, default=40000)
    parser.add_argument("--lots", type=int, default=300)
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--bins", action="store_true")
    parser.add_argument("--by", choices=("story", "use", "origin", "explanation", "steel"))
    parser.add_argument("--heap", type=int, default=0)
    parser.add_argument("--thumb", action="store_true")
    parser.add_argument("--blank", action="store_true")
    asked = parser.parse_args()
    if asked.count:
        claims = [claims_of(w, asked.count, asked.seed, asked.by, asked.heap) for w in asked.worlds]
        print_claims(claims, asked.bins)
        if asked.by:
            print_groups(claims)
    if asked.lots:
        sizes = [(w, size) for w in asked.worlds for size in LOT_SIZES]
        print_hours([hours_of(w, s, asked.lots, asked) for w, s in sizes])


if __name__ == "__main__":
    main()
