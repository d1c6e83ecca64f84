"""The verdict's page and figures: the result's numbers, one page, the same each time."""

import datetime
import re
import shutil
from dataclasses import replace

import numpy as np
import pypdf
import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents.frame import settings_of
from edgetest.report.documents.steel_sheet import (
    build_steel_document,
    steel_contents,
    verdict_sentences,
)
from edgetest.report.figures.steel_figures import plot_case, plot_odds, plot_verdict
from edgetest.report.wording import chance_words
from edgetest.store.places import shipped
from edgetest.store.workspace import change_study, new_study
from edgetest.study.steel.evidence_edit import add_row, put_criteria
from edgetest.study.steel.judge_steel import judge_steel

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
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    return re.sub(r"-\s+(?=[a-z])", "", re.sub(r"\s+", " ", text.replace("\u200b", "")))


def words_of_html(path):
    page = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", path.read_text("utf-8"), flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page).replace("\u200b", ""))


@pytest.fixture(scope="module", params=["pdf", "html"])
def words(request, made):
    path = made[["pdf", "html"].index(request.param)]
    return (words_of_pdf if request.param == "pdf" else words_of_html)(path)


def test_says_the_verdict_with_its_odds_and_the_other_route(words, result):
    assert "Reuse: piece disc A, carburised." in words
    best, other = result.best, result.routes[0].verdict
    assert f"odds of {chance_words(best.probability_fit)}" in words
    assert (
        f"As it is: do not reuse, fit with odds of {chance_words(other.probability_fit)}" in words
    )
    assert "Invented data, for demonstration" in words


def test_shows_every_criterion_loss_and_life_of_the_result(words, result):
    numbers = result.to_dict()
    for criterion in result.best.criteria:
        assert criterion.value.summary() in words
    for hours in numbers["expected_loss_h"].values():
        assert f"{hours:.1f}" in words
    ratio = numbers["routes"][1]["lives"][0]["ratio"]
    assert f"K1 lasted {ratio['estimate']:.2f} ({ratio['low']:.2f} to {ratio['high']:.2f})" in words
    low, high = (chance_words(bound) for bound in numbers["fit_bounds"])
    assert f"lie between {low} and {high}" in words


def test_warns_of_coatings_and_defers_to_a_laboratory(words):
    for part in ("galvanised", "fumes", "laboratory", "certifies neither", "do not name it"):
        assert part in words


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("units", ["metric", "both"])
def test_is_one_page(result, tmp_path, paper, units):
    (path,) = build_steel_document(
        result, tmp_path, kinds=["pdf"], paper=paper, units=units, timestamp=MADE
    )
    assert len(pypdf.PdfReader(path).pages) == 1
    if units == "both":
        assert "900 °C (1652 °F)" in words_of_pdf(path)


def test_heats_of_the_pack_stand_as_typed(result, tmp_path):
    folder = tmp_path / "typed"
    shutil.copytree(result.study.folder, folder)
    text = (folder / "study.toml").read_text(encoding="utf-8")
    typed = text.replace("temperature_c = 900", 'temperature_c = "1500 °F"')
    assert typed != text
    (folder / "study.toml").write_text(typed, encoding="utf-8")
    (path,) = build_steel_document(judge_steel(folder), tmp_path, kinds=["html"], timestamp=MADE)
    words = words_of_html(path).replace("\u00a0", " ")
    assert "at 1500 °F" in words
    assert not re.search(r"1501 ?°F|816 ?°C|815\.\d* ?°C", words)


def test_is_the_same_but_for_its_date(result, made, tmp_path):
    again = build_steel_document(result, tmp_path, timestamp=MADE)
    for first, second in zip(made, again, strict=True):
        assert first.read_bytes() == second.read_bytes()


def test_a_stopped_sequence_is_a_page_too(tmp_path):
    new_study(tmp_path / "s", "sisal_rope", "Gate hinges", blades=("A1",))
    add_row(tmp_path / "s", "pieces", {"id": "hinge", "makes_blades": 9.0,
                                       "coating": "galvanised"})  # fmt: skip
    stopped = judge_steel(tmp_path / "s")
    files = build_steel_document(stopped, tmp_path / "d", timestamp=MADE)
    text = words_of_pdf(files[0])
    assert len(pypdf.PdfReader(files[0]).pages) == 1
    assert "Cannot tell yet." in text
    assert "Coating: galvanised. Do not heat it: fumes." in text
    assert "no evidence yet" in text


