"""The document: its numbers are the results', it fits its paper, it is the same each time."""

import datetime
import re
from dataclasses import replace

import pypdf
import pytest

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.report.documents.document import build_document
from edgetest.report.documents.frame import data_checksum
from edgetest.report.documents.photo_pages import width_words
from edgetest.report.figures.plot_style import new_axes
from edgetest.report.wording import interval_words, life_interval
from edgetest.store.document_wishes import settings_of
from edgetest.study.wear.wear_result import Compared
from tests.report.accessible import broken_rules
from tests.report.documents.pdf_pages import line_ends, page_texts
from tests.report.stand_ins import TREATMENTS, comparison, curve, photo, study_result

MADE = datetime.datetime(2026, 5, 20, tzinfo=datetime.UTC)
WISHES = {
    "photograph_table": "inside",
    "signature": True,
    "care": ["Oil the blade after work."],
    "customer": "The parish",
}


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    return study_result(tmp_path_factory.mktemp("study"), document=WISHES)


@pytest.fixture(scope="module")
def made(result, tmp_path_factory):
    return build_document(result, tmp_path_factory.mktemp("documents"), timestamp=MADE)


def words_of_pdf(path):
    text = " ".join(page_texts(path))
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def words_of_html(path):
    page = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", path.read_text("utf-8"), flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page).replace("\u200b", ""))


@pytest.fixture(scope="module", params=["pdf", "html"])
def words(request, made):
    path = made[["pdf", "html"].index(request.param)]
    return (words_of_pdf if request.param == "pdf" else words_of_html)(path)


def test_shows_every_number_of_the_comparison(words, result):
    numbers = result.comparison.to_dict()
    ratio = numbers["ratio"]
    for shown in interval_words(ratio["estimate"], ratio["low"], ratio["high"]):
        assert shown in words
    for group in numbers["groups"]:
        value, interval = life_interval(group["life"])
        assert f"{value} {interval}" in words
    assert "over 99 %" in words
    assert "98 %" in words


def every_text(part, key=""):
    """All words of contents that a reader is to see."""
    if isinstance(part, str):
        if key not in {"kind", "file", "alt", "align", "width", "place"}:
            yield part
    elif isinstance(part, dict):
        for name, value in part.items():
            yield from every_text(value, name)
    elif isinstance(part, list | tuple):
        for value in part:
            yield from every_text(value, key)


def letters_of(words):
    """Words without what a line's end can add or take away."""
    return re.sub(r"[\s\u00ad\u200b\u2010-]", "", words)


def test_says_everything_that_the_contents_hold(words, result):
    contents = comparison_contents(result, settings_of(result.study), day="2026-05-20")
    seen = letters_of(words)
    told = list(every_text(contents.sections))
    assert len(told) > 150
    for text in told:
        assert letters_of(text) in seen, text


def test_shows_life_and_interval_of_every_blade(words, result):
    for fit in result.fit.blades:
        value, interval = life_interval(fit.to_dict()["life"])
        assert re.search(rf"{fit.blade} {value} {interval}", words)


def test_a_blade_that_ran_twice_counts_once_in_the_table_of_lives(result):
    again = [replace(one, blade="B1") if one.run == "B2" else one for one in result.readings]
    ran_twice = replace(result, readings=tuple(again))
    for found, said in ((result, "3 blades"), (ran_twice, "2 blades, 3 runs")):
        contents = comparison_contents(found, settings_of(found.study), day="2026-05-20")
        assert said in set(every_text(contents.sections)), said


def test_shows_width_of_every_photograph(words, result):
    for each in result.photos:
        if each.measured:
            assert width_words(each.numbers).replace(" µm", "") in words
    assert "refused" in words
    assert "The edge is out of focus" in words


def test_says_what_was_tested(words):
    for part in (
        "Billhook tempers", "Thornside Forge", "Invented data, for demonstration", "for The parish",
        "sisal rope", "temper 2 × 200 °C, 60 min", "17° per side (34° included)",
        "58 to 60", "59, 59.5", "Oil the blade after work", "Wear glasses", "wire edge left",
        "hit the board", "What the data cannot say", "Place and date",
    ):  # fmt: skip
        assert part in words, part


