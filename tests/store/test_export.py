"""A study as one zip and back, and tables as spreadsheets."""

import csv
import io
import zipfile

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.export import csv_to_take_away, xlsx_bytes
from edgetest.store.journal import append_reading
from edgetest.store.logs import read_log
from edgetest.store.study_zip import import_study
from edgetest.store.workspace import load_study, new_study
from tests.store.written_rows import log_table
from tests.store.zipped_study import zip_of


@pytest.fixture
def study(tmp_path):
    study = new_study(tmp_path / "one" / "rope_study", "sisal_rope", "Two tempers")
    (study.folder / "photos" / "a.jpg").write_bytes(b"\xff\xd8 picture")
    append_reading(study.folder, {"blade": "A1", "cuts": 0, "edge_width_um": 1.25, "note": "½"})
    return study


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name not in (".lock", ".known_log.csv")
    }


def test_a_study_comes_back_exactly(study, tmp_path):
    folder = import_study(zip_of(study.folder), tmp_path / "two")
    assert folder == tmp_path / "two" / "rope_study"
    assert contents(folder) == contents(study.folder)
    assert load_study(folder).to_toml_dict() == study.to_toml_dict()
    assert [path.name for path in (tmp_path / "two").iterdir()] == ["rope_study"]


def test_two_exports_are_the_same_bytes(study):
    assert zip_of(study.folder) == zip_of(study.folder)


def test_an_import_overwrites_nothing_and_can_be_renamed(study):
    data = zip_of(study.folder)
    with pytest.raises(UnusableInput, match="a study of this name is there"):
        import_study(data, study.folder.parent)
    assert import_study(data, study.folder.parent, name="again").name == "again"
    with pytest.raises(UnusableInput, match="cannot be a folder"):
        import_study(data, study.folder.parent, name="../out")


def test_a_log_goes_to_a_spreadsheet_and_back():
    text = 'blade,cuts,edge_width_um,note\nK1,0,1.5,"=1+1"\nK1,50,<4.2,1/4\n007,60,8-10,\n'
    log = read_log(text.encode())
    again = read_log(xlsx_bytes(log_table(log.rows)), name="log.xlsx")
    assert again.faults == ()
    assert again.rows == log.rows


def test_numbers_are_numbers_and_texts_stay_texts_in_a_spreadsheet():
    from openpyxl import load_workbook

    data = xlsx_bytes([["blade", "x"], ["1", "=1+1"], ["007", "1.50"], ["1e5", "\x07bell"]])
    sheet = load_workbook(io.BytesIO(data)).active
    values = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert values == [["blade", "x"], [1, "=1+1"], ["007", 1.5], ["1e5", "bell"]]
    assert sheet["B2"].data_type == "s"


@pytest.mark.parametrize("number", [0.1234567890123456789, -2 / 3e5, 1.2345e-05, 1e-300, 1234.5])
def test_a_number_of_any_length_is_a_number_in_a_spreadsheet(number):
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(xlsx_bytes([["x"], [repr(number)]])))
    assert book.active["A2"].value == pytest.approx(number, rel=1e-14)
    assert book.active["A2"].data_type == "n"


@pytest.mark.parametrize(
    "text", ['=HYPERLINK("http://x")', "+1 blade", "-1+2", "@SUM(A1)", "\t=1", "\n=1", "＝1"]
)
def test_a_table_to_take_away_holds_no_formula(text):
    told = csv_to_take_away([["blade", "note"], ["A1", text], ["A2", "-1.5"]])
    rows = list(csv.reader(io.StringIO(told)))
    assert rows[1] == ["A1", f"'{text}"]
    assert rows[2] == ["A2", "-1.5"]


def test_a_sheet_is_named_by_any_name():
    """A study's folder may be called so; a sheet may not (ECMA-376, 18.2.19)."""
    data = xlsx_bytes([["a"], ["1"]], title="a[b]: c/d*?" + "e" * 40)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        assert 'name="a_b__ c_d__' + "e" * 20 in book.read("xl/workbook.xml").decode()
