"""The family of cameras' curves: each against its formula, and turned light beyond its ends."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.tone_family import (
    PLACES,
    Tone,
    bent,
    locally_contrasted,
    pressed,
    softer_light,
    turned,
)
from edgetest.photo.linear_light import srgb_decode, srgb_encode

LIGHT = np.linspace(0.01, 0.99, 60)


@pytest.mark.parametrize("slope", [1.2, 1.6])
def test_a_toe_and_a_shoulder_are_a_logistic_of_the_logarithm(slope):
    """Scene light s gives (1 + m^k) s^k / (s^k + m^k): undone, the scene's light."""
    shown = (1 + 0.55**slope) * LIGHT**slope / (LIGHT**slope + 0.55**slope)
    assert_allclose(bent(shown, slope, 0.55), LIGHT, rtol=1e-9)


def test_a_shoulder_presses_light_above_its_knee():
    room = 0.4
    shown = np.where(LIGHT < 0.6, LIGHT, 0.6 + room * (1 - np.exp(-(LIGHT - 0.6) / room)))
    assert_allclose(pressed(shown, 0.6), LIGHT, rtol=1e-9)


def test_local_contrast_draws_stored_values_away_from_the_ground():
    stored = np.asarray(srgb_encode(0.5 * LIGHT), dtype=float)
    shown = np.asarray(srgb_decode(1.3 * stored), dtype=float)
    assert_allclose(locally_contrasted(shown, 0.3), 0.5 * LIGHT, rtol=1e-5)


def test_a_curve_goes_straight_on_beyond_its_ends():
    curve = PLACES**2
    light = np.array([-0.5, 0.3, 1.0, 1.5])
    step = PLACES[1]
    expected = [-0.5 * step, 0.09, 1.0, 1 + 0.5 * (2 - step)]
    assert_allclose(turned(light, curve), expected, atol=1e-6)


def test_what_is_known_of_a_camera_shortens_the_family():
    assert len(Tone(known=False).curves()) == 7
    assert len(Tone(known=False, named=True).curves()) == 4
    softer = Tone(known=False, power=1.5).curves()
    assert len(softer) == 8
    # The last is the usual guess itself, sRGB, seen from the power that was taken.
    assert_allclose(softer[-1], srgb_decode(PLACES ** (1 / 1.5)), atol=1e-6)
    for curve in Tone(known=False).curves():
        assert curve.shape == (1025,)
        assert np.all(np.diff(curve) > 0)
    assert_allclose(Tone(known=False).curves()[-1], srgb_encode(PLACES), atol=1e-6)
    assert_allclose(softer_light(LIGHT, 1.5), srgb_encode(LIGHT) ** 1.5, rtol=1e-5)
    assert Tone(calibrated=True).u_blurs == 0.03
    assert Tone().u_blurs == 0
    (row,) = Tone(known=False, named=True).doubt_rows
    assert row[:2] == ("tone_named", True)
    assert Tone().doubt_rows[0][:2] == ("tone_unknown", False)
