"""The menu in a real browser: it closes on a choice, and the keyboard is never left nowhere."""

import pytest

from edgetest.app.menu import NARROW_PX
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import bench_study

pytestmark = pytest.mark.browser
FOCUSED = "document.activeElement.innerText.trim()"
OPEN = "[data-testid=stExpandSidebarButton]"
PAGES = "[data-testid=stSidebar] [data-testid=stPageLink-NavLink]"

SLID_IN = """() => document.querySelector('[data-testid=stSidebar]')
  .getBoundingClientRect().left >= 0"""


@pytest.fixture(scope="module")
def studied(served):
    bench_study(served.workspace, name="menu")
    return served


def sidebar_shown(page):
    """Whether the menu takes any room of the screen."""
    box = page.locator("[data-testid=stSidebar]").bounding_box()
    return bool(box) and box["x"] + box["width"] > 1


def opened(page, name):
    """Wait until a page stands there with the keyboard at its heading."""
    page.get_by_role("heading", level=1, name=name).wait_for()
    page.wait_for_function(f"{FOCUSED} === '{name}'")
    settle(page)
    no_fault(page)


@pytest.mark.parametrize("width", [390, NARROW_PX])
def test_the_menu_closes_on_a_tap_and_on_enter(page, studied, width):
    page.set_viewport_size({"width": width, "height": 844})
    go(page, studied, "?study=menu")
    page.locator(OPEN).click()
    page.locator(PAGES, has_text="Log").click()
    opened(page, "Log")
    assert not sidebar_shown(page)
    page.locator(OPEN).focus()
    page.keyboard.press("Enter")
    page.wait_for_function(SLID_IN)  # nobody presses on before the menu stands there
    page.locator(PAGES, has_text="Blades").focus()
    page.wait_for_function(f"{FOCUSED}.endsWith('Blades')")
    page.keyboard.press("Enter")
    opened(page, "Blades")
    assert not sidebar_shown(page)


def test_beside_a_wide_page_the_menu_stays(page, studied):
    go(page, studied, "?study=menu")
    page.locator(PAGES, has_text="Log").click()
    opened(page, "Log")
    assert sidebar_shown(page)


def test_a_button_that_goes_away_leaves_the_keyboard_at_the_heading(page, studied):
    """A door of the first page is gone once it was opened."""
    go(page, studied, "?study=menu")
    page.get_by_role("button", name="Is this steel worth forging?").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Is this steel worth forging?").wait_for(state="detached")
    settle(page)
    page.wait_for_function("() => document.activeElement.tagName === 'H1'")
