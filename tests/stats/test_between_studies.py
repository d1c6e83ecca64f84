"""Weighted sums of squares over the variance between studies, against their definition."""

import numpy as np
import pytest
from scipy.stats import chi2
from scipy.stats import t as student

from edgetest.stats.between_studies import FEWER, STEADY, TAIL, TAIL_BELOW, WeightedStudies
from edgetest.stats.linked_studies import StudyEffects

STUDIES = [
    StudyEffects(("k", "b", "c"), np.array([0.3, 0.1]), np.array([[0.05, 0.02], [0.02, 0.04]])),
    StudyEffects(("k", "b"), np.array([0.8]), np.array([[0.03]])),
    StudyEffects(("b", "c"), np.array([-0.6]), np.array([[0.02]])),
]
ROWS = np.array([[1.0, 0], [0, 1], [1, 0], [-1, 1]])
Y = np.array([0.3, 0.1, 0.8, -0.6])


def by_definition(between, steady):
    """Covariance of the four effects and their weighted squares about the best means."""
    k = STEADY if steady else 1.0
    shared = np.zeros((4, 4))
    shared[:2, :2] = [[1 + k, k], [k, 1 + k]]
    shared[2, 2], shared[3, 3] = 1 + k, 2
    whole = between * shared / 2
    whole[:2, :2] += STUDIES[0].covariance
    whole[2, 2] += 0.03
    whole[3, 3] += 0.02
    weight = np.linalg.inv(whole)
    means = np.linalg.solve(ROWS.T @ weight @ ROWS, ROWS.T @ weight @ Y)
    left = Y - ROWS @ means
    return means, left @ weight @ left


@pytest.mark.parametrize("steady", [(), ("k",)])
@pytest.mark.parametrize("between", [0.0, 0.07, 3.0])
def test_squares_and_means_by_their_definition(between, steady):
    fit = WeightedStudies(STUDIES, ROWS, Y, steady)
    means, squares = by_definition(between, steady)
    assert fit.squares(between) == pytest.approx(squares, rel=1e-9)
    assert fit.at(between)[0] == pytest.approx(means, rel=1e-9)


def test_the_variance_at_which_squares_are_a_value():
    fit = WeightedStudies(STUDIES, ROWS, Y, ())
    wanted = fit.squares(0.123)
    assert fit.where_squares_are(wanted) == pytest.approx(0.123, rel=1e-9)
    assert fit.where_squares_are(fit.squares(0.0) * 1.01) == 0.0


def test_draws_spread_wider_than_normal_departures_would():
    """Of two degrees of freedom heavy tails leave one."""
    betweens, fits = WeightedStudies(STUDIES, ROWS, 10 * Y, ()).drawn
    assert (np.diff(betweens) <= 0).all()
    assert fits[0][3] == pytest.approx(2 * chi2.ppf(1 / 80, 1), rel=1e-6)
    assert fits[-1][3] == pytest.approx(2 * chi2.ppf(79 / 80, 1), rel=1e-6)


def test_a_sum_of_squares_that_no_variance_reaches_ends_at_the_largest():
    fit = WeightedStudies(STUDIES, ROWS, Y, ())
    assert fit.where_squares_are(0.0) == 1e6
    assert fit.where_squares_are(fit.squares(1e6)) == 1e6
    assert fit.where_squares_are(fit.squares(1e5)) == pytest.approx(1e5, rel=1e-9)
    assert fit.where_squares_are(fit.squares(1e-20)) == 0.0


def test_tails_of_the_normal_leave_all_degrees_of_freedom_and_of_t_with_seven_half():
    """The variance of a variance goes with the kurtosis, 6 / (df - 4) beyond the normal's."""
    assert pytest.approx(1 / (1 + 6 / (7 - 4) / 2)) == FEWER
    assert student.cdf(TAIL[[0, 150, 300, 450]], 7) == pytest.approx(TAIL_BELOW[[0, 150, 300, 450]])
    assert TAIL[300] == 0.0
    assert TAIL_BELOW[0] < 1e-12


def test_one_study_alone_has_nothing_left_over():
    fit = WeightedStudies(STUDIES[1:2], np.array([[1.0]]), np.array([0.8]), ())
    assert fit.squares(0.5) == 0.0
    mean, covariance, gain, squares = fit.at(0.5)
    assert (mean[0], covariance[0, 0], gain[0, 0], squares) == pytest.approx((0.8, 0.53, 1.0, 0.0))
