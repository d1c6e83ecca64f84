"""When does a chance stand beside the headline, and when is it withheld with the reason?"""

from dataclasses import replace

import pytest

from edgetest.steel.cure_first import TradeStep
from edgetest.steel.fit_for_use import fitness
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TemperSeen, TrialSeen
from edgetest.steel.told_chance import NOT_ALIKE, OPEN, OUTRANKED, SHORT, UNMENDED, withheld
from edgetest.steel.weigh_steel import nodes_of, weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, files, heat, number, seen, temper
from tests.steel.stands import stands

TABLES = load_steel_tables()
FREE = {"magnet": "strong", "sparks": "like_high", "coating": "none", "lead": "no",
        "makes_blades": 20.0, "use": "chopper"}  # fmt: skip
COUPON = heat(files(60, 65, "below"), coupon="A1", grain="fine",
              tempers=(temper(number(58), 220),))  # fmt: skip
BLADE = heat(coupon="blade1", tempers=(TemperSeen(220, 60, 2),))


def trial(edge="sound", result="same", **of):
    return TrialSeen("A", "chop", result, edge, heat=("blade1", 1), **of)


def told(*trials, heats=(COUPON, BLADE)):
    what = seen(*heats, trials=trials, **FREE)
    return decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())


def test_the_chance_falls_by_a_blade_that_gave_out_and_rises_by_one_that_stood():
    before, stood = told().chance_told, told(trial()).chance_told
    for edge in ("rolled", "chipped", "broke"):
        assert told(trial(edge)).chance_told < before - 0.05
    assert stood > before + 0.02


def test_blades_move_the_chance_by_the_shares_that_stand():
    nodes = nodes_of(TABLES)
    plain, good, bad = (
        fitness(SteelSeen("chopper"), None, nodes, TABLES, blades=blades)[1]
        for blades in ((0, 0), (1, 0), (0, 1))
    )
    assert (good >= plain).all()
    assert (bad <= plain).all()
    borne = (
        TABLES.row("forge", "plain_high")["chance"] * TABLES.row("tough", "plain_high")["chopper"]
    )
    odds = borne / (1 - borne) * 7.0
    at = nodes.steel == list(TABLES.numbers["forge"]).index("plain_high")
    assert good[at].max() / plain[at].max() == pytest.approx(odds / (1 + odds) / borne)


def test_a_blade_that_was_read_soft_says_nothing_of_what_the_steel_bears():
    soft = heat(files(None, 40, "below"), coupon="blade1", tempers=(TemperSeen(220),))
    spoilt, bare = (told(trial("rolled"), heats=(COUPON, one)) for one in (soft, BLADE))
    assert spoilt.chance_fit > bare.chance_fit


@pytest.mark.parametrize("of", [{}, {"life_ratio": 0.4, "life_ratio_log_u": 0.1}])
def test_a_short_life_withholds_the_chance_until_its_cause_is_known(of):
    found = told(trial(result="worse", **of))
    assert found.chance_told is None
    assert found.withheld == SHORT
    assert SHORT in found.summary()
    assert "%" not in found.summary()


def test_what_does_not_fit_together_withholds_it_at_the_prompt_too():
    found = told(heats=(heat(HARD, coupon="A1"), heat(SOFT, coupon="A2")))
    assert found.withheld == UNMENDED
    assert "%" not in found.summary()
    assert found.to_dict()["chance_fit"] is None


def test_coupons_of_one_piece_that_are_not_one_steel_have_no_chance_in_common():
    mixed = {"chances": {"mixed_lot": 0.51}}
    assert withheld(stands(COUPON, **mixed), "go_on") == NOT_ALIKE
    sister = {"pieces": [PieceSeen("B", lot="L")], "lot": "L"}
    assert withheld(stands(COUPON, heat(HARD, piece="B"), **sister, **mixed), "go_on") == ""


def test_of_a_lot_without_a_coupon_the_pieces_are_told_not_one_steel():
    mixed = {"chances": {"mixed_lot": 0.51}}
    sister = {"pieces": [PieceSeen("B", lot="L")], "lot": "L"}
    assert withheld(stands(**sister, **mixed), "go_on").startswith(
        "No chance is told: the pieces of this lot are likely not one steel"
    )
    two = COUPON, replace(COUPON, coupon="A2")
    assert withheld(stands(*two, **sister, **mixed), "go_on") == NOT_ALIKE


@pytest.mark.parametrize(
    ("action", "fit", "why"),
    [("leave", 0.92, OUTRANKED), ("light_use", 0.92, OUTRANKED), ("leave", 0.12, ""),
     ("light_use", 0.5, OPEN), ("leave", 0.21, OPEN),
     ("reuse", 0.92, "")],
)  # fmt: skip
def test_no_chance_speaks_for_a_steel_that_the_step_gives_up(action, fit, why):
    assert withheld(stands(COUPON, fit=fit), action) == why
    assert withheld(stands(COUPON, fit=None), action) == ""


def test_a_step_that_gives_it_up_names_no_kind_of_edge():
    step = TradeStep("leave", None, "why")
    assert step.action == "leave"
    found = told(heats=(COUPON,))
    assert "It looks like" in found.summary()
    assert "It looks like" not in type(found)(**{**vars(found), "action": "leave"}).summary()
