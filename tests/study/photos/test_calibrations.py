"""The shop's calibrations: kept by name, used by any study, held against the pictures' size."""

from datetime import date

import cv2
import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.scale.ruling_scale import scale_from_number
from edgetest.store.journal import append_reading
from edgetest.store.records import load_study
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.workspace import change_study, save_photograph
from edgetest.study.photos.calibrations import (
    keep_calibration,
    misfits,
    read_calibrations,
    rule_of,
)
from edgetest.study.sources import open_source
from edgetest.study.wear.study_photos import measure_study
from tests.browser.studies import UM_PER_PX, bench_study, photograph


@pytest.fixture
def picture(tmp_path):
    path = tmp_path / "ruling.png"
    cv2.imwrite(str(path), np.full((60, 90), 128, np.uint8))
    return path


def test_a_calibration_comes_back_as_it_was_kept(tmp_path, picture):
    kept = keep_calibration(
        tmp_path, scale_from_number(0.42, 0.001), "stereo, zoom 4", picture,
        taken_on=date(2026, 3, 31), camera="bench camera",
    )  # fmt: skip
    keep_calibration(tmp_path, scale_from_number(0.9), "zoom 2", picture)
    found = read_calibrations(tmp_path)
    assert list(found) == ["stereo, zoom 4", "zoom 2"]
    assert found["stereo, zoom 4"] == kept
    assert (kept.um_per_px, kept.width_px, kept.height_px) == (0.42, 90, 60)
    assert rule_of(kept) == {
        "um_per_px": 0.42,
        "relative_u": 0.001,
        "size_px": [90, 60],
        "note": "calibration stereo, zoom 4, taken 2026-03-31",
    }


def test_a_picture_of_another_size_raises_a_doubt(tmp_path, picture):
    kept = keep_calibration(
        tmp_path, scale_from_number(0.42), "zoom 4", picture, taken_on=date(2026, 3, 31)
    )
    other = tmp_path / "half.png"
    cv2.imwrite(str(other), np.full((30, 45), 128, np.uint8))
    today = date(2026, 4, 1)
    assert misfits(kept, [picture], today=today) == ()
    assert [d.code for d in misfits(kept, [other], today=today)] == ["size_mismatch"]
    late = misfits(kept, [picture], today=date(2027, 6, 1))
    assert [d.code for d in late] == ["stale_calibration"]


def test_a_calibration_without_a_name_is_refused(tmp_path, picture):
    with pytest.raises(UnusableInput, match="name the set-up"):
        keep_calibration(tmp_path, scale_from_number(0.42), "  ", picture)
    assert read_calibrations(tmp_path) == {}


def test_a_fault_in_the_file_is_told(tmp_path):
    (tmp_path / "calibrations.toml").write_text("zoom = 4\n", encoding="utf-8")
    with pytest.raises(UnusableInput, match=r"calibrations\.toml, zoom"):
        read_calibrations(tmp_path)


@pytest.mark.parametrize(("size_px", "told"), [([480, 240], False), ([960, 480], True)])
def test_a_scale_of_another_picture_size_is_told_where_photographs_are_measured(
    tmp_path, size_px, told
):
    folder = bench_study(tmp_path)
    study = load_study(folder)
    rule = ScaleRule(um_per_px=UM_PER_PX, relative_u=0.01, size_px=size_px)
    change_study(folder, lambda _: study.model_copy(update={"scale": rule}))
    save_photograph(folder, "K1.png", photograph(6.0))
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 10, "photo": "K1.png"})
    (result,), _ = measure_study(open_source(folder))
    assert ("size_mismatch" in [each["code"] for each in result.numbers["warnings"]]) == told


def test_a_misfit_says_on_which_picture_and_what_was_met(tmp_path, picture):
    kept = keep_calibration(
        tmp_path, scale_from_number(0.42), "scope", picture, taken_on=date(2026, 3, 31)
    )
    other = tmp_path / "other.png"
    cv2.imwrite(str(other), np.full((30, 45), 128, np.uint8))
    (found,) = misfits(kept, [other], today=date(2026, 4, 1))
    assert (found.where.file, found.where.value) == ("other.png", "45 x 30")
