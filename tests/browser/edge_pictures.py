"""Pictures of the guide's pages on photographs, choppers and found steel, from the sample runs.

Called by make_pictures.py; alone: python -m tests.browser.edge_pictures
"""

import tempfile
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from edgetest.report.figures import (
    chop_figures,
    following_figure,
    photo_figures,
    steel_figures,
)
from edgetest.report.figures.overlay import View, draw_overlay, draw_ruling
from edgetest.report.figures.plot_style import png_bytes
from edgetest.store.images import read_picture
from edgetest.store.places import shipped
from edgetest.store.workspace import copy_sample_run
from tests.benchmarks.pictures.greysteps import TONES, grey_steps
from tests.benchmarks.pictures.kinds import picture
from tests.benchmarks.pictures.sequence_kinds import surveyed
from tests.browser.conftest import PATIENCE_MS
from tests.browser.kept_pictures import keep

SHEET_PX = 760  # a page of a document, beside text
BILLHOOK = shipped("sample_runs") / "billhook_temper_study"
HATCHET = shipped("sample_runs") / "camp_hatchet_study"


def figure_of(axes):
    """A figure as a picture."""
    axes = axes[0] if isinstance(axes, tuple) else axes
    return Image.open(BytesIO(png_bytes(axes.figure, dpi=150)))


def beside(left, right, gap=12):
    """Two pictures side by side, of one height."""
    tall = min(left.height, right.height)
    parts = [
        part.convert("RGB").resize(
            (round(part.width * tall / part.height), tall), Image.Resampling.LANCZOS
        )
        for part in (left, right)
    ]
    whole = Image.new("RGB", (parts[0].width + gap + parts[1].width, tall), "white")
    whole.paste(parts[0], (0, 0))
    whole.paste(parts[1], (parts[0].width + gap, 0))
    return whole


def measured_edge(folder):
    """One photograph with both sides drawn, and four as good and bad as they come."""
    from edgetest.study.photos.measure_photos import Task, measure_photo

    def drawn(path, um_per_px, view, **words):
        result = measure_photo(Task(Path(path), um_per_px))
        return draw_overlay(read_picture(path), result.measurement, view=view, **words)

    photo = BILLHOOK / "photos" / "S1_roll1_200_040.jpg"
    keep(drawn(photo, 0.4, View(crop=True)), "measured_edge.webp", width=820)
    tiles = []
    for kind, seed in (("plain", 1), ("chipped", 3), ("inverted", 1), ("overexposed", 5)):
        made = picture(kind, seed)
        path = folder / f"{kind}.jpg"  # what it is, is read from its first bytes
        path.write_bytes(made.data)
        view = View(width_px=600, size=1.5)
        tiles.append(cv2.resize(drawn(path, 0.5, view, sentence=""), (560, 420)))
    keep(np.vstack([np.hstack(tiles[:2]), np.hstack(tiles[2:])]), "refused.webp", width=900)


def scales(folder):
    """The lines of the micrometer; grey steps and their curve; frames joined along an edge."""
    from edgetest.study.photos.photo_scales import lines_of_ruling
    from edgetest.study.photos.surveys import survey
    from edgetest.study.photos.tone_pictures import tone_from_pictures

    path = BILLHOOK / "photos" / "micrometer.jpg"
    keep(draw_ruling(read_picture(path), lines_of_ruling(path)), "micrometer.webp", width=700)

    rng = np.random.default_rng(1)
    data, light, _ = grey_steps(TONES["filmic 1.6"], rng, steps=8)
    wedge = folder / "wedge.jpg"
    wedge.write_bytes(data)
    steps = tone_from_pictures([wedge], light=tuple((light / light[0]).tolist()))
    row = Image.open(BytesIO(data)).crop((0, 120, 640, 360))
    keep(beside(row, figure_of(photo_figures.plot_tone(steps))), "grey_steps.webp")

    taken = surveyed("straight", 1)
    frames = []
    for number, frame in enumerate(taken.sequence.frames):
        frames.append(folder / f"frame_{number}.jpg")
        frames[-1].write_bytes(frame)
    joined = survey(frames, taken.um_per_px)
    keep(figure_of(photo_figures.plot_survey(joined)), "joined.webp")


def side_views():
    """A side view with its damage, and what became of each place."""
    from edgetest.study.photos.side_views import follow_side_views, measure_side_view

    before, after = (
        measure_side_view(HATCHET / "photos" / f"H1_{when}_heel.jpg", 24.0)
        for when in ("before", "after")
    )
    drawn = draw_overlay(read_picture(after.path), after.measurement, view=View(crop=True))
    keep(drawn, "side_view.webp", width=820)
    followed = follow_side_views(before, after)
    axes = following_figure.plot_following(before.measurement, after.measurement, followed)
    keep(figure_of(axes), "chips_followed.webp")


