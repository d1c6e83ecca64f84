"""How long do the first page and both search fields take at very many studies, in a browser?

    python -m tests.benchmarks.many_studies_pages [COUNT]

The studies of `many_studies`, the app on their folder, and a browser: from going to the first page
until it rests, for a server that has just started (the first time of all its list is read), in a
new window, after one study was added, and for a server that is started once more; and from Enter
in a search field until what it found stands on the page, and until the page rests. The shop book
has read the studies before, by its command.
"""

import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.benchmarks.many_studies import make
from tests.browser.conftest import BROWSER, FLAGS, Server, settle

WINDOWS = 5  # each figure is the middle of so many; the longest stands beside it


def shown(took, what):
    """Print a row of the table."""
    took = sorted(took)
    print(f"| {what} | {took[len(took) // 2]:.2f} | {took[-1]:.2f} |", flush=True)


def opened(browser, server, count):
    """Seconds until the first page rests in a new window, and the window."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    begun = time.perf_counter()
    page.goto(server.url)
    page.get_by_label(f"Find one of your {count} studies").wait_for()
    settle(page)
    return time.perf_counter() - begun, page


def searched(page, field, words, found):
    """Seconds from Enter in a search field until what was found stands there, and to the rest."""
    field.fill(words)
    begun = time.perf_counter()
    field.press("Enter")
    page.get_by_text(found).first.wait_for()
    stands = time.perf_counter() - begun
    settle(page)
    return stands, time.perf_counter() - begun


def shown_search(took, what):
    """Two rows of the table: until it stands there, and until the page rests."""
    stands, rests = zip(*took, strict=True)
    shown(stands, what)
    shown(rests, f"{what}, until the page rests")


def of_first_page(browser, server, root, count):
    """The first page's rows of the table."""
    first, page = opened(browser, server, count)
    shown([first], "first page, server just started")
    page.close()
    took = []
    for _ in range(WINDOWS):
        each, page = opened(browser, server, count)
        took.append(each)
        page.close()
    shown(took, "first page, a new window")
    make(root, count)
    added, page = opened(browser, server, count + 1)
    shown([added], "first page, one study added")
    field = page.get_by_label("Find one of your")
    took = [
        searched(page, field, f"{number:05d}", f"Temper test {number:05d}")
        for number in range(count // 10, count, count // WINDOWS)
    ]
    shown_search(took, "search on the first page")
    page.close()


def of_shop_book(browser, server):
    """The shop book's rows of the table."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(f"{server.url}/shop-book")
    field = page.get_by_label("Find studies by steel")
    field.wait_for()
    settle(page)
    took = []
    for words in ("plough", "hatchet 2017-", "smith 3", "harrow billhook", "leaf 2020-"):
        took.append(searched(page, field, words, re.compile(r"^\d+ found")))
        searched(page, field, "nothing has this", "No study that this book")
    shown_search(took, "search in the shop book")
    page.close()


def main():
    """Make the studies and print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as place:
        os.environ["EDGETEST_CACHE"] = f"{place}/cache"
        root = Path(place) / "shop"
        for number in range(count):
            make(root, number)
        begun = time.perf_counter()
        subprocess.run([sys.executable, "-m", "edgetest", "shop-book", root], check=True,
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
        read_s = time.perf_counter() - begun
        server = Server(root, Path(place) / "server.log").start()
        print(f"| {count} studies, in a browser | middle, s | longest, s |\n| --- | ---: | ---: |")
        try:
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
                browser.new_page().goto(f"{server.url}/guide")  # the browser itself is warm
                of_first_page(browser, server, root, count)
                of_shop_book(browser, server)
                server.stop()
                server = Server(root, Path(place) / "server_again.log").start()
                again, page = opened(browser, server, count + 1)
                shown([again], "first page, server started once more")
                page.close()
                browser.close()
        finally:
            server.stop()
        print(f"\nReading them into the shop book, once, by its command: {read_s:.0f} s.")


if __name__ == "__main__":
    main()