def test_carries_checksum_and_version(words, result):
    checksum = data_checksum(result.study.folder, [each.sha256 for each in result.photos])
    assert checksum in words.replace(" ", "")
    assert re.search(r"edgetest \d+\.\d+", words)


def test_is_tagged_archival_and_described(made):
    reader = pypdf.PdfReader(made[0])
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    metadata = root["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part>2<", metadata)
    assert re.search(r"pdfaid:conformance>A<", metadata)
    assert re.search(r"pdfuaid:part>1<", metadata)
    assert reader.metadata.title == "Billhook tempers"
    assert all(reader.pages[k].mediabox.width == pytest.approx(595.3, abs=0.1) for k in range(3))


def test_is_pdf_ua_and_an_untagged_one_is_not(made, tmp_path):
    assert broken_rules(made[0]) == []
    untagged = tmp_path / "untagged.pdf"
    new_axes(3, 2).figure.savefig(untagged)
    assert len(broken_rules(untagged)) >= 5


def alternative_texts(node):
    """Every /Alt of a PDF's structure tree."""
    node = node.get_object()
    if isinstance(node, list):
        for kid in node:
            yield from alternative_texts(kid)
    elif isinstance(node, dict):
        if "/Alt" in node:
            yield node["/Alt"]
        if "/K" in node:
            yield from alternative_texts(node["/K"])


def test_every_picture_of_the_pdf_has_a_text_in_its_structure(made, result):
    root = pypdf.PdfReader(made[0]).trailer["/Root"]
    told = list(alternative_texts(root["/StructTreeRoot"]))
    assert len(told) == 6
    assert "Ratio of lives 1.41 (1.21 to 1.63)" in told[0]
    assert all(fit.blade in told[1] for fit in result.fit.blades)


def test_every_picture_says_what_it_shows(made):
    page = made[1].read_text("utf-8")
    pictures = re.findall(r"<img [^>]*>", page)
    assert len(pictures) == 7  # the first figure has a drawing for phones too
    assert all(len(re.search(r'alt="([^"]*)"', each)[1]) > 40 for each in pictures)


def test_page_asks_for_nothing_from_outside(made):
    page = made[1].read_text("utf-8")
    assert not re.search(r'(?:src|href)="(?!data:|#)', page)
    assert "http" not in re.sub(r"data:[^\"]*", "", page)


