"""Accessibility: axe-core over every page, in light and in dark, finds nothing serious."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from edgetest.app.navigation import PAGES
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import bench_study

pytestmark = pytest.mark.browser
ALL = [path for members in PAGES.values() for _, _, path, _ in members]


def serious(page):
    """Findings of axe that are serious or worse: rule, and where."""
    found = Axe().run(page).response["violations"]
    return [
        (each["id"], node["target"], node.get("failureSummary", "")[:300])
        for each in found
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]


def away(url):
    """Whether an address lies outside this machine."""
    return not url.startswith(("http://127.0.0.1", "ws://127.0.0.1", "data:", "blob:"))


@pytest.fixture(scope="module")
def studied(served):
    """A server on one small study with readings, so that every page has something to show."""
    from edgetest.store.journal import append_reading

    folder = bench_study(served.workspace, name="access", blades=("K1", "K2", "K3", "K4"))
    for i, blade in enumerate(("K1", "K2", "K3", "K4")):
        for stage in (0, 10, 20):
            for station in (10, 30):
                width = ((2.5 + 0.1 * i) ** 2 + (3 + i % 2) * stage) ** 0.5
                append_reading(
                    folder,
                    {"blade": blade, "cuts": stage, "station_mm": station,
                     "edge_width_um": round(width + 0.01 * station, 2)},
                )  # fmt: skip
    return served


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_has_a_serious_finding(studied, browser, scheme, artefacts):
    page = browser.new_page(viewport={"width": 1280, "height": 1000}, color_scheme=scheme)
    page.set_default_timeout(30_000)
    found, afar = {}, []
    page.on("request", lambda request: afar.append(request.url) if away(request.url) else None)
    for path in ALL:
        go(page, studied, f"{path if path != 'study' else ''}?study=access")
        settle(page)
        no_fault(page)
        page.screenshot(path=artefacts / f"access_{scheme}_{path}.png")
        if findings := serious(page):
            found[path] = findings
    page.close()
    assert found == {}
    assert afar == []  # nothing leaves the machine
