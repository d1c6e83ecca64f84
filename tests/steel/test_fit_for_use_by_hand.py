"""What lives were seen moves whether a steel is fit?"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.steel.fit_for_use import LEAST_LIFE, fitness
from edgetest.steel.piece_likelihood import LIFE_W, LIFE_Z
from edgetest.steel.steel_nodes import steel_nodes
from edgetest.steel.steel_seen import SteelSeen
from edgetest.study.steel.steel_tables_file import load_steel_tables

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)
BARE = fitness(SteelSeen("knife"), None, NODES, TABLES)[0]


@pytest.mark.parametrize("place", [0, 4, 8])
def test_a_life_that_was_seen_takes_the_place_of_the_table_s(place):
    nodes = NODES.steel.size
    post = np.zeros((nodes, 5, LIFE_Z.size))
    post[1:, 2, place] = 1 / nodes  # the first node was ruled out
    found = fitness(SteelSeen("knife"), post, NODES, TABLES)[0]
    ratio, spread = (NODES.spread(TABLES.of_steels("life", word)) for word in ("ratio", "spread"))
    prior = ndtr(np.log(ratio / LEAST_LIFE) / spread)
    seen = ndtr((np.log(ratio / LEAST_LIFE) + spread * LIFE_Z[place]) / (0.3 * spread))
    assert found[0] == pytest.approx(BARE[0])
    some = BARE[1:] > 1e-9
    assert_allclose((found[1:] / BARE[1:])[some], (seen / prior)[1:][some])


def test_lives_that_nobody_saw_leave_it():
    post = np.full((NODES.steel.size, 1, 1), 1 / NODES.steel.size)
    assert_allclose(fitness(SteelSeen("knife"), post, NODES, TABLES)[0], BARE)
    assert LIFE_W.size == LIFE_Z.size
