"""A chop in a study for a tool that does not chop: the headline asks, on page and paper too."""

import pytest

from edgetest.app.page_words import on_page
from edgetest.doubts import codes
from edgetest.report.documents.steel_sheet import build_steel_document
from edgetest.study.steel.steel_rows import SteelRows
from edgetest.study.steel.use_unsaid import asking_use, use_unsaid, use_unsaid_doubts
from tests.study.steel.test_trials_seen_other_use import judged

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

ASKED = "was that work of such a knife, or was the blade made for another use?"


def rows(*trials):
    told = [{"test": "chop", "piece": "leaf", "result": "same", **each} for each in trials]
    return SteelRows.model_validate({"pieces": [{"id": "leaf"}], "trials": told})


def test_the_headline_asks_before_any_chance_and_the_data_tell_it(tmp_path):
    result = judged(tmp_path / "s")
    opening = f". blade1 of leaf chopped, and this study is for a knife: {ASKED}"
    step, question, rest = result.summary().partition(opening)
    assert step == "Piece leaf: reuse it"
    assert question
    assert "The chance that it makes" in rest
    assert result.words().count(ASKED) == 1
    (told,) = [one for one in result.to_dict()["doubts"] if one["code"] == "trial_use_unsaid"]
    assert told["gravity"] == "decides"
    assert ASKED in told["text"]


def test_paper_asks_it_in_the_answer_and_once(tmp_path):
    result = judged(tmp_path / "s")
    (page,) = build_steel_document(result, tmp_path / "out", kinds=("html",))
    said = " ".join(page.read_text(encoding="utf-8").split()).replace("\u00a0", " ")
    body = said[said.index("<body") :]
    assert body.count(ASKED) == 1
    assert body.index(ASKED) < body.index("The chance that it makes")


@pytest.mark.parametrize("use", ["knife", "chopper"])
def test_a_use_that_was_said_or_that_chops_asks_nothing(tmp_path, use):
    said = judged(tmp_path / "a", f'use = "{use}"\n')
    assert "trial_use_unsaid" not in codes(said.all_doubts())
    assert ASKED not in said.words()


def test_it_is_one_doubt_for_all_such_blades_and_a_question_for_each_trial():
    told = rows({"coupon": "H1", "strokes": 40}, {"coupon": "H1", "strokes": 50}, {"coupon": "H2"})
    (one,) = use_unsaid_doubts(told, "chisel")
    assert one.text.startswith("H1 and H2 of leaf chopped, and this study is for a chisel")
    assert len(list(use_unsaid(told, "chisel"))) == 3
    assert list(use_unsaid_doubts(told, "chopper")) == list(use_unsaid(told, None)) == []
    assert asking_use("Reuse it.", []) == "Reuse it."
    assert asking_use("Reuse it.", [one]) == f"Reuse it. {one.text}"


def test_the_page_names_its_own_field():
    (one,) = use_unsaid_doubts(rows({"coupon": "H1"}), "knife")
    assert "under Trials, “What this blade was made for, if for another use”" in on_page(one.text)
