"""From a study on disk to the document, through every room that lies between."""

import datetime
import re

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.report.documents.advice import without_advice
from edgetest.report.documents.document import build_document
from edgetest.report.documents.lives_pictures import answer_picture
from edgetest.report.figures.figure_titles import with_titles
from edgetest.report.wording import interval_words, life_interval, ratio_interval
from edgetest.store.journal import append_reading, correct_reading
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.headline import SUMS
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.usefixtures("framed")

STAGES = [0, 10, 25, 50, 100, 150, 200, 300]


def study_on_disk(folder, treatments, *, rate=0.5, last=300):
    """A study of typed widths: a treatment for each blade, lives growing with its place."""
    rng = np.random.default_rng(7)
    names = list(dict.fromkeys(treatments))
    lines = ['title = "Typed widths"', 'protocol = "sisal_rope"', 'edge_width_from = "log"']
    lines += ["limit = 12.0", "invented = true", 'maker = "Thornside Forge"']
    lines += [f'[[heat_treatments]]\nid = "{name}"\ntitle = "Soak {name}"' for name in names]
    rows = ["blade,cuts,station_mm,edge_width_um"]
    for number, treatment in enumerate(treatments, 1):
        lines.append(f'[[blades]]\nid = "K{number}"\nheat_treatment = "{treatment}"')
        lines.append("angle_per_side_deg = 16")
        wear = rate / (1 + 0.3 * names.index(treatment)) * rng.lognormal(0, 0.05)
        for cuts in (stage for stage in STAGES if stage <= last):
            for station in (20, 40, 60):
                width = np.sqrt(4 + wear * cuts) * rng.lognormal(0, 0.02)
                rows.append(f"K{number},{cuts},{station},{width:.3f}")
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text("\n".join(lines), encoding="utf-8")
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def document_of(folder, tmp_path):
    result = analyse(open_source(folder), workers=1)
    made = datetime.datetime(2026, 5, 20, tzinfo=datetime.UTC)
    path = build_document(result, tmp_path, kinds=["pdf"], timestamp=made)[0]
    text = " ".join(page_texts(path))
    return result, re.sub(r"\s+", " ", text.replace("\u200b", ""))


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    folder = study_on_disk(tmp_path_factory.mktemp("s") / "two", ["short"] * 3 + ["long"] * 3)
    return document_of(folder, tmp_path_factory.mktemp("d"))


def test_every_life_and_ratio_of_the_json_stands_in_the_pdf(two):
    result, words = two
    numbers = result.to_dict()
    for blade in numbers["blades"]:
        value, interval = life_interval(blade["life"])
        assert re.search(rf"{blade['blade']} {value} {interval}", words)
    ratio = numbers["comparison"]["ratio"]
    value, interval = interval_words(ratio["estimate"], ratio["low"], ratio["high"])
    assert f"{value} {interval}" in words
    for group in numbers["comparison"]["groups"]:
        value, interval = life_interval(group["life"])
        assert f"Soak {group['treatment']} {value} {interval}" in words


def test_sentence_names_heat_treatments_by_title(two):
    _, words = two
    ratio = r"1\.\d+ \(\d\.\d+ to \d\.\d+\)"
    assert re.search(f"Soak long lasts {ratio} times as long as Soak short", words)


def _parts(text):
    """A doubt's sentence, and what it asks of the maker."""
    fact = without_advice(text)
    return fact, text.removeprefix(fact).strip()


def test_every_warning_is_said(two):
    result, words = two
    summed = SUMS["lives_beyond_readings"]  # these one sentence counts
    stamped = ("invented",)  # on the first page
    told = (one.text for one in result.doubts if one.code not in (*summed, *stamped))
    said = {part for text in told for part in _parts(text)}
    assert "Invented data, for demonstration" in words
    assert "lives_beyond_readings" in codes(result.doubts)
    assert {w["code"] for w in result.comparison.to_dict()["warnings"]} <= set(codes(result.doubts))
    for sentence in said:
        # the PDF may break a word at a line's end, and sets a command without its marks
        assert re.sub(r"[\s`-]", "", sentence) in re.sub(r"[\s\u2010-]", "", words)


def test_one_blade_each_claims_nothing_about_heat_treatments(tmp_path):
    result, words = document_of(study_on_disk(tmp_path / "s", ["short", "long"]), tmp_path)
    assert result.comparison.scope == "blades"
    assert "The blades are compared, not their heat treatments" in words
    assert f"About {result.comparison.blades_needed} blades of each heat treatment" in words


