"""Blades into replicates: what averaging, a control and gaps make of lives and their doubts."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.compare.replicates import BladeLives, independent_results, lives_known

LIVES, SE = [6.0, 6.2, 6.5, 6.6], [0.1, 0.2, 0.05, 0.07]


def test_the_mean_of_runs_has_the_error_of_a_mean():
    """Variance of a mean of n independent values: the sum of their variances over n squared."""
    found = independent_results(lives_known(["a", "a", "b", "c"], list("AABB"), LIVES, SE))
    assert found.blade.tolist() == ["a", "b", "c"]
    assert_allclose(found.log_life, [6.1, 6.5, 6.6])
    assert_allclose(found.log_life_se, [np.sqrt(0.1**2 + 0.2**2) / 2, 0.05, 0.07])
    assert found.blades == {"A": ("a",), "B": ("b", "c")}
    assert_allclose(found.runs.log_life, LIVES)


def test_what_a_blade_has_of_its_own_is_not_halved_by_running_it_twice():
    """A thickness measured once a blade stays as unsure as it was; law shifts are averaged."""
    found = independent_results(
        lives_known(
            ["a", "a", "b"], list("AAB"), [6.0, 6.2, 6.5], law_u=[0.1, 0.3, 0.2],
            covariate=[1.0, 1.0, 2.0], covariate_u=[0.04, 0.04, 0.03],
        )
    )  # fmt: skip
    assert_allclose(found.covariate_u, [0.04, 0.03])
    assert_allclose(found.covariate, [1.0, 2.0])
    assert_allclose(found.law_u[:, 0], [0.2, 0.2])


def test_batches_of_several_blades_are_averaged_with_the_error_of_a_mean():
    found = independent_results(
        lives_known(
            list("abcdef"), list("AAABBB"), [6.0, 6.1, 6.5, 6.2, 6.4, 6.6], [0.1] * 6,
            batch=["1", "1", "2", "3", "3", "4"],
        )
    )  # fmt: skip
    assert_allclose(found.log_life, [6.05, 6.5, 6.3, 6.6])
    assert_allclose(found.log_life_se, 0.1 / np.sqrt([2, 1, 2, 1]))


def test_a_control_stands_apart_with_each_run_in_its_block():
    columns = ["a", "b", "K", "K"], ["A", "B", "", ""], [6.0, 6.5, 5.0, 5.4]
    found = independent_results(lives_known(*columns, block=list("1212")), control="K")
    assert found.blade.tolist() == ["a", "b"]
    assert_allclose(found.control_log_life, [5.0, 5.4])
    assert found.control_block.tolist() == ["1", "2"]
    assert [one.code for one in found.doubts] == ["lives_by_block", "batches_unknown"]
    bare = independent_results(
        lives_known(["a", "b", *"KK"], ["A", "B", "", ""], columns[2], block=list("1323")),
        control="K",
    )
    (missing,) = [one for one in bare.doubts if one.code == "no_control_in_block"]
    assert missing.where.value == "1"
    once = independent_results(lives_known(*columns, block=list("1211")), control="K")
    assert len(once.control_log_life) == 0
    assert "control_not_used" in [one.code for one in once.doubts]


def test_a_life_between_two_ends_is_told_by_its_middle_and_an_open_one_by_its_end():
    found = independent_results(
        BladeLives(list("abc"), list("AAB"), [6.0, 5.0, -np.inf], [6.4, np.inf, 6.2])
    )
    assert_allclose(found.log_life, [6.2, 5.0, 6.2])
    assert found.exact.tolist() == [False, False, False]
    told = [one for one in found.doubts if one.code == "life_is_a_bound"]
    assert [one.where.blade for one in told] == ["b"]
    assert told[0].where.value == pytest.approx(np.exp(5.0))


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ([6.0, np.inf], [6.0, np.inf], "a log life is infinite"),
        ([-np.inf, 6.0], [np.inf, 6.0], "a log life is infinite"),
        ([-np.inf, 6.0], [-np.inf, 6.0], "a log life is infinite"),
        ([6.1, 6.0], [6.0, 6.0], "6.1 to 6 is no interval"),
        ([5.0, 6.1], [5.5, 6.0], "6.1 to 6 is no interval"),
        ([np.nan, np.nan], [np.nan, np.nan], "no blade has a life"),
    ],
)
def test_ends_that_no_life_can_have_are_named(low, high, words):
    with pytest.raises(UnusableInput, match=words):
        independent_results(BladeLives(["a", "b"], ["A", "B"], low, high))


@pytest.mark.parametrize("se", [[-0.1, 0.1], [np.inf, 0.1]])
def test_an_uncertainty_that_is_none_is_named(se):
    with pytest.raises(UnusableInput, match="is no standard uncertainty"):
        independent_results(lives_known(["a", "b"], ["A", "B"], [6.0, 6.1], se))