def test_same_result_gives_same_bytes(result, made, tmp_path):
    again = build_document(result, tmp_path, timestamp=MADE)
    for one, other in zip(made, again, strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_later_document_differs_in_its_date_alone(result, made, tmp_path):
    later = build_document(
        result, tmp_path, kinds=["html"], timestamp=MADE + datetime.timedelta(days=3)
    )
    then = made[1].read_text("utf-8").replace("2026-05-20", "2026-05-23")
    assert later[0].read_text("utf-8") == then


@pytest.mark.usefixtures("framed_here")
def test_letter_paper_and_inches(result, tmp_path):
    path = build_document(
        result, tmp_path, kinds=["pdf"], paper="us-letter", units="inch", timestamp=MADE
    )[0]
    assert pypdf.PdfReader(path).pages[0].mediabox.width == 612
    words = words_of_pdf(path)
    assert "0.39 in" in words
    assert "temper 2 × 392 °F" in words
    assert "0.024 in" in words
    assert "12 µm" in words


def test_long_names_many_blades_and_photographs(tmp_path):
    treatments = ["Temper 200 °C twice two hours after double normalising"] * 6
    treatments += ["Temper_180_°C_thrice_then_cold_treated_at_minus_80_°C"] * 6
    names = [f"HEDGING_BILLHOOK_LONGPATTERN_{k:02d}_ABCDEFGHIJKLMNOP" for k in range(12)]
    names[3] = "刀 of a maker far away 🔨 \ue000"
    blades = [curve(name, 220.0 + 25 * k) for k, name in enumerate(names)]
    photos = [photo(tmp_path, "a", 50.0 * k, 25.0, 5.0 + k / 10) for k in range(4)]
    photos = [photos[k % 4] for k in range(60)]
    against = comparison(tuple(dict.fromkeys(treatments)))
    result = study_result(
        tmp_path, blades=blades, treatments=treatments, photos=photos, against=against,
        notes="# no heading, $5, *x*, @home\x07", title="Does a longer soak matter? " * 4,
    )  # fmt: skip
    path = build_document(result, tmp_path / "out", kinds=["pdf"], timestamp=MADE)[0]
    words = words_of_pdf(path)
    letters = words.replace(" ", "")
    for name in (n for k, n in enumerate(names) if k != 3):
        assert name in letters
    assert "of a maker far away" in words
    assert "E000]" in words  # no font has that; the others as the machine's fonts have them
    assert "[5200]" in words or "刀" in words
    assert "# no heading, $5, *x*, @home" in words
    assert "60 photographs" in words
    assert all(left > 55 and right < 595 - 55 for page in line_ends(path) for left, right in page)


@pytest.mark.usefixtures("framed_here")
def test_nothing_compared_is_said(result, tmp_path):
    import dataclasses

    alone = dataclasses.replace(
        result,
        compared=Compared(),
        study_doubts=(doubt("no_comparison", why="all blades have one heat treatment"),),
    )
    words = words_of_pdf(build_document(alone, tmp_path, kinds=["pdf"], timestamp=MADE)[0])
    assert "Nothing to compare: all blades have one heat treatment." in words
    assert "240 226 to 254" in words


@pytest.mark.usefixtures("framed_here")
def test_heat_treatments_go_by_their_titles(tmp_path):
    treatments = ["t200"] * 3 + ["t180"] * 3
    result = study_result(
        tmp_path, treatments=treatments, against=comparison(("t200", "t180")), photos=[],
        heat_treatments=[{"id": "t200", "title": TREATMENTS[0]}, {"id": "t180", "title": "Soft"}],
    )  # fmt: skip
    words = words_of_pdf(build_document(result, tmp_path, kinds=["pdf"], timestamp=MADE)[0])
    assert "Soft lasts 1.41 (1.21 to 1.63) times as long as Temper 200 °C" in words
    assert "t200" not in words


def test_a_document_of_another_reading_does_not_replace_the_study_s_own(result, tmp_path):
    import dataclasses

    study = result.study.model_copy(update={"reading": "sever_force_gf", "limit": 400.0})
    other = dataclasses.replace(result, study=study)
    paths = [build_document(each, tmp_path, kinds=["html"])[0] for each in (result, other)]
    assert [path.name for path in paths] == ["comparison.html", "comparison_edge_width_um.html"]


def test_refuses_a_log_alone(result, tmp_path):
    import dataclasses

    with pytest.raises(UnusableInput, match="does not say what was tested"):
        build_document(dataclasses.replace(result, study=None), tmp_path)


@pytest.mark.parametrize(
    ("wish", "word"),
    [({"kinds": ["odt"]}, "odt"), ({"paper": "a3"}, "a3"), ({"units": "ell"}, "ell")],
)
def test_names_what_it_cannot_make(result, tmp_path, wish, word):
    with pytest.raises(UnusableInput, match=word):
        build_document(result, tmp_path, timestamp=MADE, **wish)


@pytest.mark.parametrize(
    ("section", "words"),
    [
        ({"paper": "a3"}, "a3"),
        ({"signatur": True}, "did you mean signature"),
        ({"units": 3}, "units"),
    ],
)
def test_fault_in_the_documents_section_names_the_key(tmp_path, section, words):
    result = study_result(tmp_path, photos=[])
    study = result.study.model_copy(update={"document": section})
    with pytest.raises(UnusableInput, match=words):
        settings_of(study)


@pytest.mark.usefixtures("framed_here")
def test_mark_stands_in_the_title_block(tmp_path):
    import cv2
    import numpy as np

    cv2.imwrite(str(tmp_path / "mark.png"), np.zeros((40, 40, 3), np.uint8))
    result = study_result(tmp_path, photos=[], document={"mark": "mark.png"})
    page = build_document(result, tmp_path / "out", kinds=["html"], timestamp=MADE)[0]
    assert "The maker's mark" in page.read_text("utf-8").replace("&#x27;", "'")
    missing = study_result(tmp_path, photos=[], document={"mark": "other.png"})
    with pytest.raises(UnusableInput, match=r'there is no "other\.png"'):
        build_document(missing, tmp_path / "out", timestamp=MADE)
