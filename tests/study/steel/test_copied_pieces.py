"""A piece of a copied folder is known again by all that was typed of it, whatever came since."""

import pytest

from edgetest.study.steel.copied_pieces import same_in, same_piece, typed_piece

ROW = {"id": "T1", "origin": "harrow tine", "lot": "tines"}
HEAT = {"piece": "T1", "coupon": "A1", "medium": "oil"}


def evidence(row=ROW, *heats, trials=()):
    return {"pieces": [row], "heats": list(heats), "trials": list(trials)}


FIRST = evidence(ROW, HEAT)


@pytest.mark.parametrize("other", [
    FIRST,
    evidence(ROW, HEAT, {**HEAT, "coupon": "A2"}),
    evidence({**ROW, "sparks": "like high", "note": "rusty"}, {**HEAT, "grain": "fine"}),
])  # fmt: skip
def test_what_was_added_since_leaves_it_the_same_piece(other):
    assert same_piece(typed_piece(FIRST, "T1"), typed_piece(other, "T1"))
    assert same_piece(typed_piece(other, "T1"), typed_piece(FIRST, "T1"))


@pytest.mark.parametrize("other", [
    evidence({**ROW, "lot": "more tines"}, HEAT),
    evidence(ROW, {**HEAT, "medium": "water"}),
    evidence(ROW),
    evidence(ROW, trials=[{"piece": "T1", "test": "rope", "result": "same"}]),
    evidence({**ROW, "id": "T2"}, HEAT),
    {},
    None,
])  # fmt: skip
def test_a_piece_typed_otherwise_or_not_worked_yet_is_another(other):
    assert not same_piece(typed_piece(FIRST, "T1"), typed_piece(other, "T1"))


def test_the_rows_that_tell_of_a_piece_are_counted():
    told = evidence(ROW, HEAT, {**HEAT, "piece": "T2"}, trials=[{"piece": "T1"}])
    assert typed_piece(told, "T1").rows == 2
    assert typed_piece(object(), "T1") == ({}, None, 0)


def test_a_piece_not_worked_yet_is_known_in_a_folder_that_another_piece_shows_to_be_a_copy():
    two = {"id": "T2", "origin": "harrow tine", "lot": "tines"}
    first = {"pieces": [ROW, two], "heats": [HEAT]}
    worked = {"pieces": [ROW, two], "heats": [HEAT, {**HEAT, "piece": "T2"}]}
    assert same_in(first, worked, "T2")
    assert same_in(worked, first, "T2")
    assert not same_in({"pieces": [ROW, {**two, "lot": "x"}], "heats": [HEAT]}, worked, "T2")
    assert not same_in({"pieces": [two]}, worked, "T2")  # nothing else shows a copy
    assert not same_in({**first, "heats": [{**HEAT, "medium": "water"}]}, worked, "T2")
    assert not same_in({}, worked, "T2")
    assert not same_in(None, worked, "T2")
