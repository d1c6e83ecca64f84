"""The scatters of two groups of unequal numbers: what is tried, and the degrees of freedom."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.stats.contrast import guarded_t, welch_t
from edgetest.stats.uneven_scatter import df_of_sizes, part_of_scatter, ratios_of_scatter


@pytest.mark.parametrize("within", [True, False])
def test_scatters_far_apart_weigh_as_the_simulation_chose(within):
    log_ratio, mass = ratios_of_scatter(within, 2)
    power = 1.0 if within else 0.75  # of the one SD over the other's
    assert_allclose(mass / mass[len(mass) // 2], np.exp(np.abs(log_ratio)) ** power)
    assert np.ptp(ratios_of_scatter(within, 3)[1]) == pytest.approx(0.0)


@pytest.mark.parametrize("within", [True, False])
def test_scatters_that_are_far_apart_weigh_more_and_neither_way_more_than_the_other(within):
    log_ratio, mass = ratios_of_scatter(within, 2)
    assert mass.sum() == pytest.approx(1.0)
    assert_allclose(log_ratio, -log_ratio[::-1], atol=1e-12)
    assert_allclose(mass, mass[::-1])
    assert (np.diff(mass[len(mass) // 2 :]) > 0).all()
    assert np.exp(log_ratio[-1]) > 6  # as far as the simulated worlds go, and beyond


def test_of_three_and_more_no_ratio_weighs_more():
    assert_allclose(ratios_of_scatter(True, 3)[1], 1 / 11)
    assert_allclose(ratios_of_scatter(False, 8)[1], 1 / 11)


def test_two_parts_have_the_ratio_asked_for_and_a_root_mean_square_of_one():
    first, second = part_of_scatter(np.log([0.1, 1.0, 6.0])), part_of_scatter(-np.log([0.1, 1, 6]))
    assert_allclose(first / second, [0.1, 1.0, 6.0])
    assert_allclose((first**2 + second**2) / 2, 1.0)


@pytest.mark.parametrize(("n1", "n2", "rule"), [(3, 2, guarded_t), (2, 6, guarded_t),
                                                (3, 5, welch_t), (8, 4, welch_t)])  # fmt: skip
def test_degrees_of_freedom_are_those_of_groups_that_scatter_alike(n1, n2, rule):
    alike = [np.arange(n) / np.std(np.arange(n), ddof=1) for n in (n1, n2)]
    assert df_of_sizes((n1, n2), 99) == pytest.approx(float(rule(*alike).df))


def test_degrees_of_freedom_are_no_more_than_the_design_leaves_and_one_at_least():
    assert df_of_sizes((3, 5), 2) == 2.0
    assert df_of_sizes((3, 2), 0) == 1.0
    assert df_of_sizes((1, 4), 9) >= 1.0
