"""What is typed into any field of any page is there after another page, a reload, a pulled plug.

The fields are found on the pages themselves (`page_fields`), whatever page or field is added.
"""

import re
import shutil
from pathlib import Path

import pytest

from edgetest.app.navigation import PAGES
from edgetest.study.facts.study_drafts import JOBS
from tests.browser.conftest import Server, go, no_fault
from tests.browser.page_fields import STEADY_MS, standing_everywhere, steady, type_everywhere
from tests.browser.studies import bench_study

# Minutes: some two hundred fields, each typed into and looked for twice.
pytestmark = [pytest.mark.browser, pytest.mark.slow]
RUNS = Path(__file__).parents[2] / "sample_runs"
STUDIES = {
    "chopper": "camp_hatchet_study",
    "verdict": "plough_disc_study",
    "document": "plough_disc_study",
    "case": "plough_disc_study",
    "blades": "plough_disc_study",
}
OF_ANY = "short"
TITLES = {path: title for group in PAGES.values() for title, _, path, _ in group}
GROUPS = [[*TITLES][k::3] for k in range(3)]
# So many fields are found at least, or the test looks at nothing.
LEAST = {
    "plan": 9,
    "blades": 60,
    "protocols": 20,
    "verdict": 30,
    "document": 4,
}


@pytest.fixture(scope="module")
def own(tmp_path_factory):
    """A server of the tests' own, which they may kill."""
    folder = tmp_path_factory.mktemp("typed")
    root = folder / "studies"
    root.mkdir()
    (root / ".tour_closed").touch()
    bench_study(root, name=OF_ANY)
    server = Server(root, folder / "server.log").start()
    yield server
    server.stop()
    assert "Traceback" not in server.log.read_text()


def address(server, path):
    """A page about a study that no other page of the test is about."""
    folder = server.workspace / f"of_{path.replace('-', '_')}"
    if not folder.exists():
        shutil.copytree(RUNS / STUDIES[path] if path in STUDIES else server.workspace / OF_ANY,
                        folder)  # fmt: skip
    return f"{path if path != 'study' else ''}?study={folder.name}"


def lost(typed, page):
    """What was typed and stands there no longer: by field, what was and what is."""
    now = standing_everywhere(page)
    no_fault(page)
    return {
        name: (says, now.get(name, "no field"))
        for name, says in typed.items()
        if says != now.get(name)
    }


def another_page_and_back(page, path):
    """Look at another page by the list of pages, as a person does."""
    for title in ("Guide" if path != "guide" else "Plan", TITLES[path]):
        page.locator(".st-key-pages").get_by_role("link", name=title, exact=True).click()
        page.wait_for_timeout(STEADY_MS)
        steady(page)


@pytest.mark.parametrize("paths", GROUPS, ids="-".join)
def test_what_is_typed_stays(own, page, paths):
    typed, places = {}, {}
    for path in paths:
        go(page, own, address(own, path))
        measure = page.get_by_role("button", name=re.compile("^(Measure|Read) "))
        if path == "document" and measure.count():  # the form waits for the answer
            measure.first.click()
            steady(page)
        # Such limits of wear as are typed here would leave nothing to document.
        typed[path] = type_everywhere(page, but="-fit-" if path == "document" else None)
        assert len(typed[path]) >= LEAST.get(path, 0)
        places[path] = page.url.removeprefix(own.url).lstrip("/")
    another_page_and_back(page, path)
    assert lost(typed[path], page) == {}, f"{path}, after another page"
    own.stop(kill=True)
    own.start()
    for path in paths:
        go(page, own, places[path])  # which is a reload too
        assert lost(typed[path], page) == {}, f"{path}, after a pulled plug"


@pytest.mark.parametrize("door", JOBS.values())
def test_what_is_typed_while_a_study_is_set_up_stays(own, page, door):
    go(page, own, "")
    page.get_by_role("button", name=door).first.click()
    page.get_by_label("What you will know it by").wait_for()
    steady(page)
    typed = type_everywhere(page)
    assert "What you will know it by" in " ".join(typed)
    place = page.url.removeprefix(own.url).lstrip("/")
    own.stop(kill=True)
    own.start()
    go(page, own, place)
    assert lost(typed, page) == {}
