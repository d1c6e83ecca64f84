"""The verdict's page and figures: the result's numbers, one page, the same each time."""

import datetime
import re
import shutil
from dataclasses import replace
from types import SimpleNamespace

import pypdf
import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents import steel_sheet
from edgetest.report.documents.drawn_pictures import on_paper
from edgetest.report.documents.steel_sheet import _pictures, build_steel_document, steel_contents
from edgetest.report.figures.steel_figures import (
    plot_verdict,
)
from edgetest.report.wording import chance_words
from edgetest.store.document_wishes import settings_of
from edgetest.store.places import shipped
from edgetest.store.workspace import change_study, new_steel_study
from edgetest.study.steel.evidence_edit import add_row
from edgetest.study.steel.judge_steel import judge_steel
from tests.report.accessible import broken_rules
from tests.report.documents.pdf_pages import page_texts

MADE = datetime.datetime(2026, 11, 5, tzinfo=datetime.UTC)


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    folder = tmp_path_factory.mktemp("run") / "plough_disc_study"
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", folder)
    return judge_steel(folder, workers=1)


@pytest.fixture(scope="module")
def made(result, tmp_path_factory):
    return build_steel_document(result, tmp_path_factory.mktemp("documents"), timestamp=MADE)


def words_of_pdf(path):
    text = " ".join(page_texts(path))
    return re.sub(r"-\s+(?=[a-z])", "", re.sub(r"\s+", " ", text.replace("\u200b", "")))


def words_of_html(path):
    page = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", path.read_text("utf-8"), flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page).replace("\u200b", ""))


@pytest.fixture(scope="module", params=["pdf", "html"])
def words(request, made):
    path = made[["pdf", "html"].index(request.param)]
    return (words_of_pdf if request.param == "pdf" else words_of_html)(path)


def test_says_the_verdict_first_with_its_chance_and_the_other_pieces(words, result):
    assert "Piece disc A: carburise it" in words
    assert f"without packing, is {chance_words(result.asked.belief.chance_fit)}." in words
    assert "Piece disc B:" in words
    assert "Invented data, for demonstration" in words
    assert "odds" not in words


def test_the_prompt_says_what_moved_the_likeliest_steel_most(result):
    assert result.moved_words().startswith("What moved this most is coupon U1, heat 1, with")
    assert f"- {result.moved_words()}\n" in result.words()


def test_shows_how_sure_it_is_the_lives_and_what_was_seen(words, result):
    assert result.survival.summary() in words.replace("\u00a0", " ")
    assert result.before.summary() in words.replace("\u00a0", " ")
    ratio = result.lives[0].to_dict()["ratio"]
    assert f"K1 lasted {ratio['estimate']:.2f} ({ratio['low']:.2f} to {ratio['high']:.2f})" in words
    for part in (", into oil at 60", "under 40 HRC below the skin", "stream straw no forks"):
        assert part in words.replace("\u00a0", " ")


def test_says_whose_heats_are_drawn_and_on_whose_the_chances_rest_too(words, result):
    words = words.replace("\u00a0", " ")
    assert "What was seen of disc B, of the same lot, counts too" in words
    assert "the heats told here are those of disc A" in words
    titles = [ax.get_title(loc="left") for ax in plot_verdict(result).figure.axes]
    assert "What was done in each heat of disc A" in titles
    assert result.sisters_words() in result.words()


def test_the_caption_of_the_chances_says_why_several_steels_are_no_bar(result, monkeypatch):
    monkeypatch.setattr(type(result), "mixed_words", lambda _: "It stops no step.")
    assert "measured salvage. It stops no step. What was" in str(_pictures(result, {}))


@pytest.mark.usefixtures("framed_here")
def test_no_doubt_is_dropped_for_want_of_room(result, tmp_path, monkeypatch):
    doubts = [f"Doubt number {n} of this steel." for n in range(1, 8)]
    monkeypatch.setattr(type(result), "doubt_lines", lambda *_, said: doubts)
    for path in build_steel_document(result, tmp_path, timestamp=MADE):
        told = (words_of_pdf if path.suffix == ".pdf" else words_of_html)(path)
        places = [told.index(each) for each in doubts]
        assert places == sorted(places)


def test_says_in_plain_words_how_the_chance_came_about(words):
    assert "posterior" not in words
    assert "prior" not in words
    assert "what your tests make, by Bayes' theorem, of the first guess" in words


def test_warns_as_the_step_asks_and_defers_to_a_laboratory(words):
    for part in ("carbon monoxide", "small vent", "laboratory decides", "certifies neither",
                 "do not name it", "No log of real salvage"):  # fmt: skip
        assert part in words


