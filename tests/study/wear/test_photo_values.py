"""What a photograph gives as a reading: a width with its share of doubt, a bound, a crest."""

import numpy as np
import pytest

from edgetest.study.wear.photo_values import AREA, W30, WIDTH, number_of_photo, value_of_photo

LINE = {"width_um": {"mean": 8.0}, "width_u_um": 0.2, "below_um": None}


def test_a_width_has_its_own_doubt_as_a_share_of_itself():
    value, lower, upper, relative_u = value_of_photo(WIDTH, LINE)
    assert (value, relative_u) == (8.0, pytest.approx(0.025))
    assert np.isnan([lower, upper]).all()
    assert value_of_photo(AREA, LINE)[0] == 8.0
    assert value_of_photo(WIDTH, {**LINE, "width_u_um": None})[3] == 0.0


def test_a_line_too_narrow_to_measure_is_an_upper_bound():
    narrow = {"width_um": None, "width_u_um": None, "below_um": 1.5}
    value, lower, upper, relative_u = value_of_photo(WIDTH, narrow)
    assert upper == 1.5
    assert np.isnan([value, lower, relative_u]).all()
    assert number_of_photo(WIDTH, narrow) is None


def test_a_crest_is_a_value_or_what_is_known_of_it():
    known = {"w30_um": {"value": 3.0, "low": 2.5, "high": 3.5}, "crest": {"own_u": 0.04}}
    value, lower, upper, relative_u = value_of_photo(W30, known)
    assert (value, relative_u) == (3.0, 0.04)
    assert np.isnan([lower, upper]).all()
    between = {"w30_um": {"value": None, "low": 1.0, "high": 4.0}, "crest": {"own_u": 0.04}}
    assert value_of_photo(W30, between)[1:3] == (1.0, 4.0)
    open_ends = {"w30_um": {"value": None, "low": None, "high": None}, "crest": {}}
    assert np.isnan(value_of_photo(W30, open_ends)).all()
    assert number_of_photo(W30, known) == 3.0
    assert number_of_photo(WIDTH, LINE) == 8.0
    assert number_of_photo(WIDTH, None) is None
