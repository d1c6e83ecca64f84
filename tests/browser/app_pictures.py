"""Pictures of the app for the guide's pages on planning, the bench, the log and the shop.

Called by make_pictures.py; alone: python -m tests.browser.app_pictures
"""

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from edgetest.study.bench.bench_entry import save_station_photo
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import count_taps
from edgetest.study.sources import open_source
from tests.browser.bench_steps import picture
from tests.browser.conftest import BROWSER, FLAGS, PATIENCE_MS, Server, go, settle
from tests.browser.kept_pictures import keep
from tests.browser.studies import STATION, bench_study, photograph
from tests.browser.wear_pictures import story
from tests.study.shop.test_shop_book import write_study


def shot(page, name, high=560):
    """The upper part of the page as it stands, without its menu."""
    page.mouse.move(0, 0)
    page.wait_for_timeout(1200)
    main = page.locator("[data-testid=stMain]").bounding_box()
    top = page.locator("h1").first.bounding_box()["y"] - 55
    clip = {"x": main["x"], "y": top, "width": main["width"], "height": high}
    keep(page.screenshot(clip=clip), name, 800, 32)


def of_the_story(page, server):
    """Study, plan, log with one fault, protocols."""
    log = server.workspace / "temper_test" / "log.csv"
    whole = log.read_text(encoding="utf-8")
    log.write_text(whole.splitlines()[0] + "\n", encoding="utf-8")
    go(page, server, "plan?study=temper_test")
    shot(page, "app_plan.webp", 880)
    log.write_text(whole.replace("H1,roll 1,100,40,7.4", "H1,roll 1,100,40,7;4"), encoding="utf-8")
    go(page, server, "log?study=temper_test")
    page.get_by_text("Only rows with a fault").click()
    settle(page)
    shot(page, "app_log.webp", 800)
    log.write_text(whole, encoding="utf-8")
    go(page, server, "protocols")
    shot(page, "app_protocols.webp", 560)
    go(page, server, "study")
    page.wait_for_timeout(3000)
    shot(page, "app_study.webp")


def of_the_bench(page, server):
    """Cuts to go; a photograph over the last of its place; one to sort."""
    study = bench_study(server.workspace, name="bench", blades=("K1", "K2"), stages=(0, 50, 100),
                        readings=(STATION,), stations=(10.0,))  # fmt: skip
    source = open_source(study)
    action = next_action(source)
    save_station_photo(source, action, action.due[0], photograph(3.0), "a.png")
    action = next_action(open_source(study))
    save_station_photo(open_source(study), action, action.due[0], photograph(3.2, seed=2), "b.png")
    count_taps(study, ("", "K1"), [("t", 37)], stage=50)
    go(page, server, "bench?study=bench")
    shot(page, "app_bench.webp", 600)
    count_taps(study, ("", "K1"), [("u", 13)], stage=50)
    go(page, server, "bench?study=bench")
    files = page.locator("input[type=file]")
    files.set_input_files(picture("soft.png", photograph(8.0, blur_px=6.0)))
    page.locator("strong", has_text="Turn the focus.").wait_for()
    page.locator("img.last").wait_for()
    settle(page)
    shot(page, "app_shot.webp", 900)
    go(page, server, "sorting?study=bench")
    page.locator("input[type=file]").first.set_input_files(
        [picture(f"{n}.png", photograph(5.0 + n, seed=n)) for n in (1, 2)]
    )
    page.get_by_text("2 to sort").first.wait_for()
    settle(page)
    shot(page, "app_sorting.webp", 900)


def of_the_shop(page, server):
    """What four studies say together."""
    for number, gain in enumerate((1.35, 1.2, 1.3, 1.5)):
        write_study(server.workspace / f"shop {number}", gain, number)
    go(page, server, "shop-book")
    page.get_by_role("button", name="Read 4 studies").click()
    page.get_by_text("control blade").first.wait_for()
    settle(page)
    shot(page, "app_shop_book.webp", 900)


def make_app_pictures():
    """Take all of them."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        studies, shop = folder / "studies", folder / "shop"
        studies.mkdir()
        shop.mkdir()
        story(studies)
        with sync_playwright() as play:
            browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
            page = browser.new_page(viewport={"width": 1100, "height": 1100})
            page.set_default_timeout(PATIENCE_MS)
            for place, takes in ((studies, (of_the_story, of_the_bench)), (shop, (of_the_shop,))):
                server = Server(place, folder / "server.log").start()
                try:
                    for take in takes:
                        take(page, server)
                finally:
                    server.stop()
            browser.close()


if __name__ == "__main__":
    make_app_pictures()
