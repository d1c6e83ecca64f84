"""Fine detail, part by part: spectra of made waves, lenses and likelihoods by hand."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import j1

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.fine_detail import (
    SECTORS,
    SLANTS,
    STEPS,
    UNEVEN,
    Rays,
    _each_ray,
    _gathered,
    _of_all,
    _periodogram,
    detail_of,
    directed,
    finer_than,
    likelihoods,
    passed,
    slants,
)
from edgetest.photo.apex.straighten import Track

FREQUENCY = np.linspace(0.02, 0.2, STEPS)


def lens(name, blur=0.3, extra=0.0, form=0.0):
    return Explanation(name, 10.0, blur, extra, 1.0, form)


def rays_of(power, count, side, level=None):
    power, count = np.array(power, dtype=float), np.array(count, dtype=float)
    level = np.ones(len(power)) if level is None else np.array(level, dtype=float)
    frequency = np.linspace(0.02, 0.2, power.shape[1])
    return Rays(np.zeros(len(power)), frequency, power, count, level, np.array(side))


def test_a_wave_along_shows_at_its_frequency_and_the_edges_own_light_does_not():
    place = np.arange(100)
    field = np.tile(5 + np.cos(2 * np.pi * 12 * place / 100), (2, 1)).T
    power, along = _periodogram(field, 1)
    assert power.shape == (51, 2)
    assert_allclose(along[:, 0], np.arange(51) / 100)
    assert np.argmax(power[:, 0]) == 12
    # A Hann window's sum of squares halves and halves again: a quarter of n², a quarter of that.
    assert power[12, 0] == pytest.approx((0.25 * 99) ** 2, rel=0.01)
    slow, _ = _periodogram(5 + np.cos(2 * np.pi * 3 * place / 100)[:, None], 1)
    assert not slow[:4].any()
    assert slow[4] > 100  # the window's own breadth
    flat, _ = _periodogram(np.full((60, 3), 7.0), 3)
    assert_allclose(flat, 0, atol=1e-20)


def test_a_wave_aslant_shows_at_both_its_frequencies():
    along, across = np.arange(80)[:, None], np.arange(40)
    field = np.cos(2 * np.pi * (10 * along / 80 - 5 * across / 40))
    power, _ = _periodogram(field, 40)
    assert power.shape == (41, 40)
    assert np.unravel_index(np.argmax(power), power.shape) == (10, 35)


def test_power_is_gathered_by_frequency_in_its_sector_alone():
    borders = np.linspace(0.0, 0.24, STEPS + 1)  # steps of 0.01
    frequency = np.array([[0.005, 0.015, 0.015, 0.015, 0.235, 0.245, 0.015]])
    power = np.array([[2.0, 4.0, 6.0, 0.0, 3.0, 50.0, 70.0]])
    turn = np.array([[1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 2.0]])
    mean, count, level = _gathered(power, frequency, turn, 1, borders, 0.5)
    expected = np.zeros(STEPS)
    expected[[0, 1, 23]] = 0.5, 1.0, 0.5
    assert_allclose(count, expected)
    assert level == pytest.approx(10 / 3)  # of 2, 5 and 3
    assert_allclose(mean[[0, 1, 23]], np.array([2, 5, 3]) / (10 / 3))
    assert_allclose(mean[2:23], 1)


def test_a_sector_without_power_is_level_one():
    borders = np.linspace(0.0, 0.24, STEPS + 1)
    mean, count, level = _gathered(
        np.ones((1, 3)), np.full((1, 3), 0.1), np.zeros(3), 5, borders, 1
    )
    assert level == 1
    assert not count.any()
    assert_allclose(mean, 1)
    below, few, _ = _gathered(np.ones(2), np.array([-0.1, 0.5]), np.zeros(2), 0, borders, 1)
    assert not few.any()
    assert_allclose(below, 1)


def textured(*, land=0.0, upper=0.0, lower=0.0, columns=200, rows=240, size=1.0):
    """Land of 20 px about row 120; waves (cycles a pixel along, down) above it and below it."""
    row, col = np.arange(rows)[:, None] - 120.0, np.arange(columns)

    def wave(at):
        along, down = at or (0.0, 0.0)
        return size * np.cos(2 * np.pi * (along * col + down * row))

    parts = [np.abs(row) < 10, row < 0, row > 0]
    return np.select(parts, [wave(land), wave(upper), wave(lower)]).astype(np.float32)


def sides_of(columns, left=-10.0, right=10.0, row=120.0):
    index = np.arange(columns)
    track = Track(
        index + 0.5,
        np.stack([np.full(columns, row), index], axis=1),
        np.tile([1.0, 0.0], (columns, 1)),
    )
    return SimpleNamespace(track=track, left=np.full(columns, left), right=np.full(columns, right))


def test_detail_is_told_by_side_direction_and_frequency():
    """On the land along it; above at 45° down to the right; below straight down."""
    slant = 0.14 / np.sqrt(2)
    grey = textured(land=(0.1, 0.0), upper=(slant, slant), lower=(0.1, 0.1 * np.tan(np.pi / 8)))
    grey += 1e-3 * np.random.default_rng(1).standard_normal(grey.shape).astype(np.float32)
    rays = detail_of(grey, sides_of(200), 6.0, 0.02)
    assert rays.side[0] == 0
    assert set(rays.side) == {0, 1, 2}
    for side in (1, 2):  # straight down there is next to nothing but what runs along
        turns = rays.angle[rays.side == side] / (np.pi / SECTORS)
        assert set(np.rint(turns).astype(int)) >= {0, 1, 2, 3, 5, 6}
        assert_allclose(turns, np.rint(turns))
    assert_allclose(np.diff(rays.frequency), 0.18 / 24)
    assert rays.frequency[0] == pytest.approx(0.02 + 0.18 / 48)

    def peak(of):
        return rays.frequency[np.argmax(rays.power[of] * (rays.count[of] > 0))]

    land = np.flatnonzero(rays.side == 0)[0]
    assert rays.angle[land] == 0
    assert peak(land) == pytest.approx(0.1, abs=0.006)
    above = np.flatnonzero(rays.side == 1)
    loudest = above[np.argmax(rays.level[above])]
    assert rays.angle[loudest] == pytest.approx(np.pi / 4)
    assert peak(loudest) == pytest.approx(0.14, abs=0.006)
    below = np.flatnonzero(rays.side == 2)
    loudest = below[np.argmax(rays.level[below])]
    assert rays.angle[loudest] == pytest.approx(np.pi / 8)


def test_bevels_are_looked_at_as_broad_as_the_lens_asks_and_no_broader():
    """Values counted: of n columns and m rows beside the edge each stands for a part of them."""
    grey = np.random.default_rng(2).standard_normal((420, 160)).astype(np.float32)
    many = {}
    for keep in (4.0, 10.0, 25.0):
        rays = detail_of(grey, sides_of(160, row=210.0), keep, 0.02)
        many[keep] = rays.count[rays.side == 1].sum()
    # 48 px at least (not 32), eight radii (80 px), 160 px at most (not 200).
    assert many[10.0] / many[4.0] == pytest.approx(80 / 48, rel=0.1)
    assert many[25.0] / many[4.0] == pytest.approx(160 / 48, rel=0.1)


def test_values_under_windows_are_counted_once_in_two_and_a_quarter():
    """Half a circle of frequencies up to 0.2 and down to 0.02, in cells of 1 / n by 1 / m."""
    grey = np.random.default_rng(2).standard_normal((420, 160)).astype(np.float32)
    rays = detail_of(grey, sides_of(160, row=210.0), 10.0, 0.02)
    # Waves of up to three in the whole length are left out: a stripe of 2 * 0.2 by 0.01875 or so.
    area = np.pi * (0.2**2 - 0.02**2) / 2 - 0.4 * 0.02
    assert rays.count[rays.side == 2].sum() == pytest.approx(area * 160 * 80 / 2.25, rel=0.05)
    # The land: 13 columns within 0.35 of 20 px, one value in five of them.
    land = rays.count[0]
    assert land.sum() == pytest.approx(13 / 5 * 160 * 0.18, rel=0.05)


def test_a_bevel_that_the_picture_cuts_short_is_left_out():
    grey = np.random.default_rng(3).standard_normal((240, 160)).astype(np.float32)
    # Beyond row 10 + 6 of 48 px the upper bevel is 0.7 of 48 = 33.6 px: 34 columns do, 33 do not.
    for row, sides in ((50.0, [0, 1, 2]), (49.0, [0, 2])):
        rays = detail_of(grey, sides_of(160, row=row), 6.0, 0.02)
        assert sorted(set(rays.side)) == sides


@pytest.mark.parametrize(("half", "land"), [(1.42, False), (1.44, True)])
def test_a_land_of_one_column_has_no_detail_of_its_own(half, land):
    """Within 0.35 of 2.84 px lies one place, within 0.35 of 2.88 px lie three."""
    grey = np.random.default_rng(3).standard_normal((240, 160)).astype(np.float32)
    rays = detail_of(grey, sides_of(160, -half, half), 6.0, 0.02)
    assert (0 in set(rays.side)) == land


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


def test_a_lens_out_of_focus_by_a_pixel_is_not_asked_about():
    """0.12 cycles a radius: over 1.2 px it leaves half of what is finer than 0.2 cycles a pixel."""
    grey = textured(land=(0.15, 0.0), upper=(0.12, 0.1), lower=(0.12, -0.1))
    sharp = lens("plain")
    assert finer_than(grey, sides_of(200), sharp, lens("disc", extra=1.19)) == 0
    assert finer_than(grey, sides_of(200), sharp, lens("disc", extra=1.21)) != 0


def test_no_texture_where_no_bevel_is_seen_speaks_for_nobody():
    grey = np.zeros((240, 200), dtype=np.float32)
    assert finer_than(grey, sides_of(200), lens("plain"), lens("disc", extra=6.0)) == 0


def test_fine_detail_speaks_for_the_sharp_lens():
    grey = np.random.default_rng(4).standard_normal((240, 160)).astype(np.float32)
    sides = sides_of(160)
    sharp, soft = lens("plain"), lens("disc", extra=6.0)
    towards = finer_than(grey, sides, sharp, soft)
    rays = detail_of(grey, sides, 6.0, 0.02)
    first, second = likelihoods(rays, (sharp, soft))
    assert towards == pytest.approx(first - second)


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
