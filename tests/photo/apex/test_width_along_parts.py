"""What a width's interval holds and what is doubted of it, each at its limit from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.apex import width_along
from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.narrow_band import NarrowWidth
from edgetest.photo.apex.tone_family import Tone
from edgetest.photo.apex.width_along import (
    Setup,
    _cut_noise,
    _doubts,
    _flat_or_round,
    _last,
    _perhaps_crest,
    _perhaps_exchanged,
    _profile_doubts,
    _resolved,
)

COUNT = 100


def lens(name="plain", *, width=20.0, blur=2.0, extra=0.0):
    return Explanation(name, width, blur, extra, 1.0)


def shape_of(best=None, *, moved=None, u_px=0.3, sharpened=None, explained=True):
    from dataclasses import make_dataclass

    kind = make_dataclass("Shape", ["best", "moved", "u_px", "sharpened", "explained", "behind"])
    return kind(best or lens(), moved, u_px, sharpened, explained, None)


def codes(doubts):
    return {one.code: one.where.value for one in doubts}


@pytest.mark.parametrize(
    ("best", "moved_px", "far"),
    [
        (lens("disc"), 5.1, 14.9 / 1.96),
        (lens("hexagon"), 5.1, 14.9 / 1.96),
        (lens("disc"), 5.0, 0.0),  # no longer than a quarter of the width
        (lens("disc", width=16.0), 4.9, 0.0),  # nor than 5 px
        (lens("disc", width=16.0), 5.1, 10.9 / 1.96),
        (lens("plain"), 9.0, 0.0),
        (lens("disc"), 25.0, 0.0),  # the land is not negative
    ],
)
def test_where_land_and_movement_change_places_the_interval_holds_both(best, moved_px, far):
    found = _perhaps_exchanged(shape_of(best, moved=lens("moved", extra=moved_px)))
    assert found.u_px == pytest.approx(np.hypot(0.3, far))
    assert _perhaps_exchanged(shape_of(best)).u_px == 0.3
    assert _perhaps_exchanged(None) is None


@pytest.mark.parametrize(
    ("blur", "width", "wider"),
    [(3.0, 15.0, True), (3.0, 15.1, False), (2.9, 14.0, False), (4.0, 20.0, True)],
)
def test_a_soft_land_of_five_blurs_may_be_a_round_crest_s_bell(blur, width, wider):
    found = _perhaps_crest(shape_of(lens(width=width)), blur)
    expected = np.hypot(0.3, width_along.BELL_U * width / 1.96) if wider else 0.3
    assert found.u_px == pytest.approx(expected)
    assert _perhaps_crest(None, blur) is None


def narrow(*, low=4.0, high=6.5, blur=2.5, resolved=True, upper=7.0):
    return NarrowWidth(5.0, low, high, upper, blur, resolved)


def setup_of(*, um=2.0, scale_u=0.0, tone=None, blur=None):
    return Setup(um, scale_u, tone or Tone(), blur)


def test_a_narrow_width_s_interval_is_its_own_with_the_scale_s():
    """The limits 1 px below and 1.5 px above; the scale's 2 % are 1.96 * 0.1 px to either side."""
    found = _resolved(narrow(), narrow(low=4.5, high=5.6), setup_of(scale_u=0.02))
    width = found["width_um"]
    assert (width.mean, width.p50) == (10.0, 10.0)
    assert width.low == pytest.approx(2 * (5 - np.hypot(1.0, 0.196)))
    assert width.high == pytest.approx(2 * (5 + np.hypot(1.5, 0.196)))
    assert found["width_u_um"] == pytest.approx(2 * 1.1 / 3.92)
    assert np.isnan([width.sd_along_edge, width.p05, width.p95]).all()
    grey = _resolved(narrow(), narrow(), setup_of(tone=Tone(calibrated=True)))
    assert grey["width_um"].high == pytest.approx(2 * (5 + np.hypot(1.5, 1.96 * 0.03 * 2.5)))


@pytest.mark.parametrize(
    ("found", "blur", "limit"),
    [(narrow(resolved=False, blur=2.0), None, 9.0), (narrow(resolved=False, blur=1.9), None, 7.0),
     (narrow(resolved=False, blur=2.5), 2.4, 7.0), (narrow(blur=2.5), None, 7.0),
     (narrow(resolved=False, blur=2.5, upper=9.5), None, 9.5)],
)  # fmt: skip
def test_an_upper_limit_holds_a_round_crest_too(monkeypatch, found, blur, limit):
    monkeypatch.setattr(width_along, "narrow_width", lambda pooled, blur_px: found)
    monkeypatch.setattr(width_along, "bell_limit", lambda pooled: 9.0)
    assert _flat_or_round(None, blur_px=blur).upper_px == limit


