"""A scale kept with its set-up."""

from datetime import date

import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.scale.kept_scale import KeptScale, calibration_from, named
from edgetest.photo.scale.ruling_scale import scale_from_number

ONE = calibration_from(scale_from_number(0.5, 0.001), "bench", 4000, 3000, date(2026, 1, 5),
                       camera="Phone", objective="10x")  # fmt: skip


def test_survives_a_file():
    assert KeptScale.from_dict(ONE.to_dict()) == ONE
    assert ONE.scale().um_per_px == 0.5
    assert ONE.scale().relative_u == 0.001


@pytest.mark.parametrize(
    ("picture", "codes"),
    [
        ({"width_px": 4000, "height_px": 3000}, ()),
        ({"width_px": 3000, "height_px": 4000}, ()),
        ({"width_px": 2000, "height_px": 1500}, ("size_mismatch",)),
        ({"width_px": 4000, "height_px": 3000, "camera": "phone "}, ()),
        ({"width_px": 4000, "height_px": 3000, "objective": "20x"}, ("other_setup",)),
        ({"width_px": 4000, "height_px": 3000, "taken_on": date(2027, 6, 1)},
         ("stale_calibration",)),
        ({"width_px": 4000, "height_px": 3000, "taken_on": date(2025, 6, 1)}, ("taken_before",)),
    ],
)  # fmt: skip
def test_doubts_of_a_picture(picture, codes):
    assert tuple(doubt.code for doubt in ONE.doubts(**picture)) == codes


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"um_per_px": -1}, "calibration, um_per_px: -1"),
        ({"taken_on": "last week"}, "'last week' is not a date"),
        ({"relative_u": 3}, "3 is not between"),
        ({"lens": "x"}, "'lens' is not known"),
        ({"width_px": None}, "calibration, width_px: is missing"),
    ],
)
def test_faults_are_named(change, words):
    with pytest.raises(UnusableInput, match=words):
        KeptScale.from_dict(ONE.to_dict() | change)


def test_newest_of_a_name():
    newer = KeptScale.from_dict(ONE.to_dict() | {"taken_on": "2026-03-01", "um_per_px": 0.51})
    assert named([ONE, newer], "BENCH") is newer
    with pytest.raises(UnusableInput, match="there are: bench"):
        named([ONE], "stereo")
