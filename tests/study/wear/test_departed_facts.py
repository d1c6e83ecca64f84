"""Typed facts against the protocol's: angles half a degree off, finishes unlike, another limit."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.departed_facts import (
    OF_LIVES,
    angles_departed,
    edges_departed,
    limit_departed,
)


def blade(name, angle=30.0, finish="1000 grit"):
    return SimpleNamespace(
        id=name, included_angle_deg=angle, edge_finish=finish, angle_words=lambda: f"{angle:g}°"
    )


def study_of(blades, reading="edge_width_um", **more):
    return SimpleNamespace(blades=blades, reading_name=reading, **more)


def edges(*blades, wish=30.0, ran="ABC", sealed=False):
    preparation = SimpleNamespace(included_angle_deg=wish, finish="1000 grit")
    protocol = SimpleNamespace(edge_preparation=preparation)
    study = study_of(blades, plan={"sealed": sealed})
    found = edges_departed(study, protocol, set(ran))
    return [(each.of, each.done) for each in found]


@pytest.mark.parametrize(("angle", "told"), [(30.5, []), (29.5, []), (30.6, 1), (29.4, 1)])
def test_an_angle_may_be_off_by_half_a_degree(angle, told):
    found = edges(blade("A", angle))
    assert found == ([("edge angle", f"A {angle:g}°")] if told else [])


def test_angles_say_the_protocol_s_both_ways():
    protocol = SimpleNamespace(edge_preparation=SimpleNamespace(included_angle_deg=30.0))
    study = study_of([blade("A", 40.0), blade("B", 20.0), blade("C", None)])
    off, blank = angles_departed(study, protocol, {"A", "B", "C"})
    assert off.asked == blank.asked == "15° per side (30° included)"
    assert off.done == "A 40°; B 20°"
    # tan 15° / tan 10° = 1.520 of B, tan 15° / tan 20° = 0.736 of A (any table of tangents).
    assert off.means.endswith(
        "10° a side alone makes a life to an edge width 1.52 times that at 15°, 20° a side 0.74 "
        "times."
    )
    assert blank.done == "not noted: C"


def test_blades_of_one_angle_stand_together_and_of_many_angles_the_ends_tell_of_lives():
    protocol = SimpleNamespace(edge_preparation=SimpleNamespace(included_angle_deg=30.0))
    angles = {"A": 40.0, "B": 42.0, "C": 40.0, "D": 38.0, "E": 36.0}
    study = study_of([blade(*each) for each in angles.items()])
    (off,) = angles_departed(study, protocol, set(angles))
    assert off.done == "A and C 40°; B 42°; D 38°; E 36°"
    assert off.means.endswith("18° a side alone makes a life to an edge width 0.82 times that at "
                              "15°, 21° a side 0.70 times.")  # fmt: skip


def test_a_life_to_an_edge_width_is_told_only_where_widths_are_read():
    protocol = SimpleNamespace(edge_preparation=SimpleNamespace(included_angle_deg=30.0))
    (off,) = angles_departed(study_of([blade("A", 34.0)], "sever_force_gf"), protocol, {"A"})
    assert off.means == OF_LIVES


def test_a_blade_that_did_not_run_tells_nothing():
    assert edges(blade("A", 40.0), blade("B", None, ""), blade("C"), ran="C") == []


def test_edges_that_a_seal_hides_depart_from_nothing():
    assert edges(blade("A", None), blade("B", None, "")) != []
    assert edges(blade("A", None), blade("B", None, ""), sealed=True) == []


def test_without_an_angle_asked_for_none_departs():
    assert edges(blade("A", 40.0), blade("B", None), wish=None) == []


@pytest.mark.parametrize(
    ("finish", "departs"),
    [("600 belt, stropped", True), ("120 grit belt, no strop", True), ("1200 stone", False),
     ("700 grit", False), ("1500 grit", False), ("1600 grit", True), ("stropped", False),
     ("120 mm wheel", False), ("120 belt, then 1000 grit", False), ("P600 belt", True),
     ("#600", True), ("1,000 grit", False), ("1 000 grit", False), ("3,000 grit", True),
     ("15 µm film", False)],
)  # fmt: skip
def test_one_finish_of_another_grit_departs(finish, departs):
    assert edges(blade("A", finish=finish)) == ([("edge finish", finish)] if departs else [])


def test_finishes_depart_from_one_another_and_where_nobody_noted_them():
    coarse = edges(blade("A", finish="400 grit"), blade("B", finish="400 grit"))
    assert coarse == [("edge finish", "400 grit")]
    two = edges(blade("A", finish="400 grit"), blade("B"))
    assert two == [("edge finish", "400 grit: A; 1000 grit: B")]
    assert edges(blade("A", finish="1000  Grit"), blade("B")) == []  # capitals and spaces
    assert edges(blade("A", finish=""), blade("B", finish="")) == [
        ("edge finish", "not noted: A and B")
    ]
    assert edges(blade("A", finish=""), blade("B")) == [("edge finish", "not noted: A")]


LIMIT = SimpleNamespace(reading="edge_width_um", value=12)


def limits(reading, value, limit=LIMIT):
    rule = SimpleNamespace(name="edge_width_um", unit="µm")
    protocol = SimpleNamespace(limit=limit, readings=[rule])
    study = SimpleNamespace(reading_name=reading, limit_value=value)
    return [(each.asked, each.done) for each in limit_departed(study, protocol)]


def test_another_limit_of_the_same_reading_departs():
    told = [("a limit of 12 µm", "the study's is 10.5 µm")]
    assert limits("edge_width_um", 10.5) == told
    assert limits("edge_width_um", 12) == []
    assert limits("sever_force_gf", 200) == []
    assert limits("edge_width_um", 10.5, None) == []


def test_a_limit_in_words_or_of_a_reading_without_unit_has_none():
    grade = SimpleNamespace(reading="grade", value="scrapes")
    assert limits("grade", "tears", grade) == [("a limit of scrapes", "the study's is tears")]
