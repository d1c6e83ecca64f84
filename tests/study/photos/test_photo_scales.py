"""Scales from marks and rules: which points lie in a picture, which scale goes by which name."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.photos import photo_scales as module
from edgetest.study.photos.photo_scales import (
    existing,
    rule_of_scale,
    scale_of_marks,
    scale_of_rule,
    scales_of_study,
    sizes_of_study,
    tones_of_study,
)


@pytest.fixture
def marks(monkeypatch, tmp_path):
    """The scale of two marks on a picture of 100 rows and 200 columns."""
    (tmp_path / "a.png").write_bytes(b"x")
    monkeypatch.setattr(
        module, "read_picture", lambda _: SimpleNamespace(height_px=100, width_px=200)
    )
    return lambda *ends, **more: scale_of_marks(tmp_path / "a.png", ends, 1000.0, **more)


def test_two_marks_a_known_distance_apart_are_a_scale(marks):
    assert marks(0, 0, 0, 100).um_per_px == pytest.approx(10.0)
    assert marks(99, 199, 99, 99).um_per_px == pytest.approx(10.0)
    assert marks(0, 0, 30, 40, bar=True).um_per_px == pytest.approx(20.0, rel=0.05)
    sure, unsure = (marks(0, 0, 0, 100, mark_sd_px=sd).relative_u for sd in (0.5, 2.0))
    assert unsure > 2 * sure


@pytest.mark.parametrize(
    ("ends", "named"),
    [((100, 0, 0, 50), "row 100, column 0"), ((0, 200, 0, 50), "row 0, column 200"),
     ((0, 50, -1, 0), "row -1, column 0"), ((0, 50, 0, -1), "row 0, column -1")],
)  # fmt: skip
def test_a_mark_beside_the_picture_is_named(marks, ends, named):
    with pytest.raises(UnusableInput, match=f"{named} is outside the picture") as met:
        marks(*ends)
    assert met.value.mend == "it has 100 rows and 200 columns"


def rule(um=None, *, size=None, tone=None, **more):
    facts = {"um_per_px": um, "relative_u": 0.01, "ruling": None, "a_rc": (0, 0), "b_rc": (0, 100),
             "distance_um": 1000.0, "mark_sd_px": None}  # fmt: skip
    return SimpleNamespace(**facts | more, size_px=size, tone=tone)


def test_a_rule_is_a_number_or_its_marks():
    assert scale_of_rule(rule(0.5), "here").um_per_px == 0.5
    assert scale_of_rule(rule(0.5), "here").relative_u == 0.01
    assert scale_of_rule(rule(), "here").um_per_px == pytest.approx(10.0)
    sure, unsure = (scale_of_rule(rule(mark_sd_px=sd), "here").relative_u for sd in (None, 2.0))
    assert unsure > 2 * sure


def test_the_scale_without_a_name_is_the_unnamed_one():
    study = SimpleNamespace(scale=rule(0.5, size=(1, 2)), scales={"far": rule(2.0, tone="srgb")},
                            folder="here")  # fmt: skip
    assert {name: one.um_per_px for name, one in scales_of_study(study).items()} == {
        "far": 2.0, "": 0.5,
    }  # fmt: skip
    assert sizes_of_study(study) == {"far": None, "": (1, 2)}
    assert tones_of_study(study) == {"far": "srgb", "": None}
    bare = SimpleNamespace(scale=None, scales={}, folder="here")
    assert scales_of_study(bare) == {}
    told = rule_of_scale(SimpleNamespace(um_per_px=0.5, relative_u=0.01), "by a wire")
    assert told == {"um_per_px": 0.5, "relative_u": 0.01, "note": "by a wire"}


def test_a_folder_is_no_picture(tmp_path):
    with pytest.raises(UnusableInput, match="is a folder, not a file"):
        existing(tmp_path)
    with pytest.raises(UnusableInput, match="there is no such file"):
        existing(tmp_path / "a.png")
