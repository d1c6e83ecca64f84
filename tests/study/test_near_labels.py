"""Labels that a slip of the pen parts: asked about in study.toml as in a log."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.store.log_rows import LogRow
from edgetest.store.records import study_of
from edgetest.study.near_labels import (
    LABELS,
    blade_slips,
    near_facts,
    near_labels,
    near_lots,
    slips,
)

STEPS = {"kind": "quench"}


def told(blades=({},), steps=(), folder="."):
    facts = {
        "title": "T",
        "protocol": "sisal_rope",
        "blades": [{"id": f"K{n}", **each} for n, each in enumerate(blades, 1)],
        "heat_treatments": [
            {"id": f"h{n}", "steps": [{**STEPS, "medium": medium}]}
            for n, medium in enumerate(steps, 1)
        ],
    }
    return [str(one) for one in near_facts(study_of(facts, Path(folder)))]


@pytest.mark.parametrize(
    ("key", "usual", "rare"),
    [
        ("steel", "plough disc", "plough dsic"),
        ("steel", "plough disc", "Plough disc"),
        ("kind", "billhook", "bilhook"),
        ("piece", "disc 1", "disc l"),
        ("batch", "heat one", "haet one"),
        ("batch", "heat b", "heat  b"),
        ("edge_finish", "1000 grit stone", "1000 grit ston"),
    ],
)
def test_a_slip_in_a_blade_s_label_is_asked_about_at_the_blade(key, usual, rare):
    (one,) = told([{key: usual}, {key: rare}, {key: usual}])
    assert one.startswith(f'study.toml, blades 2 (K2), {key}: "{rare}" is nearly "{usual}" of')


def test_a_label_that_names_its_own_blade_is_another_one():
    assert told([{"batch": "quench K1"}, {"batch": "quench k2"}]) == []
    assert len(told([{"batch": "quench K1"}, {"batch": "quench KI"}])) == 1
    assert len(told([{"batch": "quench K1"}, {"batch": "quensh K2"}])) == 0  # two numbers
    mixed = [{"batch": "quench K1"}, {"batch": "quench K1"}, {"batch": "quench Kl"}]
    assert len(told(mixed)) == 1
    letters = [SimpleNamespace(id=f"Q1{x}", batch=f"quench Q1{x}") for x in "DE"]
    assert list(blade_slips(letters, "batch")) == []
    letters[1].batch = "quensh Q1D"
    assert len(list(blade_slips(letters, "batch"))) == 1


@pytest.mark.parametrize(
    ("key", "one", "other"),
    [("batch", "heat a", "heat b"), ("piece", "disc 1", "disc 2"), ("kind", "billhook", "hatchet"),
     ("steel", "0.75 % carbon steel", "0.80 % carbon steel")],
)  # fmt: skip
def test_labels_of_blades_that_are_two_are_not(key, one, other):
    assert told([{key: one}, {key: one}, {key: other}]) == []


def test_a_slip_in_what_a_blade_was_quenched_in_is_asked_about_at_its_step():
    (one,) = told(steps=("warm oil, 55 °C", "warm oil, 55 °C", "wram oil, 55 °C"))
    assert one.startswith("study.toml, heat_treatments 3 (h3), steps 1, medium:")
    assert told(steps=("warm oil, 55 °C", "warm oil, 65 °C", "brine")) == []


def test_a_slip_in_a_lot_of_found_steel_is_asked_about_at_its_piece():
    pieces = [{"id": f"P{n}", "lot": lot} for n, lot in enumerate(("harrow", "harrow", "harow"))]
    study = study_of(
        {"title": "T", "protocol": "sisal_rope", "evidence": {"pieces": pieces}}, Path(".")
    )
    (one,) = map(str, near_lots(study))
    assert one.startswith('study.toml, evidence, pieces 3, lot: "harow" is nearly "harrow"')


@pytest.mark.parametrize("column", ["operator", "day"])
def test_capitals_alone_part_two_people_or_days(column):
    """Of a block they are a fault already, told where the log is read."""
    rows = [LogRow(n, "A", 0, **{column: one}) for n, one in enumerate(("Maker", "Maker", "maker"))]
    assert [one.row for one in near_labels("log.csv", rows, column)] == [2]
    blocks = [LogRow(n, "A", 0, block=one) for n, one in enumerate(("Roll", "Roll", "roll"))]
    assert list(near_labels("log.csv", blocks, "block")) == []
    assert column in LABELS
    assert "grain" in LABELS


def test_of_two_labels_the_more_frequent_one_comes_first():
    assert list(slips({"sprint": 1, "spring": 2, "oak": 9})) == [("spring", "sprint")]
    many = {f"word{'x' * n}": 1 for n in range(401)}
    assert list(slips(many)) == []


@pytest.mark.parametrize(("rare", "asked"), [("Douglas fir", 0), ("Duoglas-fir", 1)])
def test_two_spellings_of_one_wood_are_one_and_a_misspelt_one_is_asked_about(rare, asked):
    woods = [SimpleNamespace(line=n, species="Douglas-fir") for n in (2, 3)]
    woods.append(SimpleNamespace(line=9, species=rare))
    assert len(list(near_labels("chops.csv", woods, "species"))) == asked
