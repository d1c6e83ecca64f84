"""The plan page: every protocol has one, in its own unit, and asks for what nothing says."""

import pytest

from edgetest.store.workspace import new_study
from tests.app.test_navigation_pages import page, words

BLADES = [{"id": f"{t}{i}", "heat_treatment": t} for t in ("soft", "hard") for i in (1, 2, 3)]


@pytest.fixture
def made(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()

    def study(protocol):
        treatments = [{"id": "soft"}, {"id": "hard"}]
        new_study(tmp_path / "one", protocol, "one", blades=BLADES, heat_treatments=treatments)

    return study


def test_a_cut_test_says_what_its_own_blades_can_show(made):
    made("sisal_rope")
    run = page("plan", seconds=60).run()
    assert not run.exception
    said = words(run)
    assert "this study's own 3 blades of each" in said
    assert "No quench or temper batch is named" in said
    assert "Doubling stages leave the life" in said


def test_a_chop_test_is_planned_by_pieces(made):
    made("lumber_chop")
    run = page("plan", seconds=60).run()
    assert not run.exception
    said = words(run)
    assert "more chops to sever" in said
    assert "Let each blade sever 2 pieces" in said
    assert "µm" not in said


def test_thread_force_asks_for_a_fresh_edge_in_its_own_unit(made):
    made("thread_severing")
    run = page("plan", seconds=60).run()
    assert "--fresh in gf" in words(run)
    fresh = run.number_input(key="kept.one.plan.fresh")
    assert fresh.label == "A fresh edge reads, gf"
    fresh.set_value(200.0).run()
    assert not run.exception
    assert "blades of each heat treatment" in words(run)
