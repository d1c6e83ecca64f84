"""Readings at the bench: on disk before they are acknowledged, undone, never lost."""

import os
import signal
import subprocess
import sys
import time

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import append_reading, undo_last
from edgetest.store.logs import read_log
from edgetest.store.workspace import new_study
from tests.store import log_text, rope_study


@pytest.fixture
def study(tmp_path):
    return rope_study(tmp_path)


def test_a_reading_fills_the_row_that_waits_for_it(study):
    before = len(log_text(study).splitlines())
    change = append_reading(
        study.folder, {"blade": "K1", "cuts": 10, "station_mm": 20.0, "edge_width_um": 2.25}
    )
    assert len(log_text(study).splitlines()) == before
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    row = next(row for row in log.rows if row.line == change.row)
    assert (row.blade, row.cuts, row.station_mm) == ("K1", 10, 20)
    assert row.readings["edge_width_um"].value == 2.25


def test_a_block_that_the_waiting_row_leaves_open_is_filled_in(study):
    reading = {"blade": "K1", "cuts": 10, "station_mm": 20, "edge_width_um": 2}
    first = append_reading(study.folder, {**reading, "block": "roll 1"})
    second = append_reading(study.folder, {**reading, "block": "roll 2"})
    assert first.before == {"blade": "K1", "cuts": "10", "station_mm": "20"}
    assert second.before is None
    assert read_log(study.folder / "log.csv", study=study).faults == ()


def test_photograph_and_width_of_one_stage_share_their_row(study):
    key = {"blade": "K1", "cuts": 10, "station_mm": 20}
    first = append_reading(study.folder, {**key, "photo": "a.jpg"})
    second = append_reading(study.folder, {**key, "edge_width_um": 2})
    assert second.row == first.row
    remark = append_reading(study.folder, {**key, "sever_force_gf": 99, "mishap": "hit the board"})
    assert remark.row != first.row  # it would tell against the photograph too
    undo_last(study.folder)
    undo_last(study.folder)
    row = next(r for r in read_log(study.folder / "log.csv").rows if r.line == first.row)
    assert (row.photo, row.readings) == ("a.jpg", {})


def test_the_batch_of_the_medium_goes_beside_a_mishap_and_a_later_reading_does_not(study):
    key = {"blade": "K1", "cuts": 10, "station_mm": 20}
    first = append_reading(study.folder, {**key, "edge_width_um": 2, "mishap": "rain"})
    batch = append_reading(study.folder, {**key, "batch": "roll 1 damp"})
    assert batch.row == first.row
    other = append_reading(study.folder, {**key, "batch": "roll 2"})
    assert other.row != first.row  # nothing that stands is overwritten
    undo_last(study.folder)
    apart = append_reading(study.folder, {**key, "sever_force_gf": 99})
    assert apart.row != first.row  # the mishap would tell against it too


def test_the_same_reading_entered_twice_is_kept_twice_and_told(study):
    for _ in range(2):
        append_reading(study.folder, {"blade": "K1", "cuts": 12, "sever_force_gf": 150})
    log = read_log(study.folder / "log.csv", study=study)
    assert len(log.readings("sever_force_gf")) == 2
    assert "stands in row" in log.faults[0].what


def test_repeats_go_to_rows_of_their_own(study):
    for number, force in enumerate((150, 160, 155), 1):
        append_reading(
            study.folder,
            {"blade": "K1", "cuts": 0, "sever_force_gf": force, "check_no": number},
        )
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    readings = log.readings("sever_force_gf")
    assert readings.value.tolist() == [150, 160, 155]
    assert readings.check_no.tolist() == [1, 2, 3]


def test_a_note_with_anything_in_it_stays_in_its_cell(study):
    note = 'hit the board; "wire edge", ½ in,\nsecond line'
    append_reading(study.folder, {"blade": "K1", "cuts": 5, "grade": "shaves", "note": note})
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    assert log.rows[-1].note == " ".join(note.split())


