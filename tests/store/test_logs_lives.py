"""Lives typed as such: what a `life` cell may hold, and what may not stand beside it."""

import io

import pytest

from edgetest.store.logs import read_log
from edgetest.store.workspace import new_study


def read(text, **more):
    return read_log(text.encode(), name="notebook.csv", **more)


def ends(log):
    met = [row.readings["life"] for row in log.rows]
    return [(life.kind, life.value, life.lower, life.upper) for life in met]


KNOWN = {
    "340": ("number", 340, None, None),
    "340 cuts": ("number", 340, None, None),
    "340,5": ("number", 340.5, None, None),
    ">150": ("above", None, 150, None),
    "≥ 150": ("above", None, 150, None),
    "150+": ("above", None, 150, None),
    "< 20": ("below", None, None, 20),
    "320-340": ("between", None, 320, 340),
    "320 – 340": ("between", None, 320, 340),
    "312,5–340": ("between", None, 312.5, 340),
}


@pytest.mark.parametrize("text", KNOWN)
def test_a_life_is_a_number_a_bound_or_between_two(text):
    log = read(f'blade,life\nA,"{text}"\n')
    assert log.faults == ()
    assert ends(log) == [KNOWN[text]]


def test_a_spreadsheet_holds_the_same():
    from openpyxl import Workbook

    book, file = Workbook(), io.BytesIO()
    for row in (("Blade", "Heat_treatment", "Life"), ("A", "low", 340), ("B", "high", ">400")):
        book.active.append(row)
    book.save(file)
    log = read_log(file.getvalue(), name="notebook.xlsx")
    assert log.faults == ()
    assert [kind for kind, *_ in ends(log)] == ["number", "above"]


@pytest.mark.parametrize(
    ("cell", "what"),
    [
        ("1.500", '"1.500" can be read as 1 or as 1500; write digits only'),
        ("tore", '"tore" is not a life in cuts; write 340, >150 (not dull yet), <20'),
        ("0", '"0" is not a life in cuts; write 340'),
        ("340-320", '"340-320" does not run upwards'),
        ("2026-04-03", '"2026-04-03" is a date, not a number; write 340'),
    ],
)
def test_what_is_no_life_is_told_with_its_row(cell, what):
    (fault,) = read(f"blade,life\nA,340\nB,{cell}\n").faults
    assert str(fault).startswith(f"notebook.csv, row 3, life: {what}")


def test_readings_and_cuts_do_not_stand_beside_lives():
    told = [str(fault) for fault in read("blade,cuts,edge_width_um,life\nA,50,3,340\n").faults]
    assert told[0].startswith('notebook.csv, row 1, cuts: the log has the column "life", and cuts')
    assert "or cuts with edge_width_um where you read the edge at stages" in told[1]


def test_a_blade_may_have_several_runs_and_may_wait_for_its_life():
    log = read("blade,life,block\nA,340,roll 1\nA,320,roll 2\nA,>300,\nB,,\n")
    assert log.faults == ()
    assert [row.waiting for row in log.rows] == [False, False, False, True]


def test_the_blades_of_a_study_are_held_against_it(tmp_path):
    study = new_study(
        tmp_path / "s", "sisal_rope", "Two tempers", heat_treatments=[{"id": "low"}],
        blades=[{"id": "K1", "heat_treatment": "low"}],
    )  # fmt: skip
    (fault,) = read("blade,life\nK1,340\nK9,300\n", study=study).faults
    assert "row 3, blade" in str(fault)
