"""Finer lines, part by part: which frequencies stay empty, amplitudes, steps of grey."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.scale.finer_lines import (
    _amplitude,
    _amplitudes,
    _beside,
    _stepped,
    finer_parts,
    grey_beyond,
)


def multiples(parts, cells, pitch=40.0):
    return sorted(round(f * pitch, 6) for f in _beside(parts, cells, pitch))


def test_the_multiples_beside_a_tenth_are_empty_but_its_own():
    assert multiples(10, 2) == [7, 8, 8.5, 9, 11, 11.5, 12, 13]
    assert multiples(10, 4) == [7, 8, 9, 9.25, 10.75, 11, 12, 13]
    assert multiples(10, 1) == [7, 8, 12, 13]  # a short window does not part the nearest
    assert multiples(5, 2) == [2, 3, 3.5, 4, 6, 6.5, 7, 8]
    assert multiples(2, 2) == [0.5, 1, 3, 3.5, 5]
    # What pixels do not hold is left out: 0.48 cycles a pixel.
    assert multiples(10, 2, 25.0) == [7, 8, 8.5, 9, 11, 11.5]
    assert multiples(10, 2, 24.0) == [7, 8, 8.5, 9, 11, 11.5]
    assert multiples(10, 2, 23.9) == [7, 8, 8.5, 9, 11]


def test_an_amplitude_is_that_of_its_wave_whatever_its_phase():
    """Under a Hann window; half of a wave's height; its level taken out."""
    x = np.arange(80)
    waves = [0.3 * np.cos(2 * np.pi * x / 10 + phase) + 5 for phase in (0, 1.0, 2.5)]
    found = _amplitude(np.array(waves), np.array([0.1, 0.2, 0.13]))
    assert_allclose(found[:, 0], 0.15, rtol=1e-3)
    assert_allclose(found[:, 1], 0, atol=1e-4)
    assert found[:, 2].max() < 0.01


def test_windows_overlap_by_three_quarters_and_lie_inside_the_picture():
    flat = np.tile(0.2 * np.cos(2 * np.pi * np.arange(100) / 8), (2, 1))
    flat[1, 60] = np.nan
    own, other = _amplitudes(flat, 40, 1 / 8, [0.2, 0.3])
    assert own.shape == (2, 7)
    assert_allclose(own[0], 0.1, rtol=0.01)
    assert own[1].tolist()[:3] == pytest.approx([0.1, 0.1, 0.1], rel=0.01)
    assert own[1].tolist()[3:] == [0, 0, 0, 0]
    assert other.max() < 0.01
    assert not other[1, 3:].any()


def waved(height, parts=5, pitch=40.0, strips=6, beside=0.0):
    x = np.arange(400)
    row = height * np.cos(2 * np.pi * x * parts / pitch)
    row = row + beside * np.cos(2 * np.pi * x * (parts + 2) / pitch)
    return np.tile(row, (strips, 1))


@pytest.mark.parametrize(("height", "parts"), [(0.0105, 5), (0.0095, 1)])
def test_finer_lines_have_a_hundredth_of_the_ink(height, parts):
    """Half of a wave's height is its amplitude: 0.005 of 0.5."""
    assert finer_parts(waved(height), np.full(6, 1e-6), 40.0, 0.5) == parts


def test_finer_lines_stand_out_by_twice_from_what_is_beside():
    noise = np.full(6, 1e-6)
    assert finer_parts(waved(0.1, beside=0.047), noise, 40.0, 0.1) == 5
    assert finer_parts(waved(0.1, beside=0.053), noise, 40.0, 0.1) == 1


@pytest.mark.parametrize(("noise", "parts"), [(0.115, 5), (0.15, 1)])
def test_finer_lines_stand_out_of_the_noise_by_five_of_its_deviations(noise, parts):
    """Of a window of 160 places, the longest: 5 * noise * sqrt(1.5 / 160) is 0.484 noise."""
    assert finer_parts(waved(0.12), np.full(6, noise), 40.0, 0.1) == parts


