"""The bench with gloves on: large targets, any width of screen, the keyboard alone, fast taps."""

import re

import pytest

from edgetest.study.bench.session_file import leave_out, read_session
from tests.browser.bench_steps import said, small_targets, wider_than_the_page
from tests.browser.conftest import go, no_fault
from tests.browser.studies import PAPER, STATION, bench_study

pytestmark = pytest.mark.browser
WIDTHS = (390, 820, 1280)


@pytest.mark.parametrize("width", WIDTHS)
def test_every_target_is_large_and_nothing_runs_off_the_screen(served, page, width, artefacts):
    name = f"wide{width}"
    folder = bench_study(served.workspace, name=name)
    page.set_viewport_size({"width": width, "height": 2400})
    go(page, served, f"bench?study={name}")
    said(page, re.compile("read the fresh edge"))
    page.screenshot(path=artefacts / f"bench_read_{width}.png")
    assert small_targets(page) == []
    assert wider_than_the_page(page) <= 0
    fill_stage(folder, ("K1", "K2"))
    page.reload()
    said(page, "Blade K1, cut to 10: 10 to go")
    page.get_by_text("Turns, and another blade").click()
    page.get_by_text("Note", exact=True).click()
    page.screenshot(path=artefacts / f"bench_cut_{width}.png")
    assert small_targets(page) == []
    assert wider_than_the_page(page) <= 0
    plus = page.get_by_role("button", name="+1", exact=True).bounding_box()
    assert plus["height"] >= 80
    no_fault(page)


def fill_stage(folder, blades, stage=0):
    """Leave a stage out for some blades, as a person would who cannot read it."""
    for blade in blades:
        leave_out(folder, ("", blade), stage)


def test_two_hundred_per_cent_zoom_and_the_keyboard_alone(served, page, artefacts):
    folder = bench_study(
        served.workspace, name="keys", stations=(10.0,), readings=(STATION,), stages=(0, 10)
    )
    page.set_viewport_size({"width": 640, "height": 450})  # 1280 x 900 at 200 %
    go(page, served, "bench?study=keys")
    said(page, "Blade K1, read the fresh edge: 1 due")
    assert wider_than_the_page(page) <= 0
    to_focus(page, "input[aria-label^='Edge width']")
    page.keyboard.type("2.5", delay=20)
    page.keyboard.press("Enter")
    said(page, "Blade K2, read the fresh edge: 1 due")
    to_focus(page, "input[aria-label^='Edge width']")
    page.keyboard.type("2.6", delay=20)
    page.keyboard.press("Enter")
    said(page, "Blade K1, cut to 10: 10 to go")
    to_focus(page, "button:text-is('+5')")
    page.keyboard.press("Enter")
    said(page, "Blade K1, cut to 10: 5 to go")
    page.keyboard.press("Enter")  # the focus stays where it was
    said(page, "Blade K1, read at 10 cuts: 1 due")
    page.screenshot(path=artefacts / "bench_zoom.png")
    assert read_session(folder).cuts(("", "K1")) == 10


def to_focus(page, selector, most=60):
    """Press Tab until an element has the focus."""
    target = page.locator(selector).first
    for _ in range(most):
        if target.evaluate("each => each === each.getRootNode().activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the Tab key does not reach {selector}")


def test_fast_taps_are_all_counted(served, page):
    folder = bench_study(served.workspace, name="fast", readings=(PAPER,), stages=(100,))
    go(page, served, "bench?study=fast")
    said(page, "Blade K1, cut to 100: 100 to go")
    one, five = (page.get_by_role("button", name=name, exact=True) for name in ("+1", "+5"))
    for _ in range(10):
        one.click(delay=20)
        page.wait_for_timeout(90)
        five.click(delay=20)
        page.wait_for_timeout(90)
    said(page, "Blade K1, cut to 100: 40 to go")
    assert read_session(folder).cuts(("", "K1")) == 60
