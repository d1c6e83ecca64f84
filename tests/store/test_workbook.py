"""Does a workbook give all its readings, and a strange one a fault with its place?"""

import io
import re
import time
import zipfile

import openpyxl
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.tables import read_table

HEADING = ("blade", "cuts", "edge_width_um")
ROWS = [("H1", 0, 1.0), ("H1", 50, 3.1), ("H1", 100, 4.6)]


def workbook(change=None, **cells):
    """Bytes of a workbook; `change(name, xml)` alters the text of an entry of the zip."""
    book = openpyxl.Workbook()
    for row in (HEADING, *ROWS):
        book.active.append(row)
    for place, value in cells.items():
        book.active[place] = value
    data = io.BytesIO()
    book.save(data)
    if change is None:
        return data.getvalue()
    made = io.BytesIO()
    with zipfile.ZipFile(data) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            text = old.read(entry).decode("utf-8")
            new.writestr(entry.filename, change(entry.filename, text))
    return made.getvalue()


def in_sheet(pattern, by):
    """Change the XML of the sheet."""

    def change(name, text):
        if not name.startswith("xl/worksheets/"):
            return text
        assert re.search(pattern, text)
        return re.sub(pattern, by, text, count=1)

    return change


@pytest.mark.parametrize(
    "wrong", ['<dimension ref="A1:B2" />', '<dimension ref="A1" />', "", '<dimension ref="C9:A1"/>']
)
def test_a_wrong_size_of_the_sheet_loses_no_reading(wrong):
    table = read_table(workbook(in_sheet(r"<dimension [^>]*/>", wrong)), name="log.xlsx")
    assert [tuple(row.cells.values()) for row in table.rows] == [
        ("H1", "0", "1"),
        ("H1", "50", "3.1"),
        ("H1", "100", "4.6"),
    ]
    assert table.faults == ()


def test_blank_cells_at_the_end_of_a_row_are_no_fault():
    table = read_table(workbook(D1="note", D2="fresh"), name="log.xlsx")
    assert table.faults == ()
    assert [row.cells["note"] for row in table.rows] == ["fresh", "", ""]


def test_a_stray_cell_is_named_at_once():
    began = time.monotonic()
    with pytest.raises(UnusableInput) as caught:
        read_table(workbook(XFD1048576="x"), name="log.xlsx")
    assert "XFD1048576" in caught.value.where
    assert "delete" in caught.value.mend
    assert time.monotonic() - began < 10


def test_a_stray_cell_far_below_is_named_by_its_row():
    with pytest.raises(UnusableInput, match=r"row 900000.*rope.*delete"):
        read_table(workbook(A900000="rope"), name="log.xlsx")


@pytest.mark.parametrize("place", ["XFD3", "XFD1048576"])
def test_a_cell_that_is_only_formatted_is_none(place):
    book = openpyxl.load_workbook(io.BytesIO(workbook()))
    book.active[place].font = openpyxl.styles.Font(bold=True)
    data = io.BytesIO()
    book.save(data)
    table = read_table(data.getvalue(), name="log.xlsx")
    assert len(table.rows) == 3
    assert (table.faults, table.columns) == ((), HEADING)


def test_a_row_that_no_spreadsheet_has_does_not_hang():
    change = in_sheet(r'<row r="3"', '<row r="4000000000"')
    with pytest.raises(UnusableInput, match="not a readable XLSX workbook"):
        read_table(workbook(change), name="log.xlsx")


def test_a_formula_without_its_value_is_named_by_row_and_column():
    with pytest.raises(UnusableInput) as caught:
        read_table(workbook(C3="=1+2.1"), name="log.xlsx")
    assert caught.value.where == "log.xlsx, row 3, edge_width_um"


def test_a_workbook_beyond_the_limits_is_refused_before_it_is_parsed(monkeypatch):
    monkeypatch.setattr("edgetest.store.workbook.MOST_CELLS", 11)
    monkeypatch.setattr("edgetest.store.workbook._load_sheets", None)
    with pytest.raises(UnusableInput, match=r"12 cells.*CSV"):
        read_table(workbook(), name="log.xlsx")


def test_two_sheets_of_one_name_are_refused():
    """A reader takes the last, a spreadsheet may show the first."""
    made = io.BytesIO(workbook())
    with zipfile.ZipFile(made) as book:
        sheet = book.read("xl/worksheets/sheet1.xml")
    with zipfile.ZipFile(made, "a") as book, pytest.warns(UserWarning, match="Duplicate"):
        book.writestr("xl/worksheets/sheet1.xml", sheet.replace(b"3.1", b"9.1"))
    with pytest.raises(UnusableInput, match=r"sheet1\.xml\" twice.*look it through"):
        read_table(made.getvalue(), name="log.xlsx")


def test_a_cell_beside_the_heading_is_named_by_its_letters():
    (fault,) = read_table(workbook(KN3="hm"), name="log.xlsx").faults
    assert fault.where == "log.xlsx, row 3, cell KN3"
    assert fault.mend == "delete it, or name its column in the heading"


def test_a_blank_that_was_typed_far_below_is_none():
    assert len(read_table(workbook(A1048576=" "), name="log.xlsx").rows) == 3
