"""Make the pictures of README and guide from the sample runs.

python tests/browser/make_pictures.py
"""

import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from playwright.sync_api import sync_playwright

from edgetest.cli.demo import RUN, run_demo
from tests.browser import edge_pictures
from tests.browser.app_pictures import make_app_pictures
from tests.browser.conftest import BROWSER, FLAGS, PATIENCE_MS, Server, go
from tests.browser.drawn_pictures import make_drawn_pictures
from tests.browser.kept_pictures import PICTURES, keep
from tests.browser.wear_pictures import make_wear_pictures


def from_the_demo(folder):
    """Wear curves and comparison."""
    run_demo(folder / "demo")
    for name in ("wear_curves", "comparison"):
        keep((folder / "demo" / f"{name}.png").read_bytes(), f"{name}.webp", 1000)


def from_the_app(folder):
    """Pages of the app on the sample run that the demo has measured."""
    shutil.copytree(folder / "demo" / RUN, folder / "studies" / RUN)
    server = Server(folder / "studies", folder / "server.log").start()
    try:
        with sync_playwright() as play:
            browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
            page = browser.new_page(viewport={"width": 1280, "height": 860})
            page.set_default_timeout(PATIENCE_MS)
            for name in ("comparison", "photographs"):
                go(page, server, name)
                page.wait_for_timeout(1500)
                keep(page.screenshot(), f"app_{name}.webp", 800, 32)
            browser.close()
    finally:
        server.stop()


def main():
    """Make all of them."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        from_the_demo(Path(folder))
        edge_pictures.make_all(Path(folder))
        from_the_app(Path(folder))
    make_wear_pictures()
    make_drawn_pictures()
    make_app_pictures()
    for path in sorted(PICTURES.iterdir()):
        print(path.name, f"{path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
