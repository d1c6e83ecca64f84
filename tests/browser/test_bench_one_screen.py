"""Every step of the bench fits one screen of a tablet, and runs off no phone sideways."""

import re

import cv2
import numpy as np
import pytest

from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.workspace import new_study
from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import leave_out, read_session
from edgetest.study.sources import open_source
from tests.browser.bench_steps import (
    number_field,
    picture,
    said,
    small_targets,
    tap,
    type_number,
    wider_than_the_page,
)
from tests.browser.conftest import PATIENCE_MS, go, no_fault, settle
from tests.browser.fake_camera import FakeCamera
from tests.browser.studies import FORCE, GRADE, PAPER, STATION, UM_PER_PX, bench_study
from tests.store.written_rows import format_reading

pytestmark = pytest.mark.browser
TABLET, PHONE = (820, 1180), (390, 844)


def whole_picture(width_um, seed=1):
    """A picture of a camera's shape, four to three, as the bytes of a PNG."""
    found, _ = render_apex(
        shape=(720, 960), width_um=width_um, um_per_px=UM_PER_PX, land_grain=0.05, width_sd=0.02,
        blur_px=1.3, rng=np.random.default_rng(seed),
    )  # fmt: skip
    return cv2.imencode(".png", found)[1].tobytes()


def fits(page, what, artefacts):
    """The action ends above the lower edge of a tablet's screen; a phone has no sideways scroll."""
    for size in (PHONE, TABLET):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.wait_for_timeout(300)
        settle(page)
        page.screenshot(path=artefacts / f"one_screen_{what}_{size[0]}.png")
        assert wider_than_the_page(page) <= 0, what
        assert small_targets(page) == [], what
    main = page.locator("[data-testid=stMain]")
    main.evaluate("each => each.scrollTo(0, 0)")
    box = page.locator(".st-key-bench_action").bounding_box()
    assert 0 <= box["y"] < box["y"] + box["height"] <= TABLET[1], (what, box)
    assert box["x"] >= 0
    with (artefacts / "one_screen.txt").open("a") as file:
        file.write(f"{what}: ends at {box['y'] + box['height']:.0f} px\n")
    assert page.locator("h1").count() == 1


def test_every_step_of_a_cut_test(served, page, artefacts):
    folder = bench_study(
        served.workspace, name="screens", blades=("K1",), stations=(10.0,), stages=(0, 10),
        readings=(STATION, FORCE | {"repeats": 1}, GRADE, PAPER),
    )  # fmt: skip
    source = open_source(folder)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], whole_picture(8.0), "a.png")
    leave_out(folder, ("", "K1"), 0)
    page.set_viewport_size({"width": TABLET[0], "height": TABLET[1]})
    go(page, served, "bench?study=screens")
    said(page, "Blade K1, cut to 10: 10 to go")
    fits(page, "cut", artefacts)
    tap(page, "All 10")
    said(page, "Blade K1, read at 10 cuts: 4 due")
    fits(page, "photograph", artefacts)
    page.locator("input[type=file]").set_input_files(picture("a.png", whole_picture(9.0)))
    page.locator("img.new").wait_for()
    settle(page)
    fits(page, "shot_over_the_last", artefacts)
    tap(page, "Beside")
    fits(page, "shot_beside_the_last", artefacts)
    tap(page, "Keep this picture")
    said(page, "Blade K1, read at 10 cuts: 3 due")
    page.get_by_text(re.compile(r"Station 10 mm: .*\sµm")).wait_for()
    assert page.locator("[data-testid=stMain] img").count() == 0  # folded away, not drawn twice
    fits(page, "number", artefacts)
    page.get_by_text("Done so far").click()
    page.locator("[data-testid=stMain] img").wait_for()
    assert page.locator("[data-testid=stMain] img").count() == 1
    type_number(page, "Thread severing force (gf)", "150")
    said(page, "Blade K1, read at 10 cuts: 2 due")
    fits(page, "grade", artefacts)
    tap(page, "Shaves")
    said(page, "Blade K1, read at 10 cuts: 1 due")
    fits(page, "pass_fail", artefacts)
    tap(page, "Pass")
    said(page, "All stages of all blades are done.")
    fits(page, "done", artefacts)
    no_fault(page)


