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


@pytest.fixture(scope="module")
def sampled(served):
    """A server on the sample runs; the wear study with few of its photographs."""
    billhooks(served.workspace, "wear")
    for name in (CHOPPER, STEEL):
        shutil.copytree(shipped("sample_runs") / name, served.workspace / name)
    return served


def test_every_page_can_be_read_and_tapped(sampled, browser):
    found, words = [], set()
    for study in ("wear", CHOPPER, STEEL):
        crawl = Crawl(browser, sampled, study)
        found += timed(crawl, known=words)
        words |= crawl.words
        assert {path.strip("/") or "study" for path in crawl.visited} >= ALL
    assert told(found) == []