def test_a_log_keeps_its_own_separator_line_ends_and_byte_order_mark(study):
    path = study.folder / "log.csv"
    path.write_bytes("blade;cuts;edge_width_um\r\nK1;0;1,5\r\n".encode("utf-8-sig"))
    append_reading(study.folder, {"blade": "K1", "cuts": 10, "edge_width_um": 2, "note": "a;b"})
    assert path.read_bytes() == (
        b'\xef\xbb\xbfblade;cuts;edge_width_um;note\r\nK1;0;1,5;\r\nK1;10;2;"a;b"\r\n'
    )


@pytest.mark.parametrize(
    ("text", "typed", "written"),
    [
        ("blade;cuts;edge_width_um\nK1;0;1,234\n", 2.5, "K1;9;2,5"),
        ("blade;cuts;edge_width_um\nK1;0;1,234\n", "<2.125", "K1;9;<2,1250"),
        ('blade,cuts,edge_width_um\nK1,0,"1,5"\n', 2.25, 'K1,9,"2,25"'),
        ("blade,cuts,edge_width_um\nK1,0,1.234\n", "2,5", "K1,9,2.5"),
        ("blade,cuts,edge_width_um\nK1,0,1\n", "8,5-9", "K1,9,8.5-9"),
    ],
)
def test_a_reading_is_written_with_the_decimal_mark_of_its_file(study, text, typed, written):
    path = study.folder / "log.csv"
    path.write_text(text, encoding="utf-8")
    append_reading(study.folder, {"blade": "K1", "cuts": 9, "edge_width_um": typed})
    assert log_text(study) == f"{text}{written}\n"
    assert read_log(path, study=study).faults == ()


def test_a_log_without_a_last_line_end_is_not_glued_together(study):
    path = study.folder / "log.csv"
    path.write_bytes(b"blade,cuts,edge_width_um\nK1,0,1.5")
    append_reading(study.folder, {"blade": "K1", "cuts": 10, "edge_width_um": 2})
    assert path.read_bytes() == b"blade,cuts,edge_width_um\nK1,0,1.5\nK1,10,2\n"


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            {"blade": "K1", "cuts": 0, "edge_width_um": 0},
            r'log\.csv, new row, edge_width_um: "0" is a reading of zero or below',
        ),
        ({"blade": "K7", "cuts": 0, "edge_width_um": 1}, r'new row, blade: the blade "K7" is not'),
        ({"blade": "K1", "edge_width_um": 1}, 'new row, cuts: the column "cuts" is missing'),
        ({"blade": "K1", "cuts": 0, "edge_widht_um": 1}, 'did you mean "edge_width_um"'),
        ({"blade": "K1", "cuts": 0, "grade": "blunt"}, "is not a grade of the ladder"),
    ],
)
def test_what_the_log_would_refuse_is_not_written(study, row, message):
    before = log_text(study)
    with pytest.raises(ManyFaults, match=message):
        append_reading(study.folder, row)
    assert log_text(study) == before
    assert read_history(study.folder) == []


def test_undo_takes_back_one_change_after_the_other(study):
    start = log_text(study)
    append_reading(study.folder, {"blade": "K1", "cuts": 10, "station_mm": 20, "edge_width_um": 2})
    first = log_text(study)
    append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    assert undo_last(study.folder).before["cuts"] == "12"
    assert log_text(study) == first
    undo_last(study.folder)
    assert log_text(study) == start
    with pytest.raises(UnusableInput, match="there is nothing to undo"):
        undo_last(study.folder)
    assert [change.what for change in read_history(study.folder)] == [
        "append", "append", "undo", "undo",
    ]  # fmt: skip


def test_undo_refuses_a_row_that_was_edited_by_hand(study):
    append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    path = study.folder / "log.csv"
    path.write_text(log_text(study).replace("K1,12,,,3", "K1,12,,,4"), encoding="utf-8")
    told = r"the row has been changed since: none holds the entry to undo \(row \d+, .*K1, cuts 12"
    with pytest.raises(UnusableInput, match=told):
        undo_last(study.folder)


