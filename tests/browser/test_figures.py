"""Figures that answer a finger: read off, hidden, zoomed, taken away, in light and dark."""

import re
from xml.etree import ElementTree

import pytest
from axe_playwright_python.sync_playwright import Axe

from edgetest.report.figures.figure_titles import with_titles
from edgetest.report.wording import life_interval, ratio_interval
from edgetest.store.journal import append_reading
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of
from tests.browser.conftest import PATIENCE_MS, go, no_fault, settle
from tests.browser.page_faults import away
from tests.browser.studies import bench_study

pytestmark = pytest.mark.browser
BLADES = ("K1", "K2", "K3", "K4")
STAGES = (0, 50, 100, 200, 300)
WEAR, LIVES, RATIO = (f".st-key-chart_figures_{name}" for name in ("wear", "lives", "ratio"))
# Words, left and right of every text of a drawing that is seen, in one answer of the browser.
TEXTS = """e => [...e.querySelectorAll("text")].map(one => [one, one.getBoundingClientRect()])
  .filter(([, box]) => box.width).map(([one, box]) => [one.textContent, box.left, box.right])"""
SIDEWAYS = "e => e.scrollWidth - e.clientWidth"


@pytest.fixture(scope="module")
def folder(served):
    """Four blades of two heat treatments, worn past their limit."""
    folder = bench_study(served.workspace, name="figures", blades=BLADES, stages=STAGES)
    for i, blade in enumerate(BLADES):
        for stage in STAGES:
            for station in (10, 30):
                width = ((2.5 + 0.1 * i) ** 2 + (0.6 + 0.35 * (i % 2)) * stage) ** 0.5
                append_reading(
                    folder,
                    {"blade": blade, "cuts": stage, "station_mm": station,
                     "edge_width_um": round(width * (0.97 + 0.002 * station), 2)},
                )  # fmt: skip
    return folder


@pytest.fixture(scope="module")
def answer(folder):
    """What the app's own room below the page says."""
    return comparison_of(open_source(folder), AnalysisOptions())


def opened(page, served, folder, path):
    go(page, served, f"{path}?study={folder.name}")
    page.locator(f"{WEAR} svg.marks").wait_for()
    settle(page)
    no_fault(page)


def words_of(chart):
    return [text for text in chart.locator("svg.marks text").all_text_contents() if text]


def place_of(chart, cuts):
    """Where a number of cuts lies on the screen, from the axis's own ticks."""
    ticks = chart.locator("svg.marks .role-axis-label text")
    boxes = {
        float(tick.text_content()): tick.bounding_box()
        for tick in ticks.all()
        if tick.text_content() in {"100", "200"}
    }
    middle = {at: box["x"] + box["width"] / 2 for at, box in boxes.items()}
    return middle[100] + (middle[200] - middle[100]) * (cuts - 100) / 100


def read_off(page, chart, cuts, height):
    """Move to so many cuts, so far down, and read what the figure says."""
    box = chart.locator("svg.marks").bounding_box()
    page.mouse.move(place_of(chart, cuts), box["y"] + height)
    chart.get_by_text(re.compile(r"\d cuts: |^life ")).first.wait_for()
    return next(text for text in words_of(chart) if " cuts: " in text)


def test_reading_off_says_the_numbers_of_the_result(served, folder, answer, page):
    opened(page, served, folder, "wear-curves")
    chart = page.locator(WEAR).first
    for name in ("K2", "K3", "K4"):
        chart.get_by_role("checkbox", name=name, exact=True).uncheck()
    said = read_off(page, chart, 130, 300)
    assert said.startswith("K1, temper 190 °C")
    cuts, value, low, high = map(
        float, re.search(r"(\d+) cuts: ([\d.]+) µm \(([\d.]+) to ([\d.]+)\)", said).groups()
    )
    assert abs(cuts - 130) < 12
    fit = next(fit for fit in answer.fit.blades if fit.blade == "K1")
    band = fit.predict([cuts])
    assert value == pytest.approx(float(band.value[0]), rel=0.01)
    assert (low, high) == pytest.approx((float(band.low[0]), float(band.high[0])), rel=0.015)


