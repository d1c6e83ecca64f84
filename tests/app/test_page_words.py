"""A page names its own fields, where the command line names options and keys."""

import re

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from edgetest.app.desk import facts_page
from edgetest.app.page_words import on_page
from edgetest.doubts import catalogue, doubt
from edgetest.steel.cure_first import TradeStep
from edgetest.steel.rule_cures import ALL_DONE, RULE_CURES
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.worth_testing import known_instead
from edgetest.store.meant_rows import AGAIN
from edgetest.store.workspace import new_study
from edgetest.study.chop.wished_wood import _OWN as UNWEIGHED
from edgetest.study.overview import CHOPS_WAIT
from edgetest.study.steel.blades_to_make import FEWER
from edgetest.study.steel.told_at_entry import WANTED
from edgetest.study.wear.begun_order import HOW_KEPT, HOW_MENDED
from edgetest.study.wear.compared_runs import SEALED
from edgetest.wear.compare.verdict_on_ratio import BladesNeeded, needed_sentence
from tests.app.test_navigation_pages import page, words
from tests.steel.seen_steel import files, heat
from tests.steel.stands import stands
from tests.study.steel.found_steel import make_study


def test_the_plan_of_a_chop_test_names_no_option_of_the_command_line(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    new_study(tmp_path / "chop", "billet_chop", "Two hatchets", blades=("H1", "H2"))
    said = words(page("plan", seconds=90).run())
    assert "is asked where nothing else stands above" in said
    assert "say so under “What you expect beforehand”" in said
    assert re.findall(r"(?<!\S)--\w+", said) == []


def test_a_doubt_that_names_an_option_names_a_field_on_a_page():
    told = [on_page(" ".join(kind.says.split())) for kind in catalogue().values()]
    option = re.compile(r"[\s(`]--[a-z]|`edgetest")
    assert [words for words in told if option.search(words)] == []


def test_the_hours_are_written_under_the_page_s_own_field():
    ladder = TradeStep("go_on", "temper_ladder", "why")
    seen = stands(heat(files(60, 65, "below")), fit=0.01, makes_blades=2.0)
    reason = known_instead(seen, ladder, SteelLosses()).reason
    assert "known_steel_hours" in reason
    assert "known_steel_hours" not in on_page(reason)
    assert "“What is wanted, and what a mistake costs”" in on_page(reason)


def test_a_fault_names_the_field_that_mends_it_or_no_option():
    assert on_page("give --fresh in gf") == "say it in gf under “What you expect beforehand”"
    asked = on_page("give --limit in µm, or write limit = … into study.toml; 12 µm is usual")
    assert asked == "say it in µm under “What you expect beforehand”; 12 µm is usual"
    assert on_page("most (--most)") == "most"
    assert on_page("choose a higher one (--limit, --fresh)") == "choose a higher one"
    grades = on_page("one of dull or keen as its limit (--reading grade, --limit).")
    assert grades.endswith("its limit (under “Another reading, limit or fit”).")


def test_what_is_asked_about_names_no_option_on_the_page_of_a_study(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    trial = '[[evidence.trials]]\ncoupon = "b1"\ntest = "chop"\nstrokes = 60\nedge = "sound"\n'
    heat_of = '[[evidence.pieces]]\nid = "D1"\n[[evidence.heats]]\ncoupon = "b1"\n'
    make_study(tmp_path / "disc", evidence=f"{heat_of}{trial}{trial}temper_c = 205\n")
    at = page("study")
    at.session_state["studies.fold.disc"] = True
    said = words(at.run())
    assert "take this row back on the page Verdict, and there put temper_c into the first" in said
    assert "--replace" not in said


def test_cuts_beside_chops_are_read_on_a_page():
    assert on_page("`edgetest fit` reads them, but the sheet").startswith("the page Wear curves")


@pytest.mark.parametrize(
    ("said", "field"),
    [
        (SEALED, "on the page Bench"),
        (
            "Enter them as you read, with `edgetest enter` or on the page Bench: that alone",
            "Enter them as you read, on the page Bench: that alone",
        ),
        (
            "fill in a row, in the file, with `edgetest enter` or on the page Bench",
            "in the file or on the page Bench",
        ),
        (
            needed_sentence(BladesNeeded(12, 8, None, "verdict")),
            "(“Fix looks beforehand” up to 12, on the page Plan)",
        ),
    ],
)
def test_a_sentence_of_the_answer_names_a_page_for_each_command(said, field):
    assert "`edgetest" in said
    assert field in on_page(said)
    assert "`edgetest" not in on_page(said)


def test_a_headline_names_pages_too():
    script = """
from types import SimpleNamespace
from edgetest.app.doubts_shown import show_headline
from edgetest.study.wear.headline import Headline

answer = ("Sealed; then `edgetest unseal`.", "Later: see `edgetest measure` for the reasons.")
show_headline(SimpleNamespace(headline=Headline(answer, (), ())))
"""
    said = words(AppTest.from_string(script).run())
    assert "then bring them back on the page Bench" in said
    assert "see the page Photographs for the reasons" in said


def test_a_row_that_stands_already_is_corrected_on_the_page_not_replaced_by_an_option():
    for mend in AGAIN.values():
        assert "--replace" in mend
        assert on_page(mend).startswith("correct that row if it is wrong; ")


def test_a_plan_that_leaves_out_what_was_cut_is_refused_in_the_words_of_the_page():
    said = on_page("draw what is left: `edgetest plan STUDY --anew`")
    assert said == "name the blocks that the log names, or add new blades on the page Blades"


def test_who_wants_fewer_blades_is_told_the_field_of_the_page():
    said = on_page(FEWER)
    assert said.startswith("Want fewer? Write how many under “What is wanted")
    assert "study.toml" not in said


@pytest.mark.parametrize(
    ("said", "field"),
    [
        (WANTED, "under “What is wanted, and what a mistake costs”, “Blades wanted of it”"),
        (CHOPS_WAIT, "the page Chopper lists it so far"),
        (HOW_KEPT, "entered on the page Bench, as they were taken"),
        (
            ALL_DONE.format(line="edgetest enter STUDY --evidence pieces id=A --replace sparks="),
            "what you trust least: open that row, and empty “Sparks: bursts beside the two known",
        ),
        (HOW_MENDED, "take it back, or correct that row on the page Bench"),
        (
            RULE_CURES["alike_differ"][2][0],
            "in the field “Bought together with (name of the lot)” of",
        ),
    ],
)
def test_what_the_command_line_bids_is_bidden_on_a_page(said, field):
    assert "study.toml" in said or "`edgetest" in said
    assert field in on_page(said)
    assert "study.toml" not in on_page(said)
    assert "`edgetest" not in on_page(said)


def test_a_row_of_a_blade_that_the_study_does_not_know_sends_to_the_page_of_blades(
    tmp_path, monkeypatch
):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    new_study(tmp_path / "rope", "sisal_rope", "Two tempers", blades=("A1", "B1"))
    log = tmp_path / "rope" / "log.csv"
    log.write_text("blade,cuts,edge_width_um\nC7,0,4\nA1,0,4\n")
    said = words(page("log", seconds=90).run())
    assert "(or add it on the page Blades)" in said
    assert "study.toml" not in said


@pytest.mark.parametrize(
    ("code", "facts", "field", "never"),
    [
        ("places_assumed", {"tool": "B7", "told": "1 g for mass"},
         "Write each with its own on the page Blades", "mass_g"),
        ("mishap_kept", {"which": "B7 (row 18): hit the clamp"}, "behind it (page Log)", "Bench"),
        ("wood_reckoned", {"wood": "hazel", "then": "Write"},
         "into the file study.toml, under [[woods]] (no page asks for it)", " of study.toml"),
        ("wish_not_reckoned", {"wish": "blackthorn 30", "what": "no density",
                               "mend": UNWEIGHED[:1].upper() + UNWEIGHED[1:]},
         "into the file study.toml, under [[woods]] (no page asks for it)", " of study.toml"),
        ("no_scale", {}, "on the page Photographs under Scale.", "--calibration"),
    ],
)  # fmt: skip
def test_a_doubt_of_a_chop_test_bids_what_its_pages_have(code, facts, field, never):
    told = on_page(doubt(code, **facts).text)
    assert field in told
    assert never not in told


def test_the_photographs_of_a_chop_log_and_its_sheet_are_pointed_to(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    new_study(tmp_path / "chop", "billet_chop", "Two hatchets", blades=("H1",))
    (tmp_path / "chop" / "chops.csv").write_text(
        "blade,kind,order,chops,chips_count,photo\nH1,billet,1,8,0,H1_row_2.jpg\n", "utf-8"
    )
    said = words(page("photographs", seconds=90).run())
    assert "The chop log names 1 photograph: the page Chopper reads and shows them" in said
    assert "names no photograph yet" not in said
    monkeypatch.setattr(facts_page, "link", lambda path, label, **_: st.caption(f"{path}: {label}"))
    run = page("blades", seconds=90).run()
    run.segmented_control(key="kept.chop.choice facts part.").set_value("The study").run()
    assert not run.exception
    assert "chopper: Go to its sheet" in words(run)
    assert "More wishes for the document" not in words(run)
