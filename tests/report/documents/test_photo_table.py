"""The photographs' rows lie in a file beside the document, which names its checksum, or inside."""

import csv
import dataclasses
import hashlib
import re

import pytest

from edgetest.report.documents.document import build_document
from edgetest.report.documents.photo_table import FILE
from edgetest.store.export import spreadsheet_text
from tests.report.documents.test_document import MADE, words_of_html, words_of_pdf
from tests.report.stand_ins import study_result

pytestmark = pytest.mark.usefixtures("framed")

HEADING = "All photographs"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    result = study_result(tmp_path_factory.mktemp("study"))
    first, *more = result.photos
    odd = dataclasses.replace(first, photo="photos/=HYPERLINK(1).jpg", blade="+A1", station_mm=-2.5)
    result = dataclasses.replace(result, photos=(odd, *more))
    return result, build_document(result, tmp_path_factory.mktemp("d"), timestamp=MADE)


def test_the_file_reads_back_with_every_photograph(made):
    result, files = made
    assert [path.name for path in files] == ["comparison.pdf", "comparison.html", FILE]
    rows = list(csv.DictReader(files[2].read_text(encoding="utf-8-sig").splitlines()))
    assert [row["sha256"] for row in rows] == [photo.sha256 for photo in result.photos]
    for row, photo in zip(rows, result.photos, strict=True):
        assert row["photo"].removeprefix("'") == photo.photo
        assert float(row["cuts"]) == photo.cuts
        assert int(row["damaged_places"] or 0) == len(photo.numbers["chips"])
        if photo.measured:
            assert float(row["edge_width_um"]) == pytest.approx(photo.numbers["width_um"]["mean"])
        else:
            assert row["remarks"] == photo.numbers["reasons"][0]["text"]


def test_the_document_names_the_file_and_its_checksum(made):
    result, (pdf, html, file) = made
    checksum = hashlib.sha256(file.read_bytes()).hexdigest()
    for words in (words_of_pdf(pdf), words_of_html(html)):
        assert FILE in words
        assert checksum in re.sub(r"\s", "", words)
        assert f"{len(result.photos)} photographs, 1 refused" in words


def test_no_cell_is_a_formula(made):
    text = made[1][2].read_text(encoding="utf-8-sig")
    cells = [cell for row in csv.reader(text.splitlines()) for cell in row]
    live = [cell for cell in cells if cell[:1] in tuple("=+-@")]
    assert live == ["-2.5"]
    assert "'+A1" in cells


@pytest.mark.parametrize("text", ["=1+1", "+1 A", "-x", "@SUM(A1)", " =1", "\t=1", "-2.5e"])
def test_a_text_that_begins_like_a_formula_is_held_down(text):
    assert spreadsheet_text(text) == f"'{text}"


def test_inside_it_is_a_table_and_no_file(made, tmp_path):
    pdf, *more = build_document(
        made[0], tmp_path, kinds=["pdf"], photographs="inside", timestamp=MADE
    )
    assert more == []
    assert "Bright line, µm" in words_of_pdf(pdf)
