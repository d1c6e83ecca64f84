"""Cut-test logs: what a cell may hold, and the words of every fault."""

import pickle

import numpy as np
import pytest

from edgetest.errors import ManyFaults
from edgetest.store.logs import read_log
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from tests.store.read_logs import PLAIN, read, told


@pytest.mark.parametrize(
    "data",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace(",", ";").encode(),
        PLAIN.replace(",", ";").replace(".", ",").encode(),
        PLAIN.replace(",", "\t").encode(),
        ("sep=;\r\n" + PLAIN.replace(",", ";").replace("\n", "\r\n")).encode(),
        PLAIN.replace("1.5", '"1,5"').replace("4.25", '"4,25"').encode(),
        PLAIN.replace("K1,0,1.5", "K1,0,1.5,,,").encode(),  # a spreadsheet's blank cells
        ("\n\n" + PLAIN + "\n\n").encode(),
        PLAIN.replace("blade,cuts", "Blade , CUTS").encode(),
        PLAIN.replace("4.25", "0.00425 mm").encode(),
        PLAIN.rstrip("\n").encode(),
    ],
    ids=range(13),
)
def test_every_way_of_writing_the_same_log_reads_the_same(data):
    log = read(data)
    assert log.faults == ()
    readings = log.readings("edge_width_um")
    assert readings.blade.tolist() == ["K1", "K1"]
    assert readings.cuts.tolist() == [0, 50]
    np.testing.assert_allclose(readings.value, [1.5, 4.25], rtol=1e-12)


def test_row_numbers_are_those_of_the_spreadsheet():
    text = '\nblade,cuts,edge_width_um,note\nK1,0,1,"two\nlines"\n\nK1,50,x,\n'
    log = read(text)
    assert [row.line for row in log.rows] == [3, 5]
    assert told(text)[0].startswith("log.csv, row 5, edge_width_um: ")


def test_blank_cells_are_missing_and_never_zero():
    log = read("blade,cuts,edge_width_um,sever_force_gf\nK1,0,,150\nK1,50, ,\n")
    assert log.faults == ()
    assert len(log.readings("edge_width_um")) == 0
    assert log.rows[1].readings == {}


def test_bounds_and_ranges():
    log = read('blade,cuts,edge_width_um\nK1,0,<0.8\nK1,5,≥ 40\nK1,9,8-10\nK1,20,"8,5 - 9,5"\n')
    assert log.faults == ()
    readings = log.readings("edge_width_um")
    assert readings.kind.tolist() == ["below", "above", "between", "between"]
    assert np.isnan(readings.value).all()
    np.testing.assert_array_equal(readings.lower, [np.nan, 40, 8, 8.5])
    np.testing.assert_array_equal(readings.upper, [0.8, np.nan, 10, 9.5])


def test_grades_are_ranked_on_the_ladder():
    log = read("blade,cuts,grade\nK1,0,Shaves\nK1,50,slices  copy paper\n",
               protocol=load_protocol("sisal_rope"))  # fmt: skip
    assert log.faults == ()
    readings = log.readings("grade")
    assert readings.rank.tolist() == [0, 2]
    assert readings.grade.tolist() == ["shaves", "slices copy paper"]
    assert np.isnan(readings.value).all()


def test_excluded_rows_stay_visible_with_their_reason():
    log = read("blade,cuts,edge_width_um,exclude,mishap\nK1,0,1,,\nK1,0,9,hit the board,board\n")
    assert log.faults == ()
    readings = log.readings("edge_width_um")
    assert readings.excluded.tolist() == [False, True]
    assert readings.reason.tolist() == ["", "hit the board"]
    assert readings.used().value.tolist() == [1]
    assert log.rows[1].mishap == "board"


def test_repeats_are_all_kept():
    log = read("blade,cuts,sever_force_gf,check_no\nK1,0,150,1\nK1,0,160,2\n")
    assert log.faults == ()
    assert log.readings("sever_force_gf").check_no.tolist() == [1, 2]