def test_a_fresh_picture_and_the_running_camera(served, browser, tmp_path, artefacts):
    bench_study(
        served.workspace, name="camera_screen", blades=("K1",), stations=(10.0,),
        readings=(STATION,), stages=(0, 10),
    )  # fmt: skip
    camera = FakeCamera(tmp_path / "film.y4m", whole_picture(8.0))
    with camera.page(browser, viewport={"width": 820, "height": 1180}) as page:
        go(page, served, "bench?study=camera_screen")
        page.get_by_text("Use this device's camera").click()
        page.locator(".first", has_text="Good").wait_for()
        fits(page, "camera", artefacts)
        tap(page, "Take this picture")
        page.get_by_role("button", name="Keep this picture").wait_for()
        settle(page)
        fits(page, "fresh_shot", artefacts)
        no_fault(page)


@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.slow)])
def test_every_step_of_a_chop_test(served, browser, scheme, artefacts):
    name = f"chop_screens_{scheme}"
    new_study(served.workspace / name, "billet_chop", "Two hatchets", blades=("H1", "H2"))
    page = browser.new_page(viewport={"width": 820, "height": 1180}, color_scheme=scheme)
    page.set_default_timeout(PATIENCE_MS)
    go(page, served, f"bench?study={name}")
    said(page, "Blade H1, look at the edge")
    fits(page, f"look_{scheme}", artefacts)
    tap(page, "No damage seen")
    said(page, "Blade H2, look at the edge")
    tap(page, "No damage seen")
    said(page, "Blade H1, billet 1: 0 chops")
    tap(page, "+5")
    said(page, "Blade H1, billet 1: 5 chops")
    fits(page, f"chop_{scheme}", artefacts)
    no_fault(page)
    page.close()


def test_a_missed_stroke_and_a_mishap_are_one_tap_each_and_one_undo_takes_them_back(served, page):
    folder = served.workspace / "one_tap"
    new_study(folder, "billet_chop", "Two hatchets", blades=("H1", "H2"))
    go(page, served, "bench?study=one_tap")
    for blade in ("H1", "H2"):
        said(page, f"Blade {blade}, look at the edge")
        tap(page, "No damage seen")
    said(page, "Blade H1, billet 1: 0 chops")
    run = ("billet 1", "H1")
    tap(page, "+1")
    said(page, "Blade H1, billet 1: 1 chop")
    tap(page, "+1 missed the kerf")
    said(page, "Blade H1, billet 1: 2 chops")
    assert (read_session(folder).cuts(run), read_session(folder).missed(run)) == (2, 1)
    tap(page, "A nail or a knot was struck")
    undo = page.get_by_role("button", name=re.compile("^Undo"))
    undo.filter(has_text="a nail or a knot was struck").wait_for()
    assert [row.mishap for row in open_source(folder).chops.rows if row.mishap] == [
        "a nail or a knot was struck"
    ]
    assert undo.count() == 1
    undo.click()
    undo.filter(has_text="+1 stroke, missed the kerf").wait_for()
    assert [row.mishap for row in open_source(folder).chops.rows if row.mishap] == []
    undo.click()
    said(page, "Blade H1, billet 1: 1 chop")
    assert (read_session(folder).cuts(run), read_session(folder).missed(run)) == (1, 0)
    undo.filter(has_text="Undo: +1 stroke").click()
    said(page, "Blade H1, billet 1: 0 chops")
    no_fault(page)


def test_a_mishap_of_a_cut_test_is_one_tap_at_its_count(served, page):
    folder = bench_study(served.workspace, name="slip", readings=(PAPER,), stages=(50,))
    go(page, served, "bench?study=slip")
    said(page, "Blade K1, cut to 50: 50 to go")
    tap(page, "+5")
    said(page, "Blade K1, cut to 50: 45 to go")
    tap(page, "+1")
    said(page, "Blade K1, cut to 50: 44 to go")
    tap(page, "Medium slipped")
    page.get_by_role("button", name="Undo: K1, 6 cuts: saved mishap medium slipped").wait_for()
    (row,) = [row for row in open_source(folder).log.rows if row.mishap]
    assert (row.blade, row.cuts, row.mishap) == ("K1", 6, "medium slipped")


def test_the_live_region_says_the_count_once_it_is_on_disk(served, page):
    folder = bench_study(served.workspace, name="called", readings=(PAPER,), stages=(50,))
    go(page, served, "bench?study=called")
    said(page, "Blade K1, cut to 50: 50 to go")
    told = page.locator(".told[role=status][aria-live=polite]")
    assert told.inner_text() == ""
    tap(page, "+5")
    page.wait_for_function(
        "() => [...document.querySelectorAll('*')].some((e) => e.shadowRoot &&"
        " [...e.shadowRoot.querySelectorAll('.told')].some((t) => t.textContent"
        " === '5 of 50 cuts, saved'))"
    )
    assert read_session(folder).cuts(("", "K1")) == 5
    served.process.send_signal(19)  # the program stands still: nothing is called out as counted
    try:
        tap(page, "+1")
        page.get_by_text("Saving +1").wait_for()
        assert page.locator(".count b").inner_text() == "6"  # seen at once
        assert told.text_content() == "5 of 50 cuts, saved"
    finally:
        served.process.send_signal(18)
    page.get_by_text("Saved", exact=True).wait_for()
    assert told.text_content() == "6 of 50 cuts, saved"
    assert read_session(folder).cuts(("", "K1")) == 6


