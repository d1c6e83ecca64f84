from fractions import Fraction

import pytest

from edgetest.chop.billet_size import cross_section_cm2, lumber_mm
from edgetest.errors import UnusableInput


def test_cross_sections():
    assert cross_section_cm2(width_mm=88.9, thickness_mm=38.1) == pytest.approx(33.871, abs=1e-3)
    assert cross_section_cm2(diameter_mm=100) == pytest.approx(78.540, abs=1e-3)
    assert lumber_mm("4 x 4", condition="green") == pytest.approx((90.4875, 90.4875))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cross_section_cm2(width_mm=40), "width and thickness, or the diameter"),
        (lambda: cross_section_cm2(width_mm=40, thickness_mm=-2), "above zero"),
        (lambda: lumber_mm("2x5000"), '"2x5000" is no nominal lumber size'),
        (lambda: lumber_mm("two by four"), "write it as 2x4"),
    ],
)
def test_errors_say_what_and_how_to_mend(call, words):
    with pytest.raises(UnusableInput, match=words):
        call()


# American Softwood Lumber Standard, PS 20, tables of dressed sizes, in inches as fractions;
# typed a second time, from memory: nominal, dry, green.
PS_20 = """
1 3/4 25/32
2 1+1/2 1+9/16
3 2+1/2 2+9/16
4 3+1/2 3+9/16
5 4+1/2 4+5/8
6 5+1/2 5+5/8
8 7+1/4 7+1/2
10 9+1/4 9+1/2
12 11+1/4 11+1/2
"""


@pytest.mark.parametrize("row", PS_20.strip().splitlines())
def test_every_dressed_size_is_that_of_the_standard(row):
    nominal, *sizes = row.split()
    for condition, size in zip(("dry", "green"), sizes, strict=True):
        inches = sum(Fraction(part) for part in size.split("+"))
        thickness, width = lumber_mm(f"{nominal}x2", condition=condition)
        assert thickness == pytest.approx(float(inches) * 25.4)
        assert width == pytest.approx({"dry": 38.1, "green": 39.6875}[condition])
