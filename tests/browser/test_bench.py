"""A session at the bench, from an empty study to the last stage, as a person taps it."""

import re

import pytest

from edgetest.store.history import read_history
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import read_session
from edgetest.study.sources import open_source
from tests.browser.bench_steps import number_field, picture, said, tap, type_number
from tests.browser.conftest import PATIENCE_MS, go, no_fault, settle
from tests.browser.studies import (
    FORCE,
    GRADE,
    bench_study,
    no_edge,
    photograph,
)

pytestmark = pytest.mark.browser


def test_a_session_from_the_empty_study_to_the_last_stage(served, page, artefacts):
    folder = bench_study(served.workspace, name="whole", stages=(0, 10, 20))
    go(page, served, "bench?study=whole")
    said(page, "Blade K1, read the fresh edge: 6 due")

    # photographs: one is refused and asked for again while the blade is on the bench
    files = page.locator("input[type=file]")
    files.set_input_files(picture("a.png", no_edge()))
    page.get_by_text("No edge is seen.").wait_for()
    assert list((folder / "photos").glob("*")) == []
    tap(page, "Keep this picture")
    page.get_by_text("Not measured.").first.wait_for()
    page.get_by_text("Take the photograph again: station 10 mm").wait_for()
    said(page, "Blade K1, read the fresh edge: 6 due")
    files.set_input_files(picture("b.png", photograph(3.0)))
    page.get_by_text("More magnification.").wait_for()
    tap(page, "Keep this picture")
    page.get_by_text(re.compile(r"Station 10 mm: bright line (2\.9|3\.0|3\.1)")).wait_for()
    said(page, "Blade K1, read the fresh edge: 5 due")
    refused, taken = [c.after["photo"] for c in read_history(folder)]
    assert (refused, taken) == ("K1_0000_010.png", "K1_0000_010_2.png")
    assert (folder / "photos" / refused).read_bytes() == no_edge()

    # numbers and bounds: what cannot be read stays to be mended, the rest is saved
    type_number(page, "Edge width, station 30 mm", "<2.4")
    said(page, "Blade K1, read the fresh edge: 4 due")
    page.get_by_text("Saved <2.4", exact=True).wait_for()
    page.get_by_role("button", name=re.compile("^Undo: .*<2.4")).click()
    said(page, "Blade K1, read the fresh edge: 5 due")
    page.get_by_text("Saved <2.4", exact=True).wait_for(state="detached")
    type_number(page, "Edge width, station 30 mm", "<2.4")
    said(page, "Blade K1, read the fresh edge: 4 due")
    type_number(page, "Thread severing force, check 1", "150")
    said(page, "Blade K1, read the fresh edge: 3 due")
    type_number(page, "Thread severing force, check 2", "heavy")
    page.get_by_text('"heavy" is not').wait_for()
    assert number_field(page).input_value() == "heavy"
    number_field(page).fill("160")
    tap(page, "Save")
    said(page, "Blade K1, read the fresh edge: 2 due")
    tap(page, "Shaves")
    said(page, "Blade K1, read the fresh edge: 1 due")
    tap(page, "Pass")
    said(page, "Blade K2, read the fresh edge: 6 due")
    tap(page, "Go on without the rest of this stage")

    # cuts: counted, taken back, counted up to the stage and no further
    said(page, "Blade K1, cut to 10: 10 to go")
    tap(page, "+5")
    said(page, "Blade K1, cut to 10: 5 to go")
    tap(page, "+1")
    said(page, "Blade K1, cut to 10: 4 to go")
    tap(page, "Undo: +1 cut")
    said(page, "Blade K1, cut to 10: 5 to go")
    assert page.get_by_role("button", name="+10", exact=True).is_disabled()
    page.reload()
    said(page, "Blade K1, cut to 10: 5 to go")
    tap(page, "All 5")
    said(page, "Blade K1, read at 10 cuts: 6 due")

    # a mistaken reading is corrected, the old value kept
    type_number(page, "Edge width, station 10 mm", "70.1")
    said(page, "Blade K1, read at 10 cuts: 5 due")
    settle(page)
    assert page.get_by_text("is past its limit").count() == 0  # five of the stage are due still
    page.get_by_text("Correct a reading").click()
    page.get_by_label("It should say").fill("7.1")
    tap(page, "Correct it")
    page.get_by_text("corrected edge width 70.1 → 7.1").first.wait_for()
    settle(page)
    last = read_history(folder)[-1]
    assert (last.before["edge_width_um"], last.after["edge_width_um"]) == ("70.1", "7.1")

    for _ in range(20):  # and on to the end
        settle(page)
        heading = page.get_by_role("heading", level=1).inner_text()
        if "cut to" in heading:
            tap(page, f"All {heading.split(': ')[1].split()[0]}")
        elif "read" in heading:
            if page.get_by_label("Edge width, station 10 mm").count():
                tap_first(page, "Edge width, station 30 mm (µm)")
            type_number(page, "Edge width, station 30 mm", "9")
            page.get_by_label("Edge width, station 30 mm").wait_for(state="detached")
            settle(page)
            heading = page.get_by_role("heading", level=1).inner_text()
            tap(page, "Go on without the rest of this stage")
        else:
            break
        page.wait_for_function(
            "before => document.querySelector('h1')?.innerText !== before", arg=heading
        )
        settle(page)
    said(page, "All stages of all blades are done.")
    no_fault(page)
    page.screenshot(path=artefacts / "bench_done.png")
    source = open_source(folder)
    assert source.faults == ()
    assert next_action(source).kind == "done"
    assert {run: read_session(folder).cuts(run) for run in [("", "K1"), ("", "K2")]} == {
        ("", "K1"): 20,
        ("", "K2"): 20,
    }
    rows = [row for row in source.log.rows if (row.blade, row.station_mm) == ("K2", 30)]
    widths = [(row.cuts, row.readings["edge_width_um"].value) for row in rows if not row.waiting]
    assert widths == [(10, 9), (20, 9)]


