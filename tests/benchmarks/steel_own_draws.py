"""What is drawn from the tables of steels: a steel, a word, a reading, the chance to be fit?"""

import numpy as np
from scipy.special import ndtr

from edgetest.steel.fit_for_use import EDGE_MM, LEAST_LIFE, LOWEST_TEMPER_C, WANTED_HRC
from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.reading_likelihood import MISREAD_HRC
from edgetest.steel.steel_nodes import (
    EUTECTOID_PCT,
    LEAST_CARBON_PCT,
    MOST_CARBON_PCT,
    PEARLITE_HRC,
    PEARLITE_HRC_PER_PCT,
    SteelNodes,
    quenched_hrc,
    temper_kept,
)
from edgetest.steel.steel_tables import STEELS

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
        true = rng.normal(true, MISREAD_HRC)
    felt = true - bias + rng.normal(0, tables.numbers["reading"]["file"]["u_hrc"])
    low = max((f for f in FILES if f < felt), default=None)
    high = min((f for f in FILES if f >= felt), default=None)
    return low, high


def drawn_log_life(rng, tables, steel):
    """Logarithm of the life of a steel of a kind beside the known blade's."""
    life = tables.numbers["life"][STEELS[steel]]
    return rng.normal(np.log(life["ratio"]), life["spread"])


def fit_chance(tables, node, steel, use, log_life):
    """Chance that a blade of a steel whose life is known, rightly treated, serves the use."""
    best = max(quenched_hrc(node, tables, medium, EDGE_MM)[0] for medium in ("oil", "water"))
    kept, wide = temper_kept(tables, LOWEST_TEMPER_C, 1.0)
    name = STEELS[steel]
    sd = np.hypot(tables.numbers["steels"][name]["spread_hrc"], wide[steel] / 2)
    reach = ndtr((best * kept[steel] - WANTED_HRC[use][0]) / sd)
    forge, tough = tables.numbers["forge"][name]["chance"], tables.numbers["tough"][name][use]
    return float(reach * forge * tough * (log_life >= np.log(LEAST_LIFE)))
