"""A pretended camera whose picture a test changes while the video runs."""

from contextlib import contextmanager

import cv2
import numpy as np

from tests.browser.conftest import BROWSER, FLAGS, PATIENCE_MS

PRETEND = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]


class FakeCamera:
    """A film of one frame, which Chromium plays over and over and reads anew each time.

    The frame is written in its place: YUV4MPEG2, luma from 16 to 235, colour nought.
    """

    def __init__(self, path, png):
        self.path = path
        self.shape = None
        self.show(png)

    def show(self, png):
        """Let the camera see another picture of the same size."""
        grey = cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_GRAYSCALE)
        rows, columns = grey.shape
        assert self.shape in (None, grey.shape)
        self.shape = grey.shape
        luma = np.rint(16 + grey * (219 / 255)).astype(np.uint8).tobytes()
        head = f"YUV4MPEG2 W{columns} H{rows} F10:1 Ip A1:1 C420\nFRAME\n".encode()
        with self.path.open("r+b" if self.path.exists() else "wb") as film:
            film.write(head + luma + bytes([128]) * (rows * columns // 2))

    @contextmanager
    def page(self, browser, **settings):
        """A page of a browser that has this camera and may use it."""
        flags = [*FLAGS, *PRETEND, f"--use-file-for-fake-video-capture={self.path}"]
        with_camera = browser.browser_type.launch(executable_path=BROWSER, args=flags)
        page = with_camera.new_context(permissions=["camera"], **settings).new_page()
        page.set_default_timeout(PATIENCE_MS)
        yield page
        with_camera.close()
