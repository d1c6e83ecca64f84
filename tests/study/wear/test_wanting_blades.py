"""A study read before its planned blades were tested, and blades that were cut and left out."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.study.wear.wanting_blades import read_early
from tests.study.wear.test_study_looks_by_hand import TABLE


def planned(*treatments, plan=None, control=None):
    blades = [SimpleNamespace(id=f"B{n}", heat_treatment=name) for n, name in enumerate(treatments)]
    return SimpleNamespace(blades=blades, plan={"order": [["", "B0"]]} if plan is None else plan,
                           control=control)  # fmt: skip


def lives(*runs):
    """(blade, heat treatment) of each life."""
    blades, treatments = zip(*runs, strict=True)
    return SimpleNamespace(blade=blades, treatment=treatments)


FOUR = ("hard", "hard", "soft", "soft")


@pytest.mark.parametrize(
    ("runs", "early"),
    [
        ([("B0", "hard"), ("B2", "soft")], (2, 1)),
        ([("B0", "hard"), ("B1", "hard"), ("B2", "soft")], (2, 1)),
        ([("B0", "hard"), ("B0", "hard"), ("B2", "soft"), ("B3", "soft")], (2, 1)),
        ([("B0", "hard"), ("B1", "hard"), ("B2", "soft"), ("B3", "soft")], None),
        ([("B0", "hard"), ("B1", "hard")], None),  # nothing of the other: nothing is compared
    ],
)
def test_a_study_is_read_early_before_its_planned_blades_were_tested(runs, early):
    found = read_early(planned(*FOUR), lives(*runs), None)
    assert codes(found) == (("read_early",) if early else ())
    if early:
        assert f"{early[0]}" in found[0].text
        assert found[0].where.value == early[1]


def test_a_control_and_blades_without_a_heat_treatment_are_not_counted():
    runs = [("B0", "hard"), ("B1", "hard"), ("B2", "soft"), ("B3", "soft"), ("B4", "x")]
    assert read_early(planned(*FOUR, "x"), lives(*runs), "B4") == ()
    assert read_early(planned(*FOUR, None), lives(*runs[:4]), None) == ()
    fewer = [("B0", "hard"), ("B2", "soft"), ("B4", "soft")]
    assert codes(read_early(planned(*FOUR), lives(*fewer), "B4")) == ("read_early",)


def test_blades_that_were_cut_and_left_out_are_named_and_no_look_is_early():
    runs = lives(("B0", "hard"), ("B2", "soft"), ("B3", "soft"))
    (one,) = read_early(planned(*FOUR), runs, None, left_out={"B1": "broke"})
    assert (one.code, one.where.blade) == ("blades_lost", "B1")
    assert "asks for 2 blades a side, and 1 count: every reading of this blade is left" in one.text
    assert "Cut it anew" in one.text
    assert codes(read_early(planned(*FOUR), runs, None, left_out={"B3": "broke"})) == (
        "read_early",
    )
    assert read_early(planned(*FOUR), runs, None, also=[("B1", "hard")]) == ()


@pytest.mark.parametrize("plan", [{}, {"order": []}, {"order": [["", "B0"]], "looks": TABLE}])
def test_without_an_order_or_with_looks_nothing_is_early(plan):
    runs = lives(("B0", "hard"), ("B2", "soft"))
    assert read_early(planned(*FOUR, plan=plan), runs, None) == ()
    assert read_early(None, runs, None) == ()
