import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.steel.temper import (
    combined_temper,
    equivalent_hours,
    equivalent_temperature_c,
    tempering_parameter,
)


@given(st.floats(100, 700), st.floats(0.05, 24), st.floats(0.05, 24))
def test_equivalent_temperature_and_hours_are_inverse(temperature, hours, other):
    moved = equivalent_temperature_c(temperature, hours, other)
    if 0 <= moved <= 727:
        assert equivalent_hours(moved, other, temperature) == pytest.approx(hours, rel=1e-9)


def test_two_soaks_at_one_temperature_are_one_long_soak():
    both = combined_temper([(200, 2), (200, 2)])
    assert both.value == pytest.approx(tempering_parameter(200, 4).value, rel=1e-12)


def test_a_cooler_second_temper_adds_almost_nothing():
    assert combined_temper([(250, 2), (180, 2)]).value == pytest.approx(
        tempering_parameter(250, 2).value, abs=0.01
    )


def test_the_time_unit_is_stored():
    p = tempering_parameter(200, 120, time_unit="min", constant=20)
    assert p.time_unit == "min"
    assert "t in min" in p.summary()
    assert p.to_dict()["unit"] == "1000 K, t in min"
    assert p.to_dict()["warnings"][0]["code"] == "needs_martensite_temper"


@pytest.mark.parametrize(
    ("temperature", "hours", "words"), [(900, 1, "not a temper"), (200, 0, "positive time")]
)
def test_refuses_what_is_no_temper(temperature, hours, words):
    with pytest.raises(UnusableInput, match=words):
        tempering_parameter(temperature, hours)


def test_refuses_an_empty_sequence():
    with pytest.raises(UnusableInput, match="no temper"):
        combined_temper([])
