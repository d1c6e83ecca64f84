"""Which photographs a document shows: those that the maker chose, else before and after."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from PIL import Image

from edgetest.report.documents.frame import settings_for
from edgetest.report.documents.photo_pages import chosen, photo_sections
from tests.report import stand_ins
from tests.report.stand_ins import study_result


def photo(name, blade, cuts, *, status="measured", between_lamps=False):
    numbers = {"status": status, "share_measured": 0.9}
    return SimpleNamespace(
        photo=name,
        blade=blade,
        cuts=cuts,
        station_mm=20.0,
        numbers=numbers,
        measured=status == "measured",
        between_lamps=between_lamps,
    )


PHOTOS = (
    photo("a0.jpg", "A1", 0.0),
    photo("a1.jpg", "A1", 100.0),
    photo("a2.jpg", "A1", 200.0),
    photo("b0.jpg", "B1", 0.0),
    photo("b2.jpg", "B1", 200.0, status="refused"),
)
RESULT = SimpleNamespace(
    photos=PHOTOS,
    reading="edge_width_um",
    readings=(
        SimpleNamespace(blade="A1", heat_treatment="soft"),
        SimpleNamespace(blade="B1", heat_treatment="hard"),
    ),
    study=SimpleNamespace(control=None),
)


def test_before_and_after_of_one_blade_of_each_heat_treatment():
    assert [p.photo for _, p, _ in chosen(RESULT)] == ["a0.jpg", "a2.jpg", "b0.jpg"]


def test_of_two_lights_those_are_shown_that_give_the_reading():
    lamps = tuple(
        photo(name, "A1", cuts, between_lamps=True)
        for name, cuts in (("la.jpg", 0.0), ("lb.jpg", 200.0))
    )
    both = SimpleNamespace(**{**vars(RESULT), "photos": (*PHOTOS, *lamps)})
    assert [p.photo for _, p, _ in chosen(both)] == ["a0.jpg", "a2.jpg", "b0.jpg"]
    both.reading = "w30_um"
    assert [p.photo for _, p, _ in chosen(both)] == ["la.jpg", "lb.jpg"]


def named(folder, *names, photos=True):
    """Captions and files of the section of photographs where the study names these."""
    (folder / "photos").mkdir()
    shots = [
        replace(one, photo=one.path.name)
        for one in (
            stand_ins.photo(folder / "photos", "A1", 400, 25.0, 15.4),
            stand_ins.photo(folder / "photos", "B2", 400, 25.0, 12.0, refused=True),
        )
    ]
    result = study_result(
        folder, photos=shots if photos else [], document={"photographs": list(names)}
    )
    parts, pictures = photo_sections(result, settings_for(result.study))
    items = [one for part in parts for block in part["blocks"] for one in block["items"]]
    return [one["caption"].replace("\u200b", "") for one in items], sorted(pictures)


def test_those_named_stand_in_their_order_and_a_refused_one_with_its_reason(tmp_path):
    captions, files = named(tmp_path, "B2_400_25.jpg", "photos/A1_400_25.jpg")
    assert captions[0] == (
        "B2_400_25.jpg, blade B2, at 400 cuts: not measured. The edge is out of focus; focus on it."
    )
    assert captions[1].startswith("Temper 200 °C, blade A1, at 400 cuts, station 25 mm")
    assert files == ["photo_1.jpg", "photo_2.jpg"]


@pytest.mark.parametrize("photos", [True, False])
def test_the_maker_s_own_picture_stands_as_it_is_measured_photographs_or_none(tmp_path, photos):
    Image.new("RGB", (90, 60), "brown").save(tmp_path / "tool.png")
    captions, files = named(tmp_path, "tool.png", photos=photos)
    assert captions == ["tool.png: the maker's picture, nothing was measured on it."]
    assert files == ["photo_1.jpg"]


def test_a_picture_of_the_chop_test_has_its_own_sheet(tmp_path):
    (tmp_path / "chops.csv").write_text("blade,kind,photo\nA1,inspection,side.png\n", "utf-8")
    Image.new("RGB", (90, 60)).save(tmp_path / "side.png")
    captions, _ = named(tmp_path, "side.png")
    assert [one.split(",")[1] for one in captions] == [" blade A1"]  # those chosen unasked
