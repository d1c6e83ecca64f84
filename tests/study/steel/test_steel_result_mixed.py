"""A chance of several steels that the page shows beside "reuse it" says why it is no bar."""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.steel_result import SteelResult


def said(mixed, *, told=True):
    belief = SimpleNamespace(explanations={"mixed_lot": mixed})
    return SteelResult.mixed_words(SimpleNamespace(told=told, asked=SimpleNamespace(belief=belief)))


def test_a_chance_of_several_steels_up_to_half_stops_nothing():
    assert said(0.37) == (
        "The chance that it is not all one steel (37 %) is one of the whole lot; it stops no step "
        "while it is no more than 50 %."
    )
    assert said(0.5)


@pytest.mark.parametrize("mixed", [0.0, 0.19, 0.51])
def test_a_small_one_and_one_that_decides_are_not_told_so(mixed):
    assert said(mixed) == ""


def test_nothing_is_said_where_no_chance_is():
    assert said(0.37, told=False) == ""
