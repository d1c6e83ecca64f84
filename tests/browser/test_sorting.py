"""Many pictures dropped at once and sorted: a tap each, or two for the whole row; all on disk."""

import re

import pytest

from edgetest.study.photos.sort_assign import assign_all
from edgetest.study.photos.sort_looks import read_looks
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from tests.browser.bench_steps import small_targets, tap, wider_than_the_page
from tests.browser.conftest import go, no_fault, settle
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import row

pytestmark = pytest.mark.browser

DUE = [
    (blade, cuts, station)
    for cuts in (0, 10, 20)
    for blade in ("K1", "K2")
    for station in (10.0, 30.0)
]

# What the page says, and the words and addresses of its pictures, those of components included;
# the pixels of a picture that stands in its own address say no name.
EVERYTHING_TOLD = """() => {
  const main = document.querySelector('[data-testid=stMain]');
  const roots = [main, ...[...main.querySelectorAll('*')].filter(e => e.shadowRoot)
    .map(e => e.shadowRoot)];
  const told = [main.innerText];
  for (const root of roots) for (const each of root.querySelectorAll('*')) {
    told.push(each.textContent);
    for (const at of each.attributes)
      if (!at.value.startsWith('data:image')) told.push(at.name + '=' + at.value);
  }
  return told.join(' ');
}"""


def photos(folder):
    return {
        (each.blade, each.cuts, each.station_mm): (folder / "photos" / each.photo).read_bytes()
        for each in open_source(folder).log.rows
        if each.photo
    }


def drop(page, files):
    page.locator("input[type=file]").set_input_files(
        [{"name": name, "mimeType": "image/jpeg", "buffer": data} for name, data in files]
    )


def standing(page, words):
    page.get_by_text(words).wait_for()
    settle(page)


def taps_on(page, words, waiting, placed):
    page.locator("[class*=st-key-sort_big] button", has_text=words).click()
    standing(page, f"{waiting} to sort, {placed} in place.")


@pytest.mark.parametrize(
    "size",
    [pytest.param((820, 1180), marks=pytest.mark.slow), (390, 844)],
    ids=["tablet", "phone"],
)
def test_twelve_pictures_take_a_tap_each_through_undo_and_a_reload(page, served, size, artefacts):
    width, height = size
    folder = bench_study(served.workspace, name=f"sort_{width}", readings=[STATION])
    files = row(12)
    page.set_viewport_size({"width": width, "height": height})
    go(page, served, f"sorting?study={folder.name}")
    drop(page, files)
    standing(page, "12 to sort, 0 in place.")
    assert small_targets(page) == []
    assert wider_than_the_page(page) <= 0
    for done in range(5):
        blade, cuts, station = DUE[done]
        stage = f"{cuts} cuts" if cuts else "fresh edge"
        taps_on(page, f"{blade} · {stage} · {station:g} mm", 11 - done, done + 1)
    page.get_by_role("button", name="Undo: a picture was given its place").click()
    standing(page, "8 to sort, 4 in place.")
    page.reload()
    standing(page, "8 to sort, 4 in place.")
    page.screenshot(path=artefacts / f"sorting_{width}.png")
    for done in range(4, 12):
        blade, cuts, station = DUE[done]
        taps_on(page, blade, 11 - done, done + 1)
    page.get_by_text("Every picture has its place.").wait_for()
    no_fault(page)
    assert photos(folder) == dict(zip(DUE, [data for _, data in files], strict=True))


def test_the_whole_row_takes_two_taps_after_it_was_shown(page, served):
    folder = bench_study(served.workspace, name="sort_row", readings=[STATION])
    files = row(12)
    page.set_viewport_size({"width": 820, "height": 1180})
    go(page, served, f"sorting?study={folder.name}")
    drop(page, files)
    standing(page, "12 to sort, 0 in place.")
    tap(page, "As planned: all 12")
    page.get_by_text("12 · K2 · 20 cuts · 30 mm").wait_for()
    assert photos(folder) == {}
    tap(page, "Yes, put all 12 there")
    standing(page, "0 to sort, 12 in place.")
    assert photos(folder) == dict(zip(DUE, [data for _, data in files], strict=True))
    page.get_by_role("button", name="Undo: 12 pictures were given their places").click()
    standing(page, "12 to sort, 0 in place.")
    assert photos(folder) == {}
    no_fault(page)


