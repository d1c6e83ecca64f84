"""A sound line, part by part: what is cut out, the noise of a line, its whitening."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.ndimage import gaussian_filter1d

from edgetest.photo.side.sound_line import (
    SoundLine,
    _noise,
    _rough,
    _spread,
    _whitened,
    sound_roughness,
)

PLACE = np.arange(0.0, 900.0)


def grinding(seed=1, count=PLACE.size):
    rough = gaussian_filter1d(np.random.default_rng(seed).standard_normal(count), 2.0)
    return 0.5 * rough / rough.std()


def test_sixty_sound_samples_are_enough():
    for count, enough in ((60, True), (59, False)):
        assert SoundLine(0.0, 1.0, np.zeros(80), np.arange(80) < count).enough == enough


def test_a_spread_is_robust():
    assert _spread(np.array([1.0, 2, 3, 4, 99])) == pytest.approx(1.4826)


@pytest.mark.parametrize("stretch", [1.0, 1.25])
@pytest.mark.parametrize("step", [1.0, 2.0])
def test_damage_is_left_out_with_a_third_of_its_length_and_three_steps_beside(step, stretch):
    """And three samples more where the filter reaches over."""
    found = sound_roughness(PLACE, grinding(), [(500.0, 100.0)], step, stretch=stretch)
    at = found.start_um + step * np.arange(found.sound.size)
    reach = 100 * 0.85 / stretch + 3 * step
    away = np.abs(at - 500 / stretch)
    assert not found.sound[away <= reach + 2.5 * step].any()
    beyond = (away > reach + 4 * step) & (away < reach + 30 * step)
    assert found.sound[beyond].mean() > 0.9


def test_noise_is_that_of_fourth_differences():
    """1, 4, 6, 4, 1: of white noise they have seventy times its variance."""
    height = 0.3 * np.random.default_rng(2).standard_normal(6000)
    bend = 40 * np.sin(np.arange(6000) / 300)
    assert _noise(height + bend, np.ones(6000, bool)) == pytest.approx(0.3, rel=0.05)
    sound = np.ones(6000, bool)
    height[1000:1010] = 900.0
    sound[1000:1010] = False
    assert _noise(height, sound) == pytest.approx(0.3, rel=0.05)
    # Twenty-one whole stretches of five tell, twenty do not.
    assert _noise(height[:25], np.ones(25, bool)) > 0
    assert _noise(height[:24], np.ones(24, bool)) == 0


def test_a_bend_is_taken_out_and_what_stands_out_with_it():
    height = grinding() + 9 * np.sin(2 * np.pi * PLACE / 900) + 3
    height[400:404] += 4.0  # eight spreads
    height[600:604] += 0.6  # one and a fifth
    rough, sound = _rough(height, np.ones(PLACE.size, bool))
    assert not sound[397:407].any()
    assert sound[:390].all()
    assert sound[600:604].all()
    assert np.corrcoef(rough[50:380], grinding()[50:380])[0, 1] > 0.9
    # Bridged straight over what is left out.
    low, high = np.flatnonzero(~sound)[[0, -1]]
    inside = np.arange(low, high + 1)
    expected = np.interp(inside, [low - 1, high + 1], rough[[low - 1, high + 1]])
    assert_allclose(rough[inside], expected)


def test_too_little_is_left_as_it_is():
    height = 0.1 * grinding(count=62)
    height[20:30] += 50.0
    _, sound = _rough(height, np.ones(62, bool))
    assert sound.all()


def test_every_wavelength_above_the_noise_has_equal_weight():
    """Two waves, one ten times the other: through the filter they are alike; noise is none."""
    rng = np.random.default_rng(3)
    x = np.arange(4096)
    height = gaussian_filter1d(rng.standard_normal(4096), 1.5) * 3
    height += 0.01 * rng.standard_normal(4096)
    found = _whitened(height, np.ones(4096, bool))
    power = np.abs(np.fft.rfft(found * np.hanning(4096))) ** 2
    f = np.fft.rfftfreq(4096)
    low = power[(f > 0.02) & (f < 0.06)].mean()
    assert power[(f > 0.1) & (f < 0.16)].mean() == pytest.approx(low, rel=0.35)
    assert power[f > 0.45].mean() < 0.02 * low
    assert found.size == x.size


def test_a_line_mostly_damaged_is_zero():
    found = sound_roughness(PLACE, grinding(), [(450.0, 520.0)], 1.0)
    assert found.sound.any() == found.enough
    none = sound_roughness(PLACE, grinding(), [(450.0, 990.0)], 1.0)
    assert not none.sound.any()
    assert not none.value.any()
    assert none.value.size == 899
    assert none.start_um == 0
