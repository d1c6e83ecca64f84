"""How far a width may lie on other curves: of profiles whose width on each is known."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import tone_family
from edgetest.photo.apex.narrow_band import NarrowWidth, Pooled
from edgetest.photo.apex.tone_family import (
    PLACES,
    RENDERED,
    Tone,
    narrow_on_any_tone,
    tone_reach,
    turned,
)


def reach_of(monkeypatch, widths, misfits, *, known=False):
    """Widths and misfits on the curve that was assumed, then on the family's."""
    full = np.ones(9)
    sides = SimpleNamespace(blur_px=2.0 * full, below=0.1 * full, above=0.3 * full,
                            contrast=0.4 * full)  # fmt: skip
    t = np.linspace(-20, 20, 81)
    profile = t, np.where(np.abs(t) < 8, 1.0, 0.0), np.full(81, 0.01), 16.0
    monkeypatch.setattr(tone_family, "mean_profile", lambda sides, used: profile)
    left = list(zip(widths, misfits, strict=True))
    seen = []

    def fitted(name, profile, width, blur):
        seen.append((name, profile, width, blur))
        found, chi2 = left.pop(0)
        return SimpleNamespace(width_px=found, chi2=chi2)

    monkeypatch.setattr(tone_family, "fit_explanation", fitted)
    found = tone_reach(sides, np.ones(9, bool), Tone(known=known, named=True))
    return found, seen


def test_a_width_moves_as_far_as_curves_that_fit_move_it(monkeypatch):
    """Four times the least misfit, and one: of 1 that is 5."""
    found, seen = reach_of(monkeypatch, [16.0, 15.5, 16.2, 17.0, 13.0], [2.0, 1.0, 4.9, 5.0, 5.1])
    assert found == pytest.approx((0.5, 1.0))
    assert {(name, width, blur) for name, _, width, blur in seen} == {("plain", 16.0, 2.0)}
    found, _ = reach_of(monkeypatch, [16.0, 16.1, 16.2, 16.3, 16.4], [1.0] * 5)
    assert found == pytest.approx((0.0, 0.4))
    found, _ = reach_of(monkeypatch, [16.0, 15.9, 15.8, 15.0, 9.0], [1.0, 1, 1, 1, 9.0])
    assert found == pytest.approx((1.0, 0.0))
    assert reach_of(monkeypatch, [], [], known=True)[0] == (0.0, 0.0)


def test_a_profile_is_turned_with_its_scatter_and_is_one_unit_high_again(monkeypatch):
    """Ground 0.2, land 0.6: a curve makes of both what it makes, the land is 1 all the same."""
    _, seen = reach_of(monkeypatch, [16.0] * 5, [1.0] * 5)
    for (_, (t, value, spread), _, _), curve in zip(
        seen, [PLACES, *Tone(known=False, named=True).curves()], strict=True
    ):
        assert t.size == 81
        assert value[np.abs(t) < 8] == pytest.approx(1.0)
        assert value[np.abs(t) > 8] == pytest.approx(0.0, abs=1e-9)
        floor, top = np.interp([0.2, 0.6], PLACES, curve)
        low, high = np.interp([0.6 - 0.004, 0.6 + 0.004], PLACES, curve)
        steep = (high - low) / 2 / (top - floor)
        assert spread[40] == pytest.approx(np.hypot(steep, 0.0025), rel=1e-3)


def pooled():
    t = np.arange(-10, 10.25, 0.25)
    value = np.exp(-0.5 * (t / 2) ** 2) / (2 * np.sqrt(2 * np.pi))
    return Pooled(t, value, np.full(t.size, 0.002), 1.0, 0.0, 0.1, 2.0)


def narrow(width, *, low=4.0, high=6.0, upper=7.0, resolved=True):
    return NarrowWidth(width, low, high, upper, 2.0, resolved)


def test_a_narrow_width_holds_what_every_curve_makes_of_it():
    left = [
        narrow(5.0, low=3.5),
        narrow(5.2, high=6.5),
        narrow(5.0, upper=8.0),
        narrow(4.0, low=3.0),
    ]
    seen = []

    def measure(new):
        seen.append(new)
        return left[len(seen) - 1]

    found = narrow_on_any_tone(pooled(), narrow(5.0), Tone(known=False, named=True), measure)
    assert (found.width_px, found.low_px, found.high_px, found.upper_px) == (5.0, 3.0, 6.5, 8.0)
    curves = Tone(known=False, named=True).curves()
    for new, curve in zip(seen, curves, strict=True):
        assert np.trapezoid(new.value, new.distance) == pytest.approx(1)
        light = turned(0.1 + 2.0 * pooled().value, curve) - turned(0.1, curve)
        assert new.value / new.value.max() == pytest.approx(light / light.max())
        # The scatter grows as the curve is steep: beside the band as on its foot.
        more = turned(0.1 + 2.0 * (pooled().value + 0.002), curve) - turned(0.1, curve) - light
        assert new.sd / new.sd[0] == pytest.approx(more / more[0], rel=1e-6)
        assert new.sd[40] / new.value[40] == pytest.approx(more[40] / light[40], rel=1e-6)


def test_a_curve_that_leaves_only_a_limit_opens_the_width_below():
    open_below = [narrow(5.0), narrow(5.0, resolved=False, upper=9.0), narrow(5.0), narrow(5.0)]
    left = list(open_below)
    found = narrow_on_any_tone(
        pooled(), narrow(5.0), Tone(known=False, named=True), lambda new: left.pop(0)
    )
    assert (found.low_px, found.high_px, found.upper_px) == (0.0, 9.0, 9.0)
    left = list(open_below)
    limit = narrow(5.0, low=1.0, resolved=False)
    same = narrow_on_any_tone(
        pooled(), limit, Tone(known=False, named=True), lambda new: left.pop(0)
    )
    assert same.low_px == 1.0
    assert narrow_on_any_tone(pooled(), limit, Tone(), None) is limit


def test_curves_of_cameras_have_their_toes_and_shoulders():
    """A toe of power p asks for light to the power 1 / p in the dark; full light stays full."""
    soft, deep, shoulder, local = (
        RENDERED[name]
        for name in (
            "with a toe and a soft shoulder",
            "with a deep toe and a shoulder",
            "with a shoulder",
            "with local contrast",
        )
    )
    for curve, power in ((soft, 1.2), (deep, 1.6)):
        rise = np.log2(curve(2e-5) / curve(1e-5))
        assert rise == pytest.approx(1 / power, rel=1e-3)
        assert curve(1.0) == pytest.approx(1)
        # Halfway of the curve is where scene light is 0.55: 1 + 0.55 ** p is twice the light.
        assert curve((1 + 0.55**power) / 2) == pytest.approx(0.55)
    assert_allclose(shoulder(np.array([0.02, 0.59])), [0.02, 0.59])
    assert shoulder(0.8) == pytest.approx(0.6 + 0.4 * np.log(2))
    assert local(1e-4) == pytest.approx(1e-4 / 1.4)
    for curve in (soft, deep, shoulder, local):
        assert np.all(np.diff(curve(np.linspace(0.01, 0.99, 50))) > 0)