def test_a_clash_and_a_picture_dropped_twice_are_told(page, served):
    folder = bench_study(served.workspace, name="sort_clash", readings=[STATION])
    files = row(2)
    page.set_viewport_size({"width": 820, "height": 1180})
    go(page, served, f"sorting?study={folder.name}")
    drop(page, [files[0], files[0], files[1]])
    standing(page, "2 to sort, 0 in place.")
    page.get_by_text("1 picture left out: the study has the same already.").wait_for()
    taps_on(page, "K1 · fresh edge · 10 mm", 1, 1)
    page.get_by_role("radio", name="10 mm ✓").click()
    page.get_by_text("A photograph stands there already").wait_for()
    assert photos(folder) == {DUE[0]: files[0][1]}
    tap(page, "Keep it as a second one of this place")
    standing(page, "0 to sort, 1 in place.")
    assert photos(folder) == {DUE[0]: files[0][1]}
    page.get_by_role("radio", name="Your eye").click()
    tap(page, "Measure 1 second photograph")
    page.get_by_text("1 place was seen twice. 5 more are needed").wait_for()
    page.get_by_role("radio", name="Sort").click()
    page.get_by_role("button", name="Undo: a picture was kept as a second one").click()
    standing(page, "1 to sort, 1 in place.")
    page.get_by_role("radio", name="10 mm ✓").click()
    tap(page, "Put it in its place: K1 · fresh edge · 10 mm")
    page.get_by_text("A photograph stands there already").wait_for(state="detached")
    settle(page)
    assert photos(folder) == {DUE[0]: files[1][1]}
    no_fault(page)


def test_sides_are_set_blind_no_name_stands_anywhere(page, served, artefacts):
    folder = bench_study(served.workspace, name="sort_blind", readings=[STATION])
    take_in(open_source(folder), row(12, width_um=8.0))
    source = open_source(folder)
    pairs = list(zip(read_tray(source).waiting, as_planned(places_of(source), 12), strict=True))
    assign_all(folder, pairs)
    page.set_viewport_size({"width": 820, "height": 1180})
    go(page, served, f"sorting?study={folder.name}")
    page.get_by_role("radio", name="Set the sides").click()
    field = page.get_by_role("textbox", name="Who looks")
    field.fill("the maker")
    page.wait_for_timeout(1500)  # kept when the hand rests, without Enter
    settle(page)
    page.reload()
    settle(page)
    assert field.input_value() == "the maker"
    page.get_by_role("button", name="Begin to look").click()
    for number in range(1, 4):
        standing(page, f"Picture {number} of 13.")
        box = page.locator(".board").bounding_box()
        middle = box["x"] + box["width"] / 2
        page.mouse.move(middle, box["y"] + 0.4 * box["height"])
        page.mouse.down()
        page.mouse.move(middle, box["y"] + 0.6 * box["height"], steps=4)
        page.mouse.up()
        both = page.get_by_role("button", name="Both sides are set: next")
        both.wait_for()
        settle(page)
        if number == 1:
            page.reload()  # set, but not yet kept as a look
            both.wait_for()
            settle(page)
        told = page.evaluate(EVERYTHING_TOLD)
        assert not re.search(r"K[12]|\d cuts|fresh|temper|station|P0\d\d|\bmm\b", told), told
        page.get_by_role("button", name="Both sides are set: next").click()
    standing(page, "Picture 4 of 13.")
    page.reload()
    standing(page, "Picture 4 of 13.")
    assert small_targets(page) == []
    assert wider_than_the_page(page) <= 0
    page.screenshot(path=artefacts / "sorting_blind.png")
    page.get_by_role("button", name="End here and show the names").click()
    page.get_by_text("not looked at yet, 3 looked at before").wait_for()
    page.get_by_role("radio", name="Your eye").click()
    page.get_by_text("6 more are needed").wait_for()
    settle(page)
    page.get_by_text(re.compile("^(K1|K2)$")).first.wait_for()
    looks = read_looks(folder).every
    assert [round(look.width_um, 1) for look in looks] == [8.0, 8.0, 8.0]  # 0.2 of 40 µm
    assert {(look.blind, look.who) for look in looks} == {(True, "the maker")}
    no_fault(page)
