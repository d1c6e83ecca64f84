"""What changed with the heat treatment, from rows made by hand: each side of each rule."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.treatment_mixing import mixing_doubts

FOUR = {"A1": "hard", "A2": "hard", "B1": "soft", "B2": "soft"}


def study(*batches):
    held = dict(zip(FOUR, batches, strict=True))
    return SimpleNamespace(blade=lambda name: SimpleNamespace(batch=held[name]))


def told(rows, batches=("1", "2", "1", "2"), treatments=None):
    log = SimpleNamespace(rows=rows)
    return list(mixing_doubts(log, study(*batches), FOUR if treatments is None else treatments))


def row(blade, result="pass", **more):
    return ChopRow(2, blade, "billet", result=result, **more)


@pytest.mark.parametrize(
    ("rows", "mixed"),
    [
        ([row("A1", board="a"), row("B1", board="b")], ["board"]),
        ([row("A1", block="a"), row("B1", block="b")], ["board"]),
        ([row("A1", day="1"), row("B1", day="2")], ["day"]),
        ([row("A1", date="2024-05-01"), row("B1", date="2024-05-02")], ["day"]),
        ([row("A1", operator="x"), row("B1", operator="y")], ["operator"]),
        ([row("A1", board="a"), row("B1", board="a"), row("B1", board="b")], []),
        ([row("A1", board="a"), row("B1", board="a")], []),
        ([row("A1", board="a"), row("Z", board="b")], []),
        ([row("A1", board="a"), row("B1", board="b", exclude="slip")], []),
        ([row("A1", board="a"), row("B1", "", board="b")], []),
        ([row("A1"), row("B1")], []),
    ],
)
def test_a_factor_of_which_no_level_saw_both_is_named(rows, mixed):
    assert [one.where.value for one in told(rows)] == mixed


def test_levels_say_what_they_saw():
    (one,) = told([row("A1", board="a"), row("A2", board="a"), row("B1", board="b")])
    assert "a: hard; b: soft" in one.text


@pytest.mark.parametrize(
    ("batches", "said"),
    [
        (("", "", "", ""), ("batches_unknown",)),
        (("1", "1", "2", "2"), ("batch_confounded",)),
        (("1", "1", "2", "3"), ("batch_confounded",)),
        (("1", "1", "1", "2"), ()),  # both were hardened in batch 1
        (("1", "2", "3", "4"), ()),
        (("", "", "1", "2"), ("batch_may_be_confounded",)),
        (("1", "", "2", "3"), ("batch_may_be_confounded",)),  # a blank may be of the other's batch
        (("1", "", "2", "2"), ("batch_confounded",)),
        (("1", "", "1", "2"), ("batches_unknown",)),
    ],
)
def test_batches_that_no_other_heat_treatment_shares_are_named(batches, said):
    assert codes(told([], batches)) == said


def test_of_one_blade_each_batches_say_nothing():
    assert told([], treatments={"A1": "hard", "B1": "soft"}) == []
    assert told([row("A1", board="a"), row("B1", board="b")], treatments={}) == []


def test_several_blades_of_a_batch_are_told_to_count_by_themselves():
    held = {"A1": "1", "A2": "1", "A3": "2", "B1": "3", "B2": "4"}
    kinds = {name: "hard" if name < "B" else "soft" for name in held}

    def of(batches):
        named = SimpleNamespace(blade=lambda name: SimpleNamespace(batch=batches[name]))
        return codes(mixing_doubts(SimpleNamespace(rows=[]), named, kinds))

    assert of(held) == ("batches_counted_as_blades",)
    assert of({**held, "A2": "5"}) == ()  # every blade by itself
    assert of({**held, "B1": "2"}) == ()  # a batch that both share
