"""Every page of every sample run can be read and tapped, from a phone to a wide screen."""

import shutil

import pytest

from edgetest.app.navigation import PAGES
from edgetest.store.guide_pages import guide_pages
from edgetest.store.places import shipped
from edgetest.study.facts.study_drafts import JOBS
from tests.browser.crawl import DESK, PHONE, WIDTHS, Crawl, timed, told
from tests.browser.test_desk import billhooks

pytestmark = pytest.mark.browser
ALL = {path for members in PAGES.values() for _, _, path, _ in members}
CHOPPER, STEEL = "camp_hatchet_study", "harrow_tine_study"


# Minutes each: by `pytest -m slow`.
@pytest.mark.slow
@pytest.mark.parametrize(
    ("study", "widths"),
    [
        pytest.param("wear", (PHONE, DESK), id="wear on a phone and a desk"),
        *(pytest.param(name, WIDTHS, id=name) for name in ("wear", CHOPPER, STEEL)),
    ],
)
def test_every_page_can_be_read_and_tapped(study, widths, served, browser):
    """A server on one sample run; the wear study with few of its photographs."""
    shutil.rmtree(served.workspace / study, ignore_errors=True)
    if study == "wear":
        billhooks(served.workspace, study)
    else:
        shutil.copytree(shipped("sample_runs") / study, served.workspace / study)
    crawl = Crawl(browser, served, study, widths)
    found = timed(crawl, known=set())
    assert {path.strip("/") or "study" for path in crawl.visited} >= ALL
    assert told(found) == []


def titles():
    """Titles of the guide's pages that stand in its box."""
    return [page.title for page in guide_pages().values() if page.kind != "tables"]


# Minutes of reading: by `pytest -m slow`.
@pytest.mark.slow
def test_every_chapter_door_and_use_can_be_read_and_tapped(served, browser):
    name = "chapters"
    shutil.copytree(shipped("sample_runs") / STEEL, served.workspace / name)
    walks = {
        "chapters": (lambda crawl: crawl.chapters(titles()), len(titles())),
        "doors": (lambda crawl: crawl.doors(JOBS.values()), len(JOBS)),
        "uses": (lambda crawl: crawl.uses(), 3),
    }
    for what, (walk, least) in walks.items():
        crawl = Crawl(browser, served, name)
        assert told(walk(crawl)) == [], what
        assert len(crawl.visited) >= least, what
        crawl.page.close()
