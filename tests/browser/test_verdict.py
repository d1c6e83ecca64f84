"""A mystery steel through the pages: step by step to the verdict, and the page to keep."""

import re

import pytest
from pypdf import PdfReader

from edgetest.store.records import load_study
from edgetest.store.workspace import new_study
from tests.browser.conftest import go, no_fault, settle

pytestmark = pytest.mark.browser


def body(page):
    settle(page)
    return page.inner_text("body")


def choose(page, label, option, *, within=None):
    (within or page).get_by_role("combobox", name=re.compile(f"{label}$")).click()
    page.get_by_role("option", name=option, exact=True).click()


def save(page, button, awaited):
    """Press a form's button and wait for a text that only the new run has."""
    page.get_by_role("button", name=button, exact=True).click()
    page.get_by_text(awaited).first.wait_for()
    settle(page)
    no_fault(page)


def open_in(page, step):
    """The box of the step that is open."""
    return page.locator(f".st-key-verdict-open-{step}")


def test_sample_run_gives_its_verdict_and_its_page(server, page, artefacts, tmp_path):
    go(page, server, "verdict?study=plough_disc_study")
    page.get_by_text("Reuse: piece disc A, carburised.").wait_for()
    words = body(page)
    assert "As it is: do not reuse" in words
    assert "Every step is done" in words
    page.screenshot(path=artefacts / "verdict.png", full_page=True)
    no_fault(page)

    page.get_by_role("button", name="Write the verdict").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Download PDF").click()
    waiting.value.save_as(tmp_path / "verdict.pdf")
    pages = PdfReader(tmp_path / "verdict.pdf").pages
    assert len(pages) <= 2  # the case of a pack may ask for the second
    assert "Reuse: piece disc A, carburised." in pages[0].extract_text()
    no_fault(page)

    go(page, server, "case?study=plough_disc_study")
    page.get_by_text("A 1 mm section hardens right through (57 HRC after ").wait_for()
    page.get_by_text("A plan", exact=True).click()
    page.get_by_text("Ground off each face, mm").wait_for()
    page.get_by_label("Section in the pack, mm").fill("6")
    page.get_by_label("Section in the pack, mm").press("Enter")
    page.get_by_text("A 6 mm section is hard (57 HRC after ").wait_for()
    page.screenshot(path=artefacts / "case.png", full_page=True)
    no_fault(page)


def test_the_work_step_by_step_from_an_empty_study(server, page, artefacts):
    folder = server.workspace / "spring"
    new_study(folder, "sisal_rope", "Lorry spring", blades=("A1", "R1"))
    go(page, server, "verdict?study=spring")
    words = body(page)
    assert "fumes that kill" in words  # the caution stands where the step is planned
    assert "Save the coupon" not in words  # and nothing is asked before it is needed
    assert "Reuse" not in words

    page.get_by_label("Name of the piece").fill("leaf")
    page.get_by_label("Blades it would make").fill("12")
    choose(page, "Coating", "none")
    save(page, "Save the piece", "Try a magnet")
    page.screenshot(path=artefacts / "verdict_magnet.png", full_page=True)

    page.get_by_text("sticks", exact=True).click()
    choose(page, "Sparks", "like the high-carbon steel, or more")
    save(page, "Save", "Harden a coupon of the same piece")
    assert "Quench with all hot metal under" in body(page)

    box = open_in(page, "coupon")
    box.get_by_text("oil", exact=True).click()
    box.get_by_role("textbox", name="Hardness straight from the quench").fill("skates all")
    choose(page, "Break", "fine", within=box)
    save(page, "Save the coupon", "Temper in steps")
    assert "Never temper in hot oil." in body(page)

    box = open_in(page, "temper_ladder")
    box.get_by_label("Temper, °C").fill("400 °F")
    box.get_by_role("textbox", name="Hardness after it").fill("60; 60,5")
    save(page, "Save the temper", "Make a test blade and run it")
    assert "Cannot tell yet: piece leaf." in body(page)
    page.screenshot(path=artefacts / "verdict_open.png", full_page=True)

    evidence = load_study(folder).evidence
    assert evidence["pieces"] == [
        {"id": "leaf", "makes_blades": 12.0, "coating": "none", "magnetic": True,
         "sparks": "like_high"}
    ]  # fmt: skip
    assert evidence["quenched"][0] | {"grain": "fine"} == evidence["quenched"][0]
    assert evidence["quenched"][0]["hardness"] == ["skates all"]
    assert evidence["tempered"][0]["hardness"] == [60.0, 60.5]
    assert evidence["tempered"][0]["temperature_c"] == "400 °F"

    page.reload()
    page.get_by_text("Cannot tell yet: piece leaf.").wait_for()
    no_fault(page)


def test_a_coated_piece_stops_the_work(server, page):
    new_study(server.workspace / "gate", "sisal_rope", "Gate hinges", blades=("A1",))
    go(page, server, "verdict?study=gate")
    page.get_by_label("Name of the piece").fill("hinge")
    page.get_by_label("Blades it would make").fill("9")
    choose(page, "Coating", "galvanised")
    save(page, "Save the piece", "Do not heat it: fumes")
    words = body(page)
    assert "Cannot tell yet." in words
    assert "Try a magnet" not in words


def test_a_hardness_that_cannot_be_read_is_told_and_not_kept(server, page):
    folder = server.workspace / "spring"
    new_study(folder, "sisal_rope", "Lorry spring", blades=("A1",))
    text = (folder / "study.toml").read_text(encoding="utf-8")
    piece = 'id = "leaf"\nmakes_blades = 9.0\ncoating = "none"\nmagnetic = true\n'
    text += f'\n[[evidence.pieces]]\n{piece}sparks = "between"\n'
    (folder / "study.toml").write_text(text, encoding="utf-8")
    go(page, server, "verdict?study=spring")
    box = open_in(page, "coupon")
    box.get_by_text("oil", exact=True).click()
    box.get_by_role("textbox", name="Hardness straight from the quench").fill("quite hard")
    page.get_by_role("button", name="Save the coupon").click()
    page.get_by_text("study.toml, evidence, quenched 1, hardness").wait_for()
    no_fault(page)
    typed = open_in(page, "coupon").get_by_role("textbox", name="Hardness straight from the quench")
    assert typed.input_value() == "quite hard"  # to be mended, not typed anew
    assert "quenched" not in load_study(folder).evidence
