"""The camera at the bench speaks while its video runs, and says why where it may not run."""

import re
import signal

import cv2
import numpy as np
import pytest

from edgetest.store.images import stored_grey
from edgetest.store.places import shipped
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
from tests.browser.conftest import BROWSER, FLAGS, PATIENCE_MS, go, no_fault, settle
from tests.browser.fake_camera import PRETEND, FakeCamera
from tests.browser.page_faults import serious
from tests.browser.studies import STATION, bench_study, photograph

pytestmark = pytest.mark.browser
TOGGLE = "Use this device's camera"
ASKED = """
const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
window.asked = 0;
navigator.mediaDevices.getUserMedia = (...a) => { window.asked += 1; return ask(...a); };
"""


def one_station(served, name, **settings):
    return bench_study(
        served.workspace, name=name, blades=("K1",), stations=(10.0,), readings=(STATION,),
        stages=(0, 10), **settings,
    )  # fmt: skip


def large(page, words):
    """The words that stand large beside the video."""
    page.locator(".first", has_text=words).wait_for()


def share_of_the_bar(page):
    """How full the bar of sharpness stands, per cent."""
    return page.locator(".track i").evaluate("each => parseFloat(each.style.width)")


def kept(folder):
    return [row.photo for row in open_source(folder).log.rows if row.photo]


@pytest.mark.parametrize(
    ("size", "scheme"),
    [((820, 1180), "light"), pytest.param((390, 844), "dark", marks=pytest.mark.slow)],
)
def test_words_stand_beside_the_running_video_and_the_sharp_picture_is_kept(
    served, browser, tmp_path, artefacts, size, scheme
):
    name = f"live{size[0]}"
    folder = one_station(served, name)
    camera = FakeCamera(tmp_path / "film.y4m", photograph(8.0, blur_px=6.0))
    settings = {"viewport": {"width": size[0], "height": size[1]}, "color_scheme": scheme}
    with camera.page(browser, **settings) as page:
        page.add_init_script(ASKED)
        go(page, served, f"bench?study={name}")
        said(page, "Blade K1, read the fresh edge: 1 due")
        assert page.evaluate("window.asked") == 0
        page.get_by_text(TOGGLE).click()
        large(page, "Turn the focus")
        font = page.locator(".first").evaluate(
            "each => parseFloat(getComputedStyle(each).fontSize)"
        )
        assert font >= 35
        page.locator(".told", has_text="Turn the focus").wait_for(state="attached")
        page.screenshot(path=artefacts / f"bench_live_soft_{size[0]}.png")
        assert page.locator("video").evaluate("each => !each.paused && each.currentTime > 0")
        assert small_targets(page) == []
        assert wider_than_the_page(page) <= 0
        assert serious(page) == []

        camera.show(photograph(8.0, blur_px=6.0, land=1.9))
        large(page, "Less light")
        camera.show(photograph(8.0))
        large(page, "Good")
        page.screenshot(path=artefacts / f"bench_live_good_{size[0]}.png")
        assert "· sharpest 1." in page.locator(".figures").inner_text()
        camera.show(photograph(8.0, blur_px=6.0))
        large(page, "Turn the focus")
        assert 20 < share_of_the_bar(page) < 50
        camera.show(photograph(8.0))
        large(page, "Good")
        assert share_of_the_bar(page) > 95
        assert not any((folder / "photos").glob("*"))
        tap(page, "Take this picture")
        page.get_by_role("button", name="Keep this picture").wait_for()
        page.locator("strong", has_text="Good.").wait_for()
        page.get_by_text("Width about 19 px").wait_for()
        page.locator("video").wait_for(state="detached")
        assert not any((folder / "photos").glob("*"))
        tap(page, "Keep this picture")
        said(page, "Blade K1, cut to 10: 10 to go")
        no_fault(page)
    assert kept(folder) == ["K1_0000_010.png"]
    whole = stored_grey(folder / "photos" / "K1_0000_010.png")
    shown = cv2.imdecode(np.frombuffer(photograph(8.0), np.uint8), cv2.IMREAD_GRAYSCALE) / 255
    assert whole.shape == shown.shape  # every pixel of the camera, and nothing lost on the way
    assert np.abs(whole - shown).max() < 0.02


def test_the_last_picture_lies_over_the_video_until_its_place_is_found(
    served, browser, tmp_path, artefacts
):
    folder = one_station(served, "overlaid")
    source = open_source(folder)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], photograph(8.0), "a.png")
    count_taps(folder, ("", "K1"), [("t", 10)], stage=10)
    shifted = cv2.imdecode(np.frombuffer(photograph(8.0), np.uint8), cv2.IMREAD_COLOR)
    shifted = cv2.copyMakeBorder(shifted[:, :-40], 0, 0, 40, 0, cv2.BORDER_REFLECT)
    camera = FakeCamera(tmp_path / "film.y4m", cv2.imencode(".png", shifted)[1].tobytes())
    with camera.page(browser, viewport={"width": 1280, "height": 900}) as page:
        go(page, served, "bench?study=overlaid")
        page.get_by_text(TOGGLE).click()
        page.locator(".place", has_text="40 px (16.8 µm) right").wait_for()
        over = page.locator("img.last")
        boxes = [page.locator(each).bounding_box() for each in ("video", "img.last")]
        assert boxes[0] == boxes[1]
        page.screenshot(path=artefacts / "bench_live_over.png", full_page=True)
        tap(page, "Last picture over it")
        over.wait_for(state="hidden")
        camera.show(photograph(8.0))
        page.locator(".place", has_text="The same place as in the last picture").wait_for()
        assert over.is_hidden()  # as it was set, through every answer
        tap(page, "Take this picture")
        tap(page, "Take it again")  # nothing kept, the video runs again
        large(page, "Good")
        no_fault(page)
    assert len(kept(folder)) == 1


