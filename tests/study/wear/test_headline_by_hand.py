"""What is read first: the answer with what decides it, what limits it, the notes."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import Doubt
from edgetest.study.wear.compared_runs import NoComparison, Runs, two_treatments
from edgetest.study.wear.headline import headline_of


def doubt(code, gravity, text=None):
    return Doubt(code, text or f"{code}.", gravity)


def cause(what, *, decides=True):
    return SimpleNamespace(what=what, decides=decides)


def test_what_decides_stands_with_the_answer():
    doubts = [doubt("n", "notes"), doubt("l", "limits"), doubt("d", "decides")]
    found = headline_of(("It lasts.",), doubts)
    assert (found.answer, found.limits, found.notes) == (("It lasts.", "d."), ("l.",), ("n.",))
    assert found.summary() == "It lasts. d."
    assert headline_of((), doubts).answer == ("d.",)


def test_an_answer_that_hangs_says_so_first():
    causes = [cause("one reading"), cause("the law", decides=False), cause("one blade"),
              cause("one reading")]  # fmt: skip
    found = headline_of(("It lasts.", "More."), [doubt("d", "decides")], causes)
    assert found.answer == (
        "Not settled: the answer hangs on one reading and on one blade.", "d.",
        "As it stands: It lasts.",
    )  # fmt: skip
    alone = headline_of(("It lasts.",), [], [cause("the law", decides=False)])
    assert alone.answer == ("It lasts.",)


def test_a_doubt_about_all_lives_stands_for_those_of_each():
    each = [doubt("extrapolated", "limits"), doubt("stopped_before_limit", "limits")]
    assert headline_of((), each).limits == ("extrapolated.", "stopped_before_limit.")
    summed = headline_of((), [*each, doubt("lives_beyond_readings", "limits")])
    assert summed.limits == ("lives_beyond_readings.",)


def runs(batch=("1", "2", None), block=("a", "b", "a")):
    names = ("A", "B", "K")
    return Runs(
        blade={"A": "A", "B": "B", "K · 1": "K"},
        treatment={"A": "hard", "B": "soft", "K · 1": "K"},
        batch=dict(zip(("A", "B", "K · 1"), batch, strict=True)),
        block=dict(zip(("A", "B", "K · 1"), block, strict=True)), control=names[2],
    )  # fmt: skip


def test_a_control_is_no_side():
    of = runs()
    assert of.of_control == {"K · 1"}
    assert of.sides(of.names) == ["hard", "soft"]
    columns = of.columns(of.names)
    assert columns["blade"] == ["A", "B", "K"]
    assert columns["batch"] == ["1", "2", ""]
    assert columns["block"] == ["a", "b", "a"]
    assert runs(batch=("1", "2", "7")).columns(of.names)["batch"] == ["1", "2", "7"]


def test_blocks_that_not_every_run_has_are_left_out_and_blank_batches_stay_blank():
    assert runs(batch=("1", "", None)).columns(["A", "B"])["batch"] == ["1", ""]
    assert runs(block=("a", "", "a")).columns(["A", "B"])["block"] is None
    assert runs(block=("a", "", "a")).columns(["A"])["block"] == ["a"]


@pytest.mark.parametrize(
    ("named", "words"),
    [
        ({"B": "", "A": "", "C": "hard"}, "no heat treatment is named for A, B;"),
        ({"A": "hard", "B": "hard"}, "all blades have one heat treatment"),
        ({}, "all blades have one heat treatment"),
        ({"A": "hard", "B": "soft"}, None),
    ],
)
def test_two_heat_treatments_are_compared_or_why_not(named, words):
    if words is None:
        two_treatments(named)
    else:
        with pytest.raises(NoComparison, match=words):
            two_treatments(named)
