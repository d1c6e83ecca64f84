"""The desk in a real browser: mend the log, correct a photograph, carry a study, plan, write."""

import csv
import io
import json
import re
import shutil
import zipfile

import pytest
from pypdf import PdfReader

from edgetest.store.history import read_history
from edgetest.store.places import shipped
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from edgetest.study.photos.corrections import read_entries
from edgetest.study.photos.measured_table import read_rows
from edgetest.study.wear.kept_repeats import kept_repeats
from tests.browser.conftest import go, no_fault, settle
from tests.browser.grid_cells import type_in_cell
from tests.report.documents.pdf_pages import page_texts

pytestmark = pytest.mark.browser
RUN = shipped("sample_runs") / "billhook_temper_study"
PHOTO = "S1_roll1_200_040.jpg"
PHOTOS = ("S1_roll1_000_040.jpg", "S1_roll1_100_040.jpg", PHOTO)


def billhooks(root, name):
    """The sample run's blades with typed widths and three photographs; returns its folder."""
    folder = root / name
    (folder / "photos").mkdir(parents=True)
    for file in ("micrometer.jpg", *PHOTOS):
        shutil.copyfile(RUN / "photos" / file, folder / "photos" / file)
    shutil.copyfile(RUN / "study.toml", folder / "study.toml")
    truth = json.loads((RUN / "truth.json").read_text(encoding="utf-8"))["photos"]
    rows = list(csv.DictReader((RUN / "log.csv").read_text(encoding="utf-8").splitlines()))
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, rows[0], lineterminator="\n")
    writer.writeheader()
    for row in rows:
        if row["station_mm"] == "40" and not row["exclude"]:
            photo = row["photo"]
            row["edge_width_um"] = f"{truth[photo]['width_um']:.2f}"
            writer.writerow(row | {"photo": photo if photo in PHOTOS else ""})
    (folder / "log.csv").write_text(out.getvalue(), encoding="utf-8")
    return folder


@pytest.fixture
def folder(served, request):
    return billhooks(served.workspace, request.node.name[5:40].strip("_"))


def desk(page, served, path, folder):
    """A page of the app with the test's own study open."""
    go(page, served, f"{path.removeprefix('study')}?study={folder.name}")


def drag(page, start, end):
    """Drag on the picture between two places, given as shares of its width and height."""
    page.locator(".board").wait_for()
    page.wait_for_timeout(400)
    page.locator(".board").scroll_into_view_if_needed()
    box = page.locator(".board").bounding_box()
    points = [(box["x"] + box["width"] * x, box["y"] + box["height"] * y) for x, y in (start, end)]
    page.mouse.move(*points[0])
    page.mouse.down()
    page.mouse.move(*points[1], steps=4)
    page.mouse.up()


def test_a_fault_is_mended_beside_its_cell_and_the_old_value_kept(page, served, folder, artefacts):
    path = folder / "log.csv"
    good = path.read_text(encoding="utf-8")
    cell = good.splitlines()[3].split(",")[3]
    path.write_text(good.replace(f",{cell},", ",twelve,", 1), encoding="utf-8")
    desk(page, served, "log", folder)
    page.get_by_text('"twelve" is not a number').filter(visible=True).first.wait_for()
    page.screenshot(path=artefacts / "log_fault.png", full_page=True)
    page.get_by_label("Row 4, edge_width_um").fill(cell)
    page.get_by_role("button", name="Set right").click()
    page.get_by_text("no fault found").wait_for()
    assert path.read_text(encoding="utf-8") == good
    last = read_history(folder)[-1]
    assert (last.what, last.before["edge_width_um"]) == ("correct", "twelve")
    page.get_by_text("History: the last 1 change").wait_for()
    no_fault(page)


