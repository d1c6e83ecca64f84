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


def test_the_cut_s_middle_is_where_it_says():
    """A level line at row 140 of a picture 300 by 500: the cut's middle lies on it, half way."""
    row = np.arange(300.0)[:, None] + np.zeros(500)
    grey = 0.1 + 0.8 * np.exp(-0.5 * ((row - 140) / 4) ** 2)
    cut = level_cut(grey, 100, shown_px=(200, 300))
    assert cut.times == 2
    assert cut.middle_rc == pytest.approx((140, 250), abs=2)
    place = cut.middle_rc[0] + (rows_of(cut.grey).mean() - 99.5) / 2
    assert place == pytest.approx(140, abs=0.5)
    beside = level_cut(grey * (np.arange(500) != 270), 100, shown_px=(200, 300)).grey.mean(axis=0)
    dark = int(np.argmin(beside))
    assert cut.middle_rc[1] + (dark - 149.5) / 2 == pytest.approx(270, abs=1)
