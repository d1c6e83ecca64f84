"""Cut-test logs: what a cell may hold, and the words of every fault."""

import pickle

import numpy as np
import pytest

from edgetest.errors import ManyFaults
from edgetest.store.logs import read_log
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from edgetest.store.workspace import new_study
from tests.store.read_logs import PLAIN, read, told


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    return new_study(
        tmp_path_factory.mktemp("study") / "s",
        "sisal_rope",
        "Two tempers",
        blades=[{"id": "K1", "heat_treatment": "low"}, {"id": "K2", "heat_treatment": "high"}],
        heat_treatments=[{"id": "low"}, {"id": "high"}],
    )


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


HEAD = "blade,cuts,station_mm,edge_width_um,sever_force_gf,grade,check_no,stroke,note\n"


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (
            "K1,0,,1.5.2,,,,,",
            'row 2, edge_width_um: "1.5.2" has more than one separator; write it with one decimal '
            "mark and none for the thousands, such as 1234.5",
        ),
        (
            "K1,0,,abc,,,,,",
            'row 2, edge_width_um: "abc" is not a number; write digits only, such as 12.5',
        ),
        (
            "K1,0,,0,,,,,",
            'row 2, edge_width_um: "0" is a reading of zero or below; leave the cell blank where '
            "nothing was read",
        ),
        (
            "K1,0,,,-3,,,,",
            'row 2, sever_force_gf: "-3" is a reading of zero or below; leave the cell blank '
            "where nothing was read",
        ),
        (
            "K1,0,,<0,,,,,",
            'row 2, edge_width_um: "<0" is a reading of zero or below; leave the cell blank where '
            "nothing was read",
        ),
        (
            "K1,0,,10-8,,,,,",
            'row 2, edge_width_um: "10-8" does not run upwards; write it as a-b with the smaller '
            "number first",
        ),
        (
            "K1,0,,2 furlong,,,,,",
            'row 2, edge_width_um: "2 furlong" has the unknown unit "furlong"; known here: µm, '
            'micron, microns, mm, nm, in, ", thou',
        ),
        (
            'K1,0,,"1,234",,,,,',
            'row 2, edge_width_um: "1,234" can be read as 1.234 or as 1234; write 1.2340 with a '
            "decimal point, or 1234 without a separator",
        ),
        (
            "K1,0,,3-Apr,,,,,",
            'row 2, edge_width_um: "3-Apr" is a date, not a number; a spreadsheet may have turned '
            "3-4 or 1/4 into it: format the column as text and type the value again",
        ),
        (
            "K1,0,,,,shavs,,,",
            'row 2, grade: "shavs" is not a grade of the ladder; best to worst: shaves, push-cuts '
            "newsprint, slices copy paper, tears copy paper, will not bite",
        ),
        ("K1,50.5,,,,,,,", 'row 2, cuts: "50.5" is not a whole number; count whole strokes'),
        ("K1,1.000,,5,,,,,", 'row 2, cuts: "1.000" can be read as 1 or as 1000; write digits only'),
        ("K1,-5,,,,,,,", 'row 2, cuts: "-5" is below 0; count from 0 upwards'),
        (
            "K1,,,1,,,,,",
            "row 2, cuts: the cuts cell is blank; every row names its blade and its cumulative "
            "cuts",
        ),
        (
            ",0,,1,,,,,",
            "row 2, blade: the blade cell is blank; every row names its blade and its cumulative "
            "cuts",
        ),
        (
            "K1,50,20,4,,,,,\nK1,40,20,5,,,,,",
            "row 3, cuts: cuts fall to 40 after 50 in row 2 (blade K1, station 20 mm); cuts are "
            "cumulative: count on from the stage before, or move the row to its place",
        ),
        (
            "K1,50,20,4,,,,,\nK1,50,20,5,,,,,",
            "row 3, edge_width_um: blade K1 at 50 cuts, station 20 mm stands in row 2 already; "
            "number repeats in check_no, or give the wrong row a reason in exclude",
        ),
        (
            "K1,50,,4,,,,draw,\nK1,60,,5,,,,push,",
            "row 3, stroke: blade K1 has push cuts here, draw cuts in row 2; push and draw wear "
            "an edge differently: log them as two runs",
        ),
        (
            "K1,50,,4,,,,push,",
            "row 2, stroke: push cuts, but sisal_rope cuts with the draw; choose the protocol "
            "that was cut, or write one",
        ),
        (
            "K1,50,,4,,,,sideways,",
            'row 2, stroke: "sideways" is not known here; write one of push, draw, chop',
        ),
        (
            "K3,50,,4,,,,,",
            'row 2, blade: the blade "K3" is not in study.toml; known: K1, K2 (or add it to '
            "study.toml)",
        ),
        (
            "k 1,50,,4,,,,,",
            'row 2, blade: the blade "k 1" is not in study.toml; did you mean "K1"? (or add it to '
            "study.toml)",
        ),
        (
            "K1,50,,4,",
            "row 2: the row has 5 cells, the heading 9; keep the separators of blank cells",
        ),
        (
            "K1,50,,4,5,,,,,x",
            "row 2: the row has 10 cells, the heading 9; a decimal comma or a comma in a note "
            'needs quotes: "12,5"',
        ),
    ],
)
def test_each_fault_has_its_own_words(study, rows, message):
    assert told(HEAD + rows + "\n", study=study) == [f"log.csv, {message}"]


