"""The looks of a plan read back, kept to, and a study without them read early: both sides."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.wear.study_looks import (
    kept_looks,
    look_made,
    looks_of,
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


def test_without_a_comparison_no_look_was_made_though_looks_are_planned():
    with pytest.raises(UnusableInput, match="nothing can be compared yet, so no look was made"):
        look_made(study(), None)
    assert look_made(SimpleNamespace(plan=None), None) is None
    assert (
        look_made(study(), SimpleNamespace(look="first", ratio=SimpleNamespace(low=1.0, high=2.0)))
        == "first"
    )
