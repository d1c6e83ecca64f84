"""A blade that is made goes on before another one is forged, and its strokes so far count."""

from dataclasses import replace

import pytest

from edgetest.steel.blade_begun import begun_first, strokes_so_far
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.gave_out import blade_meant
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import TemperSeen, TrialSeen
from edgetest.steel.steel_words import MORE_STROKES
from edgetest.steel.tried_blades import LEAST_STROKES
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, heat, number, seen
from tests.steel.stands import stands

TABLES = load_steel_tables()
BLADE = TradeStep("reuse_trial", "trial_blade", "why")
READ = TemperSeen(200, 60, 2, (number(58),))
HATCHET = heat(HARD, coupon="hatchet1", tempers=(READ,))
FEW = TrialSeen("A", "chop", "same", "sound", heat=("hatchet1", 1), strokes=20)


def begun(*trials, made=HATCHET):
    return stands(made, trials=trials, use="chopper")


def test_a_blade_of_too_few_strokes_goes_on_whatever_its_name():
    found = begun_first(begun(FEW), BLADE)
    assert (found.action, found.way) == ("go_on", "temper_and_try")
    assert found.reason.startswith("hatchet1 made 20 of the 30 strokes from which a whole edge")
    assert "go on with the same edge before you make another, and write down the sum" in (
        found.reason
    )
    rod = TradeStep("go_on", "brass_rod", "why")
    assert begun_first(begun(FEW), rod) is rod


@pytest.mark.parametrize(
    "trial",
    [replace(FEW, strokes=LEAST_STROKES), replace(FEW, strokes=None), replace(FEW, edge="chipped"),
     replace(FEW, hit="a nail"), replace(FEW, piece="B"), replace(FEW, trial="brass_rod")],
)  # fmt: skip
def test_strokes_are_lacking_only_where_nothing_else_is(trial):
    assert strokes_so_far(begun(trial)) is None


POOR = replace(FEW, strokes=60, result="worse", edge="rolled", poor_edge="a wire edge")


def test_a_blade_that_was_badly_sharpened_is_sharpened_and_no_stroke_of_it_counts():
    at = begun(POOR)
    assert strokes_so_far(at) is None
    found = begun_first(at, BLADE)
    assert (found.action, found.way) == ("go_on", "sharpen_again")
    assert found.reason.startswith("hatchet1 was badly sharpened (a wire edge)")
    assert "60 of the 30" not in found.reason
    assert blade_meant(at, found.way) == ("hatchet1", 1)


def test_a_blade_without_a_temper_of_its_own_is_tempered_first():
    bare = replace(HATCHET, tempers=())
    assert strokes_so_far(begun(FEW, made=bare)) is None
    told = begun_first(begun(FEW, made=bare), BLADE).reason
    assert "its trial told nothing yet: temper it" in told
    assert strokes_so_far(begun(replace(FEW, temper_c=200.0), made=bare)) == 20


def test_the_step_names_that_blade_its_strokes_and_half_an_hour():
    coupon = heat(HARD, coupon="A1", grain="fine", magnet="lets_go", tempers=(READ,))
    rod = TrialSeen("A", "brass_rod", None, "sound", heat=("A1", 1))
    what = seen(
        coupon, HATCHET, trials=(rod, FEW), use="chopper", origin="harrow_tine", coating="none",
        lead="no", magnet="strong", sparks="between", makes_blades=12.0,
    )  # fmt: skip
    found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
    assert (found.way, found.of) == ("temper_and_try", ("hatchet1", 1))
    assert (found.next_test.title, found.next_test.why, found.next_test.hours) == MORE_STROKES
