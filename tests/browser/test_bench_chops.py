"""A chop test at the bench in a real browser: strokes by thumb, severed or not, the edge after."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.bench.session_file import read_session
from edgetest.study.sources import open_source
from tests.browser.bench_steps import type_number
from tests.browser.conftest import PATIENCE_MS, Server, go, no_fault, settle
from tests.browser.page_faults import serious
from tests.store.written_rows import format_reading

pytestmark = pytest.mark.browser


def chop_study(root, name="chops"):
    new_study(root / name, "billet_chop", "Two camp hatchets", blades=("H1", "H2"))
    return root / name


def called(page, words):
    page.get_by_role("heading", level=1, name=words).wait_for()
    settle(page)


def button(page, name):
    return page.get_by_role("button", name=name, exact=True)


def sound(page, blade, after=""):
    called(page, f"Blade {blade}, look at the edge{after}")
    button(page, "No damage seen").click()


@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.slow)])
def test_billets_are_severed_in_turn_and_the_server_may_die(tmp_path, browser, scheme, artefacts):
    folder = chop_study(tmp_path / "studies")
    server = Server(tmp_path / "studies", tmp_path / "server.log").start()
    page = browser.new_page(viewport={"width": 390, "height": 844}, color_scheme=scheme)
    page.set_default_timeout(PATIENCE_MS)
    try:
        go(page, server, "bench?study=chops")
        sound(page, "H1")
        sound(page, "H2")
        called(page, "Blade H1, billet 1: 0 chops")
        button(page, "+5").click()
        button(page, "+1").click()
        button(page, "Undo: +1 stroke").click()
        called(page, "Blade H1, billet 1: 5 chops")
        button(page, "+1 missed the kerf").click()
        called(page, "Blade H1, billet 1: 6 chops")
        page.get_by_text("strokes, 1 missed the kerf", exact=True).wait_for()
        for label, says in (("Wood", "Douglas-fir, coast"), ("Width (mm)", "50"),
                            ("Thickness (mm)", "50")):  # fmt: skip
            page.get_by_label(label, exact=True).fill(says)
            page.get_by_label(label, exact=True).press("Enter")
            settle(page)
        for width in (390, 820, 1280):
            page.set_viewport_size({"width": width, "height": 1500})
            page.wait_for_timeout(200)
            page.screenshot(path=artefacts / f"chop_bench_{scheme}_{width}.png")
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert serious(page) == []
        small = page.evaluate(
            """() => [...document.querySelectorAll('[data-testid=stMain] button')]
            .map((b) => [b.innerText, b.getBoundingClientRect()])
            .filter(([, r]) => r.width && (r.width < 44 || r.height < 44)).map(([t]) => t)"""
        )
        assert small == []
        server.stop(kill=True)
        assert read_session(folder).cuts(("billet 1", "H1")) == 6
        server.start()
        go(page, server, "bench?study=chops")
        called(page, "Blade H1, billet 1: 6 chops")
        button(page, "Severed").click()
        sound(page, "H1", " after billet 1")
        called(page, "Blade H2, billet 1: 0 chops")
        button(page, "+10").focus()
        page.keyboard.press("Enter")
        called(page, "Blade H2, billet 1: 10 chops")
        button(page, "Still stands").click()
        called(page, "Blade H2, look at the edge after billet 1")
        type_number(page, "Chips on the whole edge now, in all", "2")
        type_number(page, "Largest chip (mm)", "0.4")
        called(page, "Blade H1, billet 2: 0 chops")
        no_fault(page)
        billets = open_source(folder).chops.of_kind("billet")
        assert [format_reading(r.chops) for r in billets] == ["6", ">10"]
        assert [(r.blade, r.near_misses, r.width_mm) for r in billets] == [
            ("H1", 1, 50.0), ("H2", 0, 50.0)
        ]  # fmt: skip
        assert [(r.chips_count, r.largest_chip_mm) for r in billets] == [(0, None), (2, 0.4)]
        assert open_source(folder).faults == ()
    finally:
        page.close()
        server.stop(kill=True)