def test_set_up_from_nothing_to_the_blinded_first_action(served, page, artefacts):
    go(page, served, "")
    tap(page, "Which holds its edge longer?")
    said(page, "Which holds its edge longer?")
    page.get_by_label("What you will know it by").fill("Camp hatchets")
    page.get_by_label("What you will know it by").press("Enter")
    page.get_by_text("Sisal rope, draw cut", exact=True).click()
    page.get_by_text("Change more: stages, medium, limit").click()
    page.get_by_label("Stages, cumulative cuts").fill("0 20 50")
    page.get_by_label("Stages, cumulative cuts").press("Enter")
    for number, (name, treatment) in enumerate(
        (("K1, K3", "temper 190 °C"), ("K2", "temper 260 °C"))
    ):
        settle(page)
        page.get_by_label("Heat treatment", exact=True).nth(number).fill(treatment)
        page.get_by_label("Its blades, with commas between").nth(number).fill(name)
        page.get_by_label("Its blades, with commas between").nth(number).press("Enter")
    page.get_by_role("button", name="A further heat treatment").wait_for()
    page.reload()  # nothing that was set up is lost
    said(page, "Which holds its edge longer?")
    assert page.get_by_label("What you will know it by").input_value() == "Camp hatchets"
    page.get_by_text("2 blades: K1, K3").wait_for()
    assert page.get_by_label("Its blades, with commas between").nth(1).input_value() == "K2"
    page.screenshot(path=artefacts / "bench_setup.png")
    tap(page, "Make it")
    said(page, "In which order")
    page.get_by_text("Blind: codes in place of the blades' names, everywhere").click()
    for label in ("Word of the second person", "The word again"):
        page.get_by_label(label).fill("three odd words")
        page.get_by_label(label).press("Enter")
        settle(page)
    page.get_by_role("textbox", name="Rolls, boards or days").fill("roll 1")
    page.get_by_role("textbox", name="Rolls, boards or days").press("Enter")
    settle(page)
    tap(page, "Draw the order and begin")
    said(page, "Scale and light, before the first photograph")
    tap(page, "I type the widths, no photographs")
    page.get_by_role("heading", level=1, name=re.compile("read the fresh edge")).wait_for()
    settle(page)
    no_fault(page)
    folder = served.workspace / "camp_hatchets"
    source = open_source(folder)
    assert source.protocol.stages == (0, 20, 50)
    codes = {blade.id for blade in source.study.blades}
    assert all(re.fullmatch("[B-Z]{3}", code) for code in codes)
    assert not source.study.heat_treatments
    heading = page.get_by_role("heading", level=1).inner_text()
    assert re.match(r"Blade [B-Z]{3} on roll 1, read the fresh edge", heading)
    type_number(page, "Edge width, station 20 mm", "3")
    page.get_by_text("saved edge width 3").first.wait_for()
    settle(page)
    body = page.inner_text("body")
    assert "K1" not in body
    assert "K2" not in body
    (row,) = [row for row in open_source(folder).log.rows if not row.waiting]
    assert row.blade == source.study.plan["order"][0][1]


def tap_first(page, label):
    """Take another reading of the stage first."""
    page.get_by_text("Another reading first").click()
    tap(page, label)
    page.get_by_label(label, exact=True).wait_for()


def test_a_stale_correction_is_refused_with_both_versions(served, browser):
    from edgetest.store.journal import append_reading

    folder = bench_study(served.workspace, name="stale", readings=(FORCE, GRADE), stages=(0, 5))
    append_reading(folder, {"blade": "K1", "cuts": 0, "check_no": 1, "sever_force_gf": 150})
    tablet, laptop = browser.new_page(), browser.new_page()
    for each, value in ((tablet, "151"), (laptop, "152")):
        each.set_default_timeout(PATIENCE_MS)
        go(each, served, "bench?study=stale")
        each.get_by_text("Correct a reading").click()
        each.get_by_label("It should say").fill(value)
    tap(tablet, "Correct it")
    tablet.get_by_text("150 → 151").first.wait_for()
    tap(laptop, "Correct it")
    laptop.get_by_text("is now “151”, not “152”").wait_for()
    assert read_history(folder)[-1].after["sever_force_gf"] == "151"

    # both enter the same reading: the second sees both versions and nothing is overwritten
    for each, value in ((tablet, "160"), (laptop, "170")):
        go(each, served, "bench?study=stale")
        each.get_by_label("Thread severing force, check 2").fill(value)
    tap(tablet, "Save")
    tablet.get_by_text("saved thread severing force 160").first.wait_for()
    tap(laptop, "Save")
    laptop.get_by_text('says "160" already, "170" was not written').wait_for()
    assert open_source(folder).faults == ()
    for each in (tablet, laptop):
        each.close()
