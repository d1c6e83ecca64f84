"""A window keeps its own study, and a study can be asked more than one question."""

import pytest

from edgetest.store.records import load_study
from edgetest.store.workspace import new_steel_study, new_study
from tests.browser.bench_steps import said
from tests.browser.conftest import PATIENCE_MS, go, no_fault, settle
from tests.browser.hand import Hand
from tests.browser.studies import FORCE, bench_study

pytestmark = pytest.mark.browser


@pytest.fixture
def hand(served, browser):
    page = browser.new_page(viewport={"width": 820, "height": 1180}, has_touch=True)
    page.set_default_timeout(PATIENCE_MS)
    yield Hand(page)
    page.close()


def test_setting_up_on_one_device_leaves_the_bench_of_the_other(served, page, hand):
    bench_study(served.workspace, name="rope_bench", readings=(FORCE,), stages=(0, 10))
    go(page, served, "bench")  # no study is named: the one worked on last
    said(page, "Blade K1, read the fresh edge: 2 due")
    assert "study=rope_bench" in page.url

    go(hand.page, served, "")
    hand.tap("What can this chopper do?")
    hand.type("What you will know it by", "Hatchet")
    hand.tap_words("Single chops in turn: depth against chops")
    hand.type("What is marked on it", "H9")
    hand.tap("Make it")
    hand.page.get_by_text("Blade H9").first.wait_for()
    assert "study=hatchet" in hand.page.url

    page.get_by_label("Thread severing force, check 1").fill("150")
    page.get_by_label("Thread severing force, check 1").press("Enter")
    said(page, "Blade K1, read the fresh edge: 1 due")
    page.reload()
    said(page, "Blade K1, read the fresh edge: 1 due")
    page.get_by_role("link", name="Study", exact=True).click()
    page.get_by_role("heading", level=1, name="What do you want to know?").wait_for()
    settle(page)
    assert "Two tempers at the bench · open" in page.inner_text("body")
    page.get_by_role("button", name="Next: Blade H9").first.click()  # by choice it is another's
    page.get_by_role("heading", level=1, name="Blade H9").wait_for()
    no_fault(page)


def test_a_choppers_study_is_asked_about_its_steel(served, hand):
    new_study(served.workspace / "chopper_and_steel", "billet_chop", "Pack chopper", blades=["P1"])
    go(hand.page, served, "?study=chopper_and_steel")
    card = hand.page.locator(".st-key-study_chopper_and_steel")
    card.get_by_text("What it holds, and other questions about it").tap()
    hand.tap("Is this steel worth forging?", within=card)
    hand.stands_at("Verdict")
    hand.type("Name of the piece", "spring")
    hand.tap("Save the piece")
    hand.sees("Before any heat")
    study = load_study(served.workspace / "chopper_and_steel")
    assert study.evidence["pieces"] == [{"id": "spring"}]
    assert study.protocol == "billet_chop"


def test_blades_of_a_steel_are_tested_in_its_study(served, hand):
    new_steel_study(served.workspace / "tines", "Harrow tines", use="knife")
    go(hand.page, served, "?study=tines")
    card = hand.page.locator(".st-key-study_tines")
    card.get_by_text("What it holds, and other questions about it").tap()
    hand.tap("Which holds its edge longer?", within=card)
    hand.sees("Added to Harrow tines")
    hand.tap_words("Thread severing force, hemp rope between the checks")
    hand.type("Its blades, with commas between", "T1, T2")
    hand.tap("Make it")
    hand.stands_at("In which order")
    study = load_study(served.workspace / "tines")
    assert study.protocol == "thread_severing"
    assert [blade.id for blade in study.blades] == ["T1", "T2"]
    assert study.verdict == {"use": "knife"}
