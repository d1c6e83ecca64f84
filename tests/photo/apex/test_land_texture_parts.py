"""How uneven a land is: columns of known light, and which columns lie within it."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.apex.land_texture import land_texture

X = np.arange(-20.0, 21.0)


def sides_of(residual, *, half=10.0, blur=2.0, wide=False, contrast=0.5):
    count = len(residual) // (2 if wide else 1)
    full = np.ones(count)
    return SimpleNamespace(
        residual=np.asarray(residual), blur_px=blur * full, contrast=contrast * full, wide=wide,
        x=X, left=-half * full, right=half * full,
    )  # fmt: skip


def texture(columns, *, count=80, noise=0.0, used=None, **known):
    """Columns whose light goes on along the whole edge."""
    residual = np.tile(np.asarray(columns, dtype=float), (count, 1))
    residual += noise * np.random.default_rng(1).standard_normal(residual.shape)
    sides = sides_of(residual, **known)
    places = len(sides.blur_px)
    return land_texture(sides, np.ones(places, bool) if used is None else used)


def test_texture_is_the_deviation_of_columns_over_the_contrast():
    ripple = 0.05 * np.where(np.arange(X.size) % 2, 1.0, -1.0)
    assert texture(ripple) == pytest.approx(0.1)
    assert texture(0 * ripple) == 0
    assert texture(ripple, contrast=1.0) == pytest.approx(0.05)


def test_noise_that_does_not_know_its_neighbours_is_taken_off():
    assert texture(np.zeros(X.size), noise=0.05) < 0.006
    ripple = 0.05 * np.where(np.arange(X.size) % 2, 1.0, -1.0)
    assert texture(ripple, noise=0.05) == pytest.approx(0.1, rel=0.05)


@pytest.mark.parametrize(
    ("half", "blur", "within"),
    [(10.0, 2.0, 8.0), (10.0, 6.0, 4.0), (6.0, 4.0, 4.0), (2.5, 4.0, 2.5)],
)
def test_columns_lie_a_blur_inside_or_less_where_four_are_wanted(half, blur, within):
    """A blur inside of the sides; if that leaves no four columns a half, or none."""
    for edge in (within - 0.5, within + 0.5):
        bright = np.where(np.abs(np.abs(X) - np.round(edge)) < 0.4, 0.2, 0.0)
        inside = np.abs(X) < within
        expected = np.sqrt(np.mean((bright[inside] / 0.5) ** 2))
        assert texture(bright, half=half, blur=blur) == pytest.approx(expected)
        assert (expected > 0) == (np.round(edge) < within)


def test_places_that_do_not_count_are_left_out():
    residual = np.zeros((80, X.size))
    residual[40:, ::2] = 0.3
    used = np.arange(80) < 40
    assert land_texture(sides_of(residual), used) == 0
    assert land_texture(sides_of(residual), ~used) > 0.1


def test_either_side_of_a_wide_land_is_taken_by_itself():
    """Columns from outside inward: more than a blur inside of the middle one."""
    residual = np.zeros((80, 21))
    residual[:, :13] = 0.9  # outside, and to two columns inside
    residual[:40, 13::2] = 0.1
    left = np.sqrt(np.mean(np.where(np.arange(13, 21) % 2, 0.2, 0.0) ** 2))
    found = land_texture(sides_of(residual, wide=True), np.ones(40, bool))
    assert found == pytest.approx(left / np.sqrt(2))  # the other side has none


def test_a_land_without_a_column_has_no_texture():
    assert texture(np.full(X.size, 0.3), half=0.4) == 0.0
