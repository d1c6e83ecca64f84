"""Departures found, parted and sized with the blur taken out, on lines of known shape."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from edgetest.photo.chip_model import size_departures
from edgetest.photo.departures import edge_spread, find_departures
from edgetest.photo.render.side_scene import departure


def line(*items, blur=1.5, noise=0.03, count=300, seed=0):
    """Edge line (positive to the ground) as a blurred picture shows it, and where it is sound."""
    x = np.arange(0, count, 0.05)
    sharp = np.zeros_like(x)
    sound = np.ones(count, bool)
    for centre, length, depth, shape in items:
        inside = np.abs(x - centre) < length / 2
        sharp[inside] += depth * departure((x[inside] - centre) / (length / 2), shape)
        sound[int(centre - length / 2 - 8) : int(centre + length / 2 + 9)] = False
    e = gaussian_filter1d(sharp, blur * 20)[::20]
    return e + np.random.default_rng(seed).normal(0, noise, count), sound


def sized(e, sound, blur=1.5):
    stretches = find_departures(e, sound, blur)
    return stretches, size_departures(e, stretches, blur, *edge_spread(e, sound))


@pytest.mark.parametrize("shape", ["notch", "bowl", "round", "dent", "step"])
def test_depth_length_and_area_come_back_through_the_blur(shape):
    e, sound = line((150, 40, -12, shape))
    (stretch,), (size,) = sized(e, sound)
    assert stretch.sign == -1
    x = np.linspace(-1, 1, 4001)
    assert size["depth"] == pytest.approx(12, rel=0.03)
    assert size["area"] == pytest.approx(12 * 40 * departure(x, shape).mean(), rel=0.03)
    assert size["length"] == pytest.approx(40 * np.mean(departure(x, shape) > 0.1), rel=0.08)
    assert size["centre"] == pytest.approx(150, abs=0.7)
    assert size["depth_u"] < 1.0


def test_a_notch_as_narrow_as_the_blur_is_not_read_at_its_blurred_height():
    e, sound = line((150, 10, -6, "notch"), blur=1.5)
    (_,), (size,) = sized(e, sound)
    assert np.abs(e).max() < 5.0  # what the picture shows
    assert size["depth"] == pytest.approx(6, abs=1.96 * size["depth_u"])
    assert size["depth"] > 5.2


def test_touching_chips_are_parted():
    e, sound = line((140, 30, -8, "bowl"), (168, 26, -6, "bowl"))
    stretches, sizes = sized(e, sound)
    assert len(stretches) == 2
    assert [size["depth"] for size in sizes] == pytest.approx([8, 6], rel=0.08)
    assert [size["centre"] for size in sizes] == pytest.approx([140, 168], abs=1.5)


def test_chip_and_roll_are_told_apart():
    e, sound = line((100, 24, -5, "dent"), (200, 24, 4, "dent"))
    stretches, sizes = sized(e, sound)
    assert [stretch.sign for stretch in stretches] == [-1, 1]
    assert [size["depth"] for size in sizes] == pytest.approx([5, 4], rel=0.05)


def test_roughness_is_not_damage():
    rng = np.random.default_rng(3)
    rough = gaussian_filter1d(rng.normal(size=4000), 6)
    rough *= 0.3 / rough.std()
    assert find_departures(rough, np.ones(4000, bool), 1.5) == []
