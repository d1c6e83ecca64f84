"""What the bench calls out: readings, actions and turns in words, and the set-ups of a study."""

from types import SimpleNamespace

import pytest

from edgetest.study.bench.next_action import Action, Due, Turn, set_ups_of


def due(**more):
    facts = {"name": "edge_width_um", "title": "edge width", "unit": "µm", "kind": "number"}
    return Due(**facts | {"check": "", **more})


@pytest.mark.parametrize(
    ("more", "where", "label"),
    [
        ({}, "", "Edge width (µm)"),
        ({"station_mm": 10.0}, "station 10 mm", "Edge width, station 10 mm (µm)"),
        ({"station_mm": 0.0}, "station 0 mm", "Edge width, station 0 mm (µm)"),
        ({"check_no": 2}, "check 2", "Edge width, check 2 (µm)"),
        (
            {"station_mm": 10.0, "check_no": 1, "unit": ""},
            "station 10 mm, check 1",
            "Edge width, station 10 mm, check 1",
        ),
    ],
)
def test_a_reading_is_labelled_by_what_it_is_and_where(more, where, label):
    assert due(**more).where == where
    assert due(**more).label == label
    assert due(**more).place == (more.get("station_mm"), "edge_width_um")


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"kind": "done"}, "All stages of all blades are done."),
        (
            {"kind": "cut", "block": "roll 1", "stage": 20, "cuts_done": 7},
            "Blade K7 on roll 1, cut to 20: 13 to go",
        ),
        ({"kind": "cut", "stage": 20, "cuts_done": 20}, "Blade K7, cut to 20: 0 to go"),
        ({"kind": "cut", "stage": 20, "cuts_done": 25}, "Blade K7, cut to 20: 0 to go"),
        ({"kind": "read", "due": (due(),) * 2}, "Blade K7, read the fresh edge: 2 due"),
        ({"kind": "read", "stage": 10, "due": (due(),)}, "Blade K7, read at 10 cuts: 1 due"),
    ],
)
def test_an_action_is_called_out(facts, said):
    assert Action(blade="A", name="K7", **facts).summary() == said


@pytest.mark.parametrize(
    ("state", "block", "said"),
    [
        ("cut", "", "K7: 5 of 20 cuts"),
        ("read", "roll 1", "K7 on roll 1: 5 cuts, readings due"),
        ("done", "", "K7: done"),
        ("ended", "", "K7: ended at 5 cuts"),
    ],
)
def test_a_turn_says_where_a_run_stands(state, block, said):
    turn = Turn("A", "K7", block, state, 5, 20)
    assert turn.label() == said
    assert turn.run == (block, "A")


def rule(lamps):
    return SimpleNamespace(between_lamps=lamps)


@pytest.mark.parametrize(
    ("unnamed", "scales", "found"),
    [
        (None, {}, {"edge_width_um": ""}),
        (rule(False), {}, {"edge_width_um": ""}),
        (rule(True), {}, {"w30_um": ""}),
        (None, {"a": rule(True)}, {"w30_um": "a", "edge_width_um": ""}),
        (rule(True), {"a": rule(False)}, {"w30_um": "", "edge_width_um": "a"}),
        (None, {"a": rule(True), "b": rule(True)}, {"w30_um": "b", "edge_width_um": ""}),
        (rule(False), {"a": rule(False)}, {"edge_width_um": ""}),
    ],
)
def test_each_reading_has_its_set_up(unnamed, scales, found):
    assert set_ups_of(SimpleNamespace(scale=unnamed, scales=scales)) == found