def test_a_stale_edit_is_refused_with_both_versions(page, served, folder):
    path = folder / "log.csv"
    good = path.read_text(encoding="utf-8")
    cell = good.splitlines()[3].split(",")[3]
    path.write_text(good.replace(f",{cell},", ",twelve,", 1), encoding="utf-8")
    desk(page, served, "log", folder)
    field = page.get_by_label("Row 4, edge_width_um")
    field.fill("5.5")
    field.press("Tab")  # the page has the number before the file changes, not with the click
    settle(page)
    path.write_text(good.replace(f",{cell},", ",6.6,", 1), encoding="utf-8")
    page.get_by_role("button", name="Set right").click()
    page.get_by_text('says "6.6" now; it said "twelve" when the correction to "5.5"').wait_for()
    assert ",6.6," in path.read_text(encoding="utf-8")
    no_fault(page)


def test_a_cell_of_the_grid_is_saved_when_it_is_left(page, served, folder):
    desk(page, served, "log", folder)
    grid = page.locator("[data-testid=stDataFrame] canvas").first
    grid.wait_for()
    page.wait_for_timeout(500)
    box = grid.bounding_box()
    page.mouse.click(box["x"] + 250, box["y"] + 36 + 18)
    page.wait_for_timeout(200)
    type_in_cell(page, "2.5")
    page.keyboard.press("Enter")
    page.get_by_text("History: the last 1 change").wait_for()
    change = read_history(folder)[-1]
    assert change.row == 2
    assert "2.5" in change.after.values()
    no_fault(page)


def test_a_region_is_dragged_recorded_and_taken_back(page, served, folder, artefacts):
    desk(page, served, "photographs", folder)
    page.get_by_role("button", name="Look closer").nth(2).click()
    page.get_by_text("Region", exact=True).click()
    page.get_by_label("Your name").fill("Wayland")
    page.get_by_label("Your name").press("Enter")
    settle(page)
    drag(page, (0.25, 0.1), (0.9, 0.95))
    page.get_by_role("button", name="Measure only this region", disabled=False).click()
    page.get_by_text("Corrected by a person").wait_for()
    page.screenshot(path=artefacts / "region.png", full_page=True)
    (entry,) = read_entries(folder)
    assert (entry.photo, entry.kind, entry.who, entry.before) == (PHOTO, "region", "Wayland", None)
    top, left, bottom, right = entry.after
    assert (left, right) == pytest.approx((120, 432), abs=3)  # of 480 columns
    assert (top, bottom) == pytest.approx((32, 304), abs=3)  # of 320 rows
    rows = read_rows(folder)
    assert rows[PHOTO, True]["numbers"]["width_um"] != rows[PHOTO, False]["numbers"]["width_um"]
    page.get_by_role("button", name="Measure the whole picture again").click()
    page.get_by_text("Corrected by a person").wait_for(state="detached")
    assert (PHOTO, True) not in read_rows(folder)
    no_fault(page)


def test_a_stretch_is_struck_out_along_the_edge(page, served, folder, artefacts):
    desk(page, served, "photographs", folder)
    page.get_by_role("button", name="Look closer").nth(2).click()
    page.get_by_text("Stretch of edge", exact=True).click()
    page.get_by_label("Your name").fill("Wayland")
    page.get_by_label("Your name").press("Enter")
    settle(page)
    drag(page, (0.5, 0.45), (0.75, 0.42))
    page.get_by_role("button", name="Leave this stretch out", disabled=False).click()
    page.get_by_text("Corrected by a person").wait_for()
    page.screenshot(path=artefacts / "stretch.png", full_page=True)
    (entry,) = read_entries(folder)
    ((first, last),) = entry.after
    assert (first, last) == pytest.approx((96, 144), abs=5)  # µm along 480 px of 0.4 µm
    rows = read_rows(folder)
    lengths = [rows[PHOTO, way]["numbers"]["measured_length_um"] for way in (False, True)]
    assert lengths[0] - lengths[1] == pytest.approx(last - first, abs=6)
    no_fault(page)


def test_a_scale_from_two_marks_goes_into_the_study(page, served, folder, artefacts):
    desk(page, served, "photographs", folder)
    page.get_by_text("Scale", exact=True).click()
    page.get_by_text("In force for all photographs").wait_for()
    page.get_by_text("Two marks", exact=True).click()
    drag(page, (0.1, 0.5), (0.9, 0.5))
    page.get_by_role("button", name="Use this scale for all photographs").wait_for()
    page.screenshot(path=artefacts / "scale_marks.png", full_page=True)
    page.get_by_role("button", name="Use this scale for all photographs").click()
    page.get_by_text("(marks), from photos/micrometer.jpg").wait_for()
    scale = load_study(folder).scale
    assert scale.distance_um == 100
    assert abs(scale.b_rc[1] - scale.a_rc[1]) > 100
    assert scale.tone == "srgb"
    # The picture is shown smaller than it was taken or larger; a mark is no surer than that.
    assert 0.5 <= scale.mark_sd_px < 1
    no_fault(page)