def band_of(**known):
    full = np.ones(COUNT)
    sides = SimpleNamespace(
        blur_px=known.pop("blur", 2.0) * full, saturated=known.pop("saturated", False),
        noise=known.pop("noise", 0.01), contrast=0.4 * full, below=0.02 * full, above=0.3 * full,
    )  # fmt: skip
    used = np.arange(COUNT) < known.pop("count", 100)
    return SimpleNamespace(sides=sides, used=used, context=None, chips=known.pop("chips", ()))


def met(monkeypatch, *, heights=(), mean=20.0, sd=1.0, tone=None, **known):
    monkeypatch.setattr(width_along, "bands_beside", lambda context: [(50.0, h) for h in heights])
    found = SimpleNamespace(mean_px=mean, sd_px=sd)
    return codes(_doubts(band_of(**known), found, setup_of(tone=tone)))


def test_doubts_are_said_from_their_limits_on(monkeypatch):
    assert met(monkeypatch) == {}
    assert met(monkeypatch, count=70) == {}
    assert met(monkeypatch, count=69) == {"partly_measured": pytest.approx(0.69)}
    assert met(monkeypatch, sd=5.0) == {}
    assert met(monkeypatch, sd=5.1) == {"uneven_width": pytest.approx(0.255)}
    assert met(monkeypatch, blur=width_along.SOFT_PX) == {}
    assert met(monkeypatch, blur=4.01) == {"soft_focus": pytest.approx(4.01)}
    assert met(monkeypatch, heights=(0.36,)) == {}
    assert met(monkeypatch, heights=(0.5, 0.35)) == {"second_band_faint": None}
    assert met(monkeypatch, chips=(1,)) == {"chips_found": None}
    assert met(monkeypatch, saturated=True) == {"saturated_band": None}
    assert met(monkeypatch, tone=Tone(known=False)) == {"tone_unknown": None}
    # Half of the usual blur and half a pixel: 1.5 px from 2 px.
    spread = np.where(np.arange(COUNT) % 10 == 0, 1.75, 1.0)
    assert met(monkeypatch, blur=2 * spread) == {}
    assert met(monkeypatch, blur=2 * np.where(spread > 1, 1.76, 1)) == {
        "focus_varies": pytest.approx(1.52)
    }


def test_the_mean_profile_raises_its_own_doubts():
    assert _profile_doubts(None) == ()
    assert codes(_profile_doubts(shape_of())) == {}
    assert codes(_profile_doubts(shape_of(lens("moved", extra=3.0)))) == {"camera_moved": None}
    perhaps = shape_of(lens("disc", extra=3.0), moved=lens("moved", extra=5.1))
    assert codes(_profile_doubts(perhaps)) == {"camera_moved": None}
    perhaps = shape_of(lens("disc", extra=3.0), moved=lens("moved", extra=5.0))
    assert codes(_profile_doubts(perhaps)) == {}
    assert codes(_profile_doubts(shape_of(lens("rounded", extra=0.1)))) == {}
    assert codes(_profile_doubts(shape_of(lens("rounded", extra=0.11)))) == {"rounded_land": 0.11}
    assert codes(_profile_doubts(shape_of(lens("dome", extra=0.5)))) == {}
    for extra, code in ((0.6, {}), (0.61, {"rolled_edge": None}), (-0.61, {"rolled_edge": None})):
        assert codes(_profile_doubts(shape_of(lens("rolled", extra=extra)))) == code
    assert codes(_profile_doubts(shape_of(explained=False))) == {"unlike_profile": None}
    for sure in (True, False):
        sharp = shape_of(sharpened=SimpleNamespace(sure=sure))
        assert ("sharpened" in codes(_profile_doubts(sharp))) == sure


@pytest.mark.parametrize(
    ("um", "mean", "noise", "code"),
    [(0.03, 20.0, 0.01, {}), (0.029, 20.0, 0.01, {"scale_mismatch": 0.58}), (2.0, 1500.0, 0.01, {}),
     (2.0, 1501.0, 0.01, {"scale_mismatch": 3002.0}), (2.0, 20.0, 0.04, {}),
     (2.0, 20.0, 0.041, {"noisy": 0.1025})],
)  # fmt: skip
def test_scale_and_noise_are_doubted_last(um, mean, noise, code):
    """A blur under 0.06 µm, a land over 3 mm; noise of a tenth of the contrast."""
    found = SimpleNamespace(mean_px=mean, sd_px=1.0)
    told = codes(_last(band_of(noise=noise), found, um))
    assert told == {name: pytest.approx(value) for name, value in code.items()}


@pytest.mark.parametrize(("noise", "cut"), [(0.0099, 0.0), (0.0101, 0.0101 / 0.4)])
def test_noise_is_cut_where_it_reaches_below_black(monkeypatch, noise, cut):
    """Twice the noise over the darker ground, 0.02."""
    monkeypatch.setattr(width_along, "pixel_noise", lambda grey: noise)
    band = band_of()
    assert _cut_noise(None, band.sides, band.used) == pytest.approx(cut)
