"""Cells of a grid: typed into on a desk, as fields on a phone; kept either way."""

import shutil

import pytest

from edgetest.store.places import shipped
from tests.browser.conftest import go, no_fault, settle
from tests.browser.grid_cells import type_in_cell

pytestmark = pytest.mark.browser
FIELDS = "[class*=st-key-grid_narrow_]"
ROW_PX = 38  # of a row of a grid, its head as high
GRID = "[class*=st-key-grid_wide_] [data-testid=stDataFrame]"


@pytest.fixture(scope="module")
def study(served):
    """A study that the grids belong to."""
    name = "plough_disc_study"
    shutil.copytree(shipped("sample_runs") / name, served.workspace / name)
    return name


def reloaded(page):
    page.wait_for_timeout(300)
    settle(page)
    page.reload()
    page.wait_for_selector("h1")
    settle(page)


def test_on_a_phone_a_grid_is_fields_and_its_rows_are_kept(served, study, page):
    page.set_viewport_size({"width": 390, "height": 844})
    go(page, served, f"repeatability?study={study}")
    assert not page.locator(GRID).is_visible()
    cells = page.locator(FIELDS).get_by_label("reading", exact=True)
    for number, value in enumerate(("4.125", "4.3")):
        cells.nth(number).fill(value)
        cells.nth(number).press("Tab")
        page.wait_for_timeout(300)
        settle(page)
    page.locator(FIELDS).get_by_role("button", name="Take row 3 away").click()
    page.locator(FIELDS).get_by_role("button", name="Take row 6 away").wait_for(state="detached")
    reloaded(page)
    assert [cells.nth(k).input_value() for k in range(cells.count())] == [
        "4.125", "4.3", "", "", ""
    ]  # fmt: skip
    page.set_viewport_size({"width": 820, "height": 1180})
    page.locator(GRID).wait_for()
    assert not cells.first.is_visible()
    no_fault(page)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("path", "row", "at", "text"),
    [("repeatability", 2, 0.7, "4.7"), ("protocols", 0, 0.15, "x"), ("case", 0, 0.1, "850")],
)
def test_a_cell_typed_into_is_there_after_a_reload(served, study, page, path, row, at, text):
    go(page, served, f"{path}?study={study}")
    opened(page, path)
    grid = page.locator(GRID).first
    grid.scroll_into_view_if_needed()
    box = grid.bounding_box()
    page.mouse.click(box["x"] + at * box["width"], box["y"] + (1.5 + row) * ROW_PX)
    page.wait_for_timeout(300)
    type_in_cell(page, text)
    page.keyboard.press("Enter")
    reloaded(page)
    opened(page, path)
    held = page.locator(f"{FIELDS} input").evaluate_all("cells => cells.map(one => one.value)")
    assert text in held
    no_fault(page)


def opened(page, path):
    """Bring the page's grid in sight."""
    if path == "protocols":
        copy = page.get_by_role("button", name="Copy it to change it")
        if copy.count():
            copy.click()
            settle(page)
        changing = page.get_by_text("Change it", exact=True).first
        changing.wait_for()
        if not page.locator(GRID).count():
            changing.click()
    elif path == "case":
        page.get_by_text("A plan", exact=True).click()
        settle(page)
        page.get_by_text("Faces, later heats, a coupon, the thermometer").click()
    page.wait_for_timeout(300)
    settle(page)