def stepped(step, *, gaps=8, doubt=0.0, ink=0.2, sign=-1, slope=0.0):
    along = 10.0 * np.arange(10)
    value = np.full((10, gaps), 0.5) * (1 + slope * (along - 20))[:, None]
    value[6:] *= 1 + sign * step
    value[6:] += doubt * np.where(np.arange(gaps) % 2, 1, -1)
    return _stepped(value, along, np.arange(5), np.arange(6, 10), ink, sign)


@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize(("step", "told"), [(0.051, True), (0.049, False)])
def test_a_step_is_a_quarter_of_the_ink(step, told, sign):
    assert stepped(step, sign=sign) == told
    assert not stepped(step, sign=-sign) or told


def test_a_step_is_eight_thousandths_at_least_and_four_of_its_doubts():
    assert stepped(0.0085, ink=0.01)
    assert not stepped(0.0075, ink=0.01)
    # 1.4826 * 0.02 over the root of eight gaps: four of it are 0.0419 of the ground.
    assert stepped(0.045, doubt=0.01, ink=0.01)
    assert not stepped(0.039, doubt=0.01, ink=0.01)


def test_three_gaps_are_the_fewest_and_a_slope_goes_on():
    assert stepped(0.1, gaps=3)
    assert not stepped(0.1, gaps=2)
    assert not stepped(0.0, slope=-0.004)
    assert stepped(0.1, slope=0.004)


def strips(count=24, ends=12, step=0.15, ground=0.6):
    along = np.arange(count) * 10.0
    level = np.where(np.arange(count) >= ends, ground * (1 - step), ground)
    profiles = np.tile(level[:, None], (1, 60))
    profiles = profiles + 1e-4 * np.random.default_rng(1).standard_normal(profiles.shape)
    held = np.where(np.arange(count) < ends, 10, 0)
    return profiles, along, held, np.tile(np.arange(5, 55, 5), (count, 1))


@pytest.mark.parametrize(("ends", "told"), [(3, False), (4, True), (20, True), (21, False)])
def test_three_strips_with_lines_and_three_beyond_are_needed(ends, told):
    """The last with lines may hold their ends, and the first beyond: neither counts."""
    assert grey_beyond(*strips(ends=ends), 0.4, -1) == told


@pytest.mark.parametrize(("some", "told"), [(2, True), (3, False)])
def test_beyond_the_lines_a_fifth_of_them_may_be_left(some, told):
    profiles, along, held, columns = strips()
    held[15] = some
    assert grey_beyond(profiles, along, held, columns, 0.4, -1) == told


def test_gaps_at_the_pictures_border_do_not_count():
    profiles, along, held, _ = strips()
    for at, told in (([1, 30, 58], True), ([0, 30, 58], False), ([1, 30, 59], False)):
        columns = np.tile(np.array(at), (24, 1))
        assert grey_beyond(profiles, along, held, columns, 0.4, -1) == told


def test_the_greatest_of_all_that_is_beside_counts():
    flat = np.tile(0.2 * np.cos(2 * np.pi * np.arange(100) / 8), (2, 1))
    for beside in ([1 / 8, 0.3], [0.3, 1 / 8]):
        own, other = _amplitudes(flat, 40, 0.25, beside)
        assert_allclose(other, 0.1, rtol=0.01)
        assert own.max() < 0.01


@pytest.mark.parametrize(("strip", "told"), [(6, False), (5, True)])
def test_the_trend_of_the_ground_is_that_of_the_last_five_strips(strip, told):
    """Lines end with strip 11: strips 6 to 10 tell; a bright one among them is a slope."""
    profiles, along, held, columns = strips()
    profiles[strip] = 0.75
    assert grey_beyond(profiles, along, held, columns, 0.4, -1) == told
