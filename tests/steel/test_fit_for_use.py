"""Would a steel serve a use: the chance of every node by the product of what it takes."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from edgetest.steel.fit_for_use import WANTED_HRC, fitness, kept_back, wanted_hrc
from edgetest.steel.steel_nodes import quenched_hrc, steel_nodes, temper_kept
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_tables import STEELS
from edgetest.study.steel.steel_tables_file import load_steel_tables

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)


@pytest.mark.parametrize("use", ["knife", "chopper", "chisel", None])
def test_it_must_harden_forge_hold_and_last(use):
    """Normal chance to reach the wanted hardness, times forging, toughness and life."""
    found = fitness(SteelSeen(use), None, NODES, TABLES)
    best = np.maximum(
        quenched_hrc(NODES, TABLES, "oil", 4.0), quenched_hrc(NODES, TABLES, "water", 4.0)
    )
    kept, wide = temper_kept(TABLES, 150.0, 1.0)
    low = {"knife": 57, "chopper": 55, "chisel": 57, None: 57}[use]
    for i in range(0, NODES.steel.size, 7):
        k = NODES.steel[i]
        sd = np.hypot(TABLES.of_steels("steels", "spread_hrc")[k], wide[k] / 2)
        reach, light = (norm.cdf((best[i] * kept[k] - x) / sd) for x in (low, low - 5))
        forge = TABLES.of_steels("forge", "chance")[k]
        tough = TABLES.of_steels("tough", use or "chopper")[k]
        ratio, spread = (TABLES.of_steels("life", word)[k] for word in ("ratio", "spread"))
        lives = norm.cdf(np.log(ratio / 0.8) / spread)
        assert_allclose(found[:, i], [reach * forge * tough * lives, light * forge * tough])


def test_the_wanted_hardness_is_the_stated_one_before_the_use_s():
    assert wanted_hrc(SteelSeen("chopper")) == WANTED_HRC["chopper"] == (55, 61)
    assert wanted_hrc(SteelSeen("hedging_tool")) == (52, 59)
    assert wanted_hrc(SteelSeen("knife")) == wanted_hrc(SteelSeen("chisel")) == (57, 63)
    assert wanted_hrc(SteelSeen()) == (57, 62)
    assert wanted_hrc(SteelSeen("knife", wanted_hrc=(60, 62))) == (60, 62)


def test_plain_high_carbon_serves_a_knife_and_plain_low_never():
    knife, _ = fitness(SteelSeen("knife"), None, NODES, TABLES)

    def chance(name):
        own = NODES.steel == STEELS.index(name)
        return float(NODES.weight[own] @ knife[own])

    assert chance("plain_high") > 0.6
    assert chance("plain_low") < 0.01
    assert chance("wrought_iron") < 0.01


def test_something_is_kept_back_on_both_sides_alike():
    assert [kept_back(p) for p in (0.0, 0.5, 1.0)] == pytest.approx([0.01, 0.5, 0.99])
