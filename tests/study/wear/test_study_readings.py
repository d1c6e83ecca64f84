"""Which readings count and what each carries: its own scale, tone, size and uncertainty."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import photo_tasks
from edgetest.study.wear.study_readings import StudyReadings, treatment_of, used_readings

SCALES = """
[scales.near]
um_per_px = 0.4
relative_u = 0.01
tone = "linear"
size_px = [640, 480]

[scales.far]
um_per_px = 1.6
relative_u = 0.03
tone = "srgb"
size_px = [1024, 768]
"""
LOG = """blade,cuts,edge_width_um,photo,scale
A1,0,,near.png,near
A1,50,7.5,,
A1,100,,far.png,far
A1,200,<4,,
B1,0,2-3,,
B1,50,,bare.png,
"""


@pytest.fixture
def source(tmp_path):
    blades = [{"id": "A1", "heat_treatment": "soft"}, {"id": "B1", "heat_treatment": "hard"}]
    study = new_study(
        tmp_path / "two_scales", "sisal_rope", "two scales", blades=blades,
        heat_treatments=[{"id": "soft"}, {"id": "hard"}],
    )  # fmt: skip
    toml = study.folder / "study.toml"
    toml.write_text(toml.read_text(encoding="utf-8") + SCALES, encoding="utf-8")
    (study.folder / "log.csv").write_text(LOG, encoding="utf-8")
    (study.folder / "photos").mkdir(exist_ok=True)
    for name in ("near", "far", "bare"):
        (study.folder / "photos" / f"{name}.png").touch()
    return open_source(study.folder)


def test_each_photograph_has_the_scale_that_its_row_names(source):
    tasks, missing = photo_tasks(source)
    assert missing == ()
    known = {
        task.path.stem: (task.um_per_px, task.relative_u, task.tone, task.size_px) for task in tasks
    }
    assert known == {
        "near": (0.4, 0.01, "linear", (640, 480)),
        "far": (1.6, 0.03, "srgb", (1024, 768)),
        "bare": (None, 0.0, None, None),
    }


def test_bounds_stay_bounds(source):
    readings, _ = used_readings(source, "edge_width_um")
    held = [(one.blade, one.cuts, one.value, one.lower, one.upper) for one in readings]
    np.testing.assert_equal(
        held,
        [
            ("A1", 50.0, 7.5, np.nan, np.nan),
            ("A1", 200.0, np.nan, np.nan, 4.0),
            ("B1", 0.0, np.nan, 2.0, 3.0),
        ],
    )


def test_the_study_says_the_heat_treatment(source):
    assert (treatment_of(source, "A1"), treatment_of(source, "B1")) == ("soft", "hard")


def reading(name, relative_u):
    source = "photograph" if name else "log"
    return SimpleNamespace(photo=name, relative_u=relative_u, excluded=False, source=source)


def photo(name, scale, scale_u):
    task = SimpleNamespace(scale_name=scale)
    return SimpleNamespace(
        photo=name, measured=True, scale_u=scale_u, task=task, between_lamps=False
    )


def test_one_scale_is_shared_and_several_are_each_readings_own():
    readings = (reading("a", 0.03), reading("b", 0.04), reading("", np.nan))
    one = StudyReadings("edge_width_um", readings, (photo("a", "", 0.02), photo("b", "", 0.02)))
    shared, own = one.scale_shares()
    assert shared == 0.02
    np.testing.assert_allclose(own, [0.03, 0.04, np.nan])
    several = (photo("a", "near", 0.04), photo("b", "far", 0.03))
    shared, own = StudyReadings("edge_width_um", readings, several).scale_shares()
    assert shared == 0.0
    np.testing.assert_allclose(own, [0.05, 0.05, 0.0])


def test_a_scale_of_typed_widths_is_theirs_alone():
    typed = (reading("", 0.03), reading("", np.nan))
    photos = (photo("a", "", 0.02),)
    shared, own = StudyReadings("edge_width_um", typed, photos, typed_scale_u=0.08).scale_shares()
    assert shared == 0.08
    np.testing.assert_array_equal(own, [0.03, np.nan])
    unsaid = StudyReadings("edge_width_um", typed, photos)
    assert unsaid.scale_shares()[0] == 0.0
    mixed = (reading("a", 0.03), reading("", 0.06))
    shared, own = StudyReadings("edge_width_um", mixed, photos, typed_scale_u=0.08).scale_shares()
    assert shared == 0.08  # in every life, and as each reading's own in the ratio
    np.testing.assert_allclose(own, [np.hypot(0.03, 0.02), 0.1])
    finer = StudyReadings("edge_width_um", mixed, photos, typed_scale_u=0.005)
    assert finer.scale_shares()[0] == 0.02  # a finer rule does not take the photographs' away
    photographed = (reading("a", 0.03),)
    alone = StudyReadings("edge_width_um", photographed, photos, typed_scale_u=0.08)
    assert alone.scale_shares()[0] == 0.02
