"""Pictures that stand in no log: a whole edge, a stack, side views, a wire, in a real browser."""

import csv

import cv2
import numpy as np
import pytest

from edgetest.app.photos.loose_pictures import ASKS
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.camera import expose
from edgetest.photo.render.side_scene import render_profile
from edgetest.store.records import load_study
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.workspace import change_study
from tests.browser.conftest import go, no_fault, settle
from tests.browser.page_faults import serious
from tests.browser.studies import bench_study
from tests.browser.test_desk import drag

pytestmark = pytest.mark.browser
UM_PER_PX = 1.0
CHIPS = ({"position": 0.3, "length_px": 40, "depth_px": 8, "shape": "notch"},)
GROWN = ({"position": 0.3, "length_px": 52, "depth_px": 14, "shape": "notch"},)


@pytest.fixture(scope="module")
def edge():
    """An edge in linear light, sharp and without noise, and its true width."""
    picture, truth = render_apex(
        shape=(300, 1400), width_um=18.0, um_per_px=UM_PER_PX, width_sd=0.05,
        width_grain_um=80.0, blur_px=0.6, noise=0.0, tone="linear", bits=16, supersample=1,
        bevel_grain=0.3, rng=np.random.default_rng(4),
    )  # fmt: skip
    return (picture / 65535).astype(np.float32), truth["width_um"]


def save(path, pixels):
    cv2.imwrite(str(path), pixels)
    return path


def shot(light, blur_px, path):
    rng = np.random.default_rng(round(100 * blur_px))
    return save(path, expose(light, blur_px=blur_px, noise=0.006, rng=rng))


def whole_page(page, path):
    """A picture of the page as long as it is; the app scrolls within the window."""
    height = page.evaluate("document.querySelector('[data-testid=stMain]').scrollHeight")
    page.set_viewport_size({"width": page.viewport_size["width"], "height": height})
    page.screenshot(path=path)


@pytest.fixture
def folder(served, request):
    return bench_study(served.workspace, name=request.node.name[5:30].strip("_"))


def measured(page, served, folder, way, paths, *, um_per_px=UM_PER_PX):
    """Bring pictures in one way and measure them by the study's scale."""
    rule = ScaleRule(um_per_px=um_per_px)
    change_study(folder, lambda now: now.model_copy(update={"scale": rule}))
    go(page, served, f"pictures?study={folder.name}")
    page.get_by_text(way, exact=True).click()
    page.get_by_text(ASKS[way][1][:30]).wait_for()
    settle(page)
    page.locator("input[type=file]").set_input_files(paths)
    page.get_by_text("In this order").wait_for()
    settle(page)
    page.get_by_role("button", name="Measure", exact=True).click()


