"""References within stated intervals: the E_n score, exact shares, a common factor, by hand."""

from math import inf, nan

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.stats.held_references import common_ratio, held_references


def test_a_reference_is_held_within_both_uncertainties_to_its_own_side():
    # Stated 10 from 9 to 12. Up: sqrt(2² + (1.96 · 1)²) = 2.80; down: sqrt(1 + 3.84) = 2.20.
    for reference, held in ((12.7, 1), (12.9, 0), (7.9, 1), (7.7, 0)):
        found = held_references([10], [9], [12], [reference], [1.0])
        assert found.held == held, reference
    assert held_references([10], [9], [12], [12.7], [1.0]).inside == 0
    assert held_references([10], [9], [12], [11.9], [1.0]).inside == 1


def test_an_upper_bound_holds_what_lies_below_it_and_tells_no_difference():
    found = held_references([nan] * 2, [-inf] * 2, [3.0] * 2, [1.0, 3.5], [0.1, 0.1])
    assert (found.held, found.inside) == (1, 1)
    assert found.mean_difference is None


def test_two_values_tell_a_mean_and_six_the_limits():
    reference = np.array([1.0, 2.0, 3.0, 4.0, 5.0, 6.0])
    value = reference + np.array([0.1, -0.1, 0.2, 0.0, 0.1, -0.1])
    two = held_references(value[:2], value[:2] - 1, value[:2] + 1, reference[:2], [0.1] * 2)
    # Student's t of one degree of freedom, 12.706, times sd 0.1414 over the root of 2.
    assert two.mean_difference.high == pytest.approx(1.2706, abs=1e-3)
    assert two.lower is None
    six = held_references(value, value - 1, value + 1, reference, [0.1] * 6)
    d = value - reference
    assert six.lower.value == pytest.approx(d.mean() - 1.959964 * d.std(ddof=1))


def test_what_may_be_said_follows_the_exact_share():
    def of(held, n):
        reference = np.where(np.arange(n) < held, 1.0, 9.0)
        return held_references(np.ones(n), np.full(n, 0.5), np.full(n, 1.5), reference, [0.1] * n)

    assert of(3, 3).held_share.low == pytest.approx(0.05 ** (1 / 3))
    assert "does not prove it" in of(3, 3).may_be_said()
    assert "the claim holds" in of(59, 59).may_be_said()
    assert not of(58, 58).held_share.low >= 0.95
    assert of(4, 9).misses
    assert "does not hold" in of(4, 9).may_be_said()
    assert not of(7, 9).misses


def test_a_common_factor_is_found_where_no_single_value_shows_it():
    reference = np.array([5.0, 8.0, 10.0, 14.0, 18.0, 20.0])
    value = 1.04 * reference
    half = 0.05 * value  # each alone holds its reference
    ratio = common_ratio(value, half, reference, 0.005 * reference, shared_u=0.005)
    assert ratio.value == pytest.approx(1.04)
    assert ratio.low > 1
    # The same where all share an uncertainty of 2.5 %: it does not grow less with their number.
    shared = common_ratio(value, half, reference, 0.005 * reference, shared_u=0.025)
    assert shared.low < 1


def test_no_reference_is_refused():
    with pytest.raises(UnusableInput, match="no reference"):
        held_references([], [], [], [], [])


@pytest.mark.parametrize("n", [1, 4, 9])
def test_a_common_ratio_is_as_sure_as_its_parts_and_what_they_share(n):
    """Halves of 5 % at 1.96 standard uncertainties, references to 1 %, 2 % shared by all."""
    reference = np.linspace(5, 20, n)
    ratio = common_ratio(1.1 * reference, 0.055 * reference, reference, 0.01 * reference, 0.02)
    own = (0.05 / 1.959964) ** 2 - 0.02**2 + 0.01**2
    reach = 1.959964 * np.sqrt(own / n + 0.02**2)
    assert np.log([ratio.low, ratio.value, ratio.high]) == pytest.approx(
        np.log(1.1) + np.array([-reach, 0, reach]), abs=1e-6
    )
