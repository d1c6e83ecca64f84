"""Where does a curve of known form cross its limit, and between which cuts?"""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.curve.curve_crossing import CrossingsSought, crossings
from edgetest.wear.curve.laws import LAWS


@dataclass(frozen=True)
class Straight:
    """Log readings that run straight in log cuts, with an error that is everywhere alike."""

    rate: np.ndarray
    error: float = 0.1
    own: float = 0.1
    law = LAWS["wedge"]
    power_var = np.zeros(1)

    @property
    def psi(self):
        return np.zeros((len(self.rate), 2))

    def with_error(self, cuts, of_fresh=False):
        return self.rate[:, None] * np.log(cuts), np.full(cuts.shape, self.error)

    def at(self, cuts, of_fresh=False):
        value = self.rate[:, None] * np.log(cuts)
        return value, np.full(cuts.shape, self.own), np.zeros(cuts.shape)


def sought(rates, limits, last=100.0, **of):
    rates = np.array(rates, float)
    return CrossingsSought(Straight(rates, **of), np.array(limits), np.full(len(rates), last))


def test_a_straight_curve_crosses_where_it_should():
    """Slope 0.5 to a limit of 2: cuts of e^4; ends where the curve lies two errors off it."""
    found = crossings(sought([0.5, 1.0], [2.0, 3.0]), lambda life: np.full(2, 2.0))
    assert_allclose(found.life, [4.0, 3.0], atol=1e-6)
    assert_allclose(found.low, [4.0 - 0.4, 3.0 - 0.2], atol=1e-6)
    assert_allclose(found.high, [4.0 + 0.4, 3.0 + 0.2], atol=1e-6)
    assert_allclose(found.slope, [0.5, 1.0], rtol=1e-5)
    assert_allclose(found.own_se, 0.1)


def test_beyond_what_is_looked_at_there_is_no_crossing():
    """Cuts are looked at from 1e-5 of the last stage to 30 times it."""
    grid = sought([1.0], [1.0]).grid()
    assert_allclose(grid[0, [0, -1]], [100e-5, 3000])
    assert 100.0 in grid[0]
    near = np.log(3000.0)
    lives = sought([1.0, 1.0], [near - 0.1, near + 0.1]).lives()
    assert lives[0] == pytest.approx(near - 0.1, abs=1e-6)
    assert lives[1] == np.inf
    low = np.log(1e-3)
    assert sought([1.0], [low - 0.1]).lives()[0] == -np.inf


@pytest.mark.parametrize(
    ("quantile", "low", "high"),
    [(2.0, 4.3, 4.7), (35.0, 1.0, 8.0), (36.0, 0.9, np.inf), (114.0, -6.9, np.inf),
     (115.0, -np.inf, np.inf)],
)  # fmt: skip
def test_an_end_that_is_never_sure_is_open(quantile, low, high):
    """Looked for from log cuts of -6.908 to 8.006; an error of 0.1."""
    ends = sought([1.0], [4.5]).ends(np.array([4.5]), np.array([quantile]))
    assert_allclose([end[0] for end in ends], [low, high], atol=1e-6)


@dataclass(frozen=True)
class Falling(Straight):
    """The same of a reading that falls."""

    law = LAWS["falling_power"]


def test_a_reading_that_falls_is_beyond_its_limit_below_it():
    curves = Falling(np.array([-0.5]))
    wanted = CrossingsSought(curves, np.array([-2.0]), np.array([100.0]))
    assert wanted.lives()[0] == pytest.approx(4.0, abs=1e-6)
    assert (wanted.worn(np.array([[np.exp(3.9), np.exp(4.1)]]), np.zeros(1)) >= 0).tolist() == [
        [False, True]
    ]
    raised = wanted.worn(np.array([[np.exp(4.0)]]), np.array([2.0]))
    assert raised[0, 0] == pytest.approx(0.2)


@dataclass(frozen=True)
class Bent(Straight):
    """A curve that crosses its limit, comes back and crosses it again: 0 at e, e^2 and e^3."""

    def with_error(self, cuts, of_fresh=False):
        x = np.log(cuts)
        return (x - 1) * (x - 2) * (x - 3), np.full(cuts.shape, self.error)


def test_of_several_crossings_the_middle_of_first_and_last_is_taken():
    wanted = CrossingsSought(Bent(np.ones(1)), np.zeros(1), np.array([100.0]))
    assert wanted.lives()[0] == pytest.approx(2.0, abs=1e-6)
    early = replace(wanted, last=np.array([np.exp(1.5)]))
    assert early.lives()[0] == pytest.approx(1.0, abs=1e-6)
