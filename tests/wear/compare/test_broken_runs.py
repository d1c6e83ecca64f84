"""A run that was broken off makes no bound of a blade whose other run is whole."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.compare.broken_runs import without_broken_runs
from edgetest.wear.compare.replicates import BladeLives, independent_results

LOW = [5.2, 5.4, 5.5, 5.1, 5.0]
BLADES, SIDES = ["O2", "O2", "O3", "W1", "W2"], list("OOOWW")


def results(first=(5.2, np.inf), **more):
    low, high = list(LOW), list(LOW)
    low[0], high[0] = first
    return independent_results(BladeLives(BLADES, SIDES, low, high, [0.1] * 5, **more))


def codes(found):
    return [(one.code, one.where.blade) for one in found.doubts]


def test_the_whole_run_is_the_blade_s_life_and_the_doubt_says_so():
    found = results()
    assert found.exact.all()
    assert_allclose(found.log_life, LOW[1:])
    assert ("broken_run_set_aside", "O2") in codes(found)
    assert not {"life_is_a_bound", "runs_averaged"} & {code for code, _ in codes(found)}


def test_the_sides_keep_their_order():
    sides, blades = list("OWWO"), ["O1", "W1", "W2", "O1"]
    low, high = [5.2, 5.4, 5.5, 5.6], [np.inf, 5.4, 5.5, 5.6]
    found = independent_results(BladeLives(blades, sides, low, high, [0.1] * 4))
    assert found.treatment.tolist() == list("OWW")
    assert_allclose(found.log_life, [5.6, 5.4, 5.5])


def test_a_bound_above_the_whole_run_s_life_stays():
    found = results((5.8, np.inf))
    assert not found.exact[0]
    assert ("life_is_a_bound", "O2") in codes(found)
    assert ("broken_run_set_aside", "O2") not in codes(found)


def test_two_whole_runs_are_averaged_as_before():
    found = results((5.2, 5.2))
    assert_allclose(found.log_life[0], 5.3)
    assert ("runs_averaged", "O2") in codes(found)


@pytest.mark.parametrize("blades", [["O1", "O2", "O3", "W1", "W2"]])
def test_a_blade_with_one_run_keeps_its_bound(blades):
    table = {"blade": np.array(blades), "treatment": np.array(SIDES),
             "log_low": np.array(LOW), "log_high": np.array([np.inf, *LOW[1:]])}  # fmt: skip
    same, told = without_broken_runs(table)
    assert same is table
    assert told == []
