"""Overlapping frames are joined, and measure as one picture does."""

import itertools

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.frame_joining import frame_offset, join_widths
from tests.photo.light import linear
from tests.photo.test_focus_stack import scene, shot


def test_frames_along_an_edge_join_to_one_strip():
    light, truth = scene((300, 1400), width_um=18.0, width_sd=0.05, width_grain_um=80.0)
    corners = [(0, 0), (4, 390), (1, 800)]
    frames = [shot(light[r : r + 290, c : c + 600], 1.2, 9 + c) for r, c in corners]
    offsets = [np.zeros(2)]
    for first, second in itertools.pairwise(frames):
        offsets.append(offsets[-1] + frame_offset(first, second))
    np.testing.assert_allclose(offsets, corners, atol=0.5)
    strip = join_widths([measure_apex(linear(frame), 1.0) for frame in frames], offsets, 1.0)
    assert np.all(np.diff(strip.position_um) >= 0)
    assert set(strip.frame) == {0, 1, 2}
    assert strip.position_um[-1] == pytest.approx(1400, abs=15)
    along = truth["along"]
    expected = np.interp(strip.position_um, along["position_um"], along["width_um"])
    assert np.corrcoef(strip.width_um, expected)[0, 1] > 0.9
    assert strip.width_um.mean() == pytest.approx(truth["width_um"], rel=0.005)


def test_frames_without_a_common_part_are_refused():
    light, _ = scene((300, 1400), width_um=18.0)
    with pytest.raises(UnusableInput, match="no common part"):
        frame_offset(light[:, :500], light[:, 800:1300])
