"""How long a maker waits for the app: the first page after the start, a saved reading.

python -m tests.benchmarks.app_speed

The sample run has 216 photographs, all measured beforehand, as on the second day of a study.
Times are wall clock as the browser sees them, best and middle of several.
"""

import os
import platform
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from playwright.sync_api import sync_playwright

from edgetest.store.journal import append_reading
from edgetest.store.workspace import copy_sample_run
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study
from tests.browser.conftest import BROWSER, FLAGS, Server, go

NAME = "billhook_temper_study"
TIMES = 7
HEADING = "before => document.querySelector('h1')?.innerText !== before"


def prepare(workspace):
    """The sample run, measured; the last stage of all its blades still to be cut and read."""
    folder = workspace / NAME
    copy_sample_run(NAME, folder)
    measure_study(open_source(folder))
    lines = (folder / "log.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    last = max(row.cuts for row in open_source(folder).log.rows)
    kept = [each for each in lines if each.split(",")[1] != str(last)]
    (folder / "log.csv").write_text("".join(kept), encoding="utf-8")
    return folder


def first_page(workspace, play):
    """From the command to the first page in the browser, the browser being open already."""
    browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
    page = browser.new_page()
    server = Server(workspace, workspace.parent / "server.log")
    start = time.perf_counter()
    server.start()
    up = time.perf_counter() - start
    page.goto(server.url)
    page.get_by_text("Two tempers for hedging billhooks").first.wait_for()
    shown = time.perf_counter() - start
    browser.close()
    server.stop()
    return up, shown - up, shown


def interactions(workspace, play):
    """A page of the menu, a reading saved and the next one asked for."""
    server = Server(workspace, workspace.parent / "server.log").start()
    browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
    page = browser.new_page(viewport={"width": 1280, "height": 1400})
    page.set_default_timeout(60_000)
    go(page, server, f"bench?study={NAME}")
    page.wait_for_timeout(3000)  # what is read ahead has been read
    saves, turns = [], []
    while "cut to" in (before := page.locator("h1").inner_text()):
        page.get_by_role("button", name="All").click()
        page.wait_for_function(HEADING, arg=before)
    for number in range(3):
        before = page.locator("h1").inner_text()
        field = page.get_by_label("Edge width").first
        field.fill(f"{12 + number / 10:g}")
        start = time.perf_counter()
        field.press("Enter")
        page.wait_for_function(HEADING, arg=before, polling=5)
        saves.append(time.perf_counter() - start)
        page.wait_for_timeout(1500)
    for _ in range(TIMES):
        for name in ("Study", "Bench"):
            start = time.perf_counter()
            page.get_by_role("link", name=name, exact=True).click()
            words = "What do you want" if name == "Study" else "Blade"
            page.get_by_role("heading", level=1).filter(has_text=words).first.wait_for()
            turns.append(time.perf_counter() - start)
    browser.close()
    server.stop()
    return saves, turns


def appends(folder):
    """One reading appended to the log of the sample run, on disk."""
    times = []
    for number in range(20):
        start = time.perf_counter()
        append_reading(
            folder, {"blade": "C1", "cuts": 1000 + number, "edge_width_um": 20, "station_mm": 20},
            doubled="refused",
        )  # fmt: skip
        times.append(time.perf_counter() - start)
    return times


def line(words, times):
    """Best and middle of some times."""
    print(f"{words:48s} best {min(times):6.2f} s   middle {statistics.median(times):6.2f} s")


def main():
    """Measure and print."""
    print(
        f"Python {platform.python_version()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}"
    )
    with tempfile.TemporaryDirectory() as name:
        workspace = Path(name) / "studies"
        workspace.mkdir()
        folder = prepare(workspace)
        with sync_playwright() as play:
            starts = [first_page(workspace, play) for _ in range(3)]
            line("server answers after the start", [up for up, _, _ in starts])
            line("first page after the server answers", [page for _, page, _ in starts])
            line("first page after the start", [shown for _, _, shown in starts])
            saves, turns = interactions(workspace, play)
        line("a reading saved: Enter to the next one due", saves)
        line("another page of the menu", turns)
        line("one reading appended to a log of 216 rows", appends(folder))
        shutil.rmtree(workspace)


if __name__ == "__main__":
    main()