@pytest.mark.usefixtures("framed_here")
def test_is_two_pages_at_most_with_a_pack_and_three_blades(result, tmp_path):
    for paper in ("a4", "us-letter"):
        for units in ("metric", "both"):
            (path,) = build_steel_document(
                result, tmp_path, kinds=["pdf"], paper=paper, units=units, timestamp=MADE
            )
            assert len(pypdf.PdfReader(path).pages) <= 2
            if units == "both":
                assert "900 °C (1652 °F)" in words_of_pdf(path)


@pytest.mark.usefixtures("framed_here")
def test_heats_of_the_pack_stand_as_typed(result, tmp_path):
    folder = tmp_path / "typed"
    shutil.copytree(result.study.folder, folder)
    text = (folder / "study.toml").read_text(encoding="utf-8")
    typed = text.replace("temperature_c = 900", 'temperature_c = "1500 °F"')
    assert typed != text
    (folder / "study.toml").write_text(typed, encoding="utf-8")
    (path,) = build_steel_document(judge_steel(folder), tmp_path, kinds=["html"], timestamp=MADE)
    words = words_of_html(path).replace("\u00a0", " ")
    assert "at 1500 °F (816 °C)" in words
    assert not re.search(r"1501 ?°F|815\.\d* ?°C", words)


def test_is_pdf_ua(made):
    assert broken_rules(made[0]) == []


def test_is_the_same_but_for_its_date(result, made, tmp_path):
    told = []
    again = build_steel_document(
        result, tmp_path, timestamp=MADE, progress=lambda *step: told.append(step)
    )
    assert told == [(0, 3), (1, 3), (2, 3)]  # drawn, then a PDF, then the page
    for first, second in zip(made, again, strict=True):
        assert first.read_bytes() == second.read_bytes()


def test_a_contradiction_stands_above_every_chance_with_its_cure(tmp_path):
    shutil.copytree(shipped("sample_runs") / "harrow_tine_study", tmp_path / "t")
    tines = judge_steel(tmp_path / "t")
    files = build_steel_document(tines, tmp_path / "d", timestamp=MADE)
    for words in (words_of_pdf(files[0]), words_of_html(files[1])):
        place = words.index("This does not fit together")
        assert "Grind 0.3" in words[place : place + 400].replace("\u00a0", " ")
        assert place < words.index("Go on testing")
        assert "eye and breathing protection" in words
    assert len(pypdf.PdfReader(files[0]).pages) == 1


def test_a_stop_is_a_page_and_nothing_entered_is_none(tmp_path):
    new_steel_study(tmp_path / "s", "Gate hinges", use="knife")
    with pytest.raises(UnusableInput, match="nothing was entered yet"):
        build_steel_document(judge_steel(tmp_path / "s"), tmp_path / "d", timestamp=MADE)
    add_row(
        tmp_path / "s",
        "pieces",
        {"id": "hinge", "coating": "galvanised", "thickness_mm": "1/4 in", "makes_blades": 3},
    )
    files = build_steel_document(judge_steel(tmp_path / "s"), tmp_path / "d", timestamp=MADE)
    text = words_of_pdf(files[0])
    assert len(pypdf.PdfReader(files[0]).pages) == 1
    assert "1/4 in thick; for 3 blades" in text.replace("\u00a0", " ")
    assert text.index("Stop") < text.index("fumes")
    assert "What it may be" not in text  # nothing was weighed


@pytest.mark.parametrize(
    ("called", "use", "told"),
    [
        ("camp hatchet", "chopper", "camp hatchet, judged as a chopper"),
        ("hedging-tools", "hedging_tool", "hedging tool"),
        (None, None, "not said"),
    ],
)
def test_what_it_is_wanted_for_stands_in_the_words_of_its_maker(called, use, told):
    verdict = {"use": called} if called else None
    typed = SimpleNamespace(wishes=SimpleNamespace(use=use), study=SimpleNamespace(verdict=verdict))
    assert steel_sheet.wanted_for(typed) == told


@pytest.mark.usefixtures("framed_here")
def test_many_pieces_take_the_whole_width_and_one_page(tmp_path):
    new_steel_study(tmp_path / "s", "A heap of leaf springs", use="knife")
    for number in range(1, 21):
        add_row(tmp_path / "s", "pieces", {"id": f"leaf {number}", "thickness_mm": "6"})
    found = judge_steel(tmp_path / "s")
    (path,) = build_steel_document(found, tmp_path / "d", kinds=["pdf"], timestamp=MADE)
    text = words_of_pdf(path)
    assert len(pypdf.PdfReader(path).pages) == 1
    assert text.index("Mind") < text.index("What was seen") < text.index("What this does not say")
    assert text.count("leaf 20") == 2  # in the verdict on all others, and among what was seen


