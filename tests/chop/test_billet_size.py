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
