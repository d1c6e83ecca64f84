"""Uncertainties of a crest's size that pictures share, and that each has for itself."""

import numpy as np
import pytest

from edgetest.photo.apex.apex_light import FacingWidth
from edgetest.photo.glints.crest_size import CrestSize, _flat_of, _further_doubts, _own_u, _spanned
from edgetest.photo.glints.needle_light import Needle, SideSetup
from edgetest.photo.glints.pair_spacing import LineSpacing

LINES = LineSpacing("two lines", spacing_px=40.0, u_px=0.8)


def size_of(w30, own_u):
    return CrestSize("measured", LINES, w30_um=w30, own_u=own_u)


def test_what_pictures_share_is_the_rest_of_the_whole():
    """An interval of 8 to 12 µm about 10 is 0.2 / 1.96 of it, in squares."""
    whole = 0.2 / 1.96
    assert size_of(FacingWidth(8.0, 12.0, 10.0), 0.03).shared_u == pytest.approx(
        np.sqrt(whole**2 - 0.03**2)
    )
    assert size_of(FacingWidth(8.0, 12.0, 10.0), 0.2).shared_u == 0
    assert size_of(FacingWidth(8.0, 12.0, 10.0), None).shared_u is None
    assert size_of(None, 0.03).shared_u is None
    assert size_of(FacingWidth(8.0, 12.0), 0.03).shared_u is None
    assert size_of(FacingWidth(8.0, None, 10.0), 0.03).shared_u is None


def test_a_picture_s_own_doubt_is_its_noise_and_its_turn():
    """0.8 of 40 px; 0.24 of the sine of 30 degrees is a half-interval of 0.12."""
    assert _own_u(LINES, SideSetup(turned_deg=0.0)) == pytest.approx(0.02)
    turned = _own_u(LINES, SideSetup(turned_deg=30.0))
    assert turned == pytest.approx(np.hypot(0.02, 0.12 / 1.96))


def test_a_flat_whose_lines_are_as_far_apart_is_as_wide_as_the_crest_by_the_sines():
    """2 R sin(θ/2): with a sine of 0.25, over that of 30 degrees, half of the radius."""
    radius = FacingWidth(8.0, 12.0, 10.0)
    assert _flat_of(radius, (0.25, 0.25)) == FacingWidth(4.0, 6.0, 5.0)
    assert _flat_of(radius, (0.25, 0.5)) == FacingWidth(4.0, 12.0, None)
    assert _flat_of(FacingWidth(8.0, 12.0), (0.25, 0.25)).value is None


def test_both_forms_are_spanned_and_the_value_lies_amid_them():
    both = _spanned(FacingWidth(8.0, 12.0, 10.0), FacingWidth(4.0, 6.0, 5.0))
    assert both == FacingWidth(4.0, 12.0, 7.5)
    assert _spanned(FacingWidth(4.0, 6.0, 5.0), FacingWidth(8.0, 12.0, 10.0)) == both
    assert _spanned(FacingWidth(8.0, 12.0), FacingWidth(4.0, 6.0, 5.0)).value is None


def test_doubts_of_a_size():
    thin = Needle(100.0, 1.0)

    def codes(crest, needle=thin, setup=None):
        return [one.code for one in _further_doubts(crest, needle, setup or SideSetup(), None)]

    assert codes(LINES) == []
    assert codes(LineSpacing("one line")) == ["lines_not_resolved"]
    assert codes(LINES, setup=SideSetup(direction="ring")) == ["ring_at_least"]
