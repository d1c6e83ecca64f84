"""A person or a day that had blades of one heat treatment alone may pass for the treatment."""

from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from edgetest.study.wear.one_sided_hands import asked_of_persons, one_sided_doubts


@dataclass
class Used:
    blade: str
    heat_treatment: str
    line: int


def doubts(*readings, scope="heat_treatments"):
    """Of readings (blade, operator, day); the heat treatment is the blade's first letter."""
    rows = [SimpleNamespace(line=n, operator=who, day=day, date="", block=day.lower())
            for n, (_, who, day) in enumerate(readings)]  # fmt: skip
    used = [Used(blade, blade[0], n) for n, (blade, _, _) in enumerate(readings)]
    groups = [SimpleNamespace(treatment=name) for name in "AB"]
    found = SimpleNamespace(scope=scope, groups=groups)
    return list(one_sided_doubts(SimpleNamespace(rows=rows), used, found, {"A": "soft"}))


def each(persons, days=("", "", "", "")):
    """Two readings of each of four blades; a person and a day a blade, or a string of two."""
    blades = ("A1", "A2", "B1", "B2")
    return [
        (blade, who.split()[i % len(who.split())] if who else "", day)
        for blade, who, day in zip(blades, persons, days, strict=True) for i in range(2)
    ]  # fmt: skip


def test_a_person_for_each_heat_treatment_decides():
    (told,) = doubts(*each(("me", "me", "Jon", "Jon")))
    assert told.code == "treatment_of_one_hand"
    assert told.gravity == "decides"
    assert "No person had blades of two heat treatments (me: soft; Jon: B)" in told.text


def test_days_are_held_like_persons():
    (told,) = doubts(*each([""] * 4, ("Tue", "Tue", "Wed", "Wed")))
    assert told.code == "treatment_of_one_hand"
    assert "No day had" in told.text


def test_a_person_who_read_one_heat_treatment_alone_in_part_is_told_with_the_share():
    (told,) = doubts(*each(("me", "me", "me Jon", "me Jon")))
    assert told.code == "hand_on_one_side"
    assert "two heat treatments: Jon B alone (2 of its 4 readings)" in told.text


def six(levels):
    """A reading of each of six blades by a person, or on a day."""
    return list(zip(("A1", "A2", "A3", "B1", "B2", "B3"), levels, strict=True))


@pytest.mark.parametrize(
    ("persons", "seen"),
    [("me me Jon Kim Kim Lou", "me soft alone (2 of its 3 readings) and Kim B alone (2 of"),
     ("me me me me Jon Jon", "Jon B alone (2 of its 3 readings)"),
     ("me me Jon me me me", "Jon soft alone (1 of its 3 readings)"),
     ("me me Jon Jon Kim Kim", "me soft alone (2 of its 3 readings) and Kim B alone (2 of")],
)  # fmt: skip
def test_a_person_who_had_several_blades_of_one_heat_treatment_alone_is_told(persons, seen):
    """Others of that heat treatment had another hand, which their scatter holds but in part."""
    (told,) = doubts(*[(blade, who, "") for blade, who in six(persons.split())])
    assert told.code == "hand_on_one_side"
    assert f"two heat treatments: {seen}" in told.text


def test_the_share_is_of_all_readings_in_use_those_without_a_name_too():
    given = [*each(("me", "me", "me Jon", "me Jon")), ("B1", "", "")]
    (told,) = doubts(*given)
    assert "Jon B alone (2 of its 5 readings)" in told.text


def test_a_day_of_a_single_blade_is_not_told_in_part():
    assert doubts(*[(blade, "", day) for blade, day in six("MMTMMM")]) == []


def test_days_that_each_had_a_roll_are_weighed_with_the_rolls_and_not_told_in_part():
    assert doubts(*[(blade, "", day) for blade, day in six("MMTTWW")]) == []


@pytest.mark.parametrize(
    "persons",
    [("me", "me", "me", "me"), ("me Jon",) * 4, ("", "", "", ""), ("me", "Jon", "me", "Jon"),
     ("a", "b", "c", "d")],  # the last: what a person does is in the blades' own scatter
)  # fmt: skip
def test_persons_who_had_both_or_differ_among_blades_alike_are_not_doubted(persons):
    assert doubts(*each(persons)) == []


def test_of_single_blades_nothing_is_said():
    assert doubts(*each(("me", "me", "Jon", "Jon")), scope="blades") == []


def test_no_comparison_is_no_doubt():
    assert list(one_sided_doubts(SimpleNamespace(rows=[]), [], None, {})) == []


NOBODY = "operator: nobody cut blades of two heat treatments"


@pytest.mark.parametrize(("persons", "asked"), [
    ("Tam Tam Tam Ole", "row 4, operator: Ole cut blades of B alone, and others cut both"),
    ("Tam Tam Ole Ole", f"row 4, {NOBODY} so far (Tam: A; Ole: B)"),
    ("Tam Tam Ole", f"row 3, {NOBODY} so far (Tam: A; Ole: B)"),
    ("Tam Ole Tam Ole", None), ("Tam Tam Tam", None), ("Tam Ole", None),
])  # fmt: skip
def test_a_check_asks_about_a_person_of_one_side_once_all_blades_were_cut(persons, asked):
    blades = [SimpleNamespace(id=name, heat_treatment=name[0]) for name in ("A1", "A2", "B1", "B2")]
    rows = [
        SimpleNamespace(line=n, blade=blade.id, operator=who, waiting=False, exclude="")
        for n, (blade, who) in enumerate(zip(blades, persons.split(), strict=False), 1)
    ]
    study = SimpleNamespace(blades=blades, control=None)
    told = [str(one) for one in asked_of_persons("log.csv", rows, study)]
    assert len(told) == bool(asked)
    assert all(asked in one for one in told)