@pytest.mark.usefixtures("framed_here")
def test_long_words_and_every_wish_still_make_a_document(result, tmp_path):
    folder = tmp_path / "long"
    shutil.copytree(result.study.folder, folder)
    wide = "Überlandpflugscharenschmiedegemeinschaft " * 4
    change_study(
        folder,
        lambda study: study.model_copy(
            update={"title": wide.strip(), "maker": wide.strip(),
                    "document": {"signature": True, "customer": wide.strip()}}
        ),
    )  # fmt: skip
    (path,) = build_steel_document(judge_steel(folder), tmp_path, kinds=["pdf"], timestamp=MADE)
    pages = pypdf.PdfReader(path).pages
    assert len(pages) <= 3
    assert "Place and date" in words_of_pdf(path)


def test_unknown_wishes_are_refused(result, tmp_path):
    with pytest.raises(UnusableInput, match="choose a4 or us-letter"):
        build_steel_document(result, tmp_path, paper="a5")
    with pytest.raises(UnusableInput, match="choose metric, inch, both"):
        build_steel_document(result, tmp_path, units="cubits")


def test_every_figure_has_words_for_who_cannot_see_it(result):
    contents = steel_contents(result, settings_of(result.study), day="2026-11-05")
    blocks = [block for part in contents.sections for block in part["blocks"]]
    figures = {block["file"]: block["alt"].replace("\u00a0", " ") for block in blocks
               if "alt" in block}  # fmt: skip
    assert set(figures) == {"verdict.svg", "case.svg"} == set(on_paper(contents.pictures))
    for line in (*result.likely_words(), *result.heat_words()):
        assert line in figures["verdict.svg"]
    for name, case in result.cases:
        assert f"{name}: {case.summary()}" in figures["case.svg"]


def many_heats(folder, heats):
    """A study of one piece with so many coupons, each with a ladder of tempers."""
    new_steel_study(folder, "tines", use="chopper")
    add_row(folder, "pieces", {"id": "T1", "coating": "none", "lead": "no", "sparks": "like high"})
    for number in range(heats):
        heat = {"coupon": f"C{number}", "medium": "oil", "heat_c": 810, "magnet": "lets go"}
        add_row(folder, "heats", {**heat, "hardness_below": "60-65", "grain": "fine"})
        for at_c in (175, 189, 203, 217, 231):
            row = {"coupon": f"C{number}", "temperature_c": at_c, "time_min": 60}
            add_row(folder, "tempers", {**row, "hardness_below": "55-60"})
    return judge_steel(folder, try_numbers=False)


def facts_of(blocks):
    """Every block of facts, also in columns."""
    for block in blocks:
        if block["kind"] == "facts":
            yield block
        for half in block.get("columns", ()) if block["kind"] == "columns" else ():
            yield from (one for part in half for one in facts_of(part["blocks"]))


@pytest.mark.parametrize(("heats", "narrow"), [(3, True), (7, False)])
def test_long_rows_of_what_was_seen_take_the_whole_width(tmp_path, heats, narrow):
    result = many_heats(tmp_path / "s", heats)
    contents = steel_contents(result, settings_of(result.study), day="2026-11-05")
    blocks = [block for part in contents.sections for block in part["blocks"]]
    (seen,) = [one for one in facts_of(blocks) if one["rows"][0][0] == "T1"]
    assert seen["narrow"] is narrow


def test_where_one_page_does_not_do_the_second_has_a_beginning_of_its_own(made, result):
    first, second = (re.sub(r"\s+", " ", page) for page in page_texts(made[0]))
    assert second.startswith("Thornbank Forge (invented) · Plough discs: worth forging? · 2026-11")
    assert "Mind" in first
    assert "nothing here certifies a steel" in first
    assert all(head in second and head not in first for head in ("Known blade", "The case"))


def test_notes_of_coupons_stand_under_what_was_seen(tmp_path):
    result = many_heats(tmp_path / "s", 1)
    (heat, *_), rows = result.rows.heats, result.rows
    noted = rows.model_copy(update={"heats": (heat.model_copy(update={"note": "in #2 *canola*"}),)})
    contents = steel_contents(replace(result, rows=noted), settings_of(result.study), day="x")
    told = [
        row[1] for part in contents.sections for one in facts_of(part["blocks"])
        for row in one["rows"] if row[0].startswith("Note on")
    ]  # fmt: skip
    assert told == ["in #2 *canola*"]