def test_a_study_goes_out_and_comes_in_the_same_to_the_letter(page, served, folder, tmp_path):
    desk(page, served, "study", folder)
    page.get_by_text("Bring a study in, or take one away").click()
    link = page.get_by_role("link", name="Download the study as a zip")
    answer = page.request.get(served.url + link.get_attribute("href"))
    assert answer.headers["content-disposition"] == f'attachment; filename="{folder.name}.zip"'
    (tmp_path / "study.zip").write_bytes(answer.body())
    for _ in range(50):  # it is removed once it is sent
        if not list(served.workspace.glob(".taken_away_*")):
            break
        page.wait_for_timeout(100)
    assert not list(served.workspace.glob(".taken_away_*"))
    page.locator("input[type=file]").set_input_files(tmp_path / "study.zip")
    page.get_by_role("button", name="Bring it in").wait_for()
    page.get_by_label("Name of its folder here").fill("come_back")
    page.get_by_label("Name of its folder here").press("Enter")
    page.get_by_role("button", name="Bring it in").click()
    page.get_by_text("· come_back").wait_for()
    came = served.workspace / "come_back"
    files = {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*")
             if p.is_file() and p.name != ".lock"}  # fmt: skip
    assert len(files) >= 6
    assert {p.relative_to(came): p.read_bytes() for p in came.rglob("*") if p.is_file()
            and p.name != ".lock"} == files  # fmt: skip
    with zipfile.ZipFile(tmp_path / "study.zip") as archive:
        assert archive.testzip() is None
    shutil.copyfile(tmp_path / "study.zip", served.workspace / "lies_here.zip")
    desk(page, served, "study", folder)
    page.get_by_text("Bring a study in, or take one away").click()
    page.get_by_label("Name of its folder here").fill("from_the_folder")
    page.get_by_label("Name of its folder here").press("Enter")
    page.get_by_role("button", name="Bring in lies_here.zip").click()
    page.get_by_text("· from_the_folder").wait_for()
    lies = served.workspace / "from_the_folder"
    assert {p.relative_to(lies): p.read_bytes() for p in lies.rglob("*") if p.is_file()
            and p.name != ".lock"} == files  # fmt: skip
    (served.workspace / "lies_here.zip").unlink()
    no_fault(page)


def test_a_protocol_is_copied_and_changed_with_a_form(page, served, folder, artefacts):
    desk(page, served, "protocols", folder)
    page.get_by_role("button", name="Copy it to change it").click()
    stages = page.get_by_label("Stages: cumulative cuts")
    stages.fill("0, 20, 10")
    page.get_by_role("button", name="Save the protocol").click()
    page.get_by_text("stage 10 stands after stage 20").wait_for()
    stages.fill("0, 20, 60, 150")
    page.get_by_role("button", name="Save the protocol").click()
    page.get_by_text("is saved in the study's folder").wait_for()
    page.screenshot(path=artefacts / "protocol_form.png", full_page=True)
    own = load_protocol("sisal_rope_own.toml", folder)
    assert own.stages == (0, 20, 60, 150)
    assert own.readings == load_protocol("sisal_rope").readings
    no_fault(page)


def test_a_plan_is_saved_and_its_sheet_printed(page, served, folder, tmp_path):
    log = folder / "log.csv"  # nothing is cut yet: runs that were begun keep the order they had
    log.write_text(log.read_text(encoding="utf-8").splitlines()[0] + "\n", encoding="utf-8")
    desk(page, served, "plan", folder)
    page.get_by_text("blades of each heat treatment").first.wait_for()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Bench sheet to print").click()
    settle(page)  # the page is drawn anew after a download
    waiting.value.save_as(tmp_path / "sheet.pdf")
    text = "".join(page_texts(tmp_path / "sheet.pdf"))
    page.get_by_role("button", name="Use this plan").click()
    page.get_by_text("The plan is in the study").wait_for()
    order = load_study(folder).plan["order"]
    assert len(order) == 9
    # All blades have their turn at the fresh edge, in the order of the plan.
    assert re.findall(r"\b0 cuts\s+(\w+)", text) == [blade for _, blade in order]
    no_fault(page)


