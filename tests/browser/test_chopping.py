"""A chop test through its page: every part opens, a thinner tip is tried."""

import shutil

import pytest

from edgetest.store.places import shipped
from tests.browser.conftest import go, no_fault, settle

pytestmark = pytest.mark.browser
PATH = "chopper?study=camp_hatchet_study"
PARTS = {
    "Chops": "All tools took turns on each board.",
    "Edge": "After 127 chops: 1 chip",
    "Swing": "Measured beside predicted from the shape",
    "Thinner tip": "percussion centre",
}


@pytest.fixture
def study(served):
    folder = served.workspace / "camp_hatchet_study"
    if not folder.exists():
        shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", folder)
    return folder


def show(page, part):
    page.get_by_role("radio", name=part, exact=True).or_(
        page.get_by_role("button", name=part, exact=True)
    ).first.click()


def test_every_part_opens(served, study, page, artefacts):
    go(page, served, PATH)
    page.get_by_text("strokes sever a piece of coast Douglas-fir").wait_for()
    page.get_by_text("What to bear in mind").wait_for()
    no_fault(page)
    page.screenshot(path=artefacts / "chopper.png", full_page=True)
    for part, words in PARTS.items():
        show(page, part)
        page.get_by_text(words).first.wait_for()
        settle(page)
        no_fault(page)
        page.screenshot(path=artefacts / f"chopper_{part.split()[0].lower()}.png", full_page=True)


def test_a_thinner_tip_is_tried_on_the_page(served, study, page):
    go(page, served, PATH)
    show(page, "Thinner tip")
    field = page.get_by_label("Thickness at the tip, mm")
    field.wait_for()
    field.fill("4")
    field.press("Enter")
    page.get_by_text(
        "H1, if it tapered from 170 mm from the butt to a thickness of 4 mm"
    ).wait_for()
    no_fault(page)


def test_a_study_of_cuts_says_how_to_get_a_chop_test(served, page):
    folder = served.workspace / "billhook_temper_study"
    if not folder.exists():
        shutil.copytree(shipped("sample_runs") / "billhook_temper_study", folder)
    go(page, served, "chopper?study=billhook_temper_study")
    page.get_by_text("This study has no chop test.").wait_for()
    no_fault(page)


def test_a_fault_in_the_chop_log_is_told_on_the_page(served, page):
    folder = served.workspace / "broken_chops"
    shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", folder)
    text = (folder / "chops.csv").read_text(encoding="utf-8")
    (folder / "chops.csv").write_text(
        text.replace(",American beech,", ",ironbark,", 1), encoding="utf-8"
    )
    go(page, served, "chopper?study=broken_chops")
    page.get_by_text('"ironbark" is not in the table of woods').wait_for()
    no_fault(page)
