"""Taps that the server hears only after all of the page was drawn anew are on disk all the same."""

import os

import pytest

from edgetest.study.bench.session_file import read_session
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


class Forgetful(Server):
    """A server that does not hear parts of a page before the page was asked for as a whole."""

    def start(self):
        (self.workspace.parent / "sitecustomize.py").write_text(FORGETFUL, encoding="utf-8")
        os.environ["PYTHONPATH"] = f"{self.workspace.parent}{os.pathsep}{ROOT}"
        try:
            return super().start()
        finally:
            del os.environ["PYTHONPATH"]


def test_a_tap_that_is_not_heard_is_sent_with_all_of_the_page(tmp_path, page):
    root = tmp_path / "studies"
    root.mkdir()
    (root / ".tour_closed").touch()
    folder = bench_study(root, readings=(FORCE,), stages=(10, 20))
    server = Forgetful(root, tmp_path / "server.log").start()
    try:
        go(page, server, f"bench?study={folder.name}")
        page.get_by_role("button", name="+5", exact=True).click()
        page.get_by_text("5 to go").first.wait_for(timeout=20_000)
        assert read_session(folder).cuts(("", "K1")) == 5
        assert not page.get_by_role("button", name="Save the taps once more").is_visible()
    finally:
        server.stop()
