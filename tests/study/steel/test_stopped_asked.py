"""Work on a piece that its own row still stops from fire is asked about, at each row of it."""

import pytest

from edgetest.study.steel.steel_rows import SteelRows
from edgetest.study.steel.stopped_asked import stopped_asked


def asked(row, **more):
    rows = SteelRows.model_validate({"pieces": [{"id": "P", **row}, {"id": "Q"}], **more})
    return [str(one) for one in stopped_asked(rows)]


HEAT, TRIAL = {"piece": "P", "medium": "oil"}, {"piece": "P", "test": "bend", "edge": "sound"}


@pytest.mark.parametrize(
    ("row", "why"),
    [({"coating": "painted"}, "painted"), ({"coating": "unknown"}, "of unknown coating"),
     ({"lead": "suspected"}, "lead suspected"),
     ({"coating": "painted", "lead": "yes"}, "painted and lead yes"),
     ({"closed_hollow": True}, "a closed hollow"), ({"loaded_spring": True}, "a loaded spring")],
)  # fmt: skip
def test_sparks_heats_and_trials_of_a_stopped_piece_are_asked_about(row, why):
    sparks, heat, trial = asked({**row, "sparks": "between"}, heats=[HEAT], trials=[TRIAL])
    assert sparks.startswith("study.toml, evidence, pieces 1 (P), sparks: its sparks were made")
    assert heat.startswith("study.toml, evidence, heats 1: P: it was in the fire, and the piece")
    assert trial.startswith("study.toml, evidence, trials 1: P: it was tried")
    assert all(f"is noted as {why}; if that was off" in one for one in (sparks, heat, trial))


@pytest.mark.parametrize("row", [{}, {"coating": "removed", "lead": "no"}, {"coating": "none"}])
def test_a_free_piece_or_another_one_or_stock_bought_hard_is_not(row):
    assert asked({**row, "sparks": "between"}, heats=[HEAT], trials=[TRIAL]) == []
    bought = {**HEAT, "medium": "factory"}
    assert asked({"coating": "painted"}, heats=[bought, {**HEAT, "piece": "Q"}]) == []


def test_enter_asks_when_a_heat_of_a_painted_piece_is_written(run, tmp_path):
    run("new", tmp_path / "p", "--steel-for", "knife")
    run("enter", tmp_path / "p", "--evidence", "pieces", "id=P", "coating=painted")
    _, out, _ = run("enter", tmp_path / "p", "--evidence", "heats", "coupon=1", "medium=oil")
    assert "asked: study.toml, evidence, heats 1: P: it was in the fire" in out