def test_a_whole_edge_from_overlapping_pictures_is_kept_in_the_study(
    page, served, folder, edge, tmp_path, artefacts
):
    light, width_um = edge
    paths = [
        shot(light[r : r + 290, c : c + 600], 1.2, tmp_path / f"{number}.png")
        for number, (r, c) in enumerate(((0, 0), (4, 390), (1, 800)))
    ]
    measured(page, served, folder, "Whole edge", paths)
    page.get_by_text("mm of edge from 3 photographs").wait_for()
    for width in (390, 820, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_timeout(150)
        whole_page(page, artefacts / f"whole_edge_{width}.png")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert serious(page) == []
    page.get_by_role("button", name="Keep pictures and tables").click()
    page.get_by_text("Kept in the study's folder").wait_for()
    assert sorted(p.name for p in (folder / "photos").iterdir()) == ["0.png", "1.png", "2.png"]
    with (folder / "findings" / "whole_edge_0_widths.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert float(rows[-1]["position_um"]) == pytest.approx(1400, rel=0.03)
    assert np.mean([float(r["width_um"]) for r in rows]) == pytest.approx(width_um, rel=0.005)
    no_fault(page)


def test_a_focus_stack_gives_a_sharp_picture_that_the_study_keeps(
    page, served, folder, edge, tmp_path
):
    paths = [
        shot(edge[0][:, :600], blur, tmp_path / f"{name}.png")
        for name, blur in (("a_high", 4.0), ("b_low", 1.0))
    ]
    measured(page, served, folder, "Focus stack", paths)
    page.get_by_text("a_high.png + b_low.png").first.wait_for()
    page.get_by_role("button", name="Keep pictures and tables").click()
    page.get_by_text("Kept in the study's folder").wait_for()
    assert (folder / "photos" / "a_high_sharp.png").is_file()
    no_fault(page)


def test_chips_are_followed_from_before_to_after(page, served, folder, tmp_path, artefacts):
    paths = []
    for number, (name, chips) in enumerate((("before", CHIPS), ("after", GROWN))):
        picture, _ = render_profile(
            shape=(360, 800), damage=chips, noise=0.01, rng=np.random.default_rng(number),
            roughness_px=0.4, rough_length_px=4.0, edge_rng=np.random.default_rng(7),
        )  # fmt: skip
        paths.append(save(tmp_path / f"{name}.png", picture))
    measured(page, served, folder, "Before and after", paths, um_per_px=2.0)
    page.get_by_text(": 1 grown.").wait_for()
    laid = page.get_by_role("img", name="Outlines of the edge before and after, laid together")
    assert "mm grown" in laid.get_attribute("alt")
    assert page.get_by_text("In this order: before.png, after.png").count() == 1
    page.screenshot(path=artefacts / "before_after.png", full_page=True)
    page.get_by_text("Side view", exact=True).click()
    page.get_by_text("Bring in a picture, or choose").wait_for()  # nothing of the other way stays
    no_fault(page)


def test_pictures_that_cannot_be_joined_are_told_in_a_sentence(
    page, served, folder, edge, tmp_path
):
    paths = [shot(edge[0][:, c : c + 400], 1.2, tmp_path / f"{c}.png") for c in (0, 900)]
    measured(page, served, folder, "Whole edge", paths)
    page.get_by_text("do not overlap").wait_for()
    no_fault(page)


def test_the_scale_is_taken_from_a_wire_and_from_a_scale_bar(
    page, served, folder, tmp_path, artefacts
):
    y, x = np.mgrid[0:300, 0:400].astype(np.float32)
    cover = np.clip(0.5 + 25 - np.abs(y - 140 + 0.1 * x), 0, 1)
    rng = np.random.default_rng(3)
    wire = expose(0.8 * (1 - cover) + 0.05 * cover, noise=0.01, rng=rng)
    go(page, served, f"photographs?study={folder.name}")
    page.get_by_text("Scale", exact=True).click()
    page.get_by_text("Wire or gauge", exact=True).click()
    page.get_by_text("Lay a wire").wait_for()
    settle(page)
    # The other file on this view is that of the grey steps, which takes several.
    page.locator("input[type=file]:not([multiple])").set_input_files(
        save(tmp_path / "wire.png", wire)
    )
    page.get_by_role("button", name="Find its two sides").click()
    page.get_by_text("(wire").first.wait_for()
    page.screenshot(path=artefacts / "scale_wire.png", full_page=True)
    page.get_by_role("button", name="Use this scale for all photographs").click()
    page.get_by_text("a body 500 µm thick in photos/wire.png").wait_for()
    across_px = 50 / np.hypot(1, 0.1)
    assert load_study(folder).scale.um_per_px == pytest.approx(500 / across_px, rel=0.01)
    page.get_by_text("Scale bar", exact=True).click()
    settle(page)
    drag(page, (0.1, 0.5), (0.6, 0.5))
    page.get_by_role("button", name="Use this scale for all photographs", disabled=False).click()
    page.get_by_text("the bar of 100 µm in photos/wire.png").wait_for()
    assert load_study(folder).scale.um_per_px == pytest.approx(100 / 200, rel=0.02)
    no_fault(page)
