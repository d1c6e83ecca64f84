"""The page says how many blades are to be had of which pieces, and what known steel would cost."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.study.steel.blades_to_make import blades_words
from edgetest.study.steel.steel_rows import VerdictWishes

STEPS = {
    "A": "Reuse it (piece A)", "C": "Make one trial blade; its toughness was not tried",
    "B": "Make one trial blade", "F": "Buy known steel",
}  # fmt: skip


def decision(title, told=0.9):
    way = "trial_blade" if "trial" in title else None
    action = {"R": "reuse", "B": "buy_known"}.get(title[0], "reuse_trial")
    return SimpleNamespace(title=title, action=action, way=way, chance_told=told)


def result(
    *, hours=1.5, wanted=None, many=(2.0, 2.0, 3.0, 2.0), names="ABCF", begun=True, trials=()
):
    pieces = tuple(
        PieceSeen(name, makes_blades=each) for name, each in zip(names, many, strict=True)
    )
    asked, *others = (
        SimpleNamespace(piece=name, decision=decision(STEPS[name])) for name in reversed(names)
    )
    return SimpleNamespace(
        seen=SteelSeen("chopper", pieces, (), trials), asked=asked, others=others, begun=begun,
        wishes=VerdictWishes(known_steel_hours=hours, blade_hours=6, blades_wanted=wanted),
    )  # fmt: skip


def test_blades_are_told_by_what_is_next_in_the_order_of_the_pieces():
    assert blades_words(result()) == (
        "Blades by what is next: Reuse it: 2 of A; Make one trial blade: 5 of B and C; "
        "Buy known steel: 2 of F. A trial blade of each of B and C costs about 2.2 h beside the "
        "blades you want: 0.5 h of cutting each, and what fails, by its chance. Known steel for "
        "their 5 costs 7.5 h. Known steel for all 9 would cost 13.5 h. This counts your 1.5 h for "
        "one blade's known steel (its price) and your 6 h for one trial blade. Want fewer? Write "
        "how many as blades_wanted into [verdict] of study.toml."
    )


def test_trial_blades_are_counted_where_a_chance_is_told_alone():
    found = result(names="AB", many=(2.0, 2.0))
    assert "The trial blade of B costs about 1.1 h beside" in blades_words(found)
    assert "Known steel for its 2 costs 3 h." in blades_words(found)
    found.asked.decision.chance_told = None
    assert "trial blade of" not in blades_words(found)


@pytest.mark.parametrize(
    ("wanted", "told"),
    [(12, "2 made or to make now, 5 that hang on what is next, and 5 left to buy, for 7.5 h."),
     (4, "2 made or to make now, 2 that hang on what is next, and 0 left to buy."),
     (1, "1 made or to make now, 0 that hang on what is next, and 0 left to buy.")],
)  # fmt: skip
def test_of_the_blades_wanted_it_is_told_what_is_left_to_buy(wanted, told):
    assert f"You want {wanted}: {told}" in blades_words(result(wanted=wanted))
    known = {
        12: "Known steel for their 5 costs 7.5 h.",
        4: "Known steel for 2 of their 5, as many as you want still, costs 3 h.",
        1: "A trial blade of each of B and C is beyond those you want: make it to know the steel",
    }
    assert known[wanted] in blades_words(result(wanted=wanted))
    cost = f"Known steel for the {wanted} you want would cost {1.5 * wanted:g} h."
    assert cost in blades_words(result(wanted=wanted))
    assert "Want fewer?" not in blades_words(result(wanted=wanted))
    assert "You want" not in blades_words(result())
    bare = blades_words(result(wanted=12, many=(2.0, None, 3.0, 2.0)))
    assert "and 7 left to make of the others or to buy, for 10.5 h." in bare


def test_a_blade_that_broke_is_no_more_one_of_those_to_be_had():
    broke = (TrialSeen("A", "chop", "worse", "broke", heat=("blade2", 1)),)
    told = blades_words(result(wanted=12, trials=broke))
    assert "Reuse it: 1 of A; Make one trial blade: 5 of B and C;" in told
    assert "Taken off what you wrote: blade2 of A, which broke or cracked." in told
    assert "1 made or to make now, 5 that hang on what is next, and 6 left to buy" in told
    none = blades_words(result(many=(1.0, 2.0, 3.0, 2.0), trials=broke))
    assert "Reuse it: 0 of A;" in none
    assert "nobody wrote" not in none
    assert "Taken off" not in blades_words(result())


def test_a_blade_that_stood_is_made_and_known_steel_counts_for_the_rest():
    stood = (TrialSeen("B", "chop", "same", "sound", heat=("blade1", 1)),)
    told = blades_words(result(wanted=12, trials=stood))
    assert "Make one trial blade: 4 of B and C; Buy known steel: 2 of F. Made besides, and " in told
    assert "Made besides, and stood: 1 of B. You want 12: 3 made or to make now, 4 that" in told
    assert "Known steel for their 4 costs 6 h." in told
    assert "Made besides" not in blades_words(result(trials=(replace(stood[0], piece="A"),)))


def test_what_nobody_wrote_is_said_to_be_so():
    told = blades_words(result(hours=None, many=(2.0, None, None, 2.0)))
    assert "Of B and C nobody wrote how many they make." in told
    assert "Known steel for all 4 would cost 8 h. This counts 2 h for one blade's known" in told
    assert "write yours as known_steel_hours into [verdict] of study.toml." in told


def test_nothing_is_said_of_one_piece_of_none_that_is_counted_or_before_the_first_row():
    assert blades_words(result(many=(2.0,), names="A")) == ""
    assert blades_words(result(many=(None,) * 4)) == ""
    assert blades_words(result(begun=False)) == ""


def test_blades_of_a_stopped_piece_are_not_counted_on():
    found = result(names="AB", many=(2.0, 3.0), wanted=6)
    found.asked.decision.action = "safety_stop"  # B
    said = blades_words(found)
    assert "2 made or to make now, 0 that hang on what is next, and 4 left to buy, for 6 h." in said
    assert "Those of B are not counted on." in said
    assert "not counted on" not in blades_words(result(wanted=6))
