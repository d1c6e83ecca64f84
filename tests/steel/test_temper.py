import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.steel.temper import (
    combined_temper,
    equivalent_hours,
    tempering_parameter,
)


@given(st.floats(100, 700), st.floats(0.05, 24), st.floats(100, 700))
def test_equivalent_hours_lead_back(temperature, hours, other):
    moved = equivalent_hours(temperature, hours, other)
    assert equivalent_hours(other, moved, temperature) == pytest.approx(hours, rel=1e-9)


def test_two_soaks_at_one_temperature_are_one_long_soak():
    both = combined_temper([(200, 2), (200, 2)])
    assert both == pytest.approx(tempering_parameter(200, 4), rel=1e-12)


def test_a_cooler_second_temper_adds_almost_nothing():
    assert combined_temper([(250, 2), (180, 2)]) == pytest.approx(
        tempering_parameter(250, 2), abs=0.01
    )


@pytest.mark.parametrize(
    ("temperature", "hours", "words"), [(900, 1, "not a temper"), (200, 0, "positive time")]
)
def test_refuses_what_is_no_temper(temperature, hours, words):
    with pytest.raises(UnusableInput, match=words):
        tempering_parameter(temperature, hours)


def test_refuses_an_empty_sequence():
    with pytest.raises(UnusableInput, match="no temper"):
        combined_temper([])
