"""A decision in words: its headline, what it looks like, and its chance by the heap."""

from dataclasses import replace

import pytest

from edgetest.steel.steel_decision import SteelDecision
from edgetest.steel.steel_words import ACTIONS, FAMILY_WORDS, TESTS_BY_CODE, WAYS

PLAIN = SteelDecision(
    action="reuse", way=None, family="hard_edge", chance_fit=0.8, contradictions=(),
    next_test=None, reasons=("Because.",), cautions=(), tough_tried=True, doubts=(), use="knife",
)  # fmt: skip


def test_the_headline_names_what_way_where_and_what_was_not_tried():
    again = replace(PLAIN, action="heat_treat_again", way="normalise", of=("2", 3))
    assert again.title == f"{ACTIONS['heat_treat_again']}: {WAYS['normalise']} (coupon 2, heat 3)"
    test = TESTS_BY_CODE["magnet"]
    assert (
        replace(PLAIN, action="go_on", next_test=test).title == f"{ACTIONS['go_on']}: {test.title}"
    )
    assert replace(PLAIN, action="leave", next_test=test).title == ACTIONS["leave"]
    assert replace(PLAIN, about="both springs").title == f"{ACTIONS['reuse']} (both springs)"
    for action in ("reuse_trial", "light_use"):
        untried = replace(PLAIN, action=action, tough_tried=False)
        assert untried.title == f"{ACTIONS[action]}; its toughness was not tried"
        assert replace(untried, tough_tried=True).title == ACTIONS[action]
    assert "not tried" not in replace(PLAIN, tough_tried=False).title


def test_a_temper_named_in_degrees_has_no_second_step_beside_it():
    again = replace(PLAIN, action="heat_treat_again", way="temper_hotter")
    assert again.title.endswith("temper hotter, by a step of about 15 °C at a time")
    named = replace(again, reasons=("It chipped. Temper hotter, up to the 231 °C that was read.",))
    assert named.title == f"{ACTIONS['heat_treat_again']}: temper hotter"


def test_what_it_looks_like_is_said_unless_the_step_has_answered_it():
    assert f"It looks like {FAMILY_WORDS['hard_edge']}." in PLAIN.summary()
    unknown = replace(PLAIN, family="unknown", action="go_on")
    assert "Which edges it serves best is not settled yet." in unknown.summary()
    for action in ("leave", "buy_known", "reuse"):
        assert "not settled" not in replace(unknown, action=action).summary()
    packed = replace(PLAIN, action="carburise").summary()
    assert "Because." in packed
    assert "as it is, without packing" in packed
    assert "looks like" not in packed
    assert "Because." not in PLAIN.summary()


@pytest.mark.parametrize(
    ("chances", "said"),
    [
        ({"hard_edge": 0.52, "tough_edge": 0.41, "sort_first": 0.07},
         "It may be {hard_edge} (52 %), or {tough_edge} (41 %)."),
        ({"hard_edge": 0.85, "tough_edge": 0.15}, "It looks like {hard_edge} (85 %)."),
    ],
)  # fmt: skip
def test_what_it_looks_like_says_how_sure_and_names_the_next_that_is_near(chances, said):
    summary = replace(PLAIN, families=chances).summary()
    assert said.format(**FAMILY_WORDS) in summary
    assert ("It looks like" in summary) is ("looks" in said)


@pytest.mark.parametrize(
    ("between", "told"),
    [(None, False), ((0.75, 0.84), False), ((0.5, 0.625), True), ((0.2, 0.9), True)],
)
def test_the_heap_is_told_where_it_moves_the_chance_by_a_tenth(between, told):
    found = replace(PLAIN, fit_between=between)
    assert ("if your heap is poor" in found.summary()) is told
    assert ("one heap in ten is poorer" in found.heap_words()) is told
    assert ("would hardly change" in found.heap_words()) is (between == (0.75, 0.84))
    assert found.to_dict()["fit_between"] == (None if between is None else list(between))


def test_the_use_is_named_and_no_chance_is_no_sentence():
    assert "that it makes a good knife, treated rightly, is" in PLAIN.summary()
    assert "a good hedging tool" in replace(PLAIN, use="hedging_tool").summary()
    assert "a good blade" in replace(PLAIN, use=None).summary()
    assert "chance" not in replace(PLAIN, chance_fit=None).summary()
    told = replace(PLAIN, of=("1", 2), about="piece A").to_dict()
    assert (told["about"], told["coupon"], told["heat"]) == ("piece A", "1", 2)
