"""Taps that the server hears only after all of the page was drawn anew are on disk all the same."""

import os

import pytest

from edgetest.study.bench.session_file import read_session
from tests.browser.bench_steps import tap, type_number
from tests.browser.conftest import ROOT, Server, go
from tests.browser.studies import FORCE, bench_study

pytestmark = pytest.mark.browser
# The server forgets every part of a page once, until all of the page is drawn anew.
FORGETFUL = """
from streamlit.runtime.app_session import AppSession

heard, asked = AppSession.request_rerun, {"forgot": True}

def request_rerun(self, client_state):
    if client_state is not None and client_state.fragment_id and asked["forgot"]:
        return None
    if client_state is not None and client_state.widget_states.widgets:
        asked["forgot"] = not any(
            "bench.awake" in one.id and one.trigger_value
            for one in client_state.widget_states.widgets
        ) and asked["forgot"]
    return heard(self, client_state)

AppSession.request_rerun = request_rerun
"""


# A blade's curve is long in the making, after all that is seen of a page was drawn.
BUSY = """
import time

from edgetest.app.bench import bench_folds

stands = bench_folds.stands

def late(source, action):
    found = stands(source, action)
    time.sleep(3)
    return found

bench_folds.stands = late
"""


class Hindered(Server):
    """A server with a hindrance put in before it starts."""

    def __init__(self, workspace, log, hindrance):
        super().__init__(workspace, log)
        self.hindrance = hindrance

    def start(self):
        (self.workspace.parent / "sitecustomize.py").write_text(self.hindrance, encoding="utf-8")
        os.environ["PYTHONPATH"] = f"{self.workspace.parent}{os.pathsep}{ROOT}"
        try:
            return super().start()
        finally:
            del os.environ["PYTHONPATH"]


@pytest.fixture
def begin(tmp_path):
    """A small study at a server with a hindrance; both are gone after the test."""
    started = []

    def start(hindrance):
        root = tmp_path / "studies"
        root.mkdir()
        (root / ".tour_closed").touch()
        folder = bench_study(root, readings=(FORCE,), stages=(10, 20))
        started.append(Hindered(root, tmp_path / "server.log", hindrance).start())
        return folder, started[0]

    yield start
    for server in started:
        server.stop()


def test_a_tap_that_is_not_heard_is_sent_with_all_of_the_page(begin, page):
    folder, server = begin(FORGETFUL)
    go(page, server, f"bench?study={folder.name}")
    page.get_by_role("button", name="+5", exact=True).click()
    page.get_by_text("5 to go").first.wait_for(timeout=20_000)
    assert read_session(folder).cuts(("", "K1")) == 5
    assert not page.get_by_role("button", name="Save the taps once more").is_visible()


def test_a_page_that_was_left_while_it_was_busy_takes_no_part_of_the_next_one_away(begin, page):
    folder, server = begin(BUSY)
    go(page, server, f"bench?study={folder.name}")
    tap(page, "All 10")
    page.get_by_role("heading", level=1, name="Blade K1, read at 10 cuts: 2 due").wait_for()
    type_number(page, "Thread severing force, check 1", "120")
    page.get_by_role("heading", level=1, name="Blade K1, read at 10 cuts: 1 due").wait_for()
    tap(page, "Go on without the rest of this stage")
    page.get_by_role("heading", level=1, name="Blade K2, cut to 10: 10 to go").wait_for()
    page.wait_for_timeout(3000)  # the page before has come to its end
    tap(page, "+5")
    page.get_by_text("5 to go").first.wait_for(timeout=20_000)
    assert read_session(folder).cuts(("", "K2")) == 5
    assert "does not exist anymore" not in server.log.read_text(encoding="utf-8")
