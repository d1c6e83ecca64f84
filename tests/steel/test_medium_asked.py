"""Which medium a heat that is made again asks for, and what is minded in it."""

import pytest

from edgetest.steel.medium_asked import medium_again, minded_in
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_cautions import FIRE, QUENCH_FIRE, STEAM, TEMPERING
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import SOFT, files, heat, seen, temper


@pytest.mark.parametrize(
    ("medium", "way", "others", "asked"),
    [
        ("water", "slower_quench", (), "oil"),
        ("brine", "slower_quench", ("water",), "oil"),
        ("warm_water", "slower_quench", ("oil",), "oil"),
        ("water", "slower_quench", ("oil",), "warm_water"),
        ("oil", "slower_quench", ("oil",), "air"),
        ("air", "slower_quench", (), "air"),
        ("oil", "faster_quench", ("oil",), "warm_water"),
        ("water", "hotter", (), "water"),
        (None, "repeat", (), "oil"),
    ],
)
def test_oil_is_asked_for_before_a_slower_water(medium, way, others, asked):
    base = heat(medium=medium)
    own = (base, *(heat(medium=one, coupon=one) for one in others))
    assert medium_again(base, way, own) == asked


@pytest.mark.parametrize(
    ("oil_c", "asked"), [(815.0, "oil"), (830.0, "oil"), (None, "oil"), (845.0, "warm_water")]
)
def test_a_hotter_heat_is_tried_in_oil_before_it_is_in_water(oil_c, asked):
    base = heat(SOFT, coupon="w", medium="warm_water", heat_c=815.0)
    assert medium_again(base, "hotter", (heat(SOFT, heat_c=oil_c), base)) == asked
    assert medium_again(base, "repeat", (heat(SOFT, heat_c=oil_c), base)) == "warm_water"
    assert medium_again(base, "hotter", (base,)) == "warm_water"


def test_what_is_minded_is_of_the_medium_of_the_step():
    both = (FIRE, QUENCH_FIRE, STEAM, TEMPERING)
    assert minded_in(both, "oil") == (FIRE, QUENCH_FIRE, TEMPERING)
    assert minded_in(both, "brine") == (FIRE, STEAM, TEMPERING)
    assert minded_in((FIRE, QUENCH_FIRE), "water") == (FIRE, STEAM)
    assert minded_in(both, "air") == (FIRE, TEMPERING)
    assert minded_in((TEMPERING,), "oil") == (TEMPERING,)


def test_a_hotter_quench_in_oil_warns_of_its_fire_and_of_no_steam():
    tables = load_steel_tables()
    for medium, minded, other in (("oil", QUENCH_FIRE, STEAM), ("water", STEAM, QUENCH_FIRE)):
        cold = heat(SOFT, medium=medium, magnet="holds", grain="fine")
        what = seen(cold, magnet="strong", sparks="like_high", coating="none", lead="no")
        found = decide(what, weigh_steel(what, tables), tables, SteelLosses())
        assert found.way == "hotter"
        assert minded in found.cautions
        assert other not in found.cautions


def test_a_crack_in_water_asks_for_oil_and_warns_of_its_fire():
    tables = load_steel_tables()
    bad = heat(files(60, 65, "below"), medium="water", grain="fine", cracked=1)
    what = seen(bad, magnet="strong", sparks="like_high", coating="none", lead="no")
    found = decide(what, weigh_steel(what, tables), tables, SteelLosses())
    assert found.way == "slower_quench"
    assert QUENCH_FIRE in found.cautions
    assert STEAM not in found.cautions


@pytest.mark.parametrize(
    ("medium", "minded", "others"),
    [("oil", QUENCH_FIRE, (STEAM,)), ("water", STEAM, (QUENCH_FIRE,)),
     ("air", FIRE, (QUENCH_FIRE, STEAM)), (None, QUENCH_FIRE, (STEAM,))],
)  # fmt: skip
def test_a_blade_is_warned_of_the_quench_that_its_coupon_came_out_hard_from(medium, minded, others):
    tables = load_steel_tables()
    tempers = tuple(temper(files(55, 60, "below"), at) for at in (175, 205, 230))
    good = heat(files(60, 65, "below"), medium=medium, grain="fine", tempers=tempers)
    tough = TrialSeen("A", "brass_rod", edge="sound", heat=("1", 1))
    what = seen(
        good, trials=(tough,), use="chopper", magnet="strong", sparks="like_high", coating="none",
        lead="no",
    )  # fmt: skip
    found = decide(what, weigh_steel(what, tables), tables, SteelLosses())
    assert found.way == "trial_blade"
    for cautions in (found.cautions, found.next_test.cautions):
        assert minded in cautions
        assert not set(others) & set(cautions)