def choppers():
    """Strokes board by board beside depths; the tool with its marks; its sheet."""
    from edgetest.report.documents.chopper_sheet import sheet_contents
    from edgetest.report.documents.typeset import page_pictures
    from edgetest.store.document_wishes import settings_of
    from edgetest.study.chop.chop_analysis import analyse_chops
    from edgetest.study.sources import open_chops

    result = analyse_chops(open_chops(HATCHET))
    strokes, depths = chop_figures.plot_chops(result), chop_figures.plot_depths(result)
    keep(beside(figure_of(strokes), figure_of(depths)), "chop_figures.webp")
    keep(figure_of(chop_figures.plot_balance(result, "H1")), "swing.webp")
    contents = sheet_contents(result, "H1", settings_of(result.study), day=result.study.date)
    keep_page(page_pictures(contents, ppi=110)[0], "chopper_sheet.webp")


def keep_page(page, name):
    """The upper part of a document's page, large enough to read."""
    whole = Image.open(BytesIO(page))
    keep(whole.crop((0, 0, whole.width, round(0.56 * whole.height))), name, SHEET_PX, colours=8)


def found_steel(folder):
    """Verdicts on tines and disc, what each heat probably was, and the case of a pack."""
    from edgetest.report.documents.steel_sheet import steel_contents
    from edgetest.report.documents.typeset import page_pictures
    from edgetest.store.document_wishes import settings_of
    from edgetest.study.steel.judge_steel import judge_steel

    for run in ("harrow_tine_study", "plough_disc_study"):
        copy_sample_run(run, folder / run)
        result = judge_steel(folder / run)
        if run == "harrow_tine_study":
            contents = steel_contents(result, settings_of(result.study), day=result.study.date)
            keep_page(page_pictures(contents, ppi=110)[0], "verdict_sheet.webp")
    keep(figure_of(steel_figures.plot_verdict(result)), "verdict_disc.webp")
    keep(figure_of(steel_figures.plot_case(result.cases[0][1])), "case.webp")


def from_the_app(folder):
    """Pages as they stand: one photograph, the sparks of a piece, readings of one edge again."""
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import BROWSER, FLAGS, Server, go, settle

    repeats = folder / "repeats.csv"
    readings = (("A", (5.1, 5.3, 5.2, 5.3)), ("B", (5.6, 5.4, 5.5, 5.5)))
    lines = [f"{who},{value}" for who, values in readings for value in values]
    repeats.write_text("\n".join(["operator,edge_width_um", *lines]) + "\n", encoding="utf-8")

    def pages(run, take):
        copy_sample_run(run, folder / f"app_{run}" / run)
        server = Server(folder / f"app_{run}", folder / "server.log").start()
        try:
            page.set_viewport_size({"width": 900, "height": 2400})
            take(server)
        finally:
            server.stop()

    def shot(name, top, high):
        page.wait_for_timeout(1500)
        page.mouse.move(0, 0)
        start = max(top.bounding_box()["y"] - 30, 0)
        data = page.screenshot(clip={"x": 285, "y": start, "width": 560, "height": high})
        keep(data, name, width=760, colours=32)

    def photographs(server):
        go(page, server, "photographs?view=One")
        page.get_by_role("button", name="Measure 8 photographs").click()
        page.get_by_text("Set right").first.wait_for()
        settle(page)
        shot("app_set_right.webp", page.get_by_text("Set right").first, 420)
        go(page, server, "repeatability")
        page.get_by_text("From a file").click()
        page.locator("input[type=file]").set_input_files(repeats)
        settle(page)
        shot("repeatability.webp", page.get_by_role("heading", level=2).first, 330)

    def verdict(server):
        go(page, server, "verdict")
        heats = page.get_by_text("Heats: coupons and blades quenched").first
        heats.wait_for()
        settle(page)
        shot("app_heat.webp", heats, 620)
        page.get_by_text("The piece, and what is seen before any heat").click()
        looks = page.get_by_text("Before any heat", exact=True).first
        looks.wait_for()
        settle(page)
        shot("app_sparks.webp", looks, 480)

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=BROWSER, args=FLAGS)
        page = browser.new_page(viewport={"width": 900, "height": 2400})
        page.set_default_timeout(PATIENCE_MS)
        pages("plough_disc_study", photographs)
        pages("harrow_tine_study", verdict)
        browser.close()


def make_all(folder):
    """All of them; what is made on the way lies in `folder`."""
    measured_edge(folder)
    scales(folder)
    side_views()
    choppers()
    found_steel(folder)
    from_the_app(folder)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        make_all(Path(place))