def frames(sent):
    """Sizes of the messages that are pictures."""
    return [size for size in sent if size > 10_000]


def test_no_frame_leaves_before_the_last_one_was_answered(served, browser, tmp_path):
    one_station(served, "paced")
    camera = FakeCamera(tmp_path / "film.y4m", photograph(8.0))
    with camera.page(browser) as page:
        sent = []
        page.on("websocket", lambda socket: socket.on(
            "framesent", lambda data: sent.append(len(data))))  # fmt: skip
        go(page, served, "bench?study=paced")
        page.get_by_text(TOGGLE).click()
        large(page, "Good")
        sent.clear()
        page.wait_for_timeout(6000)
        assert len(frames(sent)) <= 13  # a slow machine sends fewer, and none more
        sent.clear()
        served.process.send_signal(signal.SIGSTOP)  # the program stands still
        try:
            page.wait_for_timeout(4000)
            assert len(frames(sent)) <= 2  # one on its way and one that waits: no third on top
        finally:
            served.process.send_signal(signal.SIGCONT)
        sent.clear()
        for _ in range(300):
            if frames(sent):
                break
            page.wait_for_timeout(200)
        else:
            raise AssertionError("the camera does not go on when the program is back")
        assert max(frames(sent)) < 1_000_000


def test_the_camera_goes_to_the_station_that_one_points_it_to(served, browser, tmp_path):
    folder = bench_study(
        served.workspace, name="pointed", blades=("K1",), stations=(10.0, 30.0),
        readings=(STATION,), stages=(0, 10),
    )  # fmt: skip
    camera = FakeCamera(tmp_path / "film.y4m", photograph(8.0))
    with camera.page(browser) as page:
        go(page, served, "bench?study=pointed")
        page.get_by_text(TOGGLE).click()
        large(page, "Good")
        assert page.locator("video").count() == 1
        page.get_by_text("Another reading first").click()
        tap(page, "Edge width, station 30 mm (µm)")
        page.get_by_role("button", name="Edge width, station 10 mm (µm)").wait_for()
        large(page, "Good")
        tap(page, "Take this picture")
        page.locator("video").wait_for(state="detached")
        tap(page, "Keep this picture")
        # The camera goes on to what is left.
        said(page, "Blade K1, read the fresh edge: 1 due")
        large(page, "Good")
        no_fault(page)
    assert kept(folder) == ["K1_0000_030.png"]


@pytest.mark.parametrize(
    ("flags", "host", "words"),
    [
        ([PRETEND[0]], "127.0.0.1", "The camera is not allowed"),
        ([], "127.0.0.1", "No camera is found"),
        (["--host-resolver-rules=MAP bench.test 127.0.0.1"], "bench.test",
         "The camera cannot be opened here"),
    ],
)  # fmt: skip
def test_where_the_camera_may_not_run_a_sentence_says_why_and_a_file_is_taken(
    served, browser, artefacts, flags, host, words
):
    name = "refused_" + words.split()[-1]
    folder = one_station(served, name)
    other = browser.browser_type.launch(executable_path=BROWSER, args=[*FLAGS, *flags])
    page = other.new_page(viewport={"width": 820, "height": 1180})
    page.set_default_timeout(PATIENCE_MS)
    page.goto(f"http://{host}:{served.port}/bench?study={name}")
    said(page, "Blade K1, read the fresh edge: 1 due")
    page.get_by_text(TOGGLE).click()
    large(page, words)
    rest = page.locator(".rest").inner_text()
    assert "bring the picture as a file, below" in rest
    assert ("http://localhost:" in rest) == (host == "bench.test")
    assert page.get_by_role("button", name="Take this picture").count() == 0
    settle(page)
    page.screenshot(path=artefacts / f"bench_{name}.png")
    page.locator("input[type=file]").set_input_files(picture("a.png", photograph(8.0)))
    page.locator("strong", has_text="Good.").wait_for()
    page.get_by_text("Width about 19 px").wait_for()
    tap(page, "Keep this picture")
    said(page, "Blade K1, cut to 10: 10 to go")
    no_fault(page)
    other.close()
    assert kept(folder) == ["K1_0000_010.png"]


def test_the_scale_is_photographed_with_the_camera_of_the_edges(served, browser, tmp_path):
    folder = one_station(served, "scaled")
    study_file = folder / "study.toml"
    text = study_file.read_text(encoding="utf-8")
    study_file.write_text(re.sub(r"\[scale\]\n(?:.+\n)+", "", text), encoding="utf-8")
    assert open_source(folder).study.scale is None
    ruling = shipped("sample_runs") / "billhook_temper_study" / "photos" / "micrometer.jpg"
    camera = FakeCamera(tmp_path / "film.y4m", ruling.read_bytes())
    with camera.page(browser, viewport={"width": 820, "height": 1180}) as page:
        go(page, served, "bench?study=scaled")
        said(page, "Scale and light, before the first photograph")
        page.get_by_text(TOGGLE).click()
        large(page, "Sharp, and across the picture")
        tap(page, "Take this picture")
        page.get_by_text("Read the lines").wait_for()
        tap(page, "Read the lines")
        tap(page, "Use this scale for all photographs")
        said(page, "Blade K1, read the fresh edge: 1 due")
        no_fault(page)
    (picture,) = (folder / "photos").glob("scale_*.png")
    study = open_source(folder).study
    assert study.scale.ruling == f"photos/{picture.name}"
    shown = cv2.imread(str(ruling), cv2.IMREAD_GRAYSCALE)
    assert cv2.imread(str(picture), cv2.IMREAD_GRAYSCALE).shape == shown.shape
