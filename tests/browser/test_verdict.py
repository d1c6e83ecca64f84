"""A mystery steel through the pages: from nothing to the next step, and the page to keep."""

import re

import pytest

from edgetest.store.records import load_study
from tests.browser.conftest import go, no_fault, settle
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.browser

# Open a fold by its words: how high it is two frames later, and when half a second has gone by.
OPENED = """async (words) => {
  const fold = words.closest('details'), frame = () => new Promise(requestAnimationFrame)
  words.click()
  await frame(); await frame()
  const high = [fold.getBoundingClientRect().height]
  await new Promise((on) => setTimeout(on, 600))
  return [...high, fold.getBoundingClientRect().height]
}"""


def body(page):
    settle(page)
    return page.inner_text("body")


def choose(page, label, option, *, within=None):
    """Choose from a list; a list that a redraw closed again is opened anew."""
    from playwright.sync_api import TimeoutError

    wanted = page.get_by_role("option", name=option, exact=True)
    for _ in range(4):
        settle(page)
        (within or page).get_by_role("combobox", name=re.compile(f"{label}$")).click()
        try:
            wanted.wait_for(timeout=4000)
            break
        except TimeoutError:
            page.keyboard.press("Escape")
    wanted.click()


def save(page, button, awaited):
    """Press a form's button and wait for a text that only the new run has."""
    page.get_by_role("button", name=button, exact=True).click()
    page.get_by_text(awaited).first.wait_for()
    settle(page)
    no_fault(page)


# The fields that a person sees; then which of them are another field than they were.
MARK = (
    """() => [...document.querySelectorAll('input')].map((field, i) => field.marked = i).length"""
)
MOVED = """(many) => {
  const stay = new Set([...document.querySelectorAll('input')].map((field) => field.marked))
  return [...Array(many).keys()].filter((each) => !stay.has(each))
}"""


def begun(page, server):
    """A study of a steel made by the form of the page Study."""
    go(page, server, "")
    page.get_by_role("button", name="Is this steel worth forging?").click()
    page.get_by_label("What you will know it by").fill("Lorry spring")
    page.get_by_label("What you will know it by").press("Enter")
    settle(page)
    page.get_by_role("button", name="Make it", exact=True).click()
    page.get_by_role("heading", name="Verdict", exact=True).wait_for()
    settle(page)
    return server.workspace / "lorry_spring"


def test_sample_run_gives_its_step_and_its_page(server, page, artefacts, tmp_path):
    go(page, server, "verdict?study=plough_disc_study")
    page.get_by_text("Piece disc A: Carburise it").wait_for()
    words = body(page)
    assert "carbon monoxide" in words
    assert "small vent" in words
    assert "odds" not in words.casefold()
    page.screenshot(path=artefacts / "verdict.png", full_page=True)
    no_fault(page)

    page.get_by_role("button", name="Try the headline").click()  # never by itself
    page.get_by_text("half as large again, then a third smaller").wait_for(timeout=400_000)
    assert page.get_by_role("button", name="Try the headline").count() == 0
    page.get_by_role("button", name="Write the verdict").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Download PDF").click()
    waiting.value.save_as(tmp_path / "verdict.pdf")
    pages = page_texts(tmp_path / "verdict.pdf")
    assert "Piece disc A: carburise it" in pages[0]
    no_fault(page)


def test_the_case_of_the_study_and_of_a_plan(server, page, artefacts):
    go(page, server, "case?study=plough_disc_study")
    page.get_by_text("A 1 mm section").first.wait_for()
    page.get_by_text("A plan", exact=True).click()
    page.get_by_text("Ground off each face, mm").wait_for()
    page.get_by_label("Section in the pack, mm").fill("6")
    page.get_by_label("Section in the pack, mm").press("Enter")
    page.get_by_text("A 6 mm section").first.wait_for()
    page.screenshot(path=artefacts / "case.png", full_page=True)
    no_fault(page)


def test_a_contradiction_stands_first_and_its_cure_is_written_into_the_heat(server, page):
    go(page, server, "verdict?study=harrow_tine_study")
    page.get_by_text("This does not fit together.").wait_for()
    words = body(page)
    assert words.index("This does not fit together") < words.index("Go on testing")
    box = page.locator(".st-key-verdict-open-heats")
    box.get_by_role("textbox", name="Hardness below the skin").first.fill("60-65")
    save(page, "Save the mended heat", "hardness below 60-65")
    (heat,) = load_study(server.workspace / "harrow_tine_study").evidence["heats"]
    assert heat["hardness_below"] == ["60-65"]
    assert heat["hardness"] == "<40"  # what was read stays as it was typed


