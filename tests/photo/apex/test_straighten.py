"""A picture unrolled along an edge: places and normals of the path, light at known places."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.straighten import make_track, unroll

SHAPE = (200, 300)


def slanted(slope=0.25):
    """A straight path from left to right, falling by a quarter."""
    column = np.arange(40.0, 260.0)
    return np.column_stack([60 + slope * (column - 40), column])


def test_a_straight_path_is_led_to_the_borders_in_even_steps():
    track = make_track(slanted(), SHAPE)
    assert_allclose(np.hypot(*np.diff(track.centre_rc, axis=0).T), 1.0, atol=0.02)
    row, column = track.centre_rc.T
    assert_allclose(row, 60 + 0.25 * (column - 40), atol=1e-6)
    assert column.min() < 2
    assert column.max() > 297
    norm = np.hypot(1, 0.25)
    assert_allclose(track.normal_rc, np.tile([1 / norm, -0.25 / norm], (len(row), 1)), atol=1e-6)
    assert_allclose(np.diff(track.s), 1.0)
    assert track.s[0] == 0.5
    half = make_track(slanted(), SHAPE, step_px=0.5)
    assert len(half.s) == pytest.approx(2 * len(track.s), abs=2)


def test_light_is_read_at_its_distance_from_the_path():
    """A ramp of light: at a distance x along the normal it has risen by its slope times x."""
    rows, columns = np.indices(SHAPE)
    grey = (0.01 * rows + 0.002 * columns).astype(np.float32)
    track = make_track(slanted(), SHAPE)
    strip = unroll(grey, track, 6.3)
    assert strip.x.tolist() == list(range(-7, 8))
    inside = strip.weight.all(axis=1)
    assert inside.sum() > 200
    light = track.centre_rc @ [0.01, 0.002]
    rise = track.normal_rc @ [0.01, 0.002]
    expected = light[:, None] + rise[:, None] * strip.x
    assert_allclose(strip.values[inside], expected[inside], atol=1e-4)
    offset = np.full(len(track.s), 2.0)
    moved = unroll(grey, track, 4, centre=offset)
    both = moved.weight.all(axis=1)
    shifted = light[:, None] + rise[:, None] * (moved.x + 2)
    assert_allclose(moved.values[both], shifted[both], atol=1e-4)


def test_blocks_are_means_and_outside_the_picture_nothing_counts():
    rng = np.random.default_rng(1)
    grey = rng.random(SHAPE).astype(np.float32)
    track = make_track(slanted(), SHAPE)
    single, blocks = unroll(grey, track, 5), unroll(grey, track, 5, block=4)
    count = len(track.s) // 4
    assert blocks.values.shape == (count, 11)
    assert_allclose(blocks.values, single.values[: 4 * count].reshape(count, 4, 11).mean(axis=1),
                    atol=1e-5)  # fmt: skip
    assert_allclose(blocks.track.s, track.s[: 4 * count].reshape(count, 4).mean(axis=1))
    whole = single.weight[: 4 * count].reshape(count, 4, 11).all(axis=1)
    assert_allclose(blocks.weight, whole)
    high = np.column_stack([np.full(220, 2.0), np.arange(40.0, 260.0)])
    near = unroll(grey, make_track(high, SHAPE), 5)
    assert_allclose(near.weight[50], near.x >= -2)
