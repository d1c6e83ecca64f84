"""Is every caution of the catalogue told alike in text, JSON, on the page and in the document?"""

import re
from dataclasses import replace

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.report.documents.steel_sheet import build_steel_document
from edgetest.steel.steel_cautions import CAUTIONS, cautions_of_piece
from edgetest.steel.steel_seen import PieceSeen
from edgetest.store.workspace import new_steel_study
from edgetest.study.steel.evidence_edit import add_row
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.blank_figures import leave_blank

pytestmark = pytest.mark.usefixtures("blank_figures", "few_samples")  # words are read

WORST = PieceSeen("A", coating="hard_chrome", lead="yes", closed_hollow=True, loaded_spring=True)
CATALOGUE = tuple(dict.fromkeys(
    (*(one for step in CAUTIONS.values() for one in step), *cautions_of_piece(WORST))
))  # fmt: skip
HURTS = {  # what can hurt a maker at this work: words that must stand in the catalogue
    "carbon monoxide of the pack": "carbon monoxide",
    "the luted box": "small vent (common practice, no source)",
    "sealed hollow parts": "hollow part bursts",
    "loaded springs": "loaded spring throws",
    "steam of the quench": "scalding steam",
    "hard chrome at the grinder": "neither heat it nor grind it",
    "the trial blade": "glasses at the test blade",
    "leaded bar": "free-machining bar",
}


def study(folder, *, piece="", more=""):
    """A leaf spring that hardened, its coating and lead told by `piece`."""
    folder.mkdir()
    (folder / "study.toml").write_text(
        'title = "Found bar"\n[verdict]\nuse = "knife"\n[[evidence.pieces]]\nid = "A"\n'
        f'origin = "leaf spring"\nmagnet = "strong"\nsparks = "like high"\n{piece}\n{more}',
        encoding="utf-8",
    )
    return folder


def page_of(result):
    """The answer of the verdict's page."""
    from edgetest.app.answers.verdict_page import _answer

    _answer(result)


def told(result, folder):
    """The four outputs as plain text, line breaks and hard blanks as blanks."""
    page = AppTest.from_function(page_of, args=(result,), default_timeout=60).run()
    assert not page.exception
    (html,) = build_steel_document(result, folder, kinds=("html",))
    found = {
        "text": result.words(),
        "json": " ".join(result.to_dict()["cautions"]),
        "page": " ".join(one.value for one in page.warning),
        "document": re.sub("<[^>]+>", "", html.read_text(encoding="utf-8")),
    }
    return {name: " ".join(words.split()) for name, words in found.items()}


@pytest.fixture(scope="module")
def all_told(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cautions")
    bare = study(folder / "s", piece='coating = "no"\nlead = "no"')
    result = judge_steel(bare, try_numbers=False)
    decision = replace(result.asked.decision, cautions=CATALOGUE)
    with pytest.MonkeyPatch.context() as patch:
        leave_blank(patch)
        return told(replace(result, asked=replace(result.asked, decision=decision)), folder)


@pytest.mark.parametrize("caution", CATALOGUE, ids=lambda words: words[:30])
def test_each_caution_stands_in_all_four_outputs(all_told, caution):
    for words in all_told.values():
        assert caution in words


@pytest.mark.parametrize("danger", HURTS)
def test_what_can_hurt_stands_in_the_catalogue(danger):
    assert HURTS[danger] in " ".join(CATALOGUE)


def test_a_pack_that_was_written_down_has_its_cautions_whatever_the_next_step(tmp_path):
    pack = (
        "[evidence.pack]\ncore_pct = 0.2\n"
        'heats = [{temperature_c = 900, hours = 4, surface = "carburising"}]\n'
        "sections = [{thickness_mm = 2}]\n"
    )
    bare = study(tmp_path / "s", piece='coating = "no"\nlead = "no"', more=pack)
    result = judge_steel(bare, try_numbers=False)
    assert result.action == "go_on"
    for words in told(result, tmp_path).values():
        assert "with an alarm beside you" in words
        assert "small vent" in words
        assert "galvanised" not in words


def test_a_coating_that_is_not_there_is_not_warned_of(tmp_path):
    result = judge_steel(study(tmp_path / "s", piece='coating = "no"\nlead = "no"'))
    for words in told(result, tmp_path).values():
        assert "fumes that can kill" not in words


def test_another_piece_s_danger_is_told_by_its_name(tmp_path):
    more = '[[evidence.pieces]]\nid = "ram"\ncoating = "hard chrome"\nlead = "no"\n'
    bare = study(tmp_path / "s", piece='coating = "no"\nlead = "no"', more=more)
    result = judge_steel(bare, piece="A", try_numbers=False)
    for words in told(result, tmp_path).values():
        assert "Piece ram: hard chrome: neither heat it nor grind it" in words


def test_what_is_told_of_many_pieces_is_told_once_with_all_their_names(tmp_path):
    folder = tmp_path / "s"
    new_steel_study(folder, "Gate hinges", use="knife")
    add_row(folder, "pieces", {"id": "a", "coating": "none", "lead": "no"})
    for name in ("b", "c", "d"):
        add_row(folder, "pieces", {"id": name, "coating": "galvanised"})
    result = judge_steel(folder, workers=1)
    (mind,) = result.cautions()
    assert mind.startswith("Pieces b, c and d: plated, galvanised")
    assert result.others_in_words() == ["Pieces b, c and d: Stop: do not heat or grind it yet."]
    files = build_steel_document(result, tmp_path / "d", kinds=["html"])
    page = re.sub(r"\s+", " ", files[0].read_text("utf-8"))
    for line in (mind, *result.others_in_words()):
        assert page.count(line) == 1
        assert result.words().count(line) == 1
