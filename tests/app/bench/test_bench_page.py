"""The bench page without a browser: what it asks for, what it puts on disk, how it says no."""

import tomllib
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app.open_study import WORKSPACE_VARIABLE
from edgetest.app.theme import THEME
from edgetest.store.history import read_history
from edgetest.store.journal import append_reading, correct_reading, fill_row
from edgetest.store.workspace import new_study
from edgetest.study.bench.bench_entry import record
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import (
    change_roll,
    count_taps,
    leave_out,
    note_fact,
    read_session,
)
from edgetest.study.sources import open_source
from tests.browser.studies import FORCE, GRADE, PAPER, STATION, bench_study

ROOT = Path(__file__).parents[3]


def bench_page():
    from edgetest.app.bench import bench_page

    bench_page.show()


@pytest.fixture
def opened(tmp_path, monkeypatch):
    monkeypatch.setenv(WORKSPACE_VARIABLE, str(tmp_path))

    def run():
        page = AppTest.from_function(bench_page, default_timeout=30).run()
        assert not page.exception
        return page

    return run


def button(page, label):
    return next(each for each in page.button if each.label == label)


def test_pass_fail_and_grades_are_buttons_and_a_stage_can_be_let_go(tmp_path, opened):
    folder = bench_study(tmp_path, readings=(GRADE, PAPER))
    page = opened()
    button(page, "Slices paper").click().run()
    button(page, "Fail").click().run()
    rows = [row for row in open_source(folder).log.rows if row.readings]
    found = {name: r.text for row in rows for name, r in row.readings.items()}
    assert found == {"grade": "slices paper", "paper": "fail"}
    assert page.title[0].value == "Blade K2, read the fresh edge: 2 due"
    button(page, "Go on without the rest of this stage").click().run()
    assert page.title[0].value == "Blade K1, cut to 10: 10 to go"
    assert read_session(folder).left_out.keys() == {(("", "K2"), 0)}


def test_a_blade_that_chipped_is_ended_before_its_limit_and_taken_up_again(tmp_path, opened):
    folder = bench_study(tmp_path, readings=(GRADE,))
    page = opened()
    page.session_state["bench.fold.end"] = True
    page.run()
    (why,) = [each for each in page.text_input if each.label == "Why, as a note"]
    why.set_value("chipped at the heel").run()
    button(page, "End blade K1 here").click().run()
    assert page.title[0].value == "Blade K2, read the fresh edge: 1 due"
    assert read_session(folder).ended == {("", "K1")}
    assert [row.note for row in open_source(folder).log.rows if row.note] == ["chipped at the heel"]
    page.session_state["bench.fold.turns"] = True
    page.run()
    button(page, "Take up K1 again").click().run()
    assert not read_session(folder).ended


