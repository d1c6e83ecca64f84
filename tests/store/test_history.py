"""The history keeps what was changed in the program, and notices what was changed outside it."""

import shutil

import pytest

from edgetest.store.history import IN_THE_FILE, notice_edits, read_history
from edgetest.store.journal import append_reading, undo_last
from edgetest.store.places import shipped
from edgetest.store.study_zip import import_study
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from tests.store.zipped_study import zip_of


@pytest.fixture
def study(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "sisal_rope", "rope", blades=("H1", "S1"))
    (folder / "log.csv").write_text("blade,cuts,edge_width_um\nH1,0,2.4\nS1,0,2.5\n", "utf-8")
    notice_edits(folder)  # the template gave way to these rows
    return folder


def told(folder):
    """Rows of the history that somebody made in the file, from the last template on."""
    return [
        (each.row, each.before, each.after)
        for each in read_history(folder)
        if each.what == IN_THE_FILE and {"edge_width_um"} & {*(each.before or each.after)}
    ]


def edit(folder, old, new):
    path = folder / "log.csv"
    path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")


def test_a_cell_changed_in_the_file_is_in_the_history_with_both_versions(study):
    already = len(read_history(study))
    edit(study, "S1,0,2.5", "S1,0,3.5")
    open_source(study)
    (change,) = read_history(study)[already:]
    assert (change.what, change.table, change.row) == (IN_THE_FILE, "log", 3)
    assert change.before["edge_width_um"] == "2.5"
    assert change.after["edge_width_um"] == "3.5"
    open_source(study)
    assert len(read_history(study)) == already + 1


def test_rows_added_and_taken_out_are_told_apart(study):
    already = len(told(study))
    edit(study, "H1,0,2.4\n", "")
    edit(study, "S1,0,2.5\n", "S1,0,2.5\nS1,25,4.0\n")
    notice_edits(study)
    gone, new = told(study)[already:]
    assert gone[1]["blade"] == "H1"
    assert gone[2] is None
    assert new[1] is None
    assert new[2]["cuts"] == "25"


def test_a_row_that_stands_elsewhere_in_the_file_was_moved_and_not_taken_out(study):
    edit(study, "S1,0,2.5\n", "S1,0,2.5\nS1,25,4.0\n")
    notice_edits(study)
    already = len(read_history(study))
    edit(study, "H1,0,2.4\nS1,0,2.5\nS1,25,4.0\n", "S1,0,2.5\nS1,25,4.0\nH1,0,2.4\nS1,50,6\n")
    notice_edits(study)
    changes = read_history(study)[already:]
    moved = [each for each in changes if each.from_row]
    assert [(each.from_row, each.row, each.before["blade"]) for each in moved] == [(2, 4, "H1")]
    assert moved[0].before == moved[0].after
    (added,) = [each for each in changes if not each.from_row]
    assert (added.before, added.after["cuts"]) == (None, "50")


def test_a_file_put_into_another_order_says_of_each_row_where_it_stood(study):
    rows = [f"H1,{25 * n},{n + 3}\n" for n in range(1, 9)]
    edit(study, "S1,0,2.5\n", "S1,0,2.5\n" + "".join(rows))
    notice_edits(study)
    already = len(read_history(study))
    edit(study, "".join(rows), "".join(reversed(rows)))
    notice_edits(study)
    changes = read_history(study)[already:]
    assert {each.row + each.from_row for each in changes} == {15}  # rows 4 to 11
    assert all(each.before == each.after for each in changes)
    assert 7 <= len(changes) <= 8


def test_an_edit_before_a_reading_is_noticed_before_it_and_not_undone_by_it(study):
    edit(study, "S1,0,2.5", "S1,0,2.6")
    append_reading(study, {"blade": "H1", "cuts": "25", "edge_width_um": "4"})
    *_, edited, reading = read_history(study)
    assert (edited.what, reading.what) == (IN_THE_FILE, "append")
    undo_last(study)
    assert "S1,0,2.6" in (study / "log.csv").read_text("utf-8")
    assert "4" not in (study / "log.csv").read_text("utf-8").split()[-1].split(",")


def test_a_file_that_is_no_table_waits_until_it_is_mended(study):
    already = len(read_history(study))
    whole = (study / "log.csv").read_text("utf-8")
    (study / "log.csv").write_bytes(b"\xff\xfe\x00")
    notice_edits(study)
    (study / "log.csv").write_text(whole, "utf-8")
    notice_edits(study)
    assert len(read_history(study)) == already


def test_a_study_that_the_program_never_wrote_is_taken_as_it_stands(tmp_path):
    folder = tmp_path / "run"
    shutil.copytree(shipped("sample_runs") / "billhook_temper_study", folder)
    before = read_history(folder)
    open_source(folder)
    assert read_history(folder) == before
    assert not list(folder.glob(".known_*"))


def test_the_copy_stays_out_of_the_zip(study, tmp_path):
    data = zip_of(study)
    there = import_study(data, tmp_path / "other")
    assert not list(there.glob(".known_*"))
    assert (there / "history.jsonl").is_file()


def test_a_damaged_entry_is_skipped(study):
    kept = read_history(study)
    with open(study / "history.jsonl", "a", encoding="utf-8") as file:
        file.write('{"what":5,"table":"log","row":"a","before":[],"after":7,"when":3}\n')
    assert read_history(study) == kept
