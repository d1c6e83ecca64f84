"""The looks of a plan read back, kept to, and a study without them read early: both sides."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.study.wear.study_looks import (
    kept_looks,
    look_made,
    looks_of,
    read_early,
    remember_look,
)

TABLE = {"sizes": [3, 4], "levels": [0.99, 0.97], "constant": 2.1, "shape": 0.5, "level": 0.95}


def study(**looks):
    return SimpleNamespace(plan={"looks": TABLE | looks})


def test_looks_are_read_as_the_plan_wrote_them():
    found = looks_of(study(made=[{"size": 3, "decision": "go on"}]))
    assert (found.boundary.sizes, found.boundary.levels) == ((3, 4), (0.99, 0.97))
    assert (found.boundary.constant, found.boundary.shape, found.boundary.level) == (2.1, 0.5, 0.95)
    assert [(one.size, one.decision) for one in found.made] == [(3, "go on")]
    assert found.ended is None
    entry = {"size": 4, "decision": "stop", "blades": ["A1", "B1"], "answer": "1.3 (1.1 to 1.5)"}
    ended = looks_of(study(made=[{"size": 3, "decision": "go on"}, entry])).ended
    assert (ended.size, ended.blades, ended.answer) == (4, ("A1", "B1"), "1.3 (1.1 to 1.5)")
    assert looks_of(study()).made == ()
    assert looks_of(None) is None
    assert looks_of(SimpleNamespace(plan=None)) is None
    assert looks_of(SimpleNamespace(plan={"order": []})) is None


@pytest.mark.parametrize(
    "wrong",
    [{"levels": [0.99]}, {"levels": [0.99, 1.0]}, {"levels": [0.5, 0.99]}, {"sizes": ["x", 4]},
     {"sizes": [], "levels": []}, {"constant": None}, {"made": [{"size": 3}]},
     {"cut_before": -3}, {"cut_before": True}, {"cut_before": 2.7}, {"cut_before": "two"}],
)  # fmt: skip
def test_looks_that_were_changed_by_hand_are_refused(wrong):
    with pytest.raises(UnusableInput, match="not as `edgetest plan --looks` wrote them"):
        looks_of(study(**wrong))
    assert looks_of(study(levels=[0.51, 0.999])) is not None


def test_a_new_plan_keeps_the_looks_that_were_made():
    asked = looks_of(study(sizes=[3, 4, 5], levels=[0.99, 0.98, 0.97]))
    made = study(made=[{"size": 3, "decision": "go on"}])
    assert kept_looks(study(), asked) is asked
    assert kept_looks(SimpleNamespace(plan=None), asked) is asked
    assert kept_looks(made, None) == looks_of(made)
    assert kept_looks(study(), None) == looks_of(study())  # fixed, none made yet
    assert kept_looks(made, looks_of(study())) == looks_of(made)
    with pytest.raises(UnusableInput, match="1 of the looks were made, with 4 a side"):
        kept_looks(made, asked)


def test_a_look_that_was_not_planned_is_not_remembered(tmp_path):
    with pytest.raises(UnusableInput, match="no looks"):
        remember_look(tmp_path, None)
    early = SimpleNamespace(counted="blades", number=0, size=2, next_size=3, decision="before")
    with pytest.raises(UnusableInput, match="2 blades a side are none of the looks") as met:
        remember_look(tmp_path, early)
    assert met.value.mend == "the first look is at 3 a side"
    late = SimpleNamespace(counted="batches", number=2, size=5, next_size=None, decision="beyond")
    with pytest.raises(UnusableInput, match="5 batches a side are none of the looks"):
        remember_look(tmp_path, late)


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


def test_without_a_comparison_no_look_was_made_though_looks_are_planned():
    with pytest.raises(UnusableInput, match="nothing can be compared yet, so no look was made"):
        look_made(study(), None)
    assert look_made(SimpleNamespace(plan=None), None) is None
    assert (
        look_made(study(), SimpleNamespace(look="first", ratio=SimpleNamespace(low=1.0, high=2.0)))
        == "first"
    )