def test_the_work_step_by_step_from_nothing(server, page, artefacts):
    folder = begun(page, server)
    words = body(page)
    assert "Begin by looking" in words
    assert "fumes that can kill" in words  # the caution stands where the step is planned
    assert "Save the heat" not in words  # and nothing is asked before it is needed
    assert not re.search(r"\d+ %", words)

    page.get_by_role("textbox", name="Name of the piece").fill("leaf")
    choose(page, "What it was", "leaf spring")
    choose(page, "Coating", "none")
    choose(page, "Lead in or on it", "no")
    page.get_by_role("textbox", name="Blades it would make").fill("12")
    save(page, "Save the piece", "Before any heat")

    choose(page, "Magnet, cold", "strong")
    choose(page, "Sparks: bursts beside the two known steels", "like high")
    save(page, "Save what you saw", "a coupon quenched in oil")
    words = body(page)
    assert "extinguisher at hand" in words
    assert "What it may serve for" not in words or "chance" in words

    box = page.locator(".st-key-verdict-open-heats")
    box.get_by_role("textbox", name="Heat of the steel, °C").fill("1525 °F")
    box.get_by_role("textbox", name="Hardness below the skin").fill("skates all")
    choose(page, "Grain of the break", "fine", within=box)
    save(page, "Save the heat", "in steps of about")
    assert "Never temper in a bath of hot oil" in body(page)

    box = page.locator(".st-key-verdict-open-tempers")
    box.get_by_role("textbox", name="Temper, °C").fill("400 °F")
    box.get_by_role("textbox", name="Hardness after it").fill("58; 58,5")
    save(page, "Save the temper", "Write down a trial")
    page.screenshot(path=artefacts / "verdict_open.png", full_page=True)

    evidence = load_study(folder).evidence
    assert evidence["pieces"] == [
        {"id": "leaf", "origin": "leaf spring", "coating": "none", "lead": "no",
         "makes_blades": 12, "magnet": "strong", "sparks": "like high"}
    ]  # fmt: skip
    (heat,) = evidence["heats"]
    assert heat == {"piece": "leaf", "medium": "oil", "heat_c": "1525 °F",
                    "hardness_below": ["skates all"], "grain": "fine"}  # fmt: skip
    assert evidence["tempers"][0]["hardness"] == [58.0, 58.5]
    assert evidence["tempers"][0]["temperature_c"] == "400 °F"

    settle(page)
    page.get_by_text("Heats: coupons and blades quenched").click()
    settle(page)
    heat = page.get_by_text("piece leaf; oil; heat 1525 °F")
    at_once, later = heat.evaluate(OPENED)
    assert at_once == later  # nothing is still moving under the finger
    page.get_by_role("button", name="Take this heat back").click()
    page.get_by_text("row 1 of tempers").first.wait_for()  # and the heat stands
    assert load_study(folder).evidence["heats"]


def test_what_was_told_once_goes_and_no_field_moves(server, page):
    """A field that the page draws anew while another is typed into loses its letters."""
    begun(page, server)
    page.get_by_role("textbox", name="Name of the piece").fill("leaf")
    choose(page, "What it was", "leaf spring")
    choose(page, "Coating", "none")
    choose(page, "Lead in or on it", "no")
    page.get_by_role("textbox", name="Thickness, mm").fill("1/4 in")
    save(page, "Save the piece", "Before any heat")
    told = page.get_by_text("Read: ")
    assert told.count()  # how the size was read
    many = page.evaluate(MARK)
    page.get_by_role("textbox", name="Carbon by a laboratory, %").fill("0,62")
    page.get_by_role("textbox", name="Hardness as found, on the skin").fill("45-50")
    told.first.wait_for(state="detached")
    settle(page)
    assert not page.evaluate(MOVED, many)


def test_a_coated_piece_stops_the_work(server, page):
    begun(page, server)
    page.get_by_role("textbox", name="Name of the piece").fill("hinge")
    choose(page, "Coating", "galvanised")
    save(page, "Save the piece", "Stop: do not heat or grind it yet")
    assert "Save the heat" not in body(page)


def test_a_hardness_that_cannot_be_read_is_told_and_not_kept(server, page):
    go(page, server, "verdict?study=harrow_tine_study")
    box = page.locator(".st-key-verdict-open-heats")
    box.get_by_role("textbox", name="Hardness below the skin").first.fill("quite hard")
    page.get_by_role("button", name="Save the mended heat").click()
    page.get_by_text("“quite hard”").or_(page.get_by_text('"quite hard"')).first.wait_for()
    no_fault(page)
    box = page.locator(".st-key-verdict-open-heats")
    typed = box.get_by_role("textbox", name="Hardness below the skin")
    assert typed.first.input_value() == "quite hard"  # to be mended, not typed anew
    evidence = load_study(server.workspace / "harrow_tine_study").evidence
    assert "hardness_below" not in evidence["heats"][0]
