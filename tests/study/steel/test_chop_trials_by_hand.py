"""Chips and rolls a chop beside the known blades, from counts made by hand."""

import pytest

from edgetest.study.steel import chop_trials as module
from edgetest.study.steel.blade_heats import Home
from edgetest.study.steel.chop_trials import chop_trials

HOMES = {"A": Home("leaf", None, True)}


@pytest.fixture
def tried(monkeypatch):
    """Trials of the damage (chips, rolls) and chops of each blade."""

    def of(known=("R", "S"), **blades):
        new = {name: {"chips": chips, "rolls": rolls} for name, (chips, rolls, _) in blades.items()}
        chops = {name: count for name, (_, _, count) in blades.items()}
        monkeypatch.setattr(module, "log_path", lambda *_: "chops.csv")
        monkeypatch.setattr(module, "_damage", lambda _: (new, chops))
        return [(one.result, one.edge) for one in chop_trials("x", HOMES, known)]

    return of


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ((20, 0, 100), ("worse", "chipped")),
        ((10, 10, 100), ("worse", "chipped")),
        ((9, 11, 100), ("worse", "rolled")),
        ((3, 0, 100), None),
        ((0, 0, 100), (None, "sound")),
        ((0, 0, 2000), ("better", "sound")),
        ((20, 0, 2000), None),
        ((10, 0, 100_000), ("better", None)),
    ],
)
def test_a_rate_of_damage_is_held_against_the_known_blades(tried, own, told):
    """Two known blades with one chip each in 100 chops: 2 in 200."""
    found = tried(A=own, R=(1, 0, 100), S=(0, 1, 100))
    assert found == ([told] if told else [])


def test_known_blades_are_counted_together_and_those_not_chopped_with_not_at_all(tried):
    assert tried(A=(20, 0, 100), R=(0, 0, 100)) == [("worse", "chipped")]
    assert tried(A=(20, 0, 100)) == []
    assert tried(A=(0, 0, 100), R=(0, 0, 100)) == [(None, "sound")]
    assert tried(A=(20, 0, 100), R=(0, 0, 100), known=()) == []


def test_a_trial_tells_whose_it_is(tried, monkeypatch):
    tried(A=(20, 0, 100), R=(0, 0, 100))
    (one,) = chop_trials("x", HOMES, ("R",))
    assert (one.piece, one.trial, one.heat, one.carburised) == ("leaf", "chop", ("A", 1), True)
    assert chop_trials("x", {}, ("R",)) == ()
    monkeypatch.setattr(module, "log_path", lambda *_: None)
    assert chop_trials("x", HOMES, ("R",)) == ()
