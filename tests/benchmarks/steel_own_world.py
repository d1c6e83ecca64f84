"""Is the chance of a fit piece a true one in the very world that the tables describe?

Pieces are drawn from the tables (steel by origin, carbon, hardenability, what was done in the
heat, skin, one bias of the file set), seen as a maker sees them, and weighed. Prints the table
of the guide chapter on mystery steel, worst first:

    python tests/benchmarks/steel_own_world.py --count 4000
"""

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from edgetest.steel.fit_for_use import EDGE_MM, LEAST_LIFE, LOWEST_TEMPER_C, WANTED_HRC
from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.steel_nodes import (
    CASED,
    DONE,
    EUTECTOID_PCT,
    LEAST_CARBON_PCT,
    MOST_CARBON_PCT,
    PEARLITE_HRC,
    PEARLITE_HRC_PER_PCT,
    SteelNodes,
    done_chances,
    done_hrc,
    quenched_hrc,
    temper_kept,
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
from tests.benchmarks.steel_calibration import calibration

FILES = (40, 45, 50, 55, 60, 65)


def one_node(rng, tables, steel):
    """A steel of a kind with its own carbon and hardenability."""
    row = tables.numbers["steels"][STEELS[steel]]
    carbon = np.clip(
        rng.normal(row["carbon_pct"], row["carbon_sd_pct"]), LEAST_CARBON_PCT, MOST_CARBON_PCT
    )
    depth = rng.choice([0.55, 1.0, 1.8], p=[0.3, 0.4, 0.3])
    soft = PEARLITE_HRC + PEARLITE_HRC_PER_PCT * min(carbon, EUTECTOID_PCT) - row["less_hrc"] / 2
    full, half = (as_quenched_hrc(carbon, share) - row["less_hrc"] for share in (1.0, 0.5))
    each = (carbon, row["oil_mm"] * depth, 1.0, full, half, soft)
    return SteelNodes(np.array([steel]), *(np.array([value]) for value in each))


def word(rng, tables, section, steel, words):
    """A word drawn from a row of weights."""
    chances = tables.chances(section, STEELS[steel])
    p = np.array([chances[one] for one in words])
    return words[rng.choice(len(words), p=p / p.sum())]


def bracket(rng, tables, true, bias):
    """Which files bite and which skate."""
    if rng.random() < tables.numbers["reading"]["wrong"]["chance"]:
        true = rng.uniform(20, 70)
    felt = true - bias + rng.normal(0, tables.numbers["reading"]["file"]["u_hrc"])
    low = max((f for f in FILES if f < felt), default=None)
    high = min((f for f in FILES if f >= felt), default=None)
    return low, high


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
    best = max(quenched_hrc(node, tables, medium, EDGE_MM)[0] for medium in ("oil", "water"))
    kept, wide = temper_kept(tables, LOWEST_TEMPER_C, 1.0)
    name = STEELS[steel]
    sd = np.hypot(tables.numbers["steels"][name]["spread_hrc"], wide[steel] / 2)
    life = tables.numbers["life"][name]
    return (
        rng.normal(best * kept[steel], sd) >= WANTED_HRC[use][0]
        and rng.random() < tables.numbers["forge"][name]["chance"]
        and rng.random() < tables.numbers["tough"][name][use]
        and rng.normal(np.log(life["ratio"]), life["spread"]) >= np.log(LEAST_LIFE)
    )


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


if __name__ == "__main__":
    main()
