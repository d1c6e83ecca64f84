"""Which heats are refused, and is °F asked about where it may be meant?"""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.heat_schedule import HOTTEST_C, Heat


@pytest.mark.parametrize(
    ("temperature", "asked"), [(1401.0, True), (2552.0, True), (2553.0, False), (-1.0, False)]
)
def test_a_heat_too_hot_for_steel_may_be_in_fahrenheit(temperature, asked):
    """1400 °C are 2552 °F."""
    assert HOTTEST_C == 1400.0
    with pytest.raises(UnusableInput, match="is no heat for steel") as fault:
        Heat(temperature, 1.0)
    assert (f'or write "{temperature:g} °F" if °F was meant' in str(fault.value)) == asked


def test_the_ends_of_what_is_a_heat():
    assert Heat(1400.0, 0.0).temperature_c == 1400
    assert Heat(0.0, 1.0).hours == 1
    for given, says in (
        ({"hours": -0.1}, "-0.1 h is no time"),
        ({"faces": 3}, "3 faces"),
        ({"faces": 0}, "0 faces"),
        ({"surface": "oily"}, "'oily' is no surface"),
        ({"surface_pct": -0.1}, "-0.1 %"),
    ):
        with pytest.raises(UnusableInput, match=says):
            Heat(**{"temperature_c": 900.0, "hours": 1.0, **given})
