"""A picture at the bench before it is kept: large words, and the last one wiped over it."""

import pytest

from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps
from edgetest.study.sources import open_source
from tests.browser.bench_steps import (
    picture,
    said,
    small_targets,
    tap,
    wider_than_the_page,
)
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import STATION, bench_study, photograph

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("size", [(820, 1180), pytest.param((1280, 900), marks=pytest.mark.slow)])
def test_the_new_picture_is_laid_over_the_last_of_its_station(served, page, size, artefacts):
    name = f"again{size[0]}"
    folder = bench_study(
        served.workspace, name=name, blades=("K1",), stations=(10.0,), readings=(STATION,),
        stages=(0, 10),
    )  # fmt: skip
    source = open_source(folder)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], photograph(5.0), "a.png")
    count_taps(folder, ("", "K1"), [("t", 10)], stage=10)
    before = {path.name for path in (folder / "photos").iterdir()}
    page.set_viewport_size({"width": size[0], "height": size[1]})
    go(page, served, f"bench?study={name}")
    said(page, "Blade K1, read at 10 cuts: 1 due")
    files = page.locator("input[type=file]")
    files.set_input_files(picture("soft.png", photograph(8.0, blur_px=6.0)))
    large = page.locator("strong", has_text="Turn the focus.")
    large.wait_for()
    assert float(large.evaluate("each => parseFloat(getComputedStyle(each).fontSize)")) >= 27
    page.get_by_role("slider").wait_for()
    page.locator("img.last").wait_for()
    settle(page)
    page.screenshot(path=artefacts / f"bench_shot_soft_{size[0]}.png", full_page=True)

    # wiped and blended where the hand is, beside each other where one wishes
    slider, over, frame = (
        page.get_by_role("slider"),
        page.locator("img.new"),
        page.locator(".frame"),
    )
    assert "50%" in over.evaluate("each => each.style.clipPath")
    slider.focus()
    page.keyboard.press("End")
    assert "0%" in over.evaluate("each => each.style.clipPath")
    page.keyboard.press("Home")
    tap(page, "Blend")
    assert over.evaluate("each => each.style.opacity") == "0"
    boxes = [page.locator(f"img.{which}").bounding_box() for which in ("last", "new")]
    assert boxes[0] == boxes[1]
    tap(page, "Beside")
    boxes = [page.locator(f"img.{which}").bounding_box() for which in ("last", "new")]
    assert boxes[1]["y"] >= boxes[0]["y"] + boxes[0]["height"]
    assert frame.bounding_box()["height"] >= 2 * boxes[0]["height"]
    assert small_targets(page) == []
    assert wider_than_the_page(page) <= 0

    tap(page, "Take it again")
    large.wait_for(state="detached")
    settle(page)
    files.set_input_files(picture("good.png", photograph(8.0)))
    page.locator("strong", has_text="Good.").wait_for()
    settle(page)
    page.screenshot(path=artefacts / f"bench_shot_good_{size[0]}.png", full_page=True)
    assert {path.name for path in (folder / "photos").iterdir()} == before
    tap(page, "Keep this picture")
    said(page, "All stages of all blades are done.")
    no_fault(page)
    assert {path.name for path in (folder / "photos").iterdir()} - before == {"K1_0010_010.png"}
