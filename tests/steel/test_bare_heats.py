"""Temperatures typed without a unit are told from those that name one."""

import pytest

from edgetest.steel.bare_heats import if_fahrenheit, typed_bare
from edgetest.units import Typed


@pytest.mark.parametrize(
    ("number", "bare"),
    [
        (Typed(400, 400), True), (Typed(400, "400"), True), (Typed(400, "4e2"), True),
        (Typed(400, "400 °C"), False), (Typed(204.4, "400F"), False), (Typed(400, "673 K"), False),
        (400.0, False), (None, False),
    ],
)  # fmt: skip
def test_only_what_was_typed_as_a_number_alone_is_bare(number, bare):
    assert typed_bare(number) is bare


def test_both_readings_are_told():
    said, mend = if_fahrenheit(Typed(400, 400))
    assert said == "400 °F is 204 °C"  # (400 - 32) / 1.8
    assert '"400 °F"' in mend
    assert '"400 °C"' in mend
