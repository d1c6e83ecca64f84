"""Numbers and brackets as columns: what they become, their scatter, and what is refused."""

import numpy as np
import pytest
from scipy.stats import chi2

from edgetest.errors import UnusableInput
from edgetest.steel.hardness_readings import HardnessErrors, hardness_readings


def test_numbers_brackets_and_open_bounds_stand_in_one_table():
    nan = np.nan
    found = hardness_readings(
        [58.0, nan, nan], [nan, 55.0, nan], [nan, 60.0, 40.0], ["b", "a", "b"]
    )
    assert found.exact.tolist() == [True, False, False]
    assert found.low.tolist() == [58.0, 55.0, -np.inf]
    assert found.high.tolist() == [58.0, 60.0, 40.0]
    assert found.pieces == ["b", "a"]
    assert found.of("b").low.tolist() == [58.0, -np.inf]
    assert hardness_readings(58.0).piece.tolist() == ["1"]
    assert hardness_readings([20.0, 70.0]).low.tolist() == [20.0, 70.0]


def test_the_birge_ratio_is_that_of_pieces_apart_where_chance_is_against_it():
    """Squares about each piece's own mean, over degrees of freedom and the stated variance."""
    values, piece = np.array([55.0, 61.0, 58.0, 40.0, 46.0]), list("aaabb")
    squares = 9.0 + 9.0 + 0.0 + 9.0 + 9.0
    readings = hardness_readings(values, piece=piece)
    assert chi2.sf(squares / 1.5**2, 3) < 0.01
    assert readings.birge_ratio(1.5) == pytest.approx((squares / 1.5**2 / 3) ** 0.5)
    assert chi2.sf(squares / 2.0**2, 3) > 0.01
    assert readings.birge_ratio(2.0) == 1.0
    assert hardness_readings([55.0, 70.0], piece=list("ab")).birge_ratio(0.1) == 1.0
    # A piece with brackets alone adds neither a square nor a degree of freedom.
    low, high = [np.nan] * 5 + [55.0], [np.nan] * 5 + [60.0]
    both = hardness_readings([*values, np.nan], low, high, piece=[*piece, "c"])
    assert both.birge_ratio(1.5) == readings.birge_ratio(1.5)


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ((), "no reading"),
        (([],), "no reading"),
        (([58.0, 59.0], [50.0]), "columns differ in length"),
        (([np.nan],), "neither number nor bound"),
        (([np.nan], [60.0], [55.0]), "lower bound 60 above upper 55"),
        (([19.9],), "19.9 HRC is off the C scale, 20 to 70"),
        (([70.1],), "70.1 HRC is off the C scale, 20 to 70"),
    ],
)
def test_what_is_no_reading_is_named(columns, words):
    with pytest.raises(UnusableInput, match=words):
        hardness_readings(*columns)


@pytest.mark.parametrize("name", ["reading_sd_hrc", "file_feel_hrc", "piece_spread_hrc"])
def test_an_uncertainty_of_nothing_is_refused(name):
    with pytest.raises(UnusableInput, match="above zero"):
        HardnessErrors(**{name: 0.0})
    assert HardnessErrors(**{name: 0.1}) != HardnessErrors()
