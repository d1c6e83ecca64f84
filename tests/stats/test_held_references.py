"""References within stated intervals: the E_n score, exact shares, a common factor, by hand."""

from math import inf, nan

import numpy as np
import pytest
from scipy.stats import binomtest

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


def test_a_bound_allows_for_the_references_own_doubt_alone():
    """3.0 at the most, references sure to 0.1: up to 3.196 they are held."""
    for reference, held in ((3.19, 1), (3.20, 0), (3.0, 1), (-50.0, 1)):
        assert held_references([nan], [-inf], [3.0], [reference], [0.1]).held == held
    ends = held_references([2.0] * 2, [1.0] * 2, [3.0] * 2, [1.0, 3.0], [0.0] * 2)
    assert (ends.held, ends.inside, ends.references) == (2, 2, 2)


def test_one_value_tells_no_mean_and_two_tell_one_about_their_own():
    one = held_references([2.0], [1.0], [3.0], [2.5], [0.1])
    assert (one.mean_difference, one.lower, one.upper) == (None, None, None)
    two = held_references([2.0, 4.0], [1.0, 3.0], [3.0, 5.0], [2.5, 4.1], [0.1] * 2, unit="µm")
    mean = two.mean_difference
    half = 12.7062 * np.std([-0.5, -0.1], ddof=1) / 2**0.5
    assert (mean.value, mean.low, mean.high) == pytest.approx(
        (-0.3, -0.3 - half, -0.3 + half), abs=1e-4
    )
    assert (mean.unit, mean.level, mean.method) == ("µm", 0.95, "Student's t")
    assert (two.lower, two.upper) == (None, None)


def test_what_may_be_said_to_the_word():
    """Of 3 all held the share is 0.05^(1/3) at least; 59 are needed: log 0.05 over log 0.95."""

    def said(held, n):
        reference = np.where(np.arange(n) < held, 1.0, 9.0)
        found = held_references(np.ones(n), np.full(n, 0.5), np.full(n, 1.5), reference, [0.1] * n)
        assert found.to_dict()["may_be_said"] == found.may_be_said()
        assert found.level == 0.95
        return found.may_be_said()

    assert said(3, 3) == (
        "The true share may be as low as 37 %: nothing speaks against the claim, and this does"
        " not prove it. 59 references, all held, would."
    )
    most = 100 * binomtest(4, 9).proportion_ci().high
    assert said(4, 9) == (
        f"At most {most:.0f} % of such intervals hold the reference, where 95 % are stated: here"
        " the claim does not hold."
    )
    assert said(59, 59) == ("At least 95 % of such intervals hold the reference: the claim holds.")


def test_a_common_ratio_is_no_surer_than_its_scatter_and_owes_nothing_to_what_is_shared():
    reference = np.array([5.0, 8.0, 10.0, 14.0])
    logs = np.array([0.3, -0.2, 0.1, 0.0])
    ratio = common_ratio(reference * np.exp(logs), 1e-6 * reference, reference, 0 * reference)
    reach = 1.959964 * logs.std(ddof=1) / 2
    assert np.log([ratio.low, ratio.value, ratio.high]) == pytest.approx(
        [0.05 - reach, 0.05, 0.05 + reach], abs=1e-6
    )
    assert (ratio.unit, ratio.level, ratio.method) == ("", 0.95, "geometric mean")
    # All that a half-width of 5 % holds is shared: nothing of its own is left, and none is taken.
    shared = common_ratio(reference, 0.05 * reference, reference, 0 * reference, shared_u=0.06)
    assert np.log(shared.high) == pytest.approx(1.959964 * 0.06)
