"""Is the chance of a fit piece a true one in the very world that the tables describe?

Pieces are drawn from the tables (steel by origin, carbon, hardenability, what was done in the
heat, skin, one bias of the file set), seen as a maker sees them, and weighed. Prints the table
of the guide chapter on mystery steel, worst first:

    python -m tests.benchmarks.steel_own_world --count 4000 --lots 150

With `--lots`, below it: the hours of lots of alike pieces under the program's own advice. A lot
begins with its origin, a magnet and the sparks; each heat, file, break, temper, blade is drawn
by the tables when the advice asks for it, at the hours of `steel_worlds/advice.py`.
"""

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from edgetest.steel.steel_nodes import (
    CASED,
    DONE,
    done_chances,
    done_hrc,
    quenched_hrc,
)
from edgetest.steel.steel_seen import (
    GRAINS,
    MAGNETS,
    ORIGINS,
    SPARKS,
    STREAMS,
    USES,
    HardnessSeen,
    HeatSeen,
    PieceSeen,
    SteelSeen,
)
from edgetest.steel.steel_tables import STEELS
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.benchmarks.steel_calibration import LOT_SIZES, calibration, hours_over, print_hours
from tests.benchmarks.steel_own_bench import own_lot
from tests.benchmarks.steel_own_draws import bracket, drawn_log_life, fit_chance, one_node, word


def heat(rng, tables, node, steel, bias):
    """One heat of a coupon, with its reading."""
    medium = str(rng.choice(["oil", "water"]))
    section = float(rng.choice([3.0, 5.0, 8.0]))
    told = HeatSeen("A", medium=medium, section_mm=section, colour="bright_cherry")
    chances = done_chances(told, tables)[:, steel]
    done = rng.choice(len(DONE), p=chances)
    mean, sd = done_hrc(node, tables, quenched_hrc(node, tables, medium, section))
    true, where = rng.normal(mean[done, 0], sd[done, 0]), str(rng.choice(["skin", "below"]))
    skin, case = tables.numbers["skin"]["decarburised"], tables.numbers["skin"]["case"]
    cased = steel == CASED and DONE[done] != "too_cold"
    if where == "skin" and rng.random() < skin["chance"]:
        true = max(true - skin["softer_hrc"], 10.0) + rng.normal(0, skin["spread_hrc"])
    elif cased and (where == "skin" or rng.random() < case["deeper"]):
        true = rng.normal(case["hrc"], case["spread_hrc"])
    grains = tables.chances("grain", DONE[done])
    p = np.array([grains[one] for one in GRAINS])
    seen = HardnessSeen(*bracket(rng, tables, true, bias), where)
    grain = GRAINS[rng.choice(3, p=p / p.sum())]
    return HeatSeen(
        "A", medium=medium, section_mm=section, colour="bright_cherry", hardness=(seen,),
        grain=grain,
    )  # fmt: skip


def fit(rng, tables, node, steel, use):
    """Whether a blade of it, rightly treated, serves the use."""
    log_life = drawn_log_life(rng, tables, steel)
    return rng.random() < fit_chance(tables, node, steel, use, log_life)


def piece(rng, tables):
    """What was seen of a piece, and whether it is fit."""
    origin, use = str(rng.choice(ORIGINS)), str(rng.choice(USES))
    steel = rng.choice(len(STEELS), p=tables.prior(origin))
    node = one_node(rng, tables, steel)
    bias = rng.normal(0, tables.numbers["reading"]["shared"]["u_hrc"])
    found = PieceSeen(
        "A",
        origin=origin,
        magnet=word(rng, tables, "magnet", steel, MAGNETS),
        sparks=word(rng, tables, "sparks", steel, SPARKS) if rng.random() < 0.7 else None,
    )
    if found.sparks is None:
        stream = word(rng, tables, "stream", steel, STREAMS)
        found = PieceSeen("A", origin=origin, magnet=found.magnet, stream=stream)
    heats = (heat(rng, tables, node, steel, bias),) if rng.random() < 0.7 else ()
    return SteelSeen(use, (found,), heats), fit(rng, tables, node, steel, use)


def main():
    """Print claimed against true."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=4000)
    parser.add_argument("--lots", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    tables, rng = load_steel_tables(), np.random.default_rng(asked.seed)
    drawn = [piece(rng, tables) for _ in range(asked.count)]
    found = calibration(
        [weigh_steel(seen, tables).chance_fit for seen, _ in drawn], [is_fit for _, is_fit in drawn]
    )
    print(f"{asked.count} pieces: calibration error {found.error:.3f}")
    print("| claimed | truly fit | pieces |\n| --- | --- | --- |")
    for claimed, true, count in zip(found.claimed, found.true, found.counts, strict=True):
        print(f"| {claimed:.2f} | {true:.2f} | {count} |")
    if asked.lots:
        print_hours([lots_of(tables, size, asked) for size in LOT_SIZES])


def lots_of(tables, size, asked):
    """Hours of lots of one size; the same lots for every size."""
    cases = (own_lot(tables, size, asked.seed, number) for number in range(asked.lots))
    return hours_over("the tables' own", size, cases)


if __name__ == "__main__":
    main()
