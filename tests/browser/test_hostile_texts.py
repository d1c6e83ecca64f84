"""Somebody else's study on every page: read exactly as it was typed, and nothing more than that."""

import re
import shutil

import pytest

from edgetest.app.navigation import PAGES
from edgetest.store.places import shipped
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import bench_study
from tests.browser.test_desk import billhooks

pytestmark = pytest.mark.browser
TITLE = "![x](http://evil.test/a.png) $x$ :red[hot] <b> :smile: :material/home: a -> b **c** a@b.c"
BLADE = "_K1_ $5$ :red[x]"  # names hold no comma
EVERY = [path for members in PAGES.values() for _, _, path, _ in members]
FEW = ("study", "blades", "bench", "log", "comparison")  # the rest are walked by `pytest -m slow`
# What of the texts became more than text: marked up by their own marks.
MARKED = """() => [...document.querySelectorAll('[data-testid=stMain], [data-testid=stSidebar]')]
  .flatMap(part => [...part.querySelectorAll(
    'img[src*=evil], a[href*=evil], a[href^=mailto], .katex, script[src*=evil]')])
  .map(each => each.outerHTML.slice(0, 200))"""

# Ways to a CSV that a grid brings of its own, with what looks like a formula as one.
LIVE_CSV = """() => [...document.querySelectorAll('button[aria-label^="Download as CSV"]')]
  .filter(each => each.getClientRects().length).length"""


def hostile(folder, kind):
    """A study with such texts in every place that takes one."""
    file = folder / "study.toml"
    text = file.read_text(encoding="utf-8")
    top, more = re.split(r"^(?=\[)", text, maxsplit=1, flags=re.MULTILINE)
    said = ("title", "notes", "maker", "tested_by")
    kept = [line for line in top.splitlines() if not line.startswith(said)]
    told = TITLE.replace("\\", "\\\\").replace('"', '\\"')
    head = [f'{key} = "{told}"' for key in said]
    text = "\n".join([*head, *kept, more])
    if kind == "bench":
        text = text.replace('"K1"', f'"{BLADE}"').replace("temper 190 °C", told)
        for log in folder.glob("log.csv"):
            log.write_text(log.read_text("utf-8").replace("K1", BLADE), "utf-8")
    file.write_text(text + "\n", encoding="utf-8")


def unfolded(page):
    """What is folded away, opened at once."""
    page.evaluate(
        "document.querySelectorAll('details:not([open]) > summary').forEach((e) => e.click())"
    )
    page.wait_for_timeout(150)


def walked(page, server, folder, paths):
    """Each page opened: what was fetched from elsewhere, and what became markup."""
    asked, shown = [], set()
    page.on("request", lambda request: "evil" in request.url and asked.append(request.url))
    page.on("dialog", lambda box: pytest.fail(f"a script ran: {box.message}"))
    for path in paths:
        go(page, server, f"{path}?study={folder.name}")
        unfolded(page)
        settle(page)
        no_fault(page)
        assert page.evaluate(MARKED) == [], path
        assert page.evaluate(LIVE_CSV) == 0, path
        words = page.inner_text("[data-testid=stMain]")
        assert "\\" not in words.replace(TITLE, ""), path  # a mark of ours that is seen
        assert ":color[" not in words, path
        if TITLE in words:
            shown.add(path)
    assert asked == []
    return shown


def test_a_title_is_read_as_it_was_typed(page, served):
    folder = bench_study(served.workspace, name="theirs", stages=(0, 10))
    hostile(folder, "bench")
    assert walked(page, served, folder, FEW) == set(FEW)


@pytest.mark.slow
@pytest.mark.parametrize("study", ["bench", "wear", "camp_hatchet_study", "harrow_tine_study"])
def test_every_page_reads_it_as_it_was_typed(study, page, served):
    if study == "bench":
        folder = bench_study(served.workspace, name="bench")
    elif study == "wear":
        folder = billhooks(served.workspace, study)
    else:
        folder = served.workspace / study
        shutil.copytree(shipped("sample_runs") / study, folder)
    hostile(folder, study)
    shown = walked(page, served, folder, EVERY)
    assert shown >= {"study", "bench", "blades", "log", "document"}
