"""A steel that had blades of one heat treatment alone may pass for the treatment."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.steels_apart import steel_doubts


def told(*steels, scope="heat_treatments"):
    """Of blades A1, A2, B1, B2 with these steels; the heat treatment is the first letter."""
    names = ("A1", "A2", "B1", "B2")
    blades = [
        SimpleNamespace(id=n, steel=s, heat_treatment=n[0])
        for n, s in zip(names, steels, strict=True)
    ]
    groups = [SimpleNamespace(treatment=of, blades=tuple(n for n in names if n[0] == of))
              for of in "AB"]  # fmt: skip
    found = SimpleNamespace(scope=scope, groups=groups)
    study = SimpleNamespace(blades=blades, heat_treatments=())
    return list(steel_doubts(study, found, {"A": "soft"}))


def test_a_steel_for_each_heat_treatment_may_pass_for_it():
    (one,) = told("plough disc", "Plough  disc", "tine", "")
    assert one.code == "steel_of_one_treatment"
    assert "No steel has blades of two heat treatments (soft: plough disc; B: tine)" in one.text
    assert "from one bar" in one.text


def test_a_steel_that_one_heat_treatment_has_alone_is_told():
    (one,) = told("disc", "tine", "disc", "disc")
    assert one.code == "steels_unequal"
    assert "(soft: 1 of disc and 1 of tine; B: 2 of disc)" in one.text


@pytest.mark.parametrize(
    ("soft", "hard", "told"),
    [
        ("dddt", "dttt", "soft: 3 of d and 1 of t; B: 1 of d and 3 of t"),
        ("dddt", "ddtt", "soft: 3 of d and 1 of t; B: 2 of d and 2 of t"),
        ("dddt", "dtdd", ""),
        ("ddt", "dddt", ""),  # three and four blades cannot come nearer
        ("ddt", "dddddt", "soft: 2 of d and 1 of t; B: 5 of d and 1 of t"),
    ],
)
def test_two_steels_that_both_have_in_unequal_shares_are_told(soft, hard, told):
    named = [(f"A{i}", of) for i, of in enumerate(soft)] + [
        (f"B{i}", of) for i, of in enumerate(hard)
    ]
    blades = [SimpleNamespace(id=name, steel=of, heat_treatment=name[0]) for name, of in named]
    groups = [SimpleNamespace(treatment=of, blades=tuple(n for n, _ in named if n[0] == of))
              for of in "AB"]  # fmt: skip
    found = SimpleNamespace(scope="heat_treatments", groups=groups)
    study = SimpleNamespace(blades=blades, heat_treatments=())
    doubts = list(steel_doubts(study, found, {"A": "soft"}))
    assert [one.code for one in doubts] == (["steels_unequal"] if told else [])
    assert not told or f"({told})" in doubts[0].text


@pytest.mark.parametrize(
    "steels", [("disc",) * 4, ("disc", "tine", "Tine", "disc"), ("disc", "tine", "", ""), ("",) * 4]
)
def test_steels_that_both_have_and_steels_not_noted_say_nothing(steels):
    assert told(*steels) == []


def test_blades_held_each_by_each_are_no_heat_treatments():
    assert told("disc", "disc", "tine", "tine", scope="blades") == []
