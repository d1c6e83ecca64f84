"""A track led to the borders, and a strip along it: ends, bends and blocks."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.straighten import Track, make_track, unroll


def flat(first, last, row=30.0):
    column = np.arange(first, last + 1.0)
    return np.stack([np.full(column.size, row), column], axis=1)


def test_a_track_runs_from_border_to_border():
    """Led on by half pixels as far as the picture goes, from -0.5 to 99.5."""
    track = make_track(flat(40, 70), (60, 100))
    assert track.centre_rc[0, 1] == pytest.approx(0.0)
    assert track.centre_rc[-1, 1] == pytest.approx(99.0)
    assert track.s[0] == 0.5
    assert len(track.s) == 100
    assert_allclose(track.centre_rc[:, 0], 30)
    assert_allclose(track.normal_rc, [[1.0, 0.0]] * 100, atol=1e-12)


def test_a_track_is_led_on_by_a_hundred_pixels_at_most():
    track = make_track(flat(400, 430), (60, 900))
    assert track.centre_rc[0, 1] == pytest.approx(400 - 99.5 + 0.5)
    assert track.centre_rc[-1, 1] == pytest.approx(430 + 99.5 - 0.5, abs=0.51)


def test_a_track_is_led_on_by_the_direction_of_its_ends():
    """Of its first and last twelve points, or a quarter of them."""
    bent = flat(40, 99)
    bent[:13, 0] += 0.5 * np.arange(12, -1, -1)
    bent[-13:, 0] += 0.25 * np.arange(13)
    track = make_track(bent, (60, 160))
    first = track.centre_rc[10] - track.centre_rc[5]
    last = track.centre_rc[-6] - track.centre_rc[-11]
    assert first[0] / first[1] == pytest.approx(-0.5)
    assert last[0] / last[1] == pytest.approx(0.25)
    short = flat(40, 55)
    short[:5, 0] += np.arange(4, -1, -1)
    track = make_track(short, (200, 160))
    first = track.centre_rc[8] - track.centre_rc[4]
    assert first[0] / first[1] == pytest.approx(-1.0)


def test_a_track_that_leaves_the_picture_above_stops_there():
    line = flat(25, 75)
    line[:, 0] = 30 + (line[:, 1] - 50)
    track = make_track(line, (60, 100))
    row, column = track.centre_rc.T
    assert row.min() >= -0.5
    assert row.max() <= 59.5
    assert row.min() < 0.6
    assert row.max() > 58.4
    assert_allclose(row, 30 + (column - 50), atol=1e-9)


def test_places_that_stand_twice_do_not_count():
    line = np.repeat(flat(10, 40), 2, axis=0)
    track = make_track(line, (60, 50))
    assert np.isfinite(track.centre_rc).all()
    assert_allclose(np.diff(track.centre_rc[:, 1])[2:-2], 1, atol=1e-6)


def test_normals_are_smoothed_along_a_long_track_and_stay_of_length_one():
    line = flat(0, 99)
    line[50:, 0] += 4.0
    track = make_track(line, (60, 100))
    assert_allclose(np.hypot(*track.normal_rc.T), 1)
    # A step between two points: it turns normals within nine places of it alone.
    turned = np.abs(track.normal_rc[:, 1]) > 1e-6
    at = np.flatnonzero(turned)
    assert 15 <= at.size <= 26
    assert np.abs(np.arctan2(track.normal_rc[:, 1], track.normal_rc[:, 0])).max() < 0.8
    assert track.normal_rc[at, 1].max() < 0  # down the picture, so the normal leans back


def straight(count, row=20.0):
    centre = np.stack([np.full(count, row), np.arange(float(count))], axis=1)
    return Track(np.arange(count) + 0.5, centre, np.tile([1.0, 0.0], (count, 1)))


@pytest.mark.parametrize(("half", "reach"), [(5.0, 5), (5.2, 6), (0.4, 1)])
def test_a_strip_reaches_to_whole_pixels(half, reach):
    strip = unroll(np.zeros((40, 30), np.float32), straight(30), half)
    assert strip.x.tolist() == list(range(-reach, reach + 1))


def test_samples_beyond_the_picture_have_the_borders_light_and_no_weight():
    grey = np.arange(40.0, dtype=np.float32)[:, None] + np.zeros((40, 30), np.float32)
    for row, inside in ((3.0, 4), (36.0, 4), (3.5, 4)):
        strip = unroll(grey, straight(30, row), 5)
        assert_allclose(strip.values[7], np.clip(row + strip.x, 0, 39), atol=1e-5)
        expected = (row + strip.x >= 0) & (row + strip.x <= 39)
        assert strip.weight[7].astype(bool).tolist() == expected.tolist()
        assert expected.sum() == 11 - (6 - inside)
    # Columns: the track's own ends lie in the picture, half a pixel beyond does not.
    track = straight(30)
    moved = Track(track.s, track.centre_rc + np.array([0, 0.5]), track.normal_rc)
    assert unroll(grey, moved, 2).weight[:, 0].tolist() == [1.0] * 29 + [0.0]


def test_blocks_are_told_at_their_middle_and_a_rest_is_left_out():
    track = straight(31)
    grey = np.tile(np.arange(31.0, dtype=np.float32), (40, 1))
    strip = unroll(grey, track, 3, block=4)
    assert strip.values.shape == (7, 7)
    assert_allclose(strip.values[:, 3], 1.5 + 4 * np.arange(7))
    assert_allclose(strip.track.s, 2 + 4 * np.arange(7))
    assert_allclose(strip.track.centre_rc[:, 1], 1.5 + 4 * np.arange(7))
    assert_allclose(strip.track.normal_rc, [[1.0, 0.0]] * 7)
    assert strip.block == 4
    weight = unroll(
        grey, Track(track.s, track.centre_rc - np.array([0, 1.0]), track.normal_rc), 3, block=4
    )
    assert weight.weight[:, 3].tolist() == [0.0] + [1.0] * 6


def test_a_windows_middle_may_lie_off_the_track():
    grey = np.arange(40.0, dtype=np.float32)[:, None] + np.zeros((40, 30), np.float32)
    strip = unroll(grey, straight(30), 3, centre=np.linspace(-2, 2, 30))
    assert_allclose(strip.values[:, 3], 20 + np.linspace(-2, 2, 30), atol=1e-5)
    assert_allclose(strip.values[0], 18 + strip.x, atol=1e-5)
