"""Parts of the path between two lines: profiles, drifts and half widths in closed form."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.glints.find_pair import (
    drift,
    find_pair,
    line_deviation,
    prominences,
    two_summits,
    usual_profile,
)

X = np.arange(-60.0, 61)


def bell(at, sd, height=1.0):
    return height * np.exp(-0.5 * ((X - at) / sd) ** 2)


def test_the_usual_profile_is_the_median_of_who_sees_it():
    """Three columns that all, half and a quarter of the places see; the last tells nothing."""
    values = np.tile(np.array([1.0, 2.0, 3.0]), (40, 1))
    values[:15, 0] = 50.0
    values[20:, 1] = 50.0
    weight = np.ones((40, 3))
    weight[20:, 1], weight[10:, 2] = 0, 0
    profile, noise = usual_profile(SimpleNamespace(values=values, weight=weight, x=np.arange(3.0)))
    assert_allclose(profile, [1, 2, np.nan])
    assert noise == 0
    weight[10, 2] = 1
    assert_allclose(
        usual_profile(SimpleNamespace(values=values, weight=weight, x=np.arange(3.0)))[0], [1, 2, 3]
    )


def test_the_noise_of_a_profile_is_that_of_its_median():
    """Most places 0.2 off: 1.5 times 0.2 over the root of a quarter of 64 places."""
    off = np.repeat([-0.2, 0.0, 0.2], [24, 16, 24])[:, None]
    values = 1.0 + off + np.zeros((64, 5))
    strip = SimpleNamespace(values=values, weight=np.ones((64, 5)), x=np.arange(5.0))
    profile, noise = usual_profile(strip)
    assert_allclose(profile, 1.0)
    assert noise == pytest.approx(0.075)


@pytest.mark.parametrize("flank", [min, max])
def test_half_of_the_rise_is_reached_between_two_places(flank):
    """Straight flanks that fall by 0.1 and 0.2 a pixel: half of 1 after 5 and 2.5 px."""
    light = np.where(X < 0, 1 + 0.1 * X, 1 - 0.2 * X)
    found = line_deviation(light, 60, 1.0, flank)
    assert found == pytest.approx((2.5 if flank is min else 5.0) / np.sqrt(2 * np.log(2)))
    other = line_deviation(light, 60, 0.6, flank)
    assert other == pytest.approx((1.5 if flank is min else 3.0) / np.sqrt(2 * np.log(2)))
    # Where neither flank falls so far the line is taken for a pixel to its half.
    assert line_deviation(np.ones(9), 4, 1.0, flank) == pytest.approx(0.8493, rel=1e-4)


def test_a_flat_summit_is_one():
    assert_allclose(prominences(np.array([0.0, 2, 2, 1, 3, 0.5])), [0, 1, 0, 0, 2.5, 0])
    assert not prominences(np.array([3.0, 2, 1])).any()
    # Of two as high each stands above the valley between them: neither is the higher.
    assert_allclose(prominences(np.array([1.0, 3, 2, 3, 0])), [0, 2, 0, 3, 0], atol=1)


@pytest.mark.parametrize(("height", "seen"), [(0.029, False), (0.031, True)])
def test_a_second_line_is_three_hundredths_of_the_first(height, seen):
    profile = 0.1 + bell(-20, 3.0) + bell(20, 3.0, height)
    assert (two_summits(X, profile, 1e-4)[0] is not None) == seen


@pytest.mark.parametrize(("noise", "lines"), [(0.0160, 2), (0.0164, 1)])
def test_lines_stand_six_deviations_clear(noise, lines):
    """Of 0.1 behind 0.7 px: 0.1 * 3 / hypot(3, 0.7) is 0.0974, six times 0.01623."""
    profile = 0.2 + bell(-20, 3.0) + bell(20, 3.0, 0.1)
    found, sd = two_summits(X, profile, noise)
    assert (found is None) == (lines == 1)
    assert sd == pytest.approx(np.hypot(3, 0.7), rel=0.03)
    lone = 0.2 + bell(0, 3.0, 0.1)
    assert (two_summits(X, lone, noise)[1] is None) == (lines == 1)


def test_a_line_beside_a_wider_one_gives_the_deviation():
    lines, sd = two_summits(X, bell(-25, 6.0, 2.0) + bell(20, 2.0), 1e-3)
    assert lines == (-25.0, 20.0)
    assert sd == pytest.approx(np.hypot(2, 0.7), rel=0.05)
    lines, sd = two_summits(X, bell(-25, 2.0, 2.0) + bell(20, 6.0), 1e-3)
    assert lines == (-25.0, 20.0)
    assert sd == pytest.approx(np.hypot(2, 0.7), rel=0.05)


def test_eight_places_hold_no_line_and_nine_may():
    for count in (8, 9):
        profile = np.full(X.size, np.nan)
        profile[20 : 20 + count] = [0, 0, 1, 5, 9, 5, 1, 0, 0][:count]
        assert (two_summits(X, profile, 1e-3)[1] is None) == (count == 8)


@pytest.mark.parametrize("turn", [0, 1])
@pytest.mark.parametrize("shift", [-4.4, 0.0, 2.3])
def test_places_drift_by_what_they_are_shifted(turn, shift):
    """Sideways against the mean profile, below a pixel."""

    def pair(x):
        return np.exp(-0.5 * ((x + 10) / 3) ** 2) + 0.7 * np.exp(-0.5 * ((x - 10) / 3) ** 2)

    values = np.tile(pair(X - shift), (30, 1)).astype(np.float32)
    strip = SimpleNamespace(x=X, values=values)
    found = drift(strip, pair(X), 0.0, 16.0, 3.0, turn)
    assert found.shape == (30,)
    assert_allclose(found, shift, atol=0.06)


def test_a_drift_is_sought_two_deviations_away_once_it_is_straight():
    """And as far as the pair reaches at first: 18 px, then 2 * 3 + 2 px."""
    one = np.exp(-0.5 * (X / 3) ** 2)
    for shift, seen_first, seen_then in ((7, True, True), (9, True, False), (17, True, False)):
        values = np.tile(np.roll(one, shift), (30, 1)).astype(np.float32)
        strip = SimpleNamespace(x=X, values=values)
        first, then = (drift(strip, one, 0.0, 16.0, 3.0, turn)[0] for turn in (0, 1))
        assert (abs(first - shift) < 0.1) == seen_first
        assert (abs(then - shift) < 0.1) == seen_then


@pytest.mark.parametrize(("light", "reason"), [(0.0039, "too_dark"), (0.0041, "no_contrast")])
def test_light_of_four_thousandths_is_too_dark(light, reason):
    assert find_pair(np.full((60, 90), light, np.float32)) == (None, reason)


@pytest.mark.parametrize(("step", "enough"), [(0.0081, False), (0.0086, True)])
def test_light_that_hardly_varies_shows_no_lines(step, enough):
    """By a fiftieth of the brightest, and 0.002: of 0.31 that is 0.0082."""
    grey = np.full((60, 90), 0.3, np.float32)
    grey[:, 45:] = 0.3 + step
    _, reason = find_pair(grey)
    assert (reason == "no_contrast") != enough


@pytest.mark.parametrize("room", [0, 1, 2])
def test_a_pair_that_fills_its_strip_has_nowhere_to_drift(room):
    """No place to either side: each place stays where it is, and nothing is raised."""
    x = np.arange(-18.0 - room, 19)
    values = np.tile(np.exp(-0.5 * (x / 3) ** 2), (20, 1)).astype(np.float32)
    found = drift(SimpleNamespace(x=x, values=values), values[0], 0.0, 16.0, 3.0, 0)
    assert_allclose(found, 0, atol=0.01 if room < 2 else 0.06)


@pytest.mark.parametrize("turn", [0, 1])
def test_places_may_drift_as_far_to_either_side(turn):
    """By the reach and 2 px in the first turn, by two deviations and 2 px after it."""
    x, sd_px, reach = np.arange(-60.0, 61), 2.0, 9.0
    room = round(reach if turn == 0 else 2 * sd_px) + 2
    shift = np.concatenate([np.full(12, room - 0.4), np.zeros(12), np.full(12, 0.4 - room)])
    values = np.exp(-0.5 * ((x - shift[:, None]) / sd_px) ** 2).astype(np.float32)
    profile = np.exp(-0.5 * (x / sd_px) ** 2)
    found = drift(SimpleNamespace(x=x, values=values), profile, 0.0, reach, sd_px, turn)
    assert_allclose(found[[4, 18, 31]], [room - 0.4, 0, 0.4 - room], atol=0.15)
