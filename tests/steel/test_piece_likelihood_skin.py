"""How likely is a reading of the skin, which may have lost its carbon?"""

import numpy as np
from numpy.testing import assert_allclose

from edgetest.steel.piece_likelihood import heat_chances
from edgetest.steel.reading_likelihood import reading_likelihood
from edgetest.steel.steel_nodes import CASED, done_hrc, quenched_hrc, steel_nodes
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)
MEAN, SD = done_hrc(NODES, TABLES, quenched_hrc(NODES, TABLES, "oil", None))
PLAIN = NODES.steel != CASED  # nothing cased: its skin is as hard as its inside


def read(*readings):
    """Likelihood of the readings alone, shape (done, nodes, biases)."""
    bare = heat_chances(heat(), (), NODES, TABLES).by_done
    return (heat_chances(heat(*readings), (), NODES, TABLES).by_done / bare)[..., 0][:, PLAIN]


def of(one, mean, sd):
    return reading_likelihood((one,), mean, sd, TABLES)[:, PLAIN]


def on_skin(one):
    skin = TABLES.row("skin", "decarburised")
    softer = of(one, np.maximum(MEAN - skin["softer_hrc"], 10), np.hypot(SD, skin["spread_hrc"]))
    return (1 - skin["chance"]) * of(one, MEAN, SD) + skin["chance"] * softer


def test_a_skin_is_as_hard_as_the_inside_or_has_lost_its_carbon():
    one = files(50, 55, "skin")
    assert_allclose(read(one), on_skin(one))


def test_below_the_skin_it_is_the_inside():
    one = files(50, 55, "below")
    assert_allclose(read(one), of(one, MEAN, SD))


def test_with_no_place_told_it_is_either():
    one = files(50, 55)
    share = TABLES.row("skin", "not_stated")["of_skin"]
    assert_allclose(read(one), share * on_skin(one) + (1 - share) * of(one, MEAN, SD))