def test_odds_that_lack_evidence_are_said_to_be_a_guess(tmp_path):
    new_study(tmp_path / "s", "sisal_rope", "Gate hinges", blades=("A1",))
    add_row(tmp_path / "s", "pieces", {"id": "hinge", "makes_blades": 9.0, "coating": "none",
                                       "magnetic": True, "sparks": "between"})  # fmt: skip
    said = verdict_sentences(judge_steel(tmp_path / "s"))
    assert said[:2] == [
        "Cannot tell yet: piece hinge.", "Nothing is known of its hardness or its edge yet.",
    ]  # fmt: skip
    assert said[2].startswith("Next: Coupon quenched and snapped.")
    add_row(tmp_path / "s", "tempered", {"hardness": [60.0]})
    said = verdict_sentences(judge_steel(tmp_path / "s"))
    assert said[0] == "Cannot tell yet: piece hinge."
    assert any(line.startswith("No evidence yet on life:") for line in said)


def test_long_words_and_every_wish_still_make_a_document(result, tmp_path):
    folder = tmp_path / "long"
    shutil.copytree(result.study.folder, folder)
    put_criteria(folder, {}, {"damage_per_100": 1.0, "cracked_share": 0.1})
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
    assert len(pages) <= 2
    assert "Place and date" in words_of_pdf(path)


def test_unknown_wishes_are_refused(result, tmp_path):
    with pytest.raises(UnusableInput, match="choose a4 or us-letter"):
        build_steel_document(result, tmp_path, paper="a5")
    with pytest.raises(UnusableInput, match="choose metric, inch, both"):
        build_steel_document(result, tmp_path, units="cubits")


def test_every_figure_has_words_for_who_cannot_see_it(result):
    contents = steel_contents(result, settings_of(result.study), day="2026-11-05")
    figure = contents.sections[1]["blocks"][0]
    assert figure["file"] in contents.pictures
    alt = figure["alt"].replace("\u00a0", " ")  # units are kept on the line of their number
    for name, case in result.cases:
        assert f"{name}: {case.summary()}" in alt


# ---- figures ---------------------------------------------------------------------------------


def test_case_draws_profile_target_and_ground_faces(result):
    name, case = result.cases[1]
    carbon, hardness = plot_case(case, title=name)
    line = carbon.lines[0]
    np.testing.assert_array_equal(line.get_xdata(), case.depth_mm)
    np.testing.assert_array_equal(line.get_ydata(), case.carbon_pct[1])
    np.testing.assert_array_equal(hardness.lines[0].get_ydata(), case.tempered_hrc[1])
    faces = [line.get_xdata()[0] for line in carbon.lines[2:]]
    assert faces == list(case.ground_mm)
    assert carbon.lines[1].get_ydata()[0] == case.target_pct
    assert hardness.lines[1].get_ydata()[0] == case.wanted.hardness_hrc
    drawn = [line.get_ydata() for line in hardness.lines]
    for band in (case.hardness_hrc[1], case.austenite_pct[1]):  # as quenched; retained austenite
        assert any(np.array_equal(line, band) for line in drawn)
    assert carbon.get_title(loc="left") == "plunge"
    assert (carbon.get_ylabel(), hardness.get_ylabel()) == ("carbon (%)", "HRC; austenite (%)")
    assert "mm" in hardness.get_xlabel()


def test_an_unground_section_has_no_ground_faces(result):
    edge = result.cases[0][1]
    case = replace(edge, plate=replace(edge.plate, removed_mm=(0.0, 0.0)))
    carbon, _ = plot_case(case)
    assert len(carbon.lines) == 2


def test_odds_draw_each_criterion_and_all_together(result):
    ax = plot_odds(result.best)
    labels = [label.get_text() for label in ax.get_yticklabels()]
    assert labels == ["all together", "life", "hardness", "edge hard through"]
    full = [bar.get_width() for bar in ax.patches[1::2]]
    expected = [result.best.probability_fit, *(c.probability_full for c in result.best.criteria)]
    assert full == pytest.approx(expected)
    written = [text.get_text() for text in ax.texts]
    assert written == [chance_words(p) for p in expected]


def test_a_criterion_without_evidence_is_hollow(tmp_path):
    new_study(tmp_path / "s", "sisal_rope", "Gate hinges", blades=("A1",))
    found = judge_steel(tmp_path / "s").best
    ax = plot_odds(found)
    assert [t.get_text() for t in ax.texts] == ["no evidence yet"] * (1 + len(found.criteria))


def test_the_verdict_draws_two_sections_at_most(result):
    sections = [*result.cases, ("third", result.cases[0][1])]
    figure = plot_verdict(result.best, sections).figure
    assert len(figure.axes) == 5  # odds, and carbon over hardness of two sections
    assert len(plot_verdict(result.best).figure.axes) == 1


def test_the_first_sentence_is_the_verdict(result):
    assert verdict_sentences(result)[0] == "Reuse: piece disc A, carburised."
