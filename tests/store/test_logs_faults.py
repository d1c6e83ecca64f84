"""Every fault of a log in its own words, with its place and its mend."""

import pytest

from tests.store.read_logs import told

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
            "nothing was read; write <1 where you looked and saw less than you can read",
        ),
        (
            "K1,0,,,-3,,,,",
            'row 2, sever_force_gf: "-3" is a reading of zero or below; leave the cell blank '
            "where nothing was read",
        ),
        (
            "K1,0,,<0,,,,,",
            'row 2, edge_width_um: "<0" is a reading of zero or below; leave the cell blank where '
            "nothing was read; write <1 where you looked and saw less than you can read",
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
            "3-4, 1/4 or 8.2 into it: format the column as text and type the value again",
        ),
        (
            "K1,0,,,,shavs,,,",
            'row 2, grade: "shavs" is not a grade of the ladder; best to worst: shaves, push-cuts '
            "newsprint, slices copy paper, tears copy paper, will not bite",
        ),
        (
            "K1,50.5,,,,,,,",
            'row 2, cuts: "50.5" is not a whole number; write one, such as 12',
        ),
        ("K1,1.000,,5,,,,,", 'row 2, cuts: "1.000" can be read as 1 or as 1000; write digits only'),
        ("K1,-5,,,,,,,", 'row 2, cuts: "-5" is below 0; count from 0 upwards'),
        (
            "K1,,,1,,,,,",
            'row 2, cuts: the cuts cell is blank in a row that begins "K1"; every row names its '
            "blade and its cumulative cuts; remarks go to note, sums are worked out",
        ),
        (
            ",0,,1,,,,,",
            'row 2, blade: the blade cell is blank in a row that begins "0"; every row names its '
            "blade and its cumulative cuts; remarks go to note, sums are worked out",
        ),
        (
            "K1,50,20,4,,,,,\nK1,40,20,5,,,,,",
            "row 3, cuts: cuts fall to 40 after 50 in row 2 (blade K1, station 20 mm); cuts are "
            "cumulative since sharpening: count on from the stage before, move the row to its "
            "place, or give a new run a block of its own",
        ),
        (
            "K1,50,20,4,,,,,\nK1,50,20,5,,,,,",
            "row 3, edge_width_um: blade K1 at 50 cuts, station 20 mm stands in row 2 already; "
            "correct blade, cuts or station where one is mistyped, number repeats in check_no, or "
            "give the wrong row a reason in exclude",
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
            HEAD.title().strip(),
            "row 2: the row is the heading once more; delete it: two logs were joined",
        ),
        (
            "K1,50,,4,",
            "row 2: the row has 5 cells, the heading 9; keep the separators of blank cells",
        ),
        (
            "K1,50,,4,5,,,,,x",
            "row 2: the row has 10 cells, the heading 9; a decimal comma or a comma in a note "
            'needs quotes: "12,5"; or there is a separator too many: take it out, before the first '
            "cell that is out of place",
        ),
        (  # read as 7 with a remark of 5, were the blank cell at the end no cell
            "K1,50,,7,5,,,,,",
            "row 2: the row has 10 cells, the heading 9; a decimal comma or a comma in a note "
            'needs quotes: "12,5"; else take out the comma that is too many',
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
            'row 1, edge_width_um: the column "edge_width_um" stands twice; rename or delete '
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


@pytest.mark.parametrize(
    ("heading", "wrong", "right"),
    [
        ("blade,cutss,edge_width_um", "cutss", "cuts"),
        ("balde,cuts,edge_width_um", "balde", "blade"),
        ("blade,cuts,edge_widht_um", "edge_widht_um", "edge_width_um"),
    ],
)
def test_one_misspelt_column_is_one_fault(heading, wrong, right):
    (line,) = told(f"{heading}\n")
    assert f'the column "{wrong}" is not known; did you mean "{right}"?' in line


def test_a_column_that_is_missing_beside_a_stranger_stays_a_fault_of_its_own():
    lines = told("blade,weather,edge_width_um\n")
    assert any('the column "cuts" is missing' in line for line in lines)
    assert any('the column "weather" is not known' in line for line in lines)
