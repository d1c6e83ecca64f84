"""Overlapping frames are joined, and measure as one picture does; what does not fit is told."""

import cv2
import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.frame_joining import join_widths, walk_along
from tests.benchmarks.pictures.framing import placing
from tests.photo.light import linear
from tests.photo.test_focus_stack import scene, shot

SHAPE = (290, 600)  # of a frame


def seen(light, middle, *, turn_deg=0.0, zoom=1.0, shape=SHAPE):
    """The frame whose middle looks at (column, row) of a scene."""
    matrix = placing(middle, turn_deg, zoom, shape)[:2]
    flags = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    return np.maximum(cv2.warpAffine(light, matrix, shape[::-1], flags=flags), 0)


def walked(frames):
    return walk_along(frames, [f"frame {number}" for number, _ in enumerate(frames)])


def test_frames_along_an_edge_join_to_one_strip():
    light, truth = scene((300, 1400), width_um=18.0, width_sd=0.05, width_grain_um=80.0)
    corners = [(0, 0), (4, 390), (1, 800)]
    frames = [shot(light[r : r + 290, c : c + 600], 1.2, 9 + c) for r, c in corners]
    walk = walked(frames)
    np.testing.assert_allclose(walk.offsets_rc, corners, atol=0.1)
    assert walk.doubts == ()
    strip = join_widths([measure_apex(linear(frame), 1.0) for frame in frames], walk, 1.0)
    assert np.all(np.diff(strip.position_um) >= 0)
    assert set(strip.frame) == {0, 1, 2}
    assert strip.position_um[-1] == pytest.approx(1400, abs=15)
    along = truth["along"]
    expected = np.interp(strip.position_um, along["position_um"], along["width_um"])
    assert np.corrcoef(strip.width_um, expected)[0, 1] > 0.9
    assert strip.width_um.mean() == pytest.approx(truth["width_um"], rel=0.005)


def test_turned_and_zoomed_frames_are_laid_by_their_turn_and_zoom():
    light, _ = scene((420, 1500), width_um=18.0)
    turns, zooms = (0.0, 1.4, -1.2, 0.6), (1.0, 1.006, 1.012, 1.018)
    frames = [
        shot(seen(light, (350 + 250 * k, 200 + 3 * k), turn_deg=turns[k], zoom=zooms[k]), 1.2, k)
        for k in range(4)
    ]
    walk = walked(frames)
    middle = (np.array(SHAPE) - 1) / 2
    for number in range(4):
        # Its middle looks at a place 250 columns and 3 rows further on than the one before's.
        expected = middle + np.array([3, 250]) * number
        assert walk.to_strip(middle[None], number)[0] == pytest.approx(expected, abs=0.3)
    np.testing.assert_allclose(walk.zooms, 1 / np.array(zooms), atol=0.001)
    assert [one.code for one in walk.doubts] == ["frames_zoomed"]


def test_frames_of_one_zoom_are_not_corrected():
    light, _ = scene((420, 1500), width_um=18.0)
    frames = [shot(seen(light, (350 + 250 * k, 200), turn_deg=0.5 * k), 1.2, k) for k in range(4)]
    walk = walked(frames)
    np.testing.assert_array_equal(walk.zooms, 1.0)
    assert walk.zoom_u < 0.001


def test_frames_of_two_sizes_are_joined():
    light, _ = scene((420, 1500), width_um=18.0)
    large = shot(seen(light, (700, 205), shape=(340, 700)), 1.2, 2)
    walk = walked([shot(seen(light, (350, 200)), 1.2, 1), large])
    # From the first one's corner to the second's, by their middles and half sizes.
    expected = np.array([205 - 340 / 2, 700 - 700 / 2]) - [200 - 290 / 2, 350 - 600 / 2]
    np.testing.assert_allclose(walk.offsets_rc[1], expected, atol=0.1)


def test_frames_without_a_common_part_are_refused():
    light, _ = scene((300, 1400), width_um=18.0)
    with pytest.raises(UnusableInput, match="do not overlap") as told:
        walked([light[:, :500], light[:, 800:1300]])
    assert "frame 0 and frame 1" in told.value.where


@pytest.mark.parametrize("period", [17, 60, 140])
def test_a_texture_that_repeats_itself_is_refused(period):
    """Every bevel scratch comes again after a period: frames fit in more than one place."""
    light, _ = scene((300, 1400), width_um=18.0)
    tile = cv2.GaussianBlur(light[:, :period], (0, 0), 1.0)
    light = np.tile(tile, (1, 1 + 1400 // period))
    with pytest.raises(UnusableInput, match="more than one place"):
        walked([shot(light[:290, c : c + 600], 1.2, c) for c in (0, 310)])


def test_a_foreign_frame_is_left_out_where_its_neighbours_fit():
    light, _ = scene((300, 1400), width_um=18.0)
    other, _ = scene((300, 600), seed=77, width_um=40.0)
    frames = [light[:290, :600], other[:290], light[:290, 350:950]]
    walk = walked([shot(frame, 1.2, number) for number, frame in enumerate(frames)])
    assert [(one.code, one.where.file) for one in walk.doubts] == [("frame_left_out", "frame 1")]
    assert np.isnan(walk.offsets_rc[1]).all()
    np.testing.assert_allclose(walk.offsets_rc[2], [0, 350], atol=0.1)


@pytest.mark.parametrize("value", [0.0, 0.5])
def test_flat_and_tiny_frames_are_told(value):
    with pytest.raises(UnusableInput, match="do not overlap"):
        walked([np.full((100, 120), value)] * 2)
    with pytest.raises(UnusableInput, match="48 x 48"):
        walked([np.full((20, 120), value)] * 2)
