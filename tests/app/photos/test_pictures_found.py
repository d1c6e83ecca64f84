"""Pictures that stand in no log: what is found on them, ready to be shown."""

import cv2
import numpy as np
import pytest

from edgetest.app.photos.pictures_found import found_on
from edgetest.errors import UnusableInput
from edgetest.photo.render.side_scene import render_profile
from tests.app.test_navigation_pages import page
from tests.benchmarks.pictures.kinds import picture

OPTIONS = {
    "um_per_px": None, "relative_u": 0.0, "tolerance_um": 2.0, "direction": "two sectors",
    "lamp_angle_deg": 60.0, "turned_deg": 5.0,
}  # fmt: skip


@pytest.fixture(scope="module")
def pair():
    return picture("sides", 3)


def found(pair, edge, **more):
    files = (("edge.jpg", edge), ("needle.jpg", pair.partner.data))
    options = {**OPTIONS, "diameter_um": pair.partner.needle.diameter_um, **more}
    return found_on("Crest between lamps", files, options, print)


def test_a_crest_between_lamps_is_told_drawn_and_tabled(pair):
    told = found(pair, pair.data)
    assert told.measured
    assert "round crest of radius" in told.sentences[0]
    table = told.tables["sizes"].set_index("size")
    assert table.loc["round: radius", "value µm"] == pytest.approx(pair.truth.radius_um, rel=0.03)
    assert [name for name, _ in told.overlays] == ["edge.jpg", "needle.jpg"]


def test_a_crest_in_a_broken_file_is_refused_with_its_reason(pair):
    told = found(pair, b"no picture")
    assert not told.measured
    assert "not measured" in told.sentences[0]
    assert [name for name, _ in told.overlays] == ["needle.jpg"]


def test_a_needle_that_cannot_be_is_named(pair):
    with pytest.raises(UnusableInput, match="no needle"):
        found(pair, pair.data, diameter_um=5.0)


def side(seed, damage):
    view, _ = render_profile(
        shape=(360, 800), damage=damage, noise=0.01, rng=np.random.default_rng(seed),
        roughness_px=0.4, rough_length_px=4.0, edge_rng=np.random.default_rng(7),
    )  # fmt: skip
    return cv2.imencode(".png", view)[1].tobytes()


def test_before_and_after_has_both_outlines_laid_together_and_their_words():
    chip = {"position": 0.3, "length_px": 40, "depth_px": 8, "shape": "notch"}
    grown = {**chip, "length_px": 52, "depth_px": 14}
    files = (("before.png", side(0, (chip,))), ("after.png", side(1, (grown,))))
    options = {"um_per_px": 2.0, "relative_u": 0.0}
    told = found_on("Before and after", files, options, lambda *_: None)
    assert [text.get_text()[:5] for text in told.axes.texts] == ["grown"]
    assert told.alt.startswith("Outlines of the edge before and after, laid together: chip at 0.4")
    assert list(told.tables["growth"]["state"]) == ["grown"]


def test_the_page_asks_for_needle_and_lamps():
    at = page("pictures", seconds=60)
    at.run()
    way = next(each for each in at.segmented_control if each.label == "What is measured")
    way.set_value("Crest between lamps").run()
    assert not at.exception
    labels = [box.label for box in at.number_input]
    assert "Diameter of the needle, mm" in labels