def test_lives_and_ratio_stand_beside_their_marks(served, folder, answer, page):
    opened(page, served, folder, "comparison")
    said = words_of(page.locator(LIVES))
    for fit in answer.fit.blades:
        value, interval = life_interval(fit.to_dict()["life"])
        assert {fit.blade, f"{value} ({interval})"} <= set(said)
    ratio = with_titles(answer).comparison["ratio"]
    value, interval = ratio_interval(ratio["estimate"], ratio["low"], ratio["high"])
    assert f"{value} ({interval})" in words_of(page.locator(RATIO))


def test_a_box_hides_a_blade_and_a_whole_heat_treatment(served, folder, page):
    opened(page, served, folder, "wear-curves")
    chart = page.locator(WEAR).first
    curves = chart.locator("svg.marks .mark-line path")
    assert curves.count() >= 4
    seen = curves.count()
    chart.get_by_role("checkbox", name="K1", exact=True).uncheck()
    page.wait_for_timeout(200)
    fewer = curves.count()
    assert fewer < seen
    chart.get_by_role("checkbox", name="temper 260 °C").focus()
    page.keyboard.press("Space")
    page.wait_for_timeout(200)
    assert curves.count() < fewer
    chart.get_by_role("checkbox", name="temper 260 °C").check()
    chart.get_by_role("checkbox", name="K1", exact=True).check()
    page.wait_for_timeout(200)
    assert curves.count() == seen


def test_sliders_zoom_and_the_height_follows(served, folder, page):
    opened(page, served, folder, "wear-curves")
    chart = page.locator(WEAR).first
    last = chart.get_by_role("slider", name="to, cuts")
    last.fill("50")
    page.wait_for_timeout(200)
    ticks = [float(text) for text in words_of(chart) if re.fullmatch(r"[\d.]+", text)]
    assert max(ticks) <= 50
    last.focus()
    page.keyboard.press("ArrowLeft")
    assert float(last.input_value()) < 50


@pytest.fixture
def phone(browser):
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, color_scheme="dark"
    )
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    yield page
    context.close()


def swipe(page, start, end):
    """A finger that goes from one point to another."""
    to = page.context.new_cdp_session(page)
    for step in range(11):
        x, y = (a + (b - a) * step / 10 for a, b in zip(start, end, strict=True))
        kind = "touchMove" if step else "touchStart"
        to.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        page.wait_for_timeout(20)
    to.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(400)


def test_on_a_phone_sideways_reads_off_and_upwards_scrolls(served, folder, phone, artefacts):
    opened(phone, served, folder, "wear-curves")
    chart = phone.locator(WEAR).first
    drawing = chart.locator("svg.marks")
    drawing.scroll_into_view_if_needed()
    box = drawing.bounding_box()
    middle = box["y"] + box["height"] / 2
    swipe(phone, (box["x"] + 90, middle), (box["x"] + 250, middle + 4))
    assert any(" cuts: " in text for text in words_of(chart))
    assert drawing.bounding_box()["y"] == pytest.approx(box["y"], abs=2)
    swipe(phone, (box["x"] + 150, middle + 60), (box["x"] + 150, middle - 140))
    assert drawing.bounding_box()["y"] < box["y"] - 50
    phone.screenshot(path=artefacts / "figures_phone.png")


@pytest.mark.parametrize(
    "width", [390, *(pytest.param(each, marks=pytest.mark.slow) for each in (820, 1280)), 1920]
)
def test_figures_use_the_width_and_nothing_is_cut(served, folder, page, width, artefacts):
    page.set_viewport_size({"width": width, "height": 1180})
    page.emulate_media(color_scheme="dark")
    afar = []
    page.on("request", lambda request: afar.append(request.url) if away(request.url) else None)
    for path in ("wear-curves", "comparison"):
        opened(page, served, folder, path)
        inside = page.locator("[data-testid=stMainBlockContainer]").evaluate(
            "e => e.clientWidth - parseFloat(getComputedStyle(e).paddingLeft)"
            " - parseFloat(getComputedStyle(e).paddingRight)"
        )
        assert page.locator("[data-testid=stMain]").evaluate(SIDEWAYS) <= 0
        for drawing in page.locator("[class*=st-key-chart_] svg.marks").all():
            box = drawing.bounding_box()
            assert box["width"] == pytest.approx(inside, abs=2)
            for words, left, right in drawing.evaluate(TEXTS):
                assert left >= box["x"] - 1, words
                assert right <= box["x"] + box["width"] + 1, words
        page.screenshot(path=artefacts / f"figures_{path}_{width}.png")
    if width == 1920:
        assert inside > 1000
    assert afar == []


