"""The columns of an explanation: each behind its lens, against numbers got by another way."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.explanations import Explanation, _columns, _solve, fit_explanation

T = np.linspace(-25, 25, 201)
FINE = np.arange(-60, 60.0005, 0.01)


def columns(name, *rest, width=20.0, blur=2.0, middle=1.0):
    return _columns(name, T, np.array([[middle, width, blur, *rest]]))[0]


def blurred(values, blur=2.0):
    """What a Gaussian makes of values on a fine grid, at the places."""
    kernel = np.exp(-0.5 * (np.arange(-1200, 1201) * 0.01 / blur) ** 2)
    seen = np.convolve(values, kernel / kernel.sum(), "same")
    return np.interp(T, FINE, seen)


LEFT, RIGHT = -9.0, 11.0  # of a land of 20 px about 1


def test_a_plain_land_lies_between_two_grounds():
    below, land, above = columns("plain")
    assert_allclose(below + land + above, 1)
    assert_allclose(below, blurred((FINE < LEFT).astype(float)), atol=2e-3)
    assert_allclose(land, blurred(((FINE > LEFT) & (FINE < RIGHT)).astype(float)), atol=3e-3)


@pytest.mark.parametrize("name", ["sloped", "rounded", "dome", "moved", "disc"])
def test_grounds_brighten_away_from_the_land_behind_the_blur(name):
    """By a twentieth of the light a pixel."""
    found = columns(name, 3.0) if name in ("moved", "disc") else columns(name)
    # Of a lens that reaches further, beyond its reach.
    away = 10 if name in ("moved", "disc") else -99
    far = np.abs(T - 1) > 10 + away
    assert_allclose(found[3][far], blurred(np.maximum(LEFT - FINE, 0) / 20)[far], atol=1e-3)
    assert_allclose(found[4][far], blurred(np.maximum(FINE - RIGHT, 0) / 20)[far], atol=1e-3)


def test_a_rounded_land_falls_with_the_square_and_a_dome_to_nothing():
    inside = (FINE > LEFT) & (FINE < RIGHT)
    square = np.where(inside, ((FINE - 1) / 10) ** 2, 0.0)
    rounded = columns("rounded")
    assert len(rounded) == 6
    assert_allclose(rounded[5], blurred(square), atol=3e-3)
    assert_allclose(rounded[1], columns("plain")[1])
    dome = columns("dome")
    assert len(dome) == 5
    assert_allclose(dome[1], blurred(np.where(inside, 1 - square, 0.0)), atol=3e-3)


@pytest.mark.parametrize("extra", [0.0, 0.8, -1.2, 1.7])
def test_a_rolled_land_has_a_softer_and_a_sharper_side(extra):
    below, _, above = columns("rolled", extra)[:3]
    assert_allclose(1 - below, ndtr((T - LEFT) / (2 + extra)), atol=1e-12)
    assert_allclose(above, ndtr((T - RIGHT) / (2 - extra)), atol=1e-12)


@pytest.mark.parametrize(("extra", "held"), [(1.71, 1.7), (9.0, 1.7), (-1.71, -1.7), (-30.0, -1.7)])
def test_no_side_is_sharper_than_a_pixel_shows(extra, held):
    """Of two pixels of blur 1.7 may lie on the other side: 0.3 px are left."""
    assert_allclose(columns("rolled", extra), columns("rolled", held))


def test_round_corners_reach_to_the_middle_at_most():
    """Half of a corner's light lies 1.1774 of its reach outside of the flat."""
    most = 10 / np.sqrt(2 * np.log(2))
    assert_allclose(columns("cornered", 3.0, 50.0), columns("cornered", 3.0, most))
    some = columns("cornered", 3.0, 2.0)
    assert np.abs(some[1] - columns("cornered", 3.0, most)[1]).max() > 0.01
    # Of little blur the light at the land's own border is a half.
    sharp = columns("cornered", 0.3, 2.0, blur=0.3)
    assert np.interp(LEFT, T, sharp[1]) == pytest.approx(0.5, abs=0.04)
    assert_allclose(sharp[0] + sharp[1] + sharp[2], 1)


def test_levels_are_solved_for():
    """Light made of the columns is explained by their shares, and nothing is left."""
    p = np.array([[1.0, 20.0, 2.0]])
    shares = np.array([0.2, 0.9, 0.3, 0.05, -0.04])
    sd = np.linspace(0.5, 2, T.size)
    light = shares @ columns("sloped")
    off, linear = _solve("sloped", T, light / sd, sd, p)
    assert_allclose(off, 0, atol=1e-6)
    assert_allclose(linear[0], shares, atol=1e-6)


@pytest.mark.parametrize("name", ["plain", "sloped", "rounded", "rolled"])
def test_an_explanation_finds_what_a_profile_was_made_of(name):
    extra = [1.0] if name == "rolled" else []
    made = columns(name, *extra, middle=0.3)
    shares = np.array([0.1, 1.0, 0.2, 0.02, 0.03, -0.4])[: len(made)]
    profile = T, shares @ made, np.full(T.size, 0.01)
    found = fit_explanation(name, profile, 19.0, 2.3)
    assert found.name == name
    assert found.width_px == pytest.approx(20.0, abs=0.01)
    assert found.blur_px == pytest.approx(2.0, abs=0.01)
    assert found.chi2 < 0.01
    if name == "rolled":
        assert found.extra == pytest.approx(1.0, abs=0.02)
    if name == "rounded":  # 0.4 of what the land is over the mean of both grounds
        assert found.extra == pytest.approx(0.4 / 0.85, abs=0.01)


def test_misfit_is_counted_by_degree_of_freedom():
    """201 bins less a dozen: off by one standard deviation either way."""
    made = np.array([0.1, 1.0, 0.2]) @ columns("plain", middle=0.0)
    off = 0.01 * np.where(np.arange(T.size) % 2, 1.0, -1.0)
    found = fit_explanation("plain", (T, made + off, np.full(T.size, 0.01)), 20.0, 2.0)
    assert found.chi2 == pytest.approx(201 / 189, rel=0.01)


def test_an_aperture_starts_where_another_ended():
    made = np.array([0.1, 1.0, 0.2]) @ columns("disc", 5.0, middle=0.0)[:3]
    profile = T, made, np.full(T.size, 0.01)
    start = Explanation("disc", 18.0, 2.2, 4.0, 0.0)
    found = fit_explanation("disc", profile, 99.0, 2.0, like=start)
    assert (found.width_px, found.extra) == pytest.approx((20.0, 5.0), abs=0.1)
