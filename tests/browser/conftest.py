"""A server on a workspace of its own and a headless browser to drive it with."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

BROWSER = (
    shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
ROOT = Path(__file__).parent.parent.parent
# How long to wait for what must come: a slow machine is no fault of the app.
PATIENCE_MS = 240_000


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Server:
    """The app on a folder of studies; `stop(kill=True)` is a pulled plug."""

    def __init__(self, workspace, log):
        self.workspace, self.log = Path(workspace), Path(log)
        self.port = free_port()
        self.process = None

    def start(self):
        command = [
            sys.executable, "-m", "edgetest", "app",
            "--workspace", str(self.workspace), "--port", str(self.port),
            "--also-as", "bench.test",
        ]  # fmt: skip
        with self.log.open("ab") as out:
            self.process = subprocess.Popen(command, stdout=out, stderr=out, start_new_session=True)
        for _ in range(300):
            try:
                with urllib.request.urlopen(f"{self.url}/_stcore/health", timeout=1):
                    return self
            except OSError:
                time.sleep(0.1)
        raise RuntimeError(f"the app did not start: {self.log.read_text()}")

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}"

    def stop(self, *, kill=False):
        import signal

        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL if kill else signal.SIGTERM)
        self.process.wait()


@pytest.fixture(scope="session")
def artefacts(tmp_path_factory):
    """Where screenshots go: the folder CI keeps, else a temporary one."""
    named = os.environ.get("EDGETEST_ARTEFACTS")
    folder = Path(named) if named else tmp_path_factory.mktemp("screenshots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def one_server(tmp_path_factory):
    """The server of all tests that do not stop or kill it: starting one takes seconds."""
    folder = tmp_path_factory.mktemp("served")
    (folder / "studies").mkdir()
    server = Server(folder / "studies", folder / "server.log").start()
    yield server
    server.stop()


def _empty(server, away):
    """The same server on an empty folder of studies; what lay there goes away."""
    for each in server.workspace.iterdir():
        each.rename(away / each.name)
    told = server.log.stat().st_size
    yield server
    with server.log.open("rb") as log:
        log.seek(told)
        assert b"Traceback" not in log.read()


@pytest.fixture
def server(one_server, tmp_path):
    """The server with no study yet, for one test."""
    yield from _empty(one_server, tmp_path)


@pytest.fixture(scope="module")
def served(one_server, tmp_path_factory):
    """The server with no study yet for all tests of a module; each brings a study of its own."""
    yield from _empty(one_server, tmp_path_factory.mktemp("before"))


@pytest.fixture(scope="session")
def browser():
    if BROWSER is None:
        pytest.skip("no Chromium on this machine; the app is not driven in a browser")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def one_page(browser):
    """The window of all tests that ask for no other: a new one reads the app's scripts anew."""
    page = browser.new_page()
    yield page
    page.close()


@pytest.fixture
def page(one_page, artefacts, request):
    """A window of 1280 × 900 with nothing remembered, which forgets at the end."""
    one_page.set_default_timeout(PATIENCE_MS)
    one_page.set_viewport_size({"width": 1280, "height": 900})
    one_page.emulate_media(color_scheme="light")
    yield one_page
    one_page.screenshot(path=artefacts / f"last_of_{request.node.name}.png")
    one_page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
    one_page.context.clear_cookies()
    one_page.goto("about:blank")


# A run's end clears the page of what it did not draw, some milliseconds after the page says so. A
# press within them, quicker than a finger, would start a run of which half is drawn, and the other
# half, with what was typed in it, would be cleared.
AT_REST = "() => new Promise((on) => requestIdleCallback(on, {timeout: 2000}))"
IDLE = """() => !document.querySelector('[class*=st-key-long_work_]') &&
  document.querySelector('[data-testid=stApp]').dataset.testScriptState === 'notRunning'"""


def settle(page):
    """Wait until the app has nothing left to run."""
    page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]")
    page.wait_for_selector("[data-testid=stSkeleton]", state="detached")  # parts come as needed
    # What is worked out beside the page runs the page again at its end.
    page.wait_for_function(IDLE, timeout=PATIENCE_MS)
    page.evaluate(AT_REST)


def go(page, server, path):
    """Open a page of the app and wait for its heading."""
    page.goto(f"{server.url}/{path}")
    page.wait_for_selector("h1")
    settle(page)


def no_fault(page):
    """No traceback and no exception box on the page."""
    assert page.locator("[data-testid=stException]").count() == 0
    assert "Traceback" not in page.inner_text("body")
