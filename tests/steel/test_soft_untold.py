"""Steel that is soft from each quench is told by the carbon that reads so, and by no more."""

import pytest

from edgetest.steel.soft_untold import soft_untold
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