def test_a_roll_that_runs_out_between_two_stages_is_read_there_and_the_next_one_named(
    tmp_path, opened
):
    folder = bench_study(tmp_path, blades=("K1",), stages=(0, 10, 20), readings=(FORCE,))
    rows = [f"K1,{cuts},{check},," for cuts in (0, 10, 20) for check in (1, 2)]
    head = "blade,cuts,check_no,sever_force_gf,batch"
    (folder / "log.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    for cuts in (0, 10):
        for check in (1, 2):
            row = {"blade": "K1", "cuts": cuts, "check_no": check, "sever_force_gf": 150 + cuts}
            append_reading(folder, row)
    count_taps(folder, ("", "K1"), [("a", 10, 0)], stage=10)
    count_taps(folder, ("", "K1"), [("b", 4, 0)], stage=20, read_to=10)
    page = opened()
    assert page.title[0].value == "Blade K1, cut to 20: 6 to go"
    page.session_state["bench.fold.roll"] = True
    page.run()
    (name,) = [each for each in page.text_input if each.label == "Name of the next roll"]
    name.set_value("roll 3").run()
    button(page, "Go on with this roll").click().run()
    assert page.title[0].value == "Blade K1, read at 14 cuts: 2 due"
    action = next_action(open_source(folder))
    for due in action.due:
        record(folder, action, due, "165")
    assert opened().title[0].value == "Blade K1, cut to 20: 6 to go"
    count_taps(folder, ("", "K1"), [("c", 6, 0)], stage=20, read_to=14)
    action = next_action(open_source(folder))
    for due in action.due:
        record(folder, action, due, "170")
    log = open_source(folder).log
    assert log.faults == ()  # the stage that nobody planned stands in its place
    assert [(row.cuts, row.batch) for row in log.rows[::2]] == [
        (0, ""), (10, ""), (14, ""), (20, "roll 3")
    ]  # fmt: skip


def test_the_next_roll_stands_in_the_rows_that_were_planned_on_another(tmp_path, opened):
    folder = bench_study(tmp_path, blades=("K1",), stages=(0, 10), readings=(FORCE,))
    rows = [f"K1,{cuts},{check},,roll 2" for cuts in (0, 10) for check in (1, 2)]
    head = "blade,cuts,check_no,sever_force_gf,batch"
    (folder / "log.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    for check in (1, 2):
        append_reading(folder, {"blade": "K1", "cuts": 0, "check_no": check, "sever_force_gf": 150})
    change_roll(folder, ("", "K1"), "roll 3", 4, read=True)
    for cuts, met in ((4, 0), (6, 4)):
        count_taps(folder, ("", "K1"), [(f"t{met}", cuts, met)], stage=met + cuts, read_to=met)
        action = next_action(open_source(folder))
        for due in action.due:
            record(folder, action, due, "165")
    log = open_source(folder).log
    assert [(row.cuts, row.batch, row.waiting) for row in log.rows[::2]] == [
        (0, "roll 2", False), (4, "", False), (10, "roll 3", False)
    ]  # fmt: skip
    assert len(log.rows) == 6


def test_a_change_of_roll_is_taken_back(tmp_path, opened):
    folder = bench_study(tmp_path, blades=("K1",), stages=(0, 10), readings=(FORCE,))
    append_reading(folder, {"blade": "K1", "cuts": 0, "check_no": 1, "sever_force_gf": 150})
    append_reading(folder, {"blade": "K1", "cuts": 0, "check_no": 2, "sever_force_gf": 150})
    change_roll(folder, ("", "K1"), "roll 3", 4, read=True)
    count_taps(folder, ("", "K1"), [("a", 4, 0)], stage=10)
    page = opened()
    assert page.title[0].value == "Blade K1, read at 4 cuts: 2 due"
    page.session_state["bench.fold.roll"] = True
    page.run()
    button(page, "Take back: roll 3 from 4 cuts on").click().run()
    assert page.title[0].value == "Blade K1, cut to 10: 6 to go"


def test_a_reading_of_the_blade_before_is_corrected_where_the_page_has_gone_on(tmp_path, opened):
    folder = bench_study(tmp_path, readings=(GRADE,))
    page = opened()
    button(page, "Shaves").click().run()
    assert page.title[0].value == "Blade K2, read the fresh edge: 1 due"
    page.session_state["bench.fold.correct"] = True
    page.run()
    (pick,) = [each for each in page.selectbox if each.label == "Reading"]
    assert pick.options == ["K1, 0 cuts: sharpness grade shaves"]
    (says,) = [each for each in page.text_input if each.label == "It should say"]
    says.set_value("tears paper").run()
    button(page, "Correct it").click().run()
    (row,) = [row for row in open_source(folder).log.rows if row.readings]
    assert (row.blade, row.readings["grade"].text) == ("K1", "tears paper")


def test_undo_takes_the_last_reading_back_and_asks_again(tmp_path, opened):
    folder = bench_study(tmp_path, readings=(GRADE,))
    page = opened()
    button(page, "Shaves").click().run()
    (undo,) = [each for each in page.button if "ndo" in each.label]
    assert undo.label == "Undo: K1, 0 cuts: saved sharpness grade shaves"
    undo.click().run()
    assert page.title[0].value == "Blade K1, read the fresh edge: 1 due"
    assert [change.what for change in read_history(folder)] == ["append", "undo"]


def test_a_reading_that_is_hardly_meant_is_kept_and_asked_about_beside_its_undo(tmp_path, opened):
    folder = bench_study(tmp_path, readings=(FORCE,))
    append_reading(folder, {"blade": "K1", "cuts": 0, "sever_force_gf": "30000", "check_no": 1})
    page = opened()
    (asked,) = page.warning
    assert "log.csv, row " in asked.value
    assert "30000 is unusual: 5 to 20000 gf is what is met" in asked.value
    (undo,) = [each for each in page.button if each.label.startswith("Undo:")]
    assert "30000 gf" in undo.label
    undo.click().run()
    assert [each.value for each in page.warning] == []
    append_reading(folder, {"blade": "K1", "cuts": 0, "sever_force_gf": "300", "check_no": 1})
    assert [each.value for each in opened().warning] == []


def test_a_log_with_faults_is_sent_to_be_mended(tmp_path, opened):
    folder = bench_study(tmp_path)
    (folder / "log.csv").write_text("blade,cuts,grade\nK1,0,sharpish\n")
    page = opened()
    assert "The log has 1 fault," in page.error[0].value
    assert '"sharpish" is not a grade of the ladder' in page.error[1].value


def test_all_done_says_so(tmp_path, opened):
    folder = bench_study(tmp_path, stages=(0,))
    for blade in ("K1", "K2"):
        leave_out(folder, ("", blade), 0)
    page = opened()
    assert page.title[0].value == "All stages of all blades are done."
    assert page.success[0].value == "Every stage is cut and read."
    assert not page.warning


def test_what_is_still_asked_stands_over_the_word_that_all_is_done(tmp_path, opened):
    folder = bench_study(tmp_path, stages=(0,), readings=(FORCE,))
    for blade, force in (("K1", "240"), ("K2", "24")):
        append_reading(folder, {"blade": blade, "cuts": "0", "sever_force_gf": force})
        leave_out(folder, ("", blade), 0)
    page = opened()
    assert page.success
    assert "24, where the readings beside it are about 240" in page.warning[0].value


def test_the_command_and_the_config_file_give_one_theme():
    config = tomllib.loads((ROOT / ".streamlit" / "config.toml").read_text(encoding="utf-8"))
    flat = {}
    for name, value in config["theme"].items():
        for key, each in value.items() if isinstance(value, dict) else [(None, value)]:
            flat[f"theme.{name}.{key}" if key else f"theme.{name}"] = each
    assert {name: str(value).lower() for name, value in flat.items()} == {
        name: str(value).lower() for name, value in THEME.items()
    }


def test_a_chop_test_tells_of_a_wood_of_many_a_mishap_and_the_limit_while_it_is_chopped(
    tmp_path, opened
):
    folder = tmp_path / "chop"
    new_study(folder, "billet_chop", "One hatchet", blades=("H1",))
    page = opened()
    button(page, "No damage seen").click().run()
    run = ("billet 1", "H1")
    for column, says in (("species", "ash"), ("width_mm", "50"), ("thickness_mm", "50")):
        note_fact(folder, run, column, says)
    count_taps(folder, run, [("a", 5, 0)], stage=10_000)
    page = opened()
    assert '"ash" means several woods' in page.warning[0].value
    assert "give “Density, if known (kg/m³)”" in page.warning[0].value
    note_fact(folder, run, "species", "European ash")
    button(page, "The handle worked loose").click().run()
    assert [each.value for each in page.warning] == []
    assert "Noted here: the handle worked loose." in [each.value for each in page.caption]
    button(page, "Severed").click().run()
    button(page, "No damage seen").click().run()
    (row,) = [row for row in open_source(folder).chops.rows if row.chops]
    assert (row.chips_count, row.rolls_count) == (0, 0)
    write_cells(folder, row.line)
    flag = opened().warning[0].value
    assert "1 new chip seen" in flag
    assert "done at 1 new chip. " in flag
    assert "stone the chip out and log a touch-up (**Another row, or one more**)" in flag


def write_cells(folder, line):
    correct_reading(folder, line, "chips_count", "1", was="0", table="chops")
    fill_row(folder, line, {"largest_chip_mm": "0.3"}, of={"blade": "H1"}, table="chops")


def test_looks_that_came_too_late_are_not_asked_for(tmp_path, opened):
    folder = tmp_path / "chop"
    new_study(folder, "billet_chop", "One hatchet", blades=("H1",))
    head = (
        "blade,kind,order,species,moisture_pct,width_mm,thickness_mm,chops,chips_count,rolls_count"
    )
    rows = ["H1,inspection,0,,,,,,,", "H1,billet,1,white ash,12,50,50,9,,",
            "H1,billet,2,white ash,12,50,50,8,0,0", "H1,inspection,1,,,,,,,"]  # fmt: skip
    (folder / "chops.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    page = opened()
    assert page.title[0].value == "Blade H1, look at the edge after the test"
    assert "Go on without this row" in [each.label for each in page.button]


def test_a_life_is_not_called_known_from_half_a_stage_or_a_reading_asked_about(tmp_path, opened):
    folder = bench_study(tmp_path, blades=("K1",), stages=(0, 10, 20, 30, 40), readings=(STATION,))

    def read(cuts, *widths):
        for station, width in zip(("10", "30"), widths, strict=False):
            place = {"cuts": str(cuts), "station_mm": station}
            append_reading(folder, {"blade": "K1", **place, "edge_width_um": width})

    def past():
        return [each.value for each in opened().warning if "is past its limit" in each.value]

    read(0, "5", "5.1")
    read(10, "5.5", "5.6")
    read(20, "6", "62")
    assert open_source(folder).faults == ()
    assert past() == []  # asked about
    (line,) = (
        row.line for row in open_source(folder).log.rows if row.cuts == 20 and row.station_mm == 30
    )
    correct_reading(folder, line, "edge_width_um", "6.2", was="62")
    read(30, "13")
    assert past() == []  # one place of two
    place = {"cuts": "30", "station_mm": "30"}
    append_reading(folder, {"blade": "K1", **place, "edge_width_um": "13.4"})
    (told,) = past()
    assert "Its life is known" in told
    assert told.count("µm") == 2  # of the reading, and of the limit
