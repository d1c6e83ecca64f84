"""The log page without a browser: a file that names no rolls is told before it is taken."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.open_study import WORKSPACE_VARIABLE
from edgetest.store.journal import append_reading, last_change, undo_last
from edgetest.store.workspace import new_study
from edgetest.study.bench.change_words import change_words
from edgetest.study.sources import open_source
from tests.browser.studies import FORCE, bench_study
from tests.study.wear.test_uploaded_rolls import FILE, study_on_rolls


def log_page():
    from edgetest.app.desk import log_page

    log_page.show()


def test_the_columns_to_be_filled_are_there_before_the_first_reading(tmp_path, monkeypatch):
    new_study(tmp_path / "s", "sisal_rope", "Two tempers", blades=("K1", "K2"))
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    assert not page.exception
    assert "edge_width_um" in page.dataframe[0].value.columns


def test_a_file_is_asked_about_before_it_is_taken_and_a_cell_is_set_right_once(
    tmp_path, monkeypatch
):
    folder = bench_study(tmp_path, readings=(FORCE,))
    rows = "".join(f"K1,{cuts},{1 + cuts / 10}\n" for cuts in range(0, 60, 10))
    file = f"blade,cuts,sever_force_gf\nK2,0,0.02\n{rows}".encode()
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    page.file_uploader[0].set_value([("mine.csv", file, "text/csv")]).run()
    (asked,) = [each.value for each in page.warning if "0.02 is unusual" in each.value]
    assert asked.startswith("Did you mean it?")
    next(each for each in page.button if each.label == "Use this log").click().run()
    assert not page.exception
    labels = [each.label for each in page.text_input]
    assert len(labels) == len(set(labels)) > 0
    assert open_source(folder).log.rows


@pytest.mark.parametrize("filled", [True, False])
def test_the_rolls_of_the_plan_are_told_and_filled_in(tmp_path, monkeypatch, filled):
    folder = study_on_rolls(tmp_path)
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    page.file_uploader[0].set_value([("mine.csv", FILE, "text/csv")]).run()
    assert not page.exception
    assert "2 rows of this file name none" in page.warning[0].value
    (toggle,) = [each for each in page.toggle if each.label.startswith("Fill in")]
    if not filled:
        toggle.set_value(False).run()
    next(each for each in page.button if each.label == "Use this log").click().run()
    assert not page.exception
    assert {row.block for row in open_source(folder).log.rows} == (
        {"roll 1", "roll 2"} if filled else {""}
    )


def test_a_cell_that_is_hardly_meant_is_asked_about_with_a_field_to_set_it_right(
    tmp_path, monkeypatch
):
    folder = bench_study(tmp_path, readings=(FORCE,))
    append_reading(folder, {"blade": "K1", "cuts": 0, "sever_force_gf": "30000", "check_no": 1})
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    assert "30000 is unusual" in page.warning[0].value
    assert open_source(folder).log.readings("sever_force_gf").value.tolist() == [30000]
    (field,) = [each for each in page.text_input if each.label.endswith("sever_force_gf")]
    field.set_value("300").run()
    next(each for each in page.button if each.label == "Set right").click().run()
    assert not page.exception
    assert [each.value for each in page.warning] == []
    assert open_source(folder).log.readings("sever_force_gf").value.tolist() == [300]


def ash_chopped(root):
    """Two pieces of a wood whose name means several woods."""
    new_study(root / "chop", "billet_chop", "Two hatchets", blades=("H1", "H2"))
    for blade in ("H1", "H2"):
        append_reading(root / "chop", {
            "blade": blade, "kind": "billet", "order": 9, "chops": "12", "species": "ash",
            "width_mm": "50", "thickness_mm": "50",
        }, table="chops")  # fmt: skip
    return root / "chop"


def test_a_wood_that_no_answer_can_use_is_a_fault_and_is_set_right_in_all_its_rows(
    tmp_path, monkeypatch
):
    folder = ash_chopped(tmp_path)
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    assert page.error[0].value.startswith("1 fault, under the table.")
    assert '"ash" means several woods' in page.error[1].value
    assert [each.value for each in page.success] == []
    (field,) = [each for each in page.text_input if each.label == "2 rows, species"]
    field.set_value("European ash").run()
    next(each for each in page.button if each.label == "Set right").click().run()
    assert not page.exception
    assert [each.value for each in page.error] == []
    woods = [row.species for row in open_source(folder).chops.rows if row.chops]
    assert woods == ["European ash"] * 2


def test_who_comes_back_to_the_grid_sees_what_the_file_says(tmp_path, monkeypatch):
    ash_chopped(tmp_path)
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    page.run()
    assert page.session_state["log.held"]["number"] == 0
    held = page.session_state["log.held"]  # a cell was typed into, and its grid left
    held["typed"][2, "note"], held["key"] = "dropped", "log.grid.gone"
    page.run()
    assert page.session_state["log.held"]["number"] == 1


def above_the_table(page):
    """Kinds of what stands above the table, in order; boxes below it do not move it."""
    kinds = [type(each).__name__ for each in page.main.children.values()]
    above = kinds[: kinds.index("Dataframe")]
    return ["line" if kind in ("Error", "Success") else kind for kind in above]


def test_the_table_keeps_its_place_whatever_is_wrong_in_it(tmp_path, monkeypatch):
    folder = bench_study(tmp_path, readings=(FORCE,))
    append_reading(folder, {"blade": "K1", "cuts": 0, "sever_force_gf": "300", "check_no": 1})
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    sound = above_the_table(page)
    log = folder / "log.csv"
    for wrong in ("3x0", "30000"):
        log.write_text(log.read_text().replace("300", wrong, 1))
        page = AppTest.from_function(log_page, default_timeout=30).run()
        assert page.error or page.warning
        assert above_the_table(page) == sound
        log.write_text(log.read_text().replace(wrong, "300", 1))


def chop_study(folder):
    new_study(folder, "billet_chop", "Two hatchets", blades=("H1", "H2"))
    log = folder / "chops.csv"
    head, *rows = log.read_text(encoding="utf-8").splitlines()
    at = head.split(",").index("chops")
    said = [row.split(",") for row in rows]
    for row in said:
        if row[:3] == ["H1", "billet", "1"]:
            row[at] = "9"
    log.write_text("\n".join([head, *map(",".join, said)]) + "\n", encoding="utf-8")


def order_of(folder):
    return [(row.blade, row.kind, row.order) for row in open_source(folder).chops.rows]


def test_a_row_that_stands_at_the_wrong_place_is_moved_and_can_be_taken_back(tmp_path, monkeypatch):
    folder = tmp_path / "chop"
    chop_study(folder)
    before, rows = order_of(folder), open_source(folder).chops.rows
    first = next(row for row in rows if row.kind == "billet")
    third = next(row for row in rows if (row.blade, row.kind, row.order) == ("H1", "billet", 3))
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    page.selectbox(key="log.move.row").select(third.line)
    page.selectbox(key="log.move.above").select(first.line)
    next(each for each in page.button if each.label == "Move it").click().run()
    assert not page.exception
    moved = order_of(folder)
    assert moved.index(("H1", "billet", 3)) == before.index((first.blade, "billet", 1))
    assert sorted(map(str, moved)) == sorted(map(str, before))
    change = last_change(folder, table="chops")
    said = change_words(change, {}, open_source(folder).protocol)
    assert said == f"H1, billet 3: moved from row {third.line} to row {first.line}"
    undo_last(folder, table="chops")
    assert order_of(folder) == before


def test_a_row_goes_to_the_end_and_one_that_is_not_chosen_nowhere(tmp_path, monkeypatch):
    folder = tmp_path / "chop"
    chop_study(folder)
    first = open_source(folder).chops.rows[0]
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))
    page = AppTest.from_function(log_page, default_timeout=30).run()
    before = order_of(folder)
    next(each for each in page.button if each.label == "Move it").click().run()
    assert order_of(folder) == before
    page.selectbox(key="log.move.row").select(first.line)
    page.selectbox(key="log.move.above").select(0)
    next(each for each in page.button if each.label == "Move it").click().run()
    assert order_of(folder) == [*before[1:], before[0]]
