"""Each job from an empty workspace to its document, by taps and keys alone, and how many."""

import re

import pytest

from edgetest.store.places import shipped
from edgetest.store.records import load_study
from tests.browser.conftest import PATIENCE_MS, go
from tests.browser.hand import Hand
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.browser
PHOTOS = shipped("sample_runs") / "billhook_temper_study" / "photos"
WIDTHS = (pytest.param(390, marks=pytest.mark.slow), 820)  # a phone; a tablet upright
MOST = {"edge": 60, "chopper": 40, "steel": 45}


@pytest.fixture(scope="module", params=WIDTHS)
def width(request):
    return request.param


@pytest.fixture
def hand(server, browser, width, artefacts, request):
    """A hand at the first screen of an app whose workspace is empty."""
    page = browser.new_page(viewport={"width": width, "height": 1180}, has_touch=True)
    page.set_default_timeout(PATIENCE_MS)
    try:
        go(page, server, "")
        hand = Hand(page)
        hand.workspace = server.workspace
        yield hand
        name = request.node.name.replace("[", "_").strip("]")
        told = "\n".join([f"{hand.taps} taps", *hand.told])
        (artefacts / f"taps_of_{name}.txt").write_text(told, encoding="utf-8")
        page.screenshot(path=artefacts / f"last_of_{request.node.name}.png", full_page=True)
    finally:
        page.close()


def words_of(hand, tmp_path):
    """What the PDF says that the page hands over."""
    with hand.page.expect_download() as waiting:
        hand.tap("Download PDF")
    waiting.value.save_as(tmp_path / "document.pdf")
    return "".join(page_texts(tmp_path / "document.pdf"))


def test_which_holds_its_edge_longer(hand, tmp_path):
    hand.tap("Which holds its edge longer?")
    hand.type("What you will know it by", "Two tempers for camp hatchets")
    hand.tap_words("Sisal rope, draw cut")
    hand.tap("thread severing force")  # this shop takes neither
    hand.tap("sharpness grade")
    hand.type("Stations along the edge, mm", "40")
    for number, (treatment, blades) in enumerate(
        (("temper 190 °C", "H1, H2, H3"), ("temper 260 °C", "S1, S2, S3"))
    ):
        hand.type("Heat treatment", treatment, nth=number)
        hand.type("Its blades, with commas between", blades, nth=number)
    hand.sees("3 blades: S1, S2, S3")
    hand.tap("Make it")
    hand.stands_at("In which order")
    hand.tap("Draw the order and begin")

    hand.stands_at("Scale and light, before the first photograph")
    hand.upload(PHOTOS / "micrometer.jpg")
    hand.choose("Where the light comes from", "through the lens (on-axis)")
    hand.tap("Read the lines")
    hand.tap("Use this scale for all photographs")

    for _ in range(6):
        hand.stands_at(re.compile("read the fresh edge"))
        blade = re.match(r"Blade (\w+)", hand.page.inner_text("h1"))[1]
        hand.upload(next(PHOTOS.glob(f"{blade}_*_000_040.jpg")))
        hand.tap("Keep this picture")
        hand.page.get_by_role("heading", level=1, name=f"Blade {blade},").wait_for(state="detached")
    hand.stands_at(re.compile("cut to 10"))
    hand.tap("The document as it stands", role="link")
    hand.stands_at("Document")
    hand.tap("Write the document")
    words = words_of(hand, tmp_path)
    assert "Two tempers for camp hatchets" in words
    # Of the edges' angle nobody typed one: what the protocol asks for is said to be just that.
    assert "not noted: H1, H2, H3, S1, S2 and S3" in " ".join(words.split())
    assert hand.taps <= MOST["edge"]
    study = load_study(hand.workspace / "two_tempers_for_camp_hatchets")
    assert [blade.angle_per_side_deg for blade in study.blades] == [None] * 6


def test_what_can_this_chopper_do(hand, tmp_path):
    hand.tap("What can this chopper do?")
    hand.type("What you will know it by", "Camp hatchet for its customer")
    hand.tap_words("Billet chop: chops to sever, wood accounted for")
    hand.type("What is marked on it", "H1")
    hand.type("Length of its edge, mm", "82")
    hand.tap("Make it")
    hand.stands_at("Blade H1, look at the edge")
    hand.tap("No damage seen")
    for billet in (1, 2, 3):
        hand.stands_at(f"Blade H1, billet {billet}: 0 chops")
        hand.tap("+5")
        hand.tap("+1")
        if billet == 1:
            hand.type("Wood", "Douglas-fir, coast")
            hand.type("Width (mm)", "50")
            hand.type("Thickness (mm)", "50")
        hand.tap("Severed")
        hand.stands_at(f"Blade H1, look at the edge after billet {billet}")
        hand.tap("No damage seen")
    hand.stands_at("Blade H1, look at the edge")
    hand.tap("No damage seen")
    hand.stands_at("Blade H1, shave: pass or fail")
    hand.tap("Pass")
    hand.stands_at("Every row of the chop test is done.")
    hand.tap(re.compile("Next: see its answer"), role="link")
    hand.stands_at("Chopper")
    hand.tap("Sheet", role="radio")
    hand.tap("Write the sheet")
    words = words_of(hand, tmp_path)
    assert "Camp hatchet for its customer" in words
    assert "°" not in words.split("In numbers")[0]
    assert hand.taps <= MOST["chopper"]


def test_is_this_steel_worth_forging(hand, tmp_path):
    hand.tap("Is this steel worth forging?")
    hand.type("What you will know it by", "Leaf spring off a lorry")
    hand.tap("hedging tool", role="radio")
    hand.tap("Make it")
    hand.stands_at("Verdict")
    hand.type("Name of the piece", "leaf")
    hand.choose("What it was", "leaf spring")
    hand.choose("Coating", "none")
    hand.choose("Lead in or on it", "no")
    hand.type("Blades it would make", "12")
    hand.tap("Save the piece")
    hand.sees("Before any heat")
    hand.choose("Magnet, cold", "strong")
    hand.choose("Sparks: bursts beside the two known steels", "like high")
    hand.tap("Save what you saw")
    hand.sees("a coupon quenched in oil")
    box = hand.page.locator(".st-key-verdict-open-heats")
    hand.type("Heat of the steel, °C", "830", within=box)
    hand.type("Hardness below the skin", "skates all", within=box)
    hand.choose("Grain of the break", "fine", within=box)
    hand.tap("Save the heat")
    hand.sees("in steps of about")
    box = hand.page.locator(".st-key-verdict-open-tempers")
    hand.type("Temper, °C", "205", within=box)
    hand.type("Hardness after it", "58; 58.5", within=box)
    hand.tap("Save the temper")
    hand.sees("Write down a trial")
    hand.tap("Write the verdict")
    words = words_of(hand, tmp_path)
    assert "leaf" in words
    assert hand.taps <= MOST["steel"]