def test_undo_finds_a_row_that_was_moved_in_the_file(study):
    start = log_text(study)
    change = append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    heading, *rows = log_text(study).splitlines(keepends=True)
    path = study.folder / "log.csv"
    path.write_text("".join([heading, rows[-1], *rows[:-1]]), encoding="utf-8")
    assert undo_last(study.folder).row != change.row
    assert log_text(study) == start


def test_undo_takes_none_of_two_rows_that_are_alike(study):
    append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    heading, *rows = log_text(study).splitlines(keepends=True)
    path = study.folder / "log.csv"
    path.write_text("".join([heading, rows[-1], rows[-1], *rows[:-1]]), encoding="utf-8")
    with pytest.raises(UnusableInput, match=r"rows 2, 3 hold the entry to undo"):
        undo_last(study.folder)


def test_a_history_line_cut_short_is_passed_over(study):
    append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    with open(study.folder / "history.jsonl", "ab") as file:
        file.write(b'{"what": "append", "tab')
    assert len(read_history(study.folder)) == 1
    append_reading(study.folder, {"blade": "K1", "cuts": 13, "edge_width_um": 3})
    assert [change.after["cuts"] for change in read_history(study.folder)] == ["12", "13"]


def test_chops_are_appended_too(tmp_path):
    study = new_study(tmp_path / "h", "billet_chop", "Hatchet", blades=["H1"])
    change = append_reading(
        study.folder,
        {"blade": "H1", "kind": "billet", "order": 1, "chops": 12, "diameter_mm": 50},
        table="chops",
    )
    assert change.row == 3  # below the look at the edge beforehand
    assert change.before == {"blade": "H1", "kind": "billet", "order": "1"}


def test_an_xlsx_log_is_refused_with_its_mend(study):
    (study.folder / "log.csv").rename(study.folder / "log.xlsx")
    with pytest.raises(UnusableInput, match=r"the log is an XLSX file; save it as log\.csv"):
        append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})


APPEND_MANY = """
import sys
from edgetest.store.journal import append_reading
folder, blade = sys.argv[1:]
for i in range(60):
    append_reading(folder, {"blade": blade, "cuts": 1000 + i, "edge_width_um": 3 + i})
"""


def test_two_programs_appending_at_once_lose_nothing(study):
    workers = [
        subprocess.Popen([sys.executable, "-c", APPEND_MANY, study.folder, blade])
        for blade in ("K1", "K2")
    ]
    assert [worker.wait() for worker in workers] == [0, 0]
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    readings = log.readings("edge_width_um")
    for blade in ("K1", "K2"):
        assert readings.cuts[readings.blade == blade].tolist() == [1000 + i for i in range(60)]


