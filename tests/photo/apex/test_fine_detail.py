"""Detail has a direction where it is a grind, none where it is noise; one speck does not decide."""

import numpy as np
import pytest

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.fine_detail import SECTORS, STEPS, Rays, directed, likelihoods

FREQUENCY = np.linspace(0.02, 0.2, STEPS)


def rays_of(shape, level, seed=1):
    """Rays of one bevel: gamma-distributed power about a spectrum, at a level each."""
    rng = np.random.default_rng(seed)
    count = np.full((SECTORS, STEPS), 20.0)
    power = level[:, None] * shape * rng.gamma(count) / count
    mean = power.mean(axis=1)
    angle = np.arange(SECTORS) * np.pi / SECTORS
    side = np.ones(SECTORS, dtype=int)
    return Rays(angle, FREQUENCY, power / mean[:, None], count, mean, side)


@pytest.mark.parametrize("drawn_px", [0.06, 0.12, 1.0])
def test_noise_of_any_spectrum_has_no_direction(drawn_px):
    shape = np.exp(-0.5 * (FREQUENCY / drawn_px) ** 2)
    assert directed(rays_of(shape, np.ones(SECTORS)), 0.05) < 8


def test_a_grind_has_a_direction():
    level = np.ones(SECTORS)
    level[2] = 2.0
    assert directed(rays_of(np.ones(STEPS), level), 0.05) > 30


def test_one_ray_that_no_lens_explains_does_not_decide():
    lenses = (
        Explanation("plain", 10.0, 0.3, 0.0, 1.0),
        Explanation("disc", 3.0, 0.5, 6.0, 1.0),
    )
    rays = rays_of((FREQUENCY[0] / FREQUENCY) ** 3, np.ones(SECTORS))
    sharp, soft = likelihoods(rays, lenses)
    assert sharp - soft > 20
    rays.power[3] = np.exp(-0.5 * (FREQUENCY / 0.012) ** 2) + 1e-6 / FREQUENCY  # a smooth speck
    again = likelihoods(rays, lenses)
    assert again[0] - again[1] > 0.6 * (sharp - soft)


@pytest.mark.parametrize("light", [1e-6, 1e3])
def test_a_direction_does_not_depend_on_the_light(light):
    level = np.ones(SECTORS)
    level[2] = 2.0
    rays, other = (rays_of(np.ones(STEPS), level * times) for times in (1.0, light))
    assert directed(other, 0.05) == pytest.approx(directed(rays, 0.05))


def test_a_ray_of_less_than_one_value_counts_for_as_much():
    level = np.ones(SECTORS)
    level[2] = 2.0
    rays = rays_of(np.ones(STEPS), level)
    whole = directed(rays, 0.05)
    rays.count[5] = 0.0
    rays.count[5, 12] = 0.4
    assert directed(rays, 0.05) == pytest.approx(whole, rel=0.2)
    rays.count[5] = 0.0
    assert directed(rays, 0.05) == pytest.approx(whole, rel=0.2)
