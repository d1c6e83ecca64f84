"""How long does each page of each sample run take to come, and to rest?

python -m tests.benchmarks.page_speed [--only chopper,verdict] [--runs camp_hatchet_study]

Every page of every sample run is opened by a tap on the menu, in a real browser, three ways:
the first time of all (nothing measured, no answer kept, a new server), after a new start of the
server (what was worked out before is kept), and a second time on the same server. Wall clock as
the browser sees it: until the first thing of the page that can be used stands there (a field, a
button, a table, a picture or a sentence below the lead), and until nothing moves any more. The
worse first, by the way that is asked for: `--by first`, `--by started`, `--by again`.
"""

import argparse
import os
import platform
import re
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from playwright.sync_api import Error, sync_playwright

from edgetest.app.navigation import PAGES
from edgetest.store.workspace import copy_sample_run, sample_runs
from tests.browser.conftest import BROWSER, FLAGS, Server, go

QUIET_MS = 700  # so long nothing moves: the page rests; a part that comes later polls oftener
MOST_MS = 120_000
FROM = "guide"  # every page is opened from this one, which shows no study
# A page that asks to be told to measure is told so; the time counts from that tap on.
ASKED = r"^(Measure|Read) \d+ (photographs?|side views?)$"

TAP = """
([title, quiet, most]) => new Promise(done => {
  const start = performance.now(), old = document.querySelector('h1')?.innerText;
  let useful = 0, moved = start, there = false;
  const wanted = '[data-testid=stButton],input,textarea,table,canvas,img,svg.marks,' +
    '[role=slider],[data-testid=stDataFrame],[data-testid=stMarkdown],[data-testid=stAlert]';
  const watch = new MutationObserver(() => { moved = performance.now(); });
  const look = () => {
    const now = performance.now();
    const box = document.querySelector('[data-testid=stMainBlockContainer]');
    const head = box?.querySelector('h1');
    if (head && head.innerText !== old) there = true;
    const state = document.querySelector('[data-testid=stApp]')?.dataset.testScriptState;
    const busy = '[data-testid=stSkeleton], [class*=st-key-long_work_]';
    if (state !== 'notRunning' || document.querySelector(busy)) moved = now;
    if (there && !useful) {
      const all = [...box.querySelectorAll(wanted)].filter(each =>
        !each.closest('[data-stale=true]') && each.innerText !== '' &&
        head.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
      if (all.length > 1) useful = now;  // the first is the lead
    }
    if (there && now - moved > quiet || now - start > most) {
      watch.disconnect();
      done([useful ? useful - start : moved - start, moved - start]);
    } else setTimeout(look, 8);
  };
  watch.observe(document.body, {subtree: true, childList: true, characterData: true});
  const links = [...document.querySelectorAll('[data-testid=stSidebar] a')];
  links.find(link => link.innerText.trim().endsWith(title)).click();
  look();
})
"""


@dataclass(frozen=True)
class Opened:
    """Seconds until the first useful thing of a page, and until the page rests."""

    useful_s: float
    rest_s: float

    def words(self):
        """Both, in columns."""
        return f"{self.useful_s:7.2f} {self.rest_s:7.2f}"


def addresses(only):
    """Titles of the pages by address, as the menu names them."""
    found = {path: title for group in PAGES.values() for title, _, path, _ in group}
    return {path: title for path, title in found.items() if path in (only or found)}


def tap(page, title):
    """A tap on the menu until the page rests."""
    useful, rest = page.evaluate(TAP, [title, QUIET_MS, MOST_MS])
    return Opened(useful / 1000, rest / 1000)


def served(place, run):
    """A server on a workspace of its own, whose kept answers stand in `place` too."""
    os.environ["EDGETEST_CACHE"] = str(place / "cache")
    return Server(place / run, place / "server.log").start()


def on(browser, server, run):
    """A window on the guide, with what is read ahead read."""
    page = browser.new_page(viewport={"width": 1280, "height": 1000})
    page.set_default_timeout(60_000)
    go(page, server, f"{FROM}?study={run}")
    page.wait_for_timeout(2500)
    return page


def worked_out(page):
    """Press the button that measures, where the page asks for it, and wait until all is done."""
    asked = page.get_by_role("button", name=re.compile(ASKED))
    if asked.count():
        asked.first.click()
        page.wait_for_timeout(1000)
    page.wait_for_function(
        "() => !document.querySelector('[class*=st-key-long_work_]')", timeout=MOST_MS
    )
    page.wait_for_timeout(2000)


def three_ways(browser, run, title):
    """A page opened the first time of all, after a new start, and again."""
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        copy_sample_run(run, place / run / run)
        server = served(place, run)
        try:
            page = on(browser, server, run)
            first = tap(page, title)
            worked_out(page)
            page.close()
            server.stop()
            server = served(place, run)
            page = on(browser, server, run)
            started = tap(page, title)
            tap(page, FROM.capitalize())
            again = tap(page, title)
            page.close()
        finally:
            server.stop()
    return {"first": first, "started": started, "again": again}


def main():
    """Measure and print."""
    parse = argparse.ArgumentParser()
    parse.add_argument("--only", default="")
    parse.add_argument("--runs", default="")
    parse.add_argument("--by", default="started", choices=("first", "started", "again"))
    asked = parse.parse_args()
    runs = [entry.folder.name for entry in sample_runs()]
    runs = [run for run in runs if not asked.runs or run in asked.runs.split(",")]
    found, began = [], time.perf_counter()
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
        for run in runs:
            for path, title in addresses([name for name in asked.only.split(",") if name]).items():
                if path == FROM:
                    continue
                try:
                    ways = three_ways(browser, run, title)
                except Error as fault:
                    print(f"{run} {path}: {fault}", file=sys.stderr)
                    continue
                found.append((path, run, ways))
                print(f"{path} {run} {ways}", file=sys.stderr, flush=True)
        browser.close()
    print(
        f"Python {platform.python_version()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}"
        f", {time.perf_counter() - began:.0f} s; seconds: useful, rest"
    )
    print(
        f"{'page':14s} {'sample run':24s} {'first of all':>15s} {'new start':>15s} {'again':>15s}"
    )
    for path, run, ways in sorted(found, key=lambda row: -row[2][asked.by].rest_s):
        cells = " ".join(ways[way].words() for way in ("first", "started", "again"))
        print(f"{path:14s} {run:24s} {cells}")


if __name__ == "__main__":
    main()
