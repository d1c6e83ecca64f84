"""The cells of a log as typed, each row with its faults; the last changes in words."""

import json
from types import SimpleNamespace

from edgetest.store.history import HISTORY_FILE, Change
from edgetest.store.table_faults import cell_fault
from edgetest.study.bench.log_cells import log_cells, told_history


def fault(row, column):
    return cell_fault("log.csv", row, column, f"wrong in {column or 'the file'}", "mend it")


def cells_of(folder, text, *faults):
    (folder / "log.csv").write_text(text, "utf-8")
    return log_cells(SimpleNamespace(path=folder), faults)


def test_rows_stand_with_their_numbers_in_the_file(tmp_path):
    found = cells_of(
        tmp_path,
        "blade,cuts,note\n A ,0,\n\nB,10\n",
        fault(2, "cuts"),
        fault(2, ""),
        fault(None, "x"),
    )
    assert found.columns == ("blade", "cuts", "note")
    assert [line for line, _ in found.rows] == [2, 4]
    assert found.cell(2, "blade") == "A"
    assert found.cell(4, "note") == ""
    assert found.cell(4, "nothing") == found.cell(9, "blade") == ""
    assert found.editable
    assert [line for line, _ in found.with_fault()] == [2]
    assert found.fault_words(2) == "cuts: wrong in cuts; row: wrong in the file"
    assert found.fault_words(4) == ""
    assert len(found.faults[None]) == 1


def test_without_a_log_there_are_no_cells(tmp_path):
    assert log_cells(SimpleNamespace(path=tmp_path), ()) is None
    assert log_cells(SimpleNamespace(path=tmp_path), (), table="chops") is None


def test_the_history_is_told_newest_first_by_what_changed(tmp_path):
    changes = [
        Change("append", "log", 2, None, {"blade": "A", "cuts": "0"}, "2026-05-04T10:11:12+00:00"),
        Change("correct", "log", 2, {"blade": "A", "cuts": "0"}, {"blade": "A", "cuts": "1"},
               "2026-05-04T10:12:12+00:00"),
        Change("undo", "log", 2, {"blade": "A", "cuts": "1"}, None, "2026-05-04T10:13:12+00:00"),
    ]  # fmt: skip
    lines = [json.dumps(vars(one)) for one in changes]
    (tmp_path / HISTORY_FILE).write_text("\n".join(lines) + "\n", "utf-8")
    undone, corrected, appended = told_history(tmp_path)
    assert (appended.when, appended.what, appended.row) == ("2026-05-04 10:11", "log: append", 2)
    assert (appended.before, appended.after) == ("", "blade A, cuts 0")
    assert (corrected.before, corrected.after) == ("cuts 0", "cuts 1")
    assert (undone.before, undone.after) == ("blade A, cuts 1", "")
    assert told_history(tmp_path, last=1) == (undone,)