def test_a_log_sorted_by_station_is_not_falling():
    text = "blade,cuts,station_mm,edge_width_um\n"
    text += "".join(f"K1,{n},{s},{5 + n}\n" for s in (20, 40) for n in (0, 50, 100))
    log = read(text)
    assert log.faults == ()
    assert log.readings("edge_width_um").station.tolist() == ["20"] * 3 + ["40"] * 3


def test_a_blade_run_again_in_another_block_starts_again_at_zero():
    rows = [f"C1,{n},{block},{5 + n}" for block in ("roll 1", "roll 2") for n in (0, 50)]
    log = read("blade,cuts,block,edge_width_um\n" + "\n".join(rows))
    assert log.faults == ()
    assert log.readings("edge_width_um").block.tolist() == ["roll 1"] * 2 + ["roll 2"] * 2
    again = "\n".join([*rows, "C1,20,roll 2,9", "C1,50,roll 1,9"])
    assert [f.row for f in read("blade,cuts,block,edge_width_um\n" + again).faults] == [6, 7]


def test_rows_of_a_template_wait_without_a_fault(study):
    log = read_log(study.folder / "log.csv", study=study)
    assert log.faults == ()
    assert all(row.waiting for row in log.rows)
    assert len(log.rows) == 9 * 2 * (5 + 3)  # stages, blades, five threads and three stations


def test_readings_of_ones_own_protocol_are_columns(tmp_path):
    from edgetest.store.places import shipped

    text = (shipped("protocols") / "sisal_rope.toml").read_text(encoding="utf-8")
    text = text.replace('id = "sisal_rope"', 'id = "mine"').replace("sever_force_gf", "push_n")
    text = text.replace('unit = "gf"', 'unit = "N"')
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    log = read("blade,cuts,push_n\nK1,0,1 kgf\n", protocol=load_protocol("mine.toml", tmp_path))
    assert log.faults == ()
    assert log.readings("push_n").value.tolist() == [9.80665]


def test_a_file_with_semicolons_and_no_point_has_decimal_commas():
    log = read("blade;cuts;edge_width_um\nK1;0;1,234\nK1;9;2,345\n")
    assert log.faults == ()
    assert log.readings("edge_width_um").value.tolist() == [1.234, 2.345]
    mixed = read("blade;cuts;edge_width_um\nK1;0;1,234\nK1;9;2.345\n")
    assert [fault.row for fault in mixed.faults] == [2]


def test_a_scale_that_the_study_does_not_name(study):
    text = "blade,cuts,photo,scale\nK1,0,a.jpg,x40\n"
    assert told(text, study=study) == [
        'log.csv, row 2, scale: the scale "x40" is not in study.toml; known: none; add [scales.x40]'
    ]


def test_all_faults_are_collected_in_the_order_of_the_file():
    log = read("blade,cuts,edge_width_um\nK1,0,x\nK1,y,5\nK1,9,0\n")
    assert [fault.row for fault in log.faults] == [2, 3, 4]
    assert [fault.column for fault in log.faults] == ["edge_width_um", "cuts", "edge_width_um"]
    with pytest.raises(ManyFaults) as caught:
        log.require()
    assert str(caught.value).count("\n") == 2


def test_a_fault_keeps_its_place_through_a_process_pool():
    fault = read("blade,cuts,edge_width_um\nK1,0,x\n").faults[0]
    again = pickle.loads(pickle.dumps(fault))
    assert (str(again), again.row, again.column) == (str(fault), 2, "edge_width_um")


def test_a_long_log_is_read_quickly(study):
    """20,000 rows in well under the time a page may take."""
    import time

    rows = [f"K{1 + i % 2},{i},{i % 37 + 1}.5,{i % 5 + 1}" for i in range(20_000)]
    text = "blade,cuts,edge_width_um,check_no\n" + "\n".join(rows)
    start = time.process_time()
    log = read(text, study=load_study(study.folder))
    assert len(log.rows) == 20_000
    assert log.faults == ()
    assert time.process_time() - start < 3.0