WRITER = """
import sys
from edgetest.store.journal import append_reading
for i in range(10_000):
    append_reading(sys.argv[1], {"blade": "K1", "cuts": 1000 + i, "edge_width_um": 3 + i})
    print(i, flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")
@pytest.mark.parametrize("wait_s", [0.0, 0.013, 0.031, 0.057, 0.1])
def test_a_killed_writer_loses_no_acknowledged_reading(study, wait_s):
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(study.folder)], stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout.readline() == "0\n"
    time.sleep(wait_s)
    writer.send_signal(signal.SIGKILL)
    acknowledged = [0, *(int(line) for line in writer.stdout.read().split())]
    writer.stdout.close()
    writer.wait()
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    met = log.readings("edge_width_um").cuts.tolist()
    # the one that was being written may be there too, whole
    assert len(met) - len(acknowledged) in (0, 1)
    assert met == [1000 + i for i in range(len(met))]
    append_reading(study.folder, {"blade": "K2", "cuts": 1, "edge_width_um": 1})  # lock is free


@pytest.fixture
def planned(tmp_path):
    """A study whose log waits, row by row, as a plan writes it."""
    folder = tmp_path / "planned"
    new_study(folder, "sisal_rope", "planned", blades=["S3", "H1"])
    rows = ["blade,cuts,station_mm,check_no,edge_width_um,block,note"]
    rows += [f"S3,{cuts},20,1,,roll 3,{note}" for cuts, note in ((0, "burr left"), (50, ""))]
    rows += [f"H1,0,20,1,,{roll}," for roll in ("roll 1", "roll 2")]
    (folder / "log.csv").write_text("\n".join(rows) + "\n")
    return folder


def _entered(folder, **cells):
    return append_reading(folder, {"station_mm": "20", **cells}, doubled="refused")


def test_a_row_with_a_note_waits_still_and_keeps_it(planned):
    change = _entered(planned, blade="S3", cuts="0", edge_width_um="3")
    assert change.row == 2
    assert (change.after["note"], change.after["block"]) == ("burr left", "roll 3")


def test_the_only_roll_that_waits_is_meant_where_none_is_named(planned):
    _entered(planned, blade="H1", cuts="0", edge_width_um="3", block="roll 1")
    assert _entered(planned, blade="H1", cuts="0", edge_width_um="4").row == 5
    _entered(planned, blade="S3", cuts="50", edge_width_um="5")
    with pytest.raises(UnusableInput, match='says "5" already'):
        _entered(planned, blade="S3", cuts="50", edge_width_um="6")


def test_a_forgotten_stage_is_told_without_a_row_that_is_not_there(planned):
    _entered(planned, blade="S3", cuts="50", edge_width_um="5")
    with pytest.raises(ManyFaults) as met:
        _entered(planned, blade="S3", cuts="20", edge_width_um="4")
    (fault,) = met.value.faults
    assert fault.where == "log.csv, new row, cuts"
    assert "a row to put into the file" in fault.mend


def test_a_remark_alone_marks_the_row_of_the_reading_that_it_speaks_of(planned):
    for station in ("20", "40"):
        _entered(planned, blade="S3", cuts="0", station_mm=station, edge_width_um="3")
    before = (planned / "log.csv").read_text(encoding="utf-8")
    change = _entered(planned, blade="S3", cuts="0", station_mm="20", exclude="light was odd")
    assert (change.row, change.after["exclude"]) == (2, "light was odd")
    assert change.after["edge_width_um"] == "3"
    (row, *_) = [each for each in read_log(planned / "log.csv").rows if each.exclude]
    assert row.line == 2
    with pytest.raises(UnusableInput, match="all of this stands there already"):
        _entered(planned, blade="S3", cuts="0", station_mm="20", exclude="light was odd")
    with pytest.raises(UnusableInput, match=r'exclude says "light was odd" already.*--replace'):
        _entered(planned, blade="S3", cuts="0", station_mm="20", exclude="burr")
    undo_last(planned)
    assert len((planned / "log.csv").read_text(encoding="utf-8").splitlines()) == len(
        before.splitlines()
    )


def test_what_is_to_be_left_out_of_several_readings_is_asked(planned):
    for station in ("20", "40"):
        _entered(planned, blade="S3", cuts="0", station_mm=station, edge_width_um="3")
    with pytest.raises(UnusableInput, match=r"hold readings of it.*say which is meant.*station_mm"):
        _entered(planned, blade="S3", cuts="0", station_mm="", exclude="light was odd")
    assert not any(each.exclude for each in read_log(planned / "log.csv").rows)


def test_only_columns_of_the_log_are_asked_for_where_several_readings_are_meant(study):
    (study.folder / "log.csv").write_text(
        "blade,cuts,station_mm,edge_width_um\nK1,0,20,3\nK1,0,40,4\n", encoding="utf-8"
    )
    with pytest.raises(UnusableInput, match=r"say which is meant \(station_mm\)"):
        _entered(study.folder, blade="K1", cuts="0", station_mm="", exclude="light was odd")
