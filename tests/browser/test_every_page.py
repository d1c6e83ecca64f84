"""Every page of every sample run can be read and tapped, from a phone to a wide screen."""

import shutil

import pytest

from edgetest.app.navigation import PAGES
from edgetest.store.places import shipped
from tests.browser.crawl import Crawl, timed, told
from tests.browser.test_desk import billhooks

pytestmark = pytest.mark.browser
ALL = {path for members in PAGES.values() for _, _, path, _ in members}
CHOPPER, STEEL = "camp_hatchet_study", "harrow_tine_study"


# The third is walked by `pytest -m slow`: its pages of cutting and chopping are nearly blank.
@pytest.mark.parametrize("study", ["wear", CHOPPER, pytest.param(STEEL, marks=pytest.mark.slow)])
def test_every_page_can_be_read_and_tapped(study, served, browser):
    """A server on one sample run; the wear study with few of its photographs."""
    if study == "wear":
        billhooks(served.workspace, study)
    else:
        shutil.copytree(shipped("sample_runs") / study, served.workspace / study)
    crawl = Crawl(browser, served, study)
    found = timed(crawl, known=set())
    assert {path.strip("/") or "study" for path in crawl.visited} >= ALL
    assert told(found) == []
