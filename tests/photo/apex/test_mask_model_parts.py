"""The fit of band, lens and mask, part by part: its start, its limits, its light by plain sums."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex import mask_model
from edgetest.photo.apex.lens_edges import HALF_FALL, edge_of
from edgetest.photo.apex.mask_model import (
    AMOUNT,
    GRID_PX,
    SIZE,
    STRAIGHTENED,
    MaskModel,
    StoredCurve,
    _smoothed,
    curve_of,
)

T = np.arange(-15.0, 15.5, 0.5)


def model(light=None, *, blur=1.4, corner=0.0, tone="linear"):
    light = np.linspace(0.1, 0.3, T.size) if light is None else light
    return MaskModel(T, light, np.full(T.size, 0.01), 0.5, blur, curve_of(tone), corner)


def test_a_start_is_read_from_the_profile():
    found = model().start(12.0, 3.0)
    few = np.linspace(0.1, 0.3, T.size)[:6].mean()
    below, above = few, 0.4 - few
    expected = [0, 12, np.log(0.7), np.log(3), 0.1, np.log(1.2), below, 0.7, above, 0, 0]
    assert_allclose(found, expected)
    assert_allclose(model(blur=0.5).start(12.0, 0.2)[2:4], np.log([0.3, 0.6]))


def test_a_fit_keeps_within_its_limits(monkeypatch):
    asked = {}
    monkeypatch.setattr(
        mask_model, "descend", lambda state, theta, limit, bounds, damping: asked.update(
            limit=limit, bounds=bounds))  # fmt: skip
    model(blur=2.0).fitted(np.zeros(SIZE))
    low, high = asked["bounds"]
    inf = np.inf
    assert_allclose(low, [-5, 0.3, *np.log([0.2, 0.3]), 0, np.log(0.4), 0, 0, 0, -0.5, -0.5])
    assert_allclose(high, [5, inf, *np.log([15, 30]), 2.5, np.log(4), 1, 4, 1, 0.5, 0.5])
    assert_allclose(asked["limit"], [0.5, 0.7, 0.3, 0.3, 0.3, 0.3, *[0.15] * 5])


def test_straightening_is_a_triangle_of_two_pixels():
    assert STRAIGHTENED.sum() == pytest.approx(1)
    assert_allclose(STRAIGHTENED, GRID_PX * np.array([0.25, 0.5, 0.75, 1, 0.75, 0.5, 0.25]))


def test_a_mask_is_a_gaussian_of_its_radius():
    grid = np.arange(-40, 41) * GRID_PX
    step = (grid >= 0).astype(float)[None]
    found = _smoothed(step, np.log(1.5))[0]
    assert_allclose(found, ndtr((grid + GRID_PX / 2) / 1.5), atol=2e-3)
    point = (grid == 0).astype(float)[None]
    kernel = _smoothed(point, np.log(0.5))[0]
    assert kernel.sum() == pytest.approx(1)
    assert kernel @ grid**2 == pytest.approx(0.25, rel=0.01)
    # Four radii to either side.
    assert np.abs(grid[kernel > 0]).max() == pytest.approx(2.0)


def plain(theta, curve=None, blur=1.4):
    """The light at the places, one sum after another on a finer grid."""
    middle, width, log_blur, log_ring, amount, log_radius, below, land, above, *slopes = theta
    grid = np.arange(-40, 40.05, 0.05)
    left, right = grid - middle + width / 2, grid - middle - width / 2
    lens = np.array([[np.exp(log_blur)]]), np.array([[np.exp(log_ring)]]), None
    rise, fall = (edge_of("diffracted", side[None], *lens)[0] for side in (left, right))
    ground = below + slopes[0] * np.maximum(-left, 0) / 20
    beyond = above + slopes[1] * np.maximum(right, 0) / 20
    light = ground * (1 - rise) + land * (rise - fall) + beyond * fall
    stored = light if curve is None else curve.encode(light)

    def behind(values, kernel):
        reach = kernel.size // 2
        return np.convolve(np.pad(values, reach, mode="edge"), kernel / kernel.sum(), "valid")

    at = np.arange(-400, 401) * 0.05
    smooth = behind(stored, np.exp(-0.5 * (at / np.exp(log_radius)) ** 2))
    masked = np.clip(stored + amount * (stored - smooth), 0, 1)
    back = masked if curve is None else curve.decode(masked)
    back = behind(back, np.maximum(1 - np.abs(np.arange(-20, 21)) * 0.05, 0))
    return np.interp(T, grid, back)


THETA = np.array(
    [0.4, 11.0, np.log(0.9), np.log(2.0), 0.4, np.log(1.3), 0.1, 0.6, 0.2, 0.05, -0.04]
)


@pytest.mark.parametrize("tone", ["linear", "gamma 2.0"])
def test_light_is_that_of_band_lens_mask_and_curve(tone):
    curve = None if tone == "linear" else curve_of(tone)
    made = model(tone=tone)
    trials = np.vstack([THETA, *(THETA + np.diag([0.3] * 3 + [0.2] * 3 + [0.02] * 5))])
    seen = made._seen(trials)
    assert seen.shape == (SIZE + 1, T.size)
    for theta, found in zip(trials, seen, strict=True):
        assert_allclose(found, plain(theta, curve), atol=4e-3)
    without = THETA.copy()
    without[AMOUNT] = 0
    assert np.abs(seen[0] - plain(without, curve)).max() > 0.01


def test_light_is_stored_between_nothing_and_full_scale():
    bright = THETA.copy()
    bright[7], bright[AMOUNT] = 0.95, 2.0
    found = model()._seen(np.tile(bright, (SIZE + 1, 1)))[0]
    assert 0.97 < found.max() <= 1
    assert_allclose(found, plain(bright), atol=6e-3)


def test_a_curve_of_its_own_is_taken_for_srgb_and_a_gamma_is_a_power():
    assert curve_of("gamma 2.0").encode(0.25) == pytest.approx(0.5)
    assert curve_of("gamma 2.0").decode(0.5) == pytest.approx(0.25)
    assert curve_of("gamma 2.0").decode(1.5) == 1
    assert curve_of("linear").encode(1.5) == 1.5
    assert curve_of("own curve").decode(0.5) == pytest.approx(0.21404, abs=1e-4)
    assert isinstance(curve_of("srgb"), StoredCurve)


def test_round_corners_are_steps_at_rayleighs_distances():
    """Their mean over the law, half of a corner's light at 0: both sides alike."""
    made = model(corner=1.5)
    c = 1.4 * 1.5
    grid = np.arange(-120, 121) * GRID_PX
    rise, fall = (ndtr((grid - at) / 1.2)[None] for at in (-9.0, 9.0))
    found = made._rounded(rise, fall, 18.0)
    r = (np.arange(600) + 0.5) * 6 * c / 600
    law = r / c**2 * np.exp(-0.5 * (r / c) ** 2) * (r[1] - r[0])
    away = HALF_FALL * c - r
    for got, at, way in ((found[0][0], -9.0, 1), (found[1][0], 9.0, -1)):
        expected = ndtr((grid[:, None] - at - way * away) / 1.2) @ law
        assert_allclose(got[30:-30], expected[30:-30], atol=4e-3)
    # No corner reaches beyond the middle of the land.
    slim = made._rounded(rise, fall, 2.0)
    c = 1.0 / HALF_FALL
    law = r / c**2 * np.exp(-0.5 * (r / c) ** 2) * (r[1] - r[0])
    expected = ndtr((grid[:, None] + 9.0 - (HALF_FALL * c - r)) / 1.2) @ law
    assert_allclose(slim[0][0, 30:-30], expected[30:-30], atol=4e-3)
    assert model()._rounded(rise, fall, 18.0)[0] is rise