def test_a_blade_that_one_device_takes_out_of_turn_is_not_the_other_s(served, browser):
    bench_study(served.workspace, name="own", readings=(GRADE,), stages=(0, 5))
    tablet, laptop = (browser.new_context().new_page() for _ in range(2))
    for each in (tablet, laptop):
        each.set_default_timeout(PATIENCE_MS)
        go(each, served, "bench?study=own")
        said(each, "Blade K1, read the fresh edge: 1 due")
    tablet.get_by_text("Turns, and another blade").click()
    field = tablet.get_by_label("Blade", exact=True)
    field.click()
    tablet.get_by_role("option", name=re.compile("^K2")).click()
    tap(tablet, "Take this blade now")
    said(tablet, "Blade K2, read the fresh edge: 1 due")
    laptop.reload()
    said(laptop, "Blade K1, read the fresh edge: 1 due")
    tablet.reload()  # the window keeps what it chose
    said(tablet, "Blade K2, read the fresh edge: 1 due")
    for each in (tablet, laptop):
        each.context.close()


def test_what_is_typed_on_the_keys_outlives_a_reload_and_is_this_window_s_own(served, browser):
    folder = bench_study(served.workspace, name="pad", readings=(FORCE,), stages=(0, 5))
    page, other = (browser.new_context().new_page() for _ in range(2))
    for each in (page, other):
        each.set_default_timeout(PATIENCE_MS)
        go(each, served, "bench?study=pad")
        said(each, "Blade K1, read the fresh edge: 2 due")
    for key in ("1", "4", "9", "Back", "8", "Point", "5"):
        tap(page, key)
    assert number_field(page).input_value() == "148.5"
    page.reload()
    said(page, "Blade K1, read the fresh edge: 2 due")
    assert number_field(page).input_value() == "148.5"
    assert number_field(other).input_value() == ""
    tap(page, "Save")
    said(page, "Blade K1, read the fresh edge: 1 due")
    assert number_field(page).input_value() == ""
    for key in ("More than", "4", "0", "0"):
        tap(page, key)
    tap(page, "Save")
    said(page, "Blade K2, read the fresh edge: 2 due")
    number_field(page).click()
    page.keyboard.type("<80-")  # a keyboard works beside the keys
    page.keyboard.press("Enter")
    page.get_by_text('"80-" is not a number').wait_for()
    page.get_by_text("Not saved: see above").wait_for()  # until then the field takes no key
    assert number_field(page).input_value() == "<80-"
    number_field(page).press("End")
    page.keyboard.press("Backspace")
    page.keyboard.press("Enter")
    said(page, "Blade K2, read the fresh edge: 1 due")
    found = [
        (row.blade, row.check_no, format_reading(row.readings["sever_force_gf"]))
        for row in open_source(folder).log.rows
        if row.readings
    ]
    assert found == [("K1", 1, "148.5"), ("K1", 2, ">400"), ("K2", 1, "<80")]
    assert page.locator(".pad button").evaluate_all(
        "all => all.every((each) => each.getBoundingClientRect().height >= 44)"
    )
    for each in (page, other):
        each.context.close()


def test_opening_the_bench_measures_no_photograph(served, page):
    folder = bench_study(
        served.workspace, name="unasked", blades=("K1",), stations=(10.0,), readings=(STATION,),
        stages=(0, 10),
    )  # fmt: skip
    source = open_source(folder)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], whole_picture(8.0), "a.png")
    go(page, served, "bench?study=unasked")
    said(page, "Blade K1, cut to 10: 10 to go")
    page.get_by_text("The curve so far").click()
    page.get_by_text("This blade has no reading yet.").wait_for()
    assert not (folder / "measured.csv").exists()
    page.get_by_text("1 photograph of this blade not measured").click()
    tap(page, "Measure 1 photograph")
    page.get_by_text("1 photograph of this blade not measured").wait_for(state="detached")
    settle(page)
    assert (folder / "measured.csv").exists()
    no_fault(page)
