"""Steel that is soft from each quench is told by the carbon that reads so, and by no more."""

import pytest

from edgetest.steel.soft_untold import soft_untold, too_little
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, number, seen

TABLES = load_steel_tables()


def test_the_laboratory_is_asked_with_the_carbon_that_the_hardest_coupon_stands_for():
    """Full martensite of 0.26 % carbon is some 48 HRC by the relation of ASTM A255."""
    treated = {"magnet": "lets_go", "soak_min": 6.0, "grain": "fine", "section_mm": 6.0}
    what = seen(
        heat(files(40, 45, "below"), heat_c=850.0, coupon="a", **treated),
        heat(files(45, 50, "below"), heat_c=870.0, coupon="b", **{**treated, "medium": "water"}),
        origin="leaf_spring", sparks="between", magnet="strong", coating="none", lead="no",
    )  # fmt: skip
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert found.action == "laboratory"
    assert found.reasons[0].startswith(
        "Soft in each quench, while the kinds that fit best hold more carbon than that. Steel of "
        "about 0.21 to 0.29 % carbon reads so from a full quench, and no other quench makes it "
        "harder; else none of these quenches was full."
    )


@pytest.mark.parametrize("reading", [files(None, 40, "below"), files(35, 40, "below")])
def test_no_carbon_is_named_of_a_reading_outside_the_relation(reading):
    told = soft_untold([heat(reading)])
    assert "%" not in told
    assert "either none of these quenches was full, or it is of no such kind" in told


def test_one_number_is_named_of_one_reading():
    assert "Steel of about 0.25 % carbon" in soft_untold([heat(number(47.3, "below"))])


# The boron grades of EN 10083-3 hold 0.17 to 0.42 % carbon, those of 27 and 30 in the middle (from
# memory); a full quench of such carbon reads 45 to 50 HRC by the relation of ASTM A255.
BORON = {"magnet": "lets_go", "soak_min": 6.0, "grain": "fine", "section_mm": 5.0}


def boron_disc(**more):
    return seen(
        heat(files(40, 45, "below"), heat_c=850.0, coupon="a", **BORON),
        heat(files(45, 50, "below"), heat_c=870.0, coupon="b", **{**BORON, "medium": "warm_water"}),
        origin="plough_disc", magnet="strong", coating="none", lead="no", **more,
    )  # fmt: skip


@pytest.mark.parametrize("sparks", ["like_low", "between", "fewer_than_low"])
def test_a_disc_that_hardens_as_far_as_little_carbon_can_is_of_little_carbon(sparks):
    what = boron_disc(sparks=sparks)
    belief = weigh_steel(what, TABLES)
    assert max(belief.explanations, key=lambda kind: belief.explanations[kind]) == "low_alloy_low"
    assert belief.chance_fit < 0.05
    found = decide(what, belief, TABLES, SteelLosses())
    assert (found.action, found.family) == ("leave", "case_only")
    assert found.reasons[0].startswith(
        "Hot enough, below the skin, and still soft: steel of about 0.21 to 0.29 % carbon reads so "
        "from a full quench, and no other quench makes it harder. That is too little carbon. Worn "
        "files read soft too: try yours on steel that you know is hard."
    )


def test_the_laboratory_s_figure_and_the_kind_tell_one_tale():
    belief = weigh_steel(boron_disc(carbon_pct=0.26, carbon_u_pct=0.01), TABLES)
    assert belief.families["case_only"] > 0.9


def test_a_reading_below_the_relation_names_no_carbon():
    assert too_little([heat(files(None, 40, "below"))]) == (
        "Hot enough, below the skin, and still soft: too little carbon. Worn files read soft too: "
        "try yours on steel that you know is hard."
    )
