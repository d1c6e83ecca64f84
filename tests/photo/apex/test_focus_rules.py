"""A land is as wide as it looks only where profile and detail do not speak for a narrower one."""

import pytest

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.focus_rules import narrower_land

VALUES = 20.0
WIDE = Explanation("plain", 15.0, 2.0, 0.0, 1.0)


def behind(gain, width=4.0, radius=8.0):
    """An aperture that the profile finds less likely by a log likelihood."""
    return Explanation("disc", width, 1.0, radius, 1.0 + 2 * gain / VALUES)


def judged(gain, finer, *, soft, **lens):
    return narrower_land(WIDE, [behind(gain, **lens)], VALUES, lambda *_: finer, soft=soft)


@pytest.mark.parametrize(("gain", "finer"), [(0.0, 6.0), (30.0, 0.0), (100.0, -50.0)])
def test_a_soft_land_with_evidence_is_believed(gain, finer):
    assert judged(gain, finer, soft=True) is None


def test_a_soft_land_without_evidence_may_be_narrower():
    assert not judged(0.0, 0.0, soft=True).sure
    assert not judged(20.0, -2.0, soft=True).sure
    assert judged(2.0, -30.0, soft=True).sure


def test_a_sharp_land_is_believed_unless_detail_and_profile_speak_against_it():
    assert judged(0.0, -4.0, soft=False) is None
    assert judged(10.0, -30.0, soft=False) is None  # washed-out detail, a profile that tells
    assert not judged(1.0, -12.0, soft=False).sure
    assert judged(-5.0, -60.0, soft=False).sure


def test_an_aperture_smaller_than_the_land_hides_nothing():
    assert judged(0.0, -50.0, soft=True, width=14.0, radius=6.0) is None
    assert narrower_land(WIDE, [], VALUES, lambda *_: -50.0, soft=True) is None


def test_the_likeliest_aperture_decides():
    lenses = [behind(40.0, width=5.0), behind(1.0)]
    found = narrower_land(WIDE, lenses, VALUES, lambda *_: -30.0, soft=True)
    assert found.lens == lenses[1]
