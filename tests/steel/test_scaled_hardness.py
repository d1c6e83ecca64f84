"""A hardness with its scale: read as typed, turned by the table, never beyond it."""

import pytest

from edgetest.steel.scaled_hardness import in_hrc, own_scale
from edgetest.units import Unreadable


@pytest.mark.parametrize(
    ("written", "scale", "rest"),
    [
        ("700 HV", "HV", "700"), ("HV700", "HV", "700"), ("hv 700", "HV", "700"),
        ("700HV10", "HV", "700"), ("HV10 700", "HV", "700"), ("HRC58", "HRC", "58"),
        ("58 HRC", "HRC", "58"), ("HRC 58-60", "HRC", "58-60"), (">65 HRC", "HRC", ">65"),
        ("500 HBW 10/3000", "HB", "500"), ("HB 500", "HB", "500"), (61, None, "61"),
        ("skates all", None, "skates all"), ("90 HRB", None, "90 HRB"), ("HV", None, "HV"),
    ],
)  # fmt: skip
def test_the_scale_is_read_before_or_behind_the_number(written, scale, rest):
    assert own_scale(written) == (scale, rest)


@pytest.mark.parametrize(
    ("written", "scale", "hrc"), [("697", "HV", 60), ("238", "HV", 20), ("634", "HB", 59)]
)  # rows of the table of ASTM E140
def test_rows_of_the_table(written, scale, hrc):
    assert in_hrc(written, scale) == hrc


@pytest.mark.parametrize(
    ("written", "scale", "what", "mend"),
    [
        ("58.5", "HV", "58.5 HV lies below", "write 58.5 HRC"),
        ("5", "HV", "5 HV lies below", '"<20", for it is softer than 20 HRC'),
        ("1000", "HV", "1000 HV lies above", '">68"'),
        ("650", "HB", "650 HB lies above", '">59"'),
        ("650-700", "HV", "is not one number", "write one number in HV"),
    ],
)
def test_outside_the_table_nothing_is_turned(written, scale, what, mend):
    with pytest.raises(Unreadable) as caught:
        in_hrc(written, scale)
    assert what in caught.value.what
    assert mend in caught.value.mend
