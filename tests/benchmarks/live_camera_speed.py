"""How soon do the words of a frame stand beside the running video, and those of a taken picture?

    python -m tests.benchmarks.live_camera_speed

A pretended camera of several sizes shows one made edge, the last picture of the station being
there, so that its place is sought too. Times are wall clock in the browser, from the moment a
frame is drawn from the video until its words stand.
"""

import os
import platform
import statistics
import tempfile
import time
from pathlib import Path

import cv2
import numpy as np
from playwright.sync_api import sync_playwright

from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps
from edgetest.study.sources import open_source
from tests.browser.conftest import BROWSER, FLAGS, Server, go
from tests.browser.fake_camera import FakeCamera
from tests.browser.studies import STATION, UM_PER_PX, bench_study

SHAPES = ((480, 640), (720, 1280), (1080, 1920), (1944, 2592), (3000, 4000))
WATCHED_S = 15


def edge(shape):
    """A land of a twentieth of the height between ground bevels, as the bytes of a PNG."""
    picture, _ = render_apex(
        shape=shape, width_um=UM_PER_PX * shape[0] / 20, um_per_px=UM_PER_PX, width_sd=0.02,
        land_grain=0.05, bevel_grain=0.3, scratches=40, blur_px=1.3,
        rng=np.random.default_rng(1),
    )  # fmt: skip
    return cv2.imencode(".png", picture)[1].tobytes()


def prepared(root, shape, png):
    """A study whose next reading is the second picture of its station."""
    folder = bench_study(
        root, name=f"rows_{shape[0]}", blades=("K1",), stations=(10.0,), readings=(STATION,),
        stages=(0, 10), limit=500.0,
    )  # fmt: skip
    source = open_source(folder)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], png, "a.png")
    count_taps(folder, ("", "K1"), [("t", 10)], stage=10)
    return folder.name


def watched(page, server, name):
    """Milliseconds of each frame, and seconds from the button to the words of the picture."""
    page.set_default_timeout(60_000)
    go(page, server, f"bench?study={name}")
    page.get_by_text("Use this device's camera").click()
    page.locator(".place", has_text="The same place").wait_for()
    spent = {}
    end = time.monotonic() + WATCHED_S
    while time.monotonic() < end:
        number, took = page.locator(".live").evaluate("e => [e.camera.count, e.dataset.spent]")
        spent[number] = int(took)
        page.wait_for_timeout(50)
    start = time.perf_counter()
    page.get_by_role("button", name="Take this picture").click()
    page.locator("img.new").wait_for()
    return list(spent.values()), time.perf_counter() - start


def main():
    print(platform.python_version(), platform.machine(), os.cpu_count(), "cores")
    print("| camera | frames a second | ms, least | middle | most | taken, s | load |")
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        root = Path(place)
        (root / "studies").mkdir()
        server = Server(root / "studies", root / "server.log").start()
        plain = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
        for shape in SHAPES:
            png = edge(shape)
            name = prepared(root / "studies", shape, png)
            camera = FakeCamera(root / f"{name}.y4m", png)
            with camera.page(plain, viewport={"width": 1280, "height": 900}) as page:
                spent, taken = watched(page, server, name)
            print(
                f"| {shape[1]} × {shape[0]} | {len(spent) / WATCHED_S:.1f} | {min(spent)} | "
                f"{statistics.median(spent):.0f} | {max(spent)} | {taken:.1f} | "
                f"{os.getloadavg()[0]:.0f} |",
                flush=True,
            )
        plain.close()
        server.stop()


if __name__ == "__main__":
    main()
