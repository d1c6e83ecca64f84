"""What a lens lets through of fine detail, and how likely it makes what is seen, by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import j1

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.fine_detail import (
    SLANTS,
    STEPS,
    UNEVEN,
    Rays,
    _each_ray,
    _of_all,
    directed,
    likelihoods,
    passed,
    slants,
)

FREQUENCY = np.linspace(0.02, 0.2, STEPS)


def lens(name, blur=0.3, extra=0.0, form=0.0):
    return Explanation(name, 10.0, blur, extra, 1.0, form)


def rays_of(power, count, side, level=None):
    power, count = np.array(power, dtype=float), np.array(count, dtype=float)
    level = np.ones(len(power)) if level is None else np.array(level, dtype=float)
    frequency = np.linspace(0.02, 0.2, power.shape[1])
    return Rays(np.zeros(len(power)), frequency, power, count, level, np.array(side))


def test_slants_run_both_ways_and_straight_across_once():
    assert_allclose(sorted(slants()), sorted([0.0, *SLANTS[1:], *(-s for s in SLANTS[1:])]))
    assert slants().size == 11


def test_a_plain_lens_lets_a_gaussian_through_whichever_way():
    found = passed(lens("plain", blur=1.2), np.array([0.0, 1.0]), FREQUENCY)
    assert found.shape == (1, 2, STEPS)
    assert_allclose(found[0, 1], np.exp(-((2 * np.pi * FREQUENCY * 1.2) ** 2)))
    assert_allclose(found[0, 0], found[0, 1])


def test_a_movement_lets_through_what_runs_along_with_it():
    angle = np.array([0.0, np.pi / 2, np.pi / 4])
    found = passed(lens("moved", blur=0.1, extra=9.0), angle, FREQUENCY)
    soft = np.exp(-((2 * np.pi * FREQUENCY * 0.1) ** 2))
    assert found.shape == (11, 3, STEPS)
    assert_allclose(found[0, 0], soft)  # straight across: waves along are untouched
    across = np.mean([np.sinc(9.0 * part * FREQUENCY) ** 2 for part in UNEVEN], axis=0)
    assert_allclose(found[0, 1], across * soft)
    assert_allclose(found[3, 1], across * soft)  # whatever its slant
    assert slants()[2] == 0.8
    both = (0.8 + 1) / np.sqrt(2)
    aslant = np.mean([np.sinc(9.0 * part * both * FREQUENCY) ** 2 for part in UNEVEN], axis=0)
    assert_allclose(found[2, 2], aslant * soft)
    assert slants()[7] == -0.8
    less = (1 - 0.8) / np.sqrt(2)
    aslant = np.mean([np.sinc(9.0 * part * less * FREQUENCY) ** 2 for part in UNEVEN], axis=0)
    assert_allclose(found[7, 2], aslant * soft)


def test_a_disc_lets_through_its_bessel_rings():
    """2 J1(z) / z with z = 2 pi f r, squared, a mean over a focus that is not even."""
    found = passed(lens("disc", blur=0.2, extra=4.0), np.array([0.3]), FREQUENCY)
    z = 2 * np.pi * FREQUENCY * 4.0 * UNEVEN[:, None]
    rings = ((2 * j1(z) / z) ** 2).mean(axis=0)
    assert found.shape == (1, 1, STEPS)
    assert_allclose(found[0, 0], rings * np.exp(-((0.4 * np.pi * FREQUENCY) ** 2)), atol=2e-3)


def test_a_hexagon_is_tried_as_its_mirror_image_too():
    """Its corner 10° from the edge's normal: turned by the wave's angle, one way or the other."""
    form = np.deg2rad(10)
    angle = np.deg2rad([90.0, 70.0, 110.0])
    found = passed(lens("hexagon", extra=6.0, form=form), angle, FREQUENCY)
    assert found.shape == (2, 3, STEPS)
    assert_allclose(
        found[0, 0], passed(lens("hexagon", extra=6.0, form=form), angle[:1], FREQUENCY)[1, 0]
    )
    # By 20° one way is by 20° the other way of the mirror image.
    assert_allclose(found[0, 1], found[1, 2], rtol=1e-6)
    assert np.abs(found[0, 1] - found[0, 2]).max() > 1e-3
    turned = passed(lens("hexagon", extra=6.0, form=form + np.deg2rad(20)), angle[:1], FREQUENCY)
    assert min(np.abs(turned[0, 0] - found[way, 1]).max() for way in (0, 1)) < 1e-9


def test_a_stop_lets_through_less_at_its_first_ring_than_a_disc():
    found = passed(lens("annular", extra=6.0, form=0.5), np.array([0.0]), FREQUENCY)
    z = 2 * np.pi * FREQUENCY * 6.0 * UNEVEN[:, None]
    outer, inner = 2 * j1(z) / z, 2 * j1(z / 2) / (z / 2)
    rings = (((outer - 0.25 * inner) / 0.75) ** 2).mean(axis=0)
    soft = np.exp(-((0.6 * np.pi * FREQUENCY) ** 2))
    assert_allclose(found[0, 0], rings * soft, atol=3e-3)


def test_the_best_way_of_an_aperture_and_the_mean_of_all_of_a_movement():
    ways = np.array([[1.0, 2.0], [4.0, -0.5]])
    assert _of_all(ways, lens("hexagon")) == 3.5
    many = np.zeros((11, 2))
    many[:, 0] = np.arange(11)
    weights = np.exp(np.arange(11) - 6.0 * np.hypot(1, slants()) / 12)
    assert _of_all(many, lens("moved", extra=6.0)) == pytest.approx(np.log(weights.mean()))


def test_a_spectrum_that_a_lens_explains_has_the_greatest_likelihood_there_is():
    """Noise that falls like a Gaussian of 0.12 cycles, and texture that falls with f²."""
    count = np.full((1, STEPS), 5.0)
    for power in (
        np.exp(-0.5 * (FREQUENCY / 0.12) ** 2),
        0.2 * (FREQUENCY[0] / FREQUENCY) ** 2 * np.exp(-((0.6 * np.pi * FREQUENCY) ** 2)),
        np.ones(STEPS),
    ):
        rays = Rays(np.zeros(1), FREQUENCY, power[None], count, np.ones(1), np.ones(1, int))
        full = -(5.0 * (np.log(power) + 1)).sum()
        found = _each_ray(rays, lens("plain"))
        assert found.shape == (1, 1)
        assert full - 1.0 < found[0, 0] <= full + 1e-9  # forty rounds come so near


def test_a_likelihood_is_that_of_gamma_powers_about_a_level():
    """Power that jumps up and down about 1: the noise that does not fall is its mean."""
    power = np.where(np.arange(STEPS) % 2, 1.4, 0.6)[None]
    rays = Rays(
        np.zeros(1), FREQUENCY, power, np.full((1, STEPS), 3.0), np.ones(1), np.ones(1, int)
    )
    level = -(3.0 * (np.log(1.0) + power)).sum()
    found = _each_ray(rays, lens("plain"))[0, 0]
    assert level - 0.5 <= found < level + 1.0


def test_rays_that_no_lens_explains_count_by_their_deviance():
    """Twice the count is half the scatter that is left: divided by it both say the same."""
    power = np.where(np.arange(STEPS) % 2, 1.9, 0.1)[None]
    lenses = (lens("plain"), lens("disc", extra=6.0))
    found = []
    for count in (4.0, 8.0):
        many = np.full((1, STEPS), count)
        rays = Rays(np.zeros(1), FREQUENCY, power, many, np.ones(1), np.ones(1, int))
        each = np.array([_each_ray(rays, one).max() for one in lenses])
        full = -(many * (np.log(power) + 1)).sum()
        scale = 2 * (full - each.max()) / (STEPS - 3)
        assert scale > 3
        found.append(likelihoods(rays, lenses))
        assert_allclose(found[-1], each / scale)
    assert_allclose(*found)


def test_one_free_value_is_left_though_few_steps_are_seen():
    power = np.where(np.arange(STEPS) % 2, 1.9, 0.1)[None]
    count = np.zeros((1, STEPS))
    count[0, :3] = 40.0
    rays = Rays(np.zeros(1), FREQUENCY, power, count, np.ones(1), np.ones(1, int))
    each = _each_ray(rays, lens("plain")).max()
    full = -(count * (np.log(power) + 1)).sum()
    assert likelihoods(rays, (lens("plain"),))[0] == pytest.approx(each / (2 * (full - each)))


def test_the_direction_of_detail_is_a_likelihood_ratio_by_hand():
    """Two rays of one bevel, 10 and 30 values at each of two fine steps, levels 1 and 3."""
    rays = rays_of(np.ones((2, 4)), [[10] * 4, [30] * 4], [1, 1], level=[1, 3])
    # Steps at 0.02 to 0.2: two lie above 0.1. Common level (10 + 90) / 40 = 2.5.
    expected = 20 * np.log(2.5 / 1) + 60 * np.log(2.5 / 3)
    assert directed(rays, 0.1) == pytest.approx(expected)
    assert directed(rays, 0.19) == pytest.approx(expected / 2)


def test_a_step_at_the_limit_is_not_fine_yet():
    rays = rays_of(np.ones((2, 4)), [[10] * 4, [30] * 4], [2, 2], level=[1, 3])
    limit = float(rays.frequency[2])
    assert directed(rays, limit) == pytest.approx(directed(rays, limit - 1e-9) / 2)


def test_of_two_bevels_the_more_directed_speaks_and_the_land_does_not():
    many = [[10] * 4] * 2
    weak, strong = [1, 1.2], [1, 4]

    def of(level, side):
        return directed(
            rays_of(np.ones((len(level), 4)), many * (len(level) // 2), side, level), 0.1
        )

    assert of(weak + strong, [1, 1, 2, 2]) == pytest.approx(of(strong, [2, 2]))
    assert of(strong + weak, [1, 1, 2, 2]) == pytest.approx(of(strong, [1, 1]))
    assert of(strong, [0, 0]) == 0
    assert of(strong, [1, 2]) == 0  # one ray has no direction


def test_a_ray_of_no_values_has_no_say():
    rays = rays_of(np.ones((3, 4)), [[10] * 4, [30] * 4, [0] * 4], [1, 1, 1], level=[1, 3, 99])
    both = rays_of(np.ones((2, 4)), [[10] * 4, [30] * 4], [1, 1], level=[1, 3])
    assert directed(rays, 0.1) == pytest.approx(directed(both, 0.1))