@pytest.mark.parametrize(
    ("heading", "message"),
    [
        ("blade,edge_width_um", 'row 1, cuts: the column "cuts" is missing; add cuts'),
        (
            "blade,cuts,edge_width",
            'row 1, edge_width: the column "edge_width" is not known; did you mean '
            '"edge_width_um"?; remarks go to "note"',
        ),
        (
            "blade,cuts,edge_width_mm",
            'row 1, edge_width_mm: the column "edge_width_mm" is not known; name it '
            '"edge_width_um" and multiply its values by 1000; remarks go to "note"',
        ),
        (
            "blade,cuts,edge_width_um,edge_width_um",
            'row 1, edge_width_um: the column "edge_width_um" stands 2 times; rename or delete '
            "one of them",
        ),
        (
            "blade,cuts,,edge_width_um",
            "row 1: a column has no name; name it in the heading or delete it",
        ),
        (
            "blade,cuts,note",
            "row 1: no column holds a reading; add one, such as edge_width_um or sever_force_gf",
        ),
    ],
)
def test_faults_of_the_heading(heading, message):
    assert f"log.csv, {message}" in told(heading + "\n")


def test_a_heat_treatment_that_contradicts(study):
    text = "blade,cuts,heat_treatment,edge_width_um\nK1,0,low,1\nK1,9,high,2\nK2,0,low,1\n"
    assert told(text, study=study) == [
        'log.csv, row 3, heat_treatment: blade K1 has the heat treatment "high" here, "low" in '
        "row 2; a blade has one; a re-treated blade is a new blade",
        'log.csv, row 4, heat_treatment: blade K2 has the heat treatment "low" here, "high" in '
        "study.toml; make the two agree",
    ]


@pytest.mark.parametrize("word", ["no", "X", "0", "-"])
@pytest.mark.parametrize("column", ["exclude", "mishap"])
def test_an_exclusion_is_a_reason_in_words(column, word):
    """Otherwise "no" would leave a row out."""
    assert told(f"blade,cuts,edge_width_um,{column}\nK1,0,1,{word}\n") == [
        f'log.csv, row 2, {column}: "{word}" does not say what happened; write it in words, or '
        "leave the cell blank where nothing did"
    ]


def test_a_name_written_in_two_ways_is_not_two_names():
    text = "blade,cuts,heat_treatment,edge_width_um\nK1,0,Low temper,1\nK2,0,low  temper,1\n"
    assert told(text + "k1,9,Low temper,3\n") == [
        'log.csv, row 3, heat_treatment: "low  temper" is written "Low temper" in row 2; write '
        "it one way",
        'log.csv, row 4, blade: "k1" is written "K1" in row 2; write it one way',
    ]


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
