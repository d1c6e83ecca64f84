"""The cut for an eye: the edge level, its width kept, the same at every look."""

import numpy as np
import pytest

from edgetest.photo.apex.level_cut import level_cut
from edgetest.photo.render.apex_scene import render_apex

UM_PER_PX = 0.42


def scene(width_um, angle_deg=0.0, **more):
    picture, _ = render_apex(
        shape=(400, 600), width_um=width_um, um_per_px=UM_PER_PX, tilt_deg=angle_deg,
        land_grain=0.03, width_sd=0.0, blur_px=1.2, rng=np.random.default_rng(2), **more,
    )  # fmt: skip
    return picture.astype(np.float32) / picture.max()


def rows_of(grey):
    """The rows of the land: those above half height in the mean profile."""
    profile = grey.mean(axis=1)
    low, high = np.percentile(profile, [5, 99])
    return np.flatnonzero(profile > (low + high) / 2)


@pytest.mark.parametrize("angle_deg", [0.0, 12.0, -30.0, 80.0])
def test_the_edge_lies_level_and_as_wide_as_it_is(angle_deg):
    cut = level_cut(scene(9.0, angle_deg), 40 / UM_PER_PX)
    assert len(rows_of(cut.grey)) / cut.times == pytest.approx(9.0 / UM_PER_PX, rel=0.07)
    thirds = [rows_of(part).mean() for part in np.array_split(cut.grey, 3, axis=1)]
    assert np.ptp(thirds) < 10  # of 600 rows


def test_a_second_look_meets_the_same_cut():
    grey = scene(5.0, 8.0)
    assert np.array_equal(level_cut(grey, 95).grey, level_cut(grey.copy(), 95).grey)


def test_a_scrap_holds_no_edge():
    assert level_cut(np.zeros((10, 200), np.float32), 95) is None


def test_a_black_picture_is_cut_all_the_same():
    assert level_cut(np.zeros((100, 200), np.float32), 95).grey.shape == (600, 900)