def test_the_answer_is_written_with_the_makers_wishes(page, served, folder, tmp_path, artefacts):
    desk(page, served, "comparison", folder)
    page.get_by_role("heading", name="times as long as").wait_for()
    page.screenshot(path=artefacts / "comparison.png", full_page=True)
    desk(page, served, "document", folder)
    page.get_by_label("For whom").fill("Hedgelayers of the parish")
    page.get_by_text("Letter", exact=True).click()
    page.get_by_text("Blanks for place, date and signature").click()
    page.get_by_role("button", name="Write the document").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Download PDF").click()
    waiting.value.save_as(tmp_path / "document.pdf")
    pdf = PdfReader(tmp_path / "document.pdf")
    text = " ".join("".join(page_texts(tmp_path / "document.pdf")).split())
    assert "Hedgelayers of the parish" in text
    assert "Place and date" in text
    assert pdf.pages[0].mediabox.width == pytest.approx(612, abs=1)
    wishes = {"paper": "us-letter", "signature": True, "customer": "Hedgelayers of the parish"}
    assert load_study(folder).document == wishes
    no_fault(page)


def test_repeated_readings_from_a_file_give_both_spreads(page, served, folder, tmp_path):
    lines = ["operator,edge_width_um", *(f"A,{x}" for x in (10.0, 10.1, 9.9, 10.0)),
             *(f"B,{x}" for x in (10.4, 10.5, 10.3, 10.4))]  # fmt: skip
    (tmp_path / "repeats.csv").write_text("\n".join(lines), encoding="utf-8")
    desk(page, served, "repeatability", folder)
    page.get_by_text("From a file", exact=True).click()
    page.locator("input[type=file]").set_input_files(tmp_path / "repeats.csv")
    page.get_by_text("8 readings by 2 people or set-ups").wait_for()
    page.get_by_text("Measured by another person or with another set-up it differs by").wait_for()
    page.get_by_role("button", name="Keep it with the study").click()
    page.get_by_text("Kept; the study's wear curves").wait_for()
    kept = kept_repeats(folder)["edge_width_um"]
    assert (kept.readings, kept.people, kept.table) == (8, 2, "repeats.csv")
    no_fault(page)


@pytest.mark.parametrize("path", ["study", "log", "photographs", "comparison", "protocols"])
def test_no_page_is_wider_than_the_screen(page, served, path, artefacts):
    folder = served.workspace / "screens"
    if not folder.exists():
        billhooks(served.workspace, folder.name)
    desk(page, served, path, folder)
    for width in (390, 820, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_timeout(150)
        page.screenshot(path=artefacts / f"{path}_{width}.png", full_page=True)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    no_fault(page)


def test_a_blade_that_is_given_another_title_stays_the_one_that_is_looked_at(served, folder, page):
    desk(page, served, "blades", folder)
    blades = [blade.id for blade in load_study(folder).blades]
    page.get_by_role("combobox", name=re.compile("Blade$")).first.click()
    page.get_by_role("option", name=re.compile(rf"^{blades[2]}\b")).click()
    settle(page)
    for label, key, says in (
        ("What a customer calls it", "title", "the first name"),
        ("Kind of tool", "kind", "billhook of another kind"),
        ("Steel, as far as you know it", "steel", "a bar of known make"),
    ):
        page.get_by_label(label, exact=True).first.fill(says)
        page.get_by_label(label, exact=True).first.press("Tab")
        page.wait_for_timeout(800)
        settle(page)
        told = {blade.id: getattr(blade, key) for blade in load_study(folder).blades}
        assert [blade for blade, now in told.items() if now == says] == [blades[2]]
    no_fault(page)
