"""The plan page: every protocol has one, in its own unit, and asks for what nothing says."""

from pathlib import Path
from types import SimpleNamespace

import pytest

from edgetest.app.desk import plan_page
from edgetest.store.workspace import new_study
from edgetest.study.shop.shop_memory import book_of
from tests.app.test_navigation_pages import page, words
from tests.study.blank_figures import leave_blank
from tests.study.shop.test_shop_book import write_study
from tests.study.wear.test_ended_looks import cut, first, study_of

BLADES = [{"id": f"{t}{i}", "heat_treatment": t} for t in ("soft", "hard") for i in (1, 2, 3)]


@pytest.fixture
def made(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    leave_blank(monkeypatch)

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
    assert "The number above is read off the line" in said
    number = next(one for one in run.number_input if one.label == "Number of the draw")
    assert "and the same rolls, boards or days give the same order" in number.help
    rolls = next(one for one in run.text_input if one.label.startswith("Rolls, boards or days"))
    assert "the bench's own draw takes one where it is blank" in rolls.help


def test_that_a_test_is_over_stands_above_the_number_of_blades(tmp_path, made):
    cut(study_of(tmp_path, made='made = [{size = 5, decision = "stop"}]\n'), *first(10))
    run = page("plan", seconds=60).run()
    assert not run.exception
    said = words(run)
    over = "This test ended at the look with 5 a side"
    assert said.index(over) < said.index("To show a life 25")
    assert said.count(over) == 1


def test_a_chop_test_is_planned_by_pieces(made):
    made("lumber_chop")
    run = page("plan", seconds=60).run()
    assert not run.exception
    said = words(run)
    assert "more chops to sever" in said
    assert "Let each blade sever 2 pieces" in said
    assert "µm" not in said
    labels = [each.label for each in (*run.multiselect, *run.number_input)]
    assert not [label for label in labels if "Earlier studies" in label or "reading" in label]
    assert "Scatter between blades alike, ± % of strokes" in labels


def test_a_chopper_beside_a_known_tool_is_planned_by_pieces_with_each(tmp_path, made):
    new_study(tmp_path / "one", "lumber_chop", "one", blades=[{"id": "H1"}], control="C1")
    run = page("plan", seconds=90).run()
    assert not run.exception
    said = words(run)
    assert "pieces with each tool (" in said
    assert "not of their heat treatments" in said
    assert "blades of each heat treatment" not in said
    assert not run.multiselect
    assert not [each for each in run.number_input if "Scatter" in each.label]
    (boards,) = [each for each in run.text_input if each.label == "Boards, in their order"]
    assert boards.placeholder == "stud 1, stud 2"
    run = boards.set_value("stud 1, stud 2, pole 1").run()
    assert not run.exception
    assert "With the 3 pieces of each tool here" in words(run)


def test_thread_force_asks_for_a_fresh_edge_in_its_own_unit(made):
    made("thread_severing")
    run = page("plan", seconds=60).run()
    assert "Say it in gf under “What you expect beforehand”" in words(run)
    fresh = run.number_input(key="kept.one.plan.fresh")
    assert fresh.label == "A fresh edge reads, gf"
    fresh.set_value(200.0).run()
    assert not run.exception
    assert "blades of each heat treatment" in words(run)


def test_the_shop_s_other_studies_have_a_say_where_a_person_says_so(tmp_path, made):
    made("sisal_rope")
    for number in range(4):
        write_study(tmp_path / f"earlier_{number}", 1.4 + 0.1 * number, number)
    assert "other studies" not in [each.label for each in page("plan", seconds=90).run().toggle]
    book_of(tmp_path)
    run = page("plan", seconds=90).run()
    assert "earlier studies of your shop" not in words(run)
    (offered,) = [each for each in run.toggle if "3 other studies" in each.label]
    run = offered.set_value(True).run()
    assert not run.exception
    assert "comes from 3 earlier studies of your shop" in words(run)
    assert "as your shop compares them" in words(run)


def test_a_log_that_tells_the_scatter_of_its_blades_may_be_named(tmp_path, made):
    write_study(tmp_path / "one", 1.4, 1)
    run = page("plan", seconds=90).run()
    assert "Name this study itself among the earlier ones (in the list above)" in words(run)
    (earlier,) = [each for each in run.multiselect if "Earlier studies" in each.label]
    assert earlier.options == ["this study's own log"]
    run = earlier.select(earlier.options[0]).run()
    assert not run.exception
    assert "1 earlier study: blades of one heat treatment scatter by about" in words(run)


def test_a_saved_plan_is_told_on_every_run_that_shows_it(made):
    """Work beside the page draws it anew when it ends, so once would be lost."""
    made("sisal_rope")
    told = "The plan is in the study"
    run = page("plan", seconds=60).run()
    assert told not in words(run)
    run.button(key="plan.save").click().run()
    assert told in words(run)
    run.run()
    assert told in words(run)
    number = next(one for one in run.number_input if one.label == "Number of the draw")
    number.set_value(2).run()
    assert told not in words(run)  # the order on the page is not the one that was saved


@pytest.mark.parametrize(("believed", "shared"), [(None, "the boards"), (object(), "the rolls")])
def test_a_simulated_chance_speaks_of_what_this_test_shares(monkeypatch, believed, shared):
    said = []
    monkeypatch.setattr(plan_page.st, "caption", said.append)
    monkeypatch.setattr(plan_page, "show_figure", lambda *_, **__: None)
    curve = SimpleNamespace(
        blades=(4,), chances=(0.5,), standard_errors=None, simulated=True, through=lambda *_: 0.5
    )
    need = SimpleNamespace(
        curve=curve, difference="", ratio=1.2, level=0.95, power=0.8,
        words=SimpleNamespace(each="pieces"),
    )  # fmt: skip
    made = SimpleNamespace(need=need, believed=believed)
    plan_page._power(SimpleNamespace(path=Path("chop")), made)
    (caption,) = said
    assert f"shares {shared}." in caption
