"""How hard a steel comes out: half martensite at its plate, faults of a heat, tempers by table."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from edgetest.steel.steel_nodes import (
    A1_C,
    ALLOYED,
    DONE,
    done_chances,
    done_hrc,
    heat_of,
    quenched_hrc,
    steel_nodes,
    temper_kept,
)
from edgetest.steel.steel_tables import STEELS
from edgetest.steel.temper import tempering_parameter
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import heat

TABLES = load_steel_tables()
NODES = steel_nodes(TABLES)


def test_a_steel_s_nodes_have_its_mean_carbon_and_weigh_one():
    for k, name in enumerate(STEELS):
        own = NODES.steel == k
        assert NODES.weight[own].sum() == pytest.approx(1.0)
        middle = TABLES.of_steels("steels", "carbon_pct")[k]
        if 0.2 < middle < 1.0:
            assert NODES.weight[own] @ NODES.carbon_pct[own] == pytest.approx(middle, rel=0.02)
        assert NODES.spread(np.arange(len(STEELS)))[own].tolist() == [k] * own.sum(), name
        plate = TABLES.of_steels("steels", "oil_mm")[k]  # the geometric middle of its lots
        middle = np.exp(NODES.weight[own] @ np.log(NODES.oil_mm[own]))
        assert middle == pytest.approx(plate, rel=0.02)
        assert NODES.oil_mm[own].max() / NODES.oil_mm[own].min() == pytest.approx(3.3, rel=0.02)


def test_a_plate_of_the_critical_thickness_is_half_martensite_in_its_middle():
    """Grossmann's definition; half as thick a plate has 8/9 of it, twice as thick 1/9."""
    for times, share in ((1.0, 1 / 2), (0.5, 8 / 9), (2.0, 1 / 9)):
        for i in (0, 20, 60):
            found = quenched_hrc(NODES, TABLES, "oil", times * NODES.oil_mm[i])[i]
            full, half, soft = NODES.full_hrc[i], NODES.half_hrc[i], NODES.soft_hrc[i]
            upper = half + (2 * share - 1) * (full - half)
            expected = upper if share >= 0.5 else soft + 2 * share * (half - soft)
            assert found == pytest.approx(expected)
    water = TABLES.row("quench", "water")["times_oil"]
    assert_allclose(
        quenched_hrc(NODES, TABLES, "water", 5.0 * water), quenched_hrc(NODES, TABLES, "oil", 5.0)
    )
    assert_allclose(
        quenched_hrc(NODES, TABLES, None, None), quenched_hrc(NODES, TABLES, "oil", 5.0)
    )
    air = NODES.spread(TABLES.of_steels("steels", "air_share"))
    slow = quenched_hrc(NODES, TABLES, "air", 5.0)
    for i in (0, 33, 70):
        assert slow[i] == pytest.approx(quenched_hrc(NODES, TABLES, "oil", 5.0 / air[i])[i])


def test_no_fault_of_a_heat_takes_it_below_the_unhardened_steel():
    full = quenched_hrc(NODES, TABLES, "oil", 5.0)
    mean, sd = done_hrc(NODES, TABLES, full)
    assert_allclose(mean[DONE.index("right")], full)
    assert (mean >= np.minimum(full, NODES.soft_hrc) - 1e-9).all()
    spread = NODES.spread(TABLES.of_steels("steels", "spread_hrc"))
    assert_allclose(sd[0], spread)
    for i, done in enumerate(DONE[1:], 1):
        row = TABLES.row("done", done)
        assert_allclose(sd[i], np.hypot(spread, row.get("spread_hrc", 0.0)))
        if "share_left" in row:
            room = np.maximum(full - NODES.soft_hrc, 0)
            assert_allclose(mean[i], NODES.soft_hrc + row["share_left"] * room)
        else:
            room = np.maximum(full - NODES.soft_hrc, 0)
            assert_allclose(mean[i], full - np.minimum(row["less_hrc"], room))


@pytest.mark.parametrize(
    ("seen", "row", "at"),
    [
        ({"heat_c": 800.0}, "instrument", 800.0),
        ({"heat_c": 700.0, "magnet": "lets_go"}, "instrument", 768.0),
        ({"heat_c": 800.0, "magnet": "lets_go"}, "instrument", 800.0),
        ({"colour": "cherry"}, "cherry", None),
        ({"colour": "cherry", "magnet": "holds"}, "holds", None),
        ({"heat_c": 800.0, "magnet": "holds"}, "holds", None),
        ({}, "not_told", None),
    ],
)
def test_the_heat_is_the_instrument_s_the_magnet_s_or_the_eye_s(seen, row, at):
    """Iron loses its pull at 768 °C (textbook): who saw that was no colder."""
    found, u = heat_of(heat(**seen), TABLES)
    told = TABLES.row("heat", row)
    assert u == told["spread_c"]
    assert found == pytest.approx(A1_C + told["above_c"] if at is None else at)


@pytest.mark.parametrize(("minutes", "row"), [
    (None, "not_told"), (1.9, "under_2"), (2.0, "under_5"), (4.9, "under_5"), (5.0, "from_5"),
])  # fmt: skip
def test_what_was_done_is_the_heat_against_the_window_and_the_soak(minutes, row):
    seen = heat(heat_c=800.0, soak_min=minutes)
    u = np.hypot(
        TABLES.row("heat", "instrument")["spread_c"], TABLES.row("heat", "steels")["spread_c"]
    )
    cold = norm.cdf((727.0 + TABLES.of_steels("steels", "hardens_above_c") - 800.0) / u)
    hot = norm.cdf((800.0 - 727.0 - TABLES.of_steels("steels", "coarsens_above_c")) / u)
    soak = TABLES.row("short", row)
    short = np.where(ALLOYED, soak["alloy"], soak["plain"])
    rest = np.maximum(1 - cold - hot, 1e-6)
    expected = np.array([rest * (1 - short), cold, hot, rest * short])
    found = done_chances(seen, TABLES)
    assert_allclose(found, expected / expected.sum(axis=0))
    assert_allclose(found.sum(axis=0), 1.0)


def test_one_hour_at_a_tabled_temper_leaves_what_the_table_says():
    row = TABLES.row("temper", "plain")
    k = STEELS.index("plain_high")
    for word in (word for word in row if word.startswith("at_")):
        kept, spread = temper_kept(TABLES, float(word.removeprefix("at_")), 1.0)
        assert kept[k] == pytest.approx(1 - row[word])
        assert spread[k] == row["spread_hrc"]
    # Twice as long counts as hotter by the parameter of Hollomon and Jaffe.
    longer = temper_kept(TABLES, 200.0, 2.0)[0][k]
    hotter = next(
        c for c in np.arange(200, 240, 0.01)
        if tempering_parameter(c, 1.0) >= tempering_parameter(200.0, 2.0)
    )  # fmt: skip
    assert longer == pytest.approx(temper_kept(TABLES, hotter, 1.0)[0][k], abs=1e-4)
    assert temper_kept(TABLES, 20.0, 1.0)[0][k] == pytest.approx(1.0)
