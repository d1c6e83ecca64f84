"""What the others say of one blade's power: its signed root by hand, on made-up likelihoods."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.wear.curve.power_profiles import power_pulls
from edgetest.wear.curve.profile_likelihood import Pull


def two_blades(low, bend=5.0):
    """A fit of two blades of one heat treatment, its prior's variance nought but known."""
    grid = np.linspace(-1.0, 2.0, 31)
    own = np.stack([bend * (grid - low) ** 2, 3 * bend * (grid - low) ** 2])
    return SimpleNamespace(
        group=np.array([0, 0]), power_cov=np.array([[0.25]]), powers_tried=grid[None],
        at_powers=own, precision=np.array([2.0]), pull=np.array([0.5]), prior_mean=0.4,
        powers=SimpleNamespace(shift=np.array([0.3])),
    )  # fmt: skip


@pytest.mark.parametrize("low", [0.42, 0.47, -0.31])
def test_root_is_the_square_root_of_other_blades_and_prior_together(low):
    fit = two_blades(low)
    found = power_pulls(fit, np.array([1.0, 1.5]))
    # By hand: precision 1/0.25 - 2 = 2 about (0.3 / 0.25 - 0.5) / 2 + 0.4 = 0.75.
    for i, (others, stretch) in enumerate(((15.0, 1.0), (5.0, 1.5))):
        a, b = others, 2.0 * stretch**2
        summit = (a * low + b * 0.75) / (a + b)
        expected = np.sqrt(a + b) * (fit.powers_tried[0] - summit)
        assert found.root[i] == pytest.approx(expected, abs=1e-9)


def test_where_nothing_is_known_of_the_power_nothing_pulls():
    fit = two_blades(0.42, bend=0.0)
    assert (power_pulls(fit, np.zeros(2)).root == 0).all()


def test_a_root_is_read_off_between_its_points_with_its_slope():
    at = np.array([[0.0, 0.5, 1.0], [1.0, 1.5, 2.0]])
    root = np.array([[-1.0, 0.0, 3.0], [-2.0, -1.0, 1.0]])
    psi = np.array([[9.0, 0.75], [9.0, 1.1]])
    value, slope = Pull(1, at, root).evaluate(psi)
    assert value == pytest.approx([1.5, -1.8])
    assert slope == pytest.approx([6.0, 2.0])
    # Beyond its points it goes on straight.
    value, slope = Pull(1, at, root).evaluate(np.array([[9.0, 1.5], [9.0, 0.5]]))
    assert value == pytest.approx([6.0, -3.0])
    assert slope == pytest.approx([6.0, 2.0])