def test_three_heat_treatments_show_every_pair(tmp_path):
    folder = study_on_disk(tmp_path / "s", ["a1"] * 2 + ["b2"] * 2 + ["c3"] * 2)
    result, words = document_of(folder, tmp_path)
    assert len(result.comparison.pairs) >= 2
    for pair in result.comparison.to_dict()["pairs"]:
        shown = ratio_interval(*(pair["ratio"][key] for key in ("estimate", "low", "high")))
        shown = [part for part in shown if part]
        assert f"Soak {pair['second']} : Soak {pair['first']} {' '.join(shown)}" in words


def test_lives_beyond_the_last_stage_are_marked(tmp_path):
    folder = study_on_disk(tmp_path / "s", ["short"] * 2 + ["long"] * 2, last=150)
    result, words = document_of(folder, tmp_path)
    assert all(fit.life.extrapolated for fit in result.fit.blades)
    # to half the life and less: no life is told but by the law
    assert words.count("only if the law holds") >= 4
    assert "Cutting those blades on to the limit, if they are sound, would settle it" in words


def test_other_cuts_and_other_limits_have_their_section(two):
    result, words = two
    assert "At other cuts and other limits" in words
    assert result.beside_lives()[0] in words
    says = "How many times as long Soak long lasts as Soak short, by the edge width"
    assert says in words


def test_blades_stopped_far_too_early_have_no_middle_between_open_ends(tmp_path):
    folder = study_on_disk(tmp_path / "early", ["short"] * 3 + ["long"] * 3, rate=0.2, last=25)
    result, words = document_of(folder, tmp_path / "d")
    assert result.ratio.low == 0
    assert "The ratio of" not in words
    assert "0 or more" not in words
    assert "How long each lasts, this test does not tell." in words
    assert "Soak short not known" in words


def test_powers_of_the_law_go_by_the_titles_of_their_heat_treatments(two):
    _, words = two
    assert re.search(
        r"one for each heat treatment: Soak short: \d\.\d+ .*; Soak long: \d\.\d+", words
    )


def test_a_margin_that_was_chosen_is_told_below_the_answer(two):
    result = with_titles(two[0])
    usual = answer_picture(result, result.comparison, {})["caption"]
    assert usual.endswith("a difference under 10 %.")
    practical = result.comparison["practical"] | {"margin": 0.25}
    wide = answer_picture(result, result.comparison | {"practical": practical}, {})["caption"]
    assert wide.endswith("a difference under 25 %, chosen in place of the usual 10 %.")


def test_of_one_blade_each_every_number_is_told_of_the_blades(tmp_path):
    """What the sentences refuse to say of the heat treatments, no number may claim of them."""
    _, words = document_of(study_on_disk(tmp_path / "s", ["short", "long"]), tmp_path)
    for said in ("Ratio of lives, K2 : K1", "Life of K1, cuts", "Life of K2, cuts",
                 "Above: life of each blade, with 95 %", "Soak long 1 blade",
                 "How many times as long K2 lasts as K1, by the edge width"):  # fmt: skip
        assert said in words
    for said in ("Life of Soak", "Soak long : Soak short", "as long Soak"):
        assert said not in words
    assert "If these two blades were cut and read again many times" in words
    assert "would hold the ratio of these blades in 95 of 100 cases. Of other blades they say" in (
        words
    )
    assert "If the whole test were done again" not in words


def test_of_several_blades_the_whole_test_is_thought_done_again(two):
    assert "If the whole test were done again many times" in two[1]


def test_the_line_of_ratios_by_the_limit_passes_through_the_answer(two):
    folder = two[0].study.folder
    result = analyse(open_source(folder), AnalysisOptions(limit=8.0), workers=1)
    titled = with_titles(result)
    limits = [level["limit"] for level in titled.levels]
    assert limits == sorted(limits)
    (own,) = (level for level in titled.levels if level["limit"] == result.limit)
    ratio = titled.comparison["ratio"]
    assert [own[key] for key in ("estimate", "low", "high")] == pytest.approx(
        [ratio[key] for key in ("estimate", "low", "high")]
    )


def test_what_was_changed_late_is_told_with_what_the_list_covers(tmp_path):
    folder = study_on_disk(tmp_path / "s", ["short"] * 2 + ["long"] * 2)
    row = {"blade": "K4", "cuts": 400, "station_mm": "40", "edge_width_um": "13", "batch": "2"}
    correct_reading(folder, append_reading(folder, row).row, "batch", "3", was="2")
    _, words = document_of(folder, tmp_path)
    assert "K4, 400 cuts, station 40 mm: corrected batch 2 → 3" in words
    assert "Told are rows with a reading: value, block, batch, and whether it counts." in words
