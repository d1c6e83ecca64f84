"""Weights and balance points at the limits of what is met."""

from types import SimpleNamespace

import pytest

from edgetest.study.chop.asked_of_handling import asked_of_handling, handling_doubts


def study_of(**facts):
    tool = {"grip_mm": 60, "strike_mm": 310, **facts}
    blade = SimpleNamespace(id="H7", mass_g=None, length_mm=None)
    return SimpleNamespace(handling={"H7": tool}, blades=[blade], control=None)


def asked(**facts):
    return [str(one) for one in asked_of_handling(study_of(**facts))]


@pytest.mark.parametrize(
    ("mass", "kilograms"),
    [(100, None), (20_000, None), (99.9, ""), (20_001, ""), (0.1, "100"), (20, "20000"),
     (20.1, ""), (0.09, "")],
)  # fmt: skip
def test_a_mass_is_asked_about_beyond_its_limits(mass, kilograms):
    told = asked(mass_g=mass)
    assert len(told) == (kilograms is not None)
    assert all(("if it was kg" in one) == bool(kilograms) for one in told)
    assert not kilograms or f"write {kilograms};" in told[0]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"balance_mm": 31}, None),  # a tenth of the place it strikes with
        ({"balance_mm": 30.9}, "first tenth"),
        ({"balance_mm": 309.9}, None),
        ({"balance_mm": 310}, "beyond the strike point, 310 mm"),
        ({"balance_mm": 34, "length_mm": 350}, "first tenth"),
        ({"balance_mm": 35, "length_mm": 350}, None),
        ({"balance_mm": 320, "length_mm": 350}, None),
        ({"balance_mm": 350, "length_mm": 350}, "outside the tool, which is 350 mm long"),
        ({}, None),
    ],
)
def test_a_balance_point_lies_within_the_tool_and_beyond_its_first_tenth(facts, words):
    told = asked(**facts)
    assert len(told) == (words is not None)
    assert all(words in one for one in told)


def test_a_tool_that_cannot_be_read_is_not_asked_about():
    assert asked(mass_g=-1) == []


@pytest.mark.parametrize(("length_mm", "doubts"), [(300, 1), (340, 0)])
def test_a_strike_point_beyond_the_tool_is_told_beside_its_figures_too(length_mm, doubts):
    told = list(handling_doubts(study_of(mass_g=690, length_mm=length_mm)))
    assert len(told) == doubts
    for one in told:
        assert (one.code, one.gravity, one.where.blade) == ("handling_asked", "limits", "H7")
        assert one.text.startswith("The strike point of H7: 310 mm lies beyond the tool, which is")
