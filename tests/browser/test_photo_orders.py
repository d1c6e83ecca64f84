"""The picture on the screen and the number beside it are of one measurement, whatever came first.

The picture says in its own words, made when it was drawn, what is drawn on it.
"""

import pytest

from edgetest.store.journal import append_reading
from edgetest.store.workspace import change_study
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import UM_PER_PX, bench_study, photograph
from tests.browser.test_desk import drag

pytestmark = pytest.mark.browser
NAME = "edge.png"
WANTED = "waits for the scale"


@pytest.fixture
def folder(served, request):
    name = request.node.name.partition("[")[2].strip("]").replace(" ", "_")
    folder = bench_study(served.workspace, name=name)
    change_study(folder, lambda now: now.model_copy(update={"scale": None}))
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 10, "photo": NAME})
    return folder


class Desk:
    """A page of the app on one study, and what can be done there in any order."""

    def __init__(self, page, served, folder, file):
        self.page, self.served, self.folder, self.file = page, served, folder, file

    def open(self, view):
        go(self.page, self.served, f"photographs?view={view}&study={self.folder.name}")

    def upload(self):
        self.open("Add")
        self.page.locator("input[type=file]").set_input_files(self.file)
        self.page.get_by_text("1 photograph in the study's folder.").wait_for()
        settle(self.page)

    def scale(self, um_per_px=UM_PER_PX):
        self.open("Scale")
        self.page.get_by_text("Number", exact=True).click()
        field = self.page.get_by_label("µm per pixel")
        field.fill(f"{um_per_px:.5f}")
        field.press("Enter")
        self.page.get_by_role("button", name="Use this scale for all photographs").click()
        self.page.get_by_text("In force for all photographs").wait_for()
        settle(self.page)

    def double_scale(self):
        self.scale(2 * UM_PER_PX)

    def region(self):
        self.open("One")
        self.page.get_by_text("Region", exact=True).click()
        settle(self.page)
        drag(self.page, (0.2, 0.1), (0.7, 0.9))
        self.page.get_by_label("Your name").fill("A. N.")
        self.page.get_by_label("Your name").press("Enter")
        settle(self.page)
        self.page.get_by_role("button", name="Measure only this region").click()
        self.page.get_by_text("Corrected by a person").wait_for()

    def reload(self):
        self.page.reload()
        self.page.wait_for_selector("h1")
        settle(self.page)

    def seen(self):
        """(what the page says of the photograph, what its picture says)."""
        self.open("One")
        picture = self.page.get_by_role("img", name=NAME)
        picture.wait_for()
        body = self.page.inner_text("[data-testid=stMain]").replace("\u00a0", " ")
        no_fault(self.page)
        return body, picture.get_attribute("alt").removeprefix(f"{NAME}: ")


ORDERS = {
    "upload first": ("upload", "reload", "scale", "region", "reload", "double_scale"),
    "scale first": ("scale", "upload", "double_scale", "reload", "region", "scale"),
    "region between": ("upload", "scale", "double_scale", "region", "scale"),
}


@pytest.mark.parametrize(
    "order",
    [
        pytest.param(order, id=name, marks=() if name == "upload first" else pytest.mark.slow)
        for name, order in ORDERS.items()
    ],
)
def test_picture_and_number_agree(page, served, folder, tmp_path, artefacts, order):
    file = tmp_path / NAME
    file.write_bytes(photograph(18.0))
    desk, told = Desk(page, served, folder, file), []
    for number, step in enumerate(order):
        getattr(desk, step)()
        if "upload" not in order[: number + 1]:
            continue
        body, words = desk.seen()
        if "scale" in " ".join(order[: number + 1]):
            assert words.startswith("bright line"), step
            assert words[:1].upper() + words[1:] in body, step
            assert WANTED not in body, step
        else:
            assert words.startswith("not measured. The scale is missing"), step
            assert body.count(WANTED) == 1, step
            assert "again" not in body, step
        told.append(words)
    page.screenshot(path=artefacts / f"orders_{folder.name}.png")
    assert len(set(told)) >= 3