def lightness(chart):
    """Of the figure's own corner, as it is seen."""
    import cv2
    import numpy as np

    png = np.frombuffer(chart.screenshot(), np.uint8)
    return cv2.imdecode(png, cv2.IMREAD_GRAYSCALE)[2:6, 2:6].mean()


def test_the_figure_is_dark_in_the_dark_and_follows_a_change(served, folder, page):
    page.set_viewport_size({"width": 820, "height": 1180})
    page.emulate_media(color_scheme="dark")
    opened(page, served, folder, "comparison")
    chart = page.locator(f"{LIVES} svg.marks")
    assert lightness(chart) < 60
    mark = chart.locator(".mark-symbol path").first
    dark = mark.evaluate("e => getComputedStyle(e).fill")
    page.emulate_media(color_scheme="light")
    page.wait_for_timeout(1500)
    assert lightness(chart) > 230
    assert mark.evaluate("e => getComputedStyle(e).fill") != dark


@pytest.mark.parametrize("width", [390, pytest.param(1280, marks=pytest.mark.slow)])
def test_a_still_figure_is_dark_in_the_dark_and_fits(served, folder, page, width):
    page.set_viewport_size({"width": width, "height": 1180})
    page.emulate_media(color_scheme="dark")
    opened(page, served, folder, "wear-curves")
    page.get_by_text("What the curve leaves over").click()
    pictures = page.locator("img.figure-wide, img.figure-narrow")
    pictures.first.wait_for(state="attached")
    settle(page)
    shown = [picture for picture in pictures.all() if picture.is_visible()]
    assert [one.get_attribute("class") for one in shown] == [
        "figure-narrow" if width == 390 else "figure-wide"
    ]
    box = shown[0].bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    assert lightness(shown[0]) < 60
    page.emulate_media(color_scheme="light")
    page.wait_for_timeout(300)
    assert lightness(shown[0]) > 230  # it follows the screen without being drawn anew


def test_a_figure_is_taken_away_as_it_is_on_paper(served, folder, page, tmp_path):
    opened(page, served, folder, "wear-curves")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="wear as SVG").first.click()
    waiting.value.save_as(tmp_path / "wear.svg")
    root = ElementTree.parse(tmp_path / "wear.svg").getroot()
    assert root.tag.endswith("svg")
    assert len(list(root.iter("{http://www.w3.org/2000/svg}path"))) > 20
    assert "#ffffff" in (tmp_path / "wear.svg").read_text()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="wear as PNG").first.click()
    waiting.value.save_as(tmp_path / "wear.png")
    assert (tmp_path / "wear.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.slow)])
def test_axe_finds_nothing_above_minor_in_a_figure(served, folder, page, scheme):
    page.set_viewport_size({"width": 390, "height": 900})
    page.emulate_media(color_scheme=scheme)
    for path in ("comparison", "wear-curves"):
        opened(page, served, folder, path)
        for chart in page.locator("[class*=st-key-chart_]").all():
            names = chart.get_attribute("class").split()
            own = next(name for name in names if name.startswith("st-key"))
            found = Axe().run(page, context=f".{own}").response["violations"]
            assert [each["id"] for each in found if each["impact"] != "minor"] == []


def test_the_numbers_stand_in_a_table_beneath(served, folder, answer, page):
    opened(page, served, folder, "wear-curves")
    page.get_by_text("The numbers of this figure").click()
    table = page.get_by_role("table", name="the wear at each stage")
    table.wait_for()
    row = table.get_by_role("row").filter(has_text="K1").filter(has_text="300")
    fit = next(fit for fit in answer.fit.blades if fit.blade == "K1")
    assert f"{float(fit.predict([300.0]).value[0]):.1f}" in row.first.inner_text()
