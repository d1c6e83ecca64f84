"""Log files: what is no table, and spreadsheets read as the same CSV would be."""

import io
import zipfile
from datetime import datetime

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.logs import read_log
from tests.store.read_logs import PLAIN


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "log.csv: is empty; the first row names the columns: blade, cuts, …"),
        (
            "blade,cuts,note\nK1,0,Säge\n".encode("cp1252"),
            "log.csv, line 2: byte 0xe4 is not UTF-8; as Windows-1252 (cp1252) it would be 'ä'; "
            'save the file as "CSV UTF-8"',
        ),
        (PLAIN.encode("utf-16"), "log.csv: is UTF-16 text; save it as CSV UTF-8"),
        (b"blade\0", "log.csv: is not a text file; save it as CSV UTF-8 or XLSX"),
        (
            b'blade,cuts,note\nK1,0,"never closed\nK1,1,x\n',
            "log.csv, row 2: the quotes do not close (unexpected end of data); a text with quotes "
            'in it is written "1 1/2"" wide", an inch mark as in',
        ),
        (
            b"PK\x03\x04rubbish",
            "log.csv: is not a readable XLSX workbook; open it in a spreadsheet and save it "
            "again, as .xlsx without a password or as CSV",
        ),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old",
            "log.csv: is an old or a locked spreadsheet; save it as .xlsx without a password, or "
            "as CSV",
        ),
    ],
)
def test_a_file_that_is_no_table(data, message):
    with pytest.raises(UnusableInput) as caught:
        read_log(data, name="log.csv")
    assert str(caught.value) == message


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(UnusableInput, match="there is no such file; check the name"):
        read_log(tmp_path / "log.csv")
    with pytest.raises(UnusableInput, match="is a folder, not a file"):
        read_log(tmp_path)


def workbook(rows, **others):
    from openpyxl import Workbook

    book = Workbook()
    book.active.title = "log"
    for row in rows:
        book.active.append(row)
    for name, more in others.items():
        sheet = book.create_sheet(name)
        for row in more:
            sheet.append(row)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def test_xlsx_reads_as_the_same_csv_would():
    data = workbook([["blade", "cuts", "edge_width_um", "note"], ["K1", 0, 1.5, None],
                     [None], ["K1", 50.0, "<4,2", "½"]])  # fmt: skip
    log = read_log(data, name="log.xlsx")
    assert log.faults == ()
    assert [row.line for row in log.rows] == [2, 4]
    assert log.rows[0].readings["edge_width_um"].value == 1.5
    assert log.rows[1].readings["edge_width_um"].upper == 4.2
    assert log.rows[1].note == "½"


def test_xlsx_with_a_date_where_a_number_should_be():
    data = workbook([["blade", "cuts", "edge_width_um"], ["K1", 0, datetime(2026, 4, 3)]])
    fault = read_log(data, name="log.xlsx").faults[0]
    assert str(fault).startswith('log.xlsx, row 2, edge_width_um: "2026-04-03" is a date')


def test_xlsx_takes_the_sheet_called_log_and_otherwise_asks():
    rows = [["blade", "cuts", "edge_width_um"], ["K1", 0, 1]]
    assert len(read_log(workbook(rows, other=[["x"]]), name="a.xlsx").rows) == 1
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(workbook(rows, other=[["x"]])))
    book["log"].title = "first"
    data = io.BytesIO()
    book.save(data)
    with pytest.raises(UnusableInput, match=r"several filled sheets \(first, other\)"):
        read_log(data.getvalue(), name="a.xlsx")


def test_xlsx_with_a_formula_that_was_never_calculated():
    data = workbook([["blade", "cuts", "edge_width_um"], ["K1", 0, "=1+1"]])
    with pytest.raises(
        UnusableInput, match=r"row 2, edge_width_um: the formula =1\+1 was never calc"
    ):
        read_log(data, name="log.xlsx")
    alone = workbook([["blade", "cuts", "edge_width_um"], ["K1", 0, 1], [None, "=2+2"]])
    with pytest.raises(UnusableInput, match=r"row 3, cuts: the formula =2\+2 was never calc"):
        read_log(alone, name="log.xlsx")


@pytest.mark.parametrize("seed", range(4))
def test_a_damaged_xlsx_is_read_or_told(seed):
    """Ten spoilt copies a seed; 2,000 were tried once, none came through as a fault of ours."""
    rng = np.random.default_rng(seed)
    source = zipfile.ZipFile(
        io.BytesIO(workbook([["blade", "cuts", "edge_width_um"], ["K1", 0, 1]]))
    )
    names = source.namelist()
    for _ in range(10):
        spoilt, victim = io.BytesIO(), names[rng.integers(len(names))]
        with zipfile.ZipFile(spoilt, "w") as archive:
            for name in names:
                content = bytearray(source.read(name))
                if name == victim:
                    at = rng.integers(len(content), size=5)
                    content[at[0]] = rng.integers(256)
                    del content[at[1] : at[1] + rng.integers(20)]
                    content[at[2] : at[2]] = content[at[3] : at[3] + 15]
                archive.writestr(name, bytes(content))
        place = "a.xlsx"
        try:
            read_log(spoilt.getvalue(), name="a.xlsx")
        except UnusableInput as fault:
            place = fault.where
        assert place.startswith("a.xlsx")
