"""Edges behind lenses: chords of an aperture summed, movements and corners as plain means."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.lens_edges import (
    disc_edge,
    edge_of,
    gaussian_edge,
    round_side,
    spread_shares,
)

X = np.linspace(-6, 6, 25)[None]
NO_FORM = np.zeros((1, 1))


def column(value):
    return np.array([[value]])


def test_a_gaussian_and_a_disc_have_their_closed_forms():
    assert_allclose(gaussian_edge(X, 1.3), ndtr(X / 1.3))
    y = np.linspace(-2.6, 2.6, 200001)
    chords = np.sqrt(2.6**2 - y**2)
    share = [chords[y <= x].sum() / chords.sum() for x in X[0]]
    assert_allclose(disc_edge(X, 1.3)[0], share, atol=1e-4)


def test_an_even_movement_is_the_mean_of_its_edges():
    found = edge_of("moved", X, column(0.8), column(2.5), NO_FORM)
    steps = np.linspace(-1.25, 1.25, 4001)
    assert_allclose(found[0], ndtr((X[0][:, None] + steps) / 0.8).mean(axis=1), atol=5e-3)


@pytest.mark.parametrize(
    ("name", "form"), [("disc", 0.0), ("annular", 0.4), ("hexagon", 0.0), ("hexagon", 0.4)]
)
def test_a_spread_is_the_chords_of_its_aperture(name, form):
    """Points of the aperture counted by the strip they lie in."""
    rng = np.random.default_rng(1)
    x, y = rng.uniform(-1, 1, (2, 400_000))
    if name == "hexagon":
        inside = np.ones(x.size, bool)
        for third in (-np.pi / 3, 0.0, np.pi / 3):
            angle = form + third + np.pi / 6
            inside &= np.abs(x * np.cos(angle) + y * np.sin(angle)) <= np.sqrt(3) / 2
    else:
        inside = (x**2 + y**2 <= 1) & (x**2 + y**2 >= form**2)
    counts = np.histogram(x[inside], np.linspace(-1, 1, 13))[0]
    shares = spread_shares(name, column(form), cells=240)[0].reshape(12, -1).sum(axis=1)
    assert shares.sum() == pytest.approx(1.0)
    assert_allclose(shares, counts / counts.sum(), atol=4e-3)


def test_every_edge_goes_from_dark_to_light_and_half_of_it_at_its_place():
    for name in ("gaussian", "moved", "disc", "annular", "hexagon", "diffracted"):
        form = column(0.3) if name == "annular" else NO_FORM
        far = edge_of(name, np.array([[-40.0, 0.0, 40.0]]), column(1.0), column(2.0), form)[0]
        assert_allclose(far, [0.0, 0.5, 1.0], atol=0.02)


def test_a_round_corner_lets_half_of_its_light_fall_outside_by_its_half_fall():
    """Mean of steps at distances by Rayleigh's law: drawn a hundred thousand times."""
    reach = 2.0
    found = round_side(X, column(0.8), column(1e-3), column(reach))
    drawn = reach * np.sqrt(2 * np.random.default_rng(2).exponential(size=20_000))
    plain = ndtr((X[0][:, None] + drawn) / 0.8).mean(axis=1)
    assert_allclose(found[0], plain, atol=0.03)
