"""What a piece may cost: hours, blades at stake, and tests that the shop cannot do."""

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from tests.steel.seen_steel import HARD, files, heat, temper
from tests.steel.test_steel_actions import FREE, TABLES, step, told


def test_a_trial_blade_costs_the_hours_that_the_maker_gives_it():
    ready = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    found = told(ready, losses=SteelLosses(blade_hours=5.5), **FREE)
    assert (found.next_test.code, found.next_test.hours) == ("trial_blade", 5.5)


def test_a_laboratory_that_is_not_there_is_not_asked():
    found = told(losses=SteelLosses(no_test=("coupon_oil",)), **FREE)
    assert found.action == "laboratory"
    none = SteelLosses(no_test=("coupon_oil", "laboratory"))
    assert told(losses=none, **FREE).action != "go_on"
    alone = told(losses=SteelLosses(no_test=("laboratory",)), **FREE)
    assert (alone.action, alone.way) == ("go_on", "coupon_oil")


def test_hours_that_nobody_named_are_a_day_and_two_hours():
    assert (SteelLosses().blade_hours, SteelLosses().known_steel_hours) == (8.0, 2.0)


def test_with_few_pieces_known_steel_is_bought():
    assert step(**FREE | {"makes_blades": 2}) == ("buy_known", None)
    assert step(**FREE | {"makes_blades": 20}) == ("go_on", "coupon_oil")
    dear = SteelLosses(known_steel_hours=10)
    assert step(losses=dear, **FREE | {"makes_blades": 2}) == ("go_on", "coupon_oil")


def test_what_was_spent_does_not_make_the_rest_pay():
    hard = heat(HARD, grain="fine")
    few, many = FREE | {"makes_blades": 4}, FREE | {"makes_blades": 20}
    assert step(hard, **few) == ("buy_known", None)
    assert step(hard, **many) == ("go_on", "temper_ladder")
    assert "4" in told(hard, **few).reasons[0]
    tempered = heat(HARD, grain="fine", tempers=(temper(files(57, 62), 200),))
    assert step(tempered, use="knife", **few | {"origin": "file_or_rasp"})[0] == "reuse_trial"


def test_the_blades_of_sister_pieces_are_at_stake_too():
    lot = [PieceSeen(name, lot="l", **FREE | {"makes_blades": 4}) for name in "ABCDE"]
    for pieces, expected in ((lot[:1], "buy_known"), (lot, "go_on")):
        what = SteelSeen(pieces=tuple(pieces))
        found = decide(what, weigh_steel(what, TABLES), TABLES, SteelLosses())
        assert found.action == expected


def test_what_contradicts_itself_is_settled_before_few_blades_are_given_up():
    patchy = heat(files(60, 65, "below"), files(40, 45, "below"), grain="fine")
    assert step(patchy, **FREE | {"makes_blades": 4})[0] == "heat_treat_again"


def test_a_test_that_the_shop_cannot_do_is_not_asked_for():
    found = told(losses=SteelLosses(no_test=("sparks",)), **FREE | {"sparks": None})
    assert (found.action, found.way) == ("go_on", "file_as_found")
