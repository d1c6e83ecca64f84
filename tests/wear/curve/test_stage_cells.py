"""From readings to cells, worked by hand?"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings

NAN = np.nan


def cells(cuts, values, **more):
    return stage_cells(wear_readings(["x"] * len(cuts), cuts, values, **more))


def test_repeats_of_a_place_are_averaged_and_their_scatter_kept():
    found = cells([0, 0, 10, 10], [2.0, 8, 5, 7], station=list("aaab"))
    assert_allclose(found.stages, [0, 10])
    assert_allclose(found.log_value, np.log([4, 5, 7]))  # geometric mean of 2 and 8
    assert found.stage.tolist() == [0, 1, 1]
    assert found.station.tolist() == [0, 0, 1]
    assert found.repeat_ss == pytest.approx(2 * np.log(2) ** 2)
    assert (found.repeat_df, found.n_stations) == (1, 2)
    assert_allclose(found.cuts, [0, 10, 10])
    assert found.stages_numbered == found.stages_told == 2


def test_readings_weigh_by_their_stated_uncertainty():
    found = cells([0, 0, 9], [1.0, np.e**5, 3], relative_u=[0.1, 0.2, 0.3], station=list("aaa"))
    assert found.log_value[0] == pytest.approx(5 * 25 / 125)  # weights 100 and 25
    assert_allclose(found.own_var, [1 / 125, 0.09])
    partly = cells([0, 0], [1.0, np.e], relative_u=[0.1, 0], station=list("aa"))
    assert partly.own_var[0] == 0  # one of them says nothing of its uncertainty


def test_bounds_enter_as_first_guesses_with_their_ends():
    found = cells(
        [0, 5, 10, 20], [2.0, NAN, NAN, NAN], lower=[NAN, 3, NAN, 6], upper=[NAN, NAN, 4, 8],
        relative_u=[0, 0, 0.1, 0],
    )  # fmt: skip
    assert found.bounded.tolist() == [False, True, True, True]
    assert_allclose(found.log_value[1:], [np.log(3) + 0.3, np.log(4) - 0.3, np.log(48) / 2])
    assert_allclose(found.log_lower, [-np.inf, np.log(3), -np.inf, np.log(6)])
    assert_allclose(found.log_upper, [np.inf, np.inf, np.log(4), np.log(8)])
    assert_allclose(found.own_var, [0, 0, 0.01, 0])
    assert_allclose(found.known_var, [0, 0.1, 0.11, 0.1])
    assert (found.stages_numbered, found.stages_told) == (1, 2)


def test_a_bound_told_twice_counts_once():
    found = cells([0, 5, 5], [2.0, NAN, NAN], lower=[NAN, 3, 3])
    assert found.bounded.sum() == 1
    apart = cells([0, 5, 5], [2.0, NAN, NAN], lower=[NAN, 3, 4])
    assert apart.bounded.sum() == 2


def test_a_zero_is_below_the_smallest_reading():
    found = wear_readings(["x"] * 3, [0, 1, 2], [0.0, 3, 5])
    assert np.isnan(found.value[0])
    assert found.upper[0] == 3
    assert found.from_zero.tolist() == [True, False, False]
    assert np.isnan(wear_readings(["x"], [0], [0.0]).upper[0])


def test_bounds_that_meet_are_a_number_and_one_of_nothing_is_none():
    found = wear_readings(["x"] * 3, [0, 1, 2], [NAN] * 3, lower=[4, 0, NAN], upper=[4, 3, NAN])
    assert len(found.value) == 2  # nothing is known of the third
    assert found.value[0] == 4
    assert np.isnan(found.lower[1])
    assert found.position.tolist() == [0, 1]
    assert found.row.tolist() == [1, 2]


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"cuts": [0, -1]}, "-1 in reading 2"),
        ({"cuts": [0, np.inf]}, "inf in reading 2"),
        ({"value": [-2.0, 1]}, "-2 in reading 1"),
        ({"value": [1.0, np.inf]}, "inf in reading 2"),
        ({"lower": [NAN, -1]}, "a bound is 0 or more"),
        ({"upper": [0, NAN]}, "an upper bound is above 0"),
        ({"lower": [4, NAN], "upper": [3, NAN]}, "must not be above the upper"),
        ({"relative_u": [0.1, -0.1]}, "an uncertainty is 0 or more"),
        ({"station": ["a"]}, "1 entries for 2 readings"),
    ],
)
def test_what_is_no_reading_is_named(more, says):
    columns = {"blade": ["x", "x"], "cuts": [0, 1], "value": [1.0, 2.0], **more}
    with pytest.raises(UnusableInput, match=says):
        wear_readings(**columns)


def test_edges_of_what_may_be_read():
    found = wear_readings(["x"] * 2, [0, 0], [NAN, 1], lower=[3, NAN], upper=[3, NAN])
    assert found.value.tolist() == [3, 1]
    named = wear_readings([None, NAN, "B"], [0, 1, 2], [1.0, 2, 3], row=[5, 6, 9])
    assert named.blade.tolist() == ["", "", "B"]
    assert named.row.tolist() == [5, 6, 9]


def test_readings_by_blade_in_the_order_met():
    found = wear_readings(list("BABA"), [0, 0, 1, 1], [1.0, 2, 3, 4]).by_blade()
    assert list(found) == ["B", "A"]
    assert found["B"].value.tolist() == [1, 3]
    assert found["A"].position.tolist() == [1, 3]
    assert wear_readings([], [], []).by_blade() == {}
