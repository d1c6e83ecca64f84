"""How long from a tap at the bench to the count that the server says is on disk?

    python -m tests.benchmarks.bench_tap_speed

The sample runs of 216 photographs, all measured, and of a chop test; one study more whose taps
file is long. Wall clock in the browser, from the moment the button is pressed: to the number on
the counter, which the browser shows by itself, and to the heading, which only the server writes,
after the tap is on disk.
"""

import os
import platform
import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from edgetest.store.workspace import new_study
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps, leave_out
from edgetest.study.sources import open_source
from tests.benchmarks.app_speed import NAME, prepare
from tests.browser.bench_steps import tap
from tests.browser.conftest import BROWSER, FLAGS, Server, go, settle
from tests.browser.studies import PAPER, bench_study

TIMES = 25
LONG = 3000
# Both moments as the page draws them: the mark is set where the words have changed.
TIMED = """
(name) => new Promise((done) => {
  const deep = [...document.querySelectorAll('*')].filter((e) => e.shadowRoot)
    .map((e) => e.shadowRoot).find((root) => root.querySelector('.steps'));
  const button = [...deep.querySelectorAll('button')].find((b) => b.textContent === name);
  const shown = () => deep.querySelector('.count b').textContent;
  const said = () => document.querySelector('h1').innerText;
  const before = [shown(), said()], start = performance.now();
  let first = null;
  const look = () => {
    const now = performance.now() - start;
    if (first === null && shown() !== before[0]) first = now;
    if (said() !== before[1]) return done([first, now]);
    setTimeout(look, 1);
  };
  button.click();
  look();
})
"""


def long_study(root):
    """A blade on its way to a far stage, with many taps behind it."""
    folder = bench_study(root, name="long", readings=(PAPER,), stages=(10 * LONG,))
    count_taps(folder, ("", "K1"), [(f"t{n}", 1) for n in range(LONG)], stage=10 * LONG)
    return folder.name


def cut_study(root):
    """The sample run, its last stage to be cut."""
    folder = prepare(root)
    action = next_action(open_source(folder))
    if action.kind == "read":
        leave_out(folder, action.run, action.stage)
    return NAME


def chop_study(root):
    """A chop test at its first billet."""
    new_study(root / "hatchets", "billet_chop", "Two hatchets", blades=("H1", "H2"))
    return "hatchets"


def taps(page, server, name):
    """Seconds to the number on the counter and to the heading, of many taps."""
    go(page, server, f"bench?study={name}")
    while page.get_by_role("button", name="No damage seen").count():
        before = page.locator("h1").inner_text()
        tap(page, "No damage seen")
        page.wait_for_function("b => document.querySelector('h1')?.innerText !== b", arg=before)
        settle(page)
    page.wait_for_timeout(2000)  # what is read ahead has been read
    found = []
    for _ in range(TIMES):
        found.append(page.evaluate(TIMED, "+1"))
        settle(page)
        page.wait_for_timeout(150)
    return [[each / 1000 for each in some] for some in zip(*found, strict=True)]


def main():
    """Measure and print."""
    print(platform.python_version(), platform.machine(), os.cpu_count(), "cores")
    print("| study | counter, middle | worst | on disk, best | middle | worst | load |")
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        root = Path(place) / "studies"
        root.mkdir()
        names = [make(root) for make in (cut_study, chop_study, long_study)]
        server = Server(root, Path(place) / "server.log").start()
        browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
        page = browser.new_page(viewport={"width": 820, "height": 1180})
        page.set_default_timeout(60_000)
        for name in names:
            shown, saved = taps(page, server, name)
            print(
                f"| {name} | {statistics.median(shown):.3f} | {max(shown):.3f} | "
                f"{min(saved):.3f} | {statistics.median(saved):.3f} | {max(saved):.3f} | "
                f"{os.getloadavg()[0]:.1f} |",
                flush=True,
            )
        browser.close()
        server.stop()


if __name__ == "__main__":
    main()
