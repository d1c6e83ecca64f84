"""Half-level crossings between samples, and the ground's level: by hand."""

import numpy as np
import pytest

from edgetest.photo.apex.first_guess import _another_near, _crossings, _median_where, _side


def test_a_side_is_where_light_falls_to_half_between_two_samples():
    """Land 1, ground 0: from 0.9 to 0.2 the half lies 4/7 of a sample on."""
    outward = np.array([1.0, 0.9, 0.2, 0.1, 0.0, 0.3])
    place, ground = _side(outward, 1.0, 9)
    assert place == pytest.approx(1 + 4 / 7)
    assert ground == 0.0
    near, ground = _side(outward, 1.0, 3)  # the ground is sought so far alone
    assert ground == 0.0
    assert near == pytest.approx(1 + 0.35 / 0.7)
    assert _side(outward[:2], 1.0, 9) == (None, 1.0)
    assert _side(np.array([0.2, 1.0, 0.0]), 1.0, 9) == (None, 0.0)
    assert _side(np.ones(9), 1.0, 9) == (None, 1.0)


def test_every_row_has_its_own_crossing():
    outward = np.array([[1.0, 1, 0.6, 0.2, 0, 0, 0, 0], [2.0, 1.5, 1, 1, 1, 1, 1, 1],
                        [1.0, 1, 1, 1, 1, 1, 1, 1]])  # fmt: skip
    place, below = _crossings(outward, outward[:, 0], 4.0)
    assert below.tolist() == [0.0, 1.0, 1.0]
    # 0.6 to 0.2; just at the half; none, so the strip's end.
    assert place == pytest.approx([2.25, 1.0, 6.0])


def test_a_median_is_of_what_counts():
    values = np.array([[1.0, 5.0], [2.0, 6.0], [9.0, 7.0], [4.0, 0.0]])
    counted = np.array([[True, True], [True, True], [False, True], [True, False]])
    assert _median_where(values, counted).tolist() == [2.0, 6.0]
    counted[3, 0] = False
    assert _median_where(values, counted).tolist() == [1.5, 6.0]


@pytest.mark.parametrize(("held", "seen"), [(7, False), (8, True)])
@pytest.mark.parametrize("first", [13, -40])
def test_another_band_near_by_is_as_bright_as_half_the_land(held, seen, first):
    """A land of 20 px: a run of 0.4 of it, beyond a gap of 2 px, within a width and a half."""
    x = np.arange(-60.0, 61)
    values = np.zeros((10, x.size))
    values[:, np.abs(x) <= 10] = 1.0
    run = (x >= first) & (x < first + held)
    values[:4, run] = 0.6
    values[4:, run] = 0.5
    inside = np.ones(values.shape, bool)
    found = _another_near(values, inside, x, (10.0, 10.0), (1.0, 0.0))
    assert found == pytest.approx(0.4 if seen else 0.0)
    assert _another_near(values, ~inside, x, (10.0, 10.0), (1.0, 0.0)) == 0
    assert _another_near(values, inside, x, (None, 10.0), (1.0, 0.0)) == 0
