"""Three tines at the forge: a cold heat, a hotter one and a soft skin are no fault of the steel."""

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.trade_rules import soft
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import files, heat, seen
from tests.steel.stands import TABLES, stands

TINE = {
    "origin": "harrow_tine", "magnet": "strong", "sparks": "between", "stream": "bright_forked",
    "coating": "none", "lead": "no", "use": "hedging_tool",
}  # fmt: skip
SOAKED = {"soak_min": 5.0, "section_mm": 6.0, "magnet": "lets_go", "grain": "fine"}


def below(low, high):
    return files(low, high, "below")


def decided(*heats, **of):
    what = seen(*heats, **{**TINE, **of})
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())


def stubborn(*more, cracked=1):
    """Soft from oil, harder and cracked from water, then soft again from warm water at cherry."""
    return (
        heat(below(40, 45), coupon="T3", colour="cherry", **SOAKED),
        heat(below(40, 45), coupon="T3", heat=2, colour="bright_cherry", **SOAKED),
        heat(below(50, 55), coupon="T3", heat=3, medium="water", colour="bright_cherry",
             cracked=cracked, **SOAKED),
        heat(below(45, 50), coupon="T3b", medium="warm_water", colour="cherry", **SOAKED),
        *more,
    )  # fmt: skip


@pytest.mark.parametrize("cracked", [1, None])
def test_a_cold_heat_is_made_hotter_where_a_faster_quench_showed_carbon(cracked):
    found = decided(*stubborn(cracked=cracked))
    assert (found.action, found.way) == ("heat_treat_again", "hotter")
    assert found.of == ("T3b", 1)


def test_what_once_came_harder_is_never_called_short_of_carbon():
    again = [heat(below(45, 50), coupon="T3b", heat=n, medium="warm_water", colour="cherry",
                  **SOAKED) for n in (2, 3)]  # fmt: skip
    found = decided(*stubborn(*again))
    assert (found.action, found.way) == ("light_use", None)
    assert "not for want of carbon" in found.reasons[0]


@pytest.mark.parametrize(("likely", "action"), [(0.5, "leave"), (0.51, "laboratory")])
def test_soft_throughout_is_no_proof_against_a_chance_of_carbon(likely, action):
    hot = heat(below(None, 40), medium="water", heat_c=850.0)
    found = soft(stands(hot, chances={"plain_medium": likely}), SteelLosses())
    assert found.action == action


@pytest.mark.parametrize(
    ("first", "then", "one_kind"),
    [
        ({"colour": "dull_red"}, {"colour": "cherry", "magnet": "lets_go"}, False),
        ({"colour": "dull_red"}, {"colour": "bright_cherry"}, False),
        ({"heat_c": 680.0}, {"colour": "cherry", "magnet": "lets_go"}, False),
        ({"colour": "dull_red"}, {"magnet": "lets_go"}, False),
        ({"heat_c": 720.0}, {"colour": "cherry", "magnet": "lets_go"}, True),
        ({"colour": "dull_red", "magnet": "lets_go"}, {"colour": "dull_red"}, True),
        ({"colour": "bright_cherry"}, {"colour": "orange"}, False),
        ({"colour": "cherry"}, {"colour": "bright_cherry"}, False),
        ({"colour": "cherry"}, {"colour": "cherry"}, True),
        ({"colour": "orange"}, {"colour": "cherry"}, True),
    ],
)
def test_soft_from_a_colder_fire_and_hard_from_a_hotter_is_no_riddle(first, then, one_kind):
    cold = heat(below(None, 40), coupon="T1", **first)
    hot = heat(below(60, 65), coupon="T1", heat=2, **then)
    found = [one for one in contradictions(seen(cold, hot)) if not one.remark]
    assert [one.code for one in found] == ["one_heat_hard_and_soft"] * one_kind


@pytest.mark.parametrize(("top", "inner"), [((40, 45), (50, 55)), ((50, 55), (60, 65))])
def test_a_skin_filed_through_to_harder_steel_leaves_nothing_to_mend(top, inner):
    read = heat(files(*top, "skin"), below(*inner), colour="cherry", **SOAKED)
    found = decided(read)
    assert [one.code for one in found.remarks] == ["skin_differs"]
    assert found.unmended == ()
    assert found.chance_told is not None


def test_a_hard_skin_over_softer_steel_is_still_to_be_mended():
    found = decided(heat(files(60, 65, "skin"), below(40, 45), colour="cherry", **SOAKED))
    assert [one.code for one in found.unmended] == ["skin_differs"]
