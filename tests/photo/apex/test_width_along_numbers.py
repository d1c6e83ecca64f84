"""Numbers of a measured land: its interval, its limits, what every measurement carries."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import width_along as module
from edgetest.photo.apex.narrow_band import NarrowWidth
from edgetest.photo.apex.straighten import Track
from edgetest.photo.apex.tone_family import CALIBRATED_U, Tone
from edgetest.photo.apex.width_along import FoundBand, Setup, width_along, width_pooled

COUNT = 40


def band_of(*, saturated=False, used=COUNT):
    index = np.arange(float(COUNT))
    flat = np.ones(COUNT)
    track = Track(
        2 * index + 1, np.stack([50 * flat, 2 * index], axis=1), np.tile([1.0, 0], (COUNT, 1))
    )
    sides = SimpleNamespace(
        track=track, left=-9 * flat, right=11 * flat, width_px=20 + index / 10,
        contrast=0.5 * flat, blur_px=3 * flat, noise=0.01, block=2, saturated=saturated,
    )  # fmt: skip
    return FoundBand(sides, np.arange(COUNT) < used, None, False)


def setup_of(*, scale_u=0.0, calibrated=False, blur=None):
    return Setup(2.0, scale_u, Tone(True, False, calibrated=calibrated), blur)


def along(monkeypatch, *, u_px=0.3, behind=None, shift=0.0, band=None, setup=None, reach=(0, 0)):
    """A land whose mean width is 20 px, known to `u_px`."""
    profile = SimpleNamespace(
        best=None, moved=None, u_px=0.0, explained=True, behind=behind, shift_px=shift
    )
    found = SimpleNamespace(mean_px=20.0, sd_px=0.8, u_px=u_px)
    for name, value in (
        ("shape_misfit", 0.0), ("explain_profile", profile), ("too_blurred", None),
        ("mean_width", found), ("tone_reach", reach), ("_cut_noise", 0.0), ("curve_of", None),
        ("_perhaps_crest", profile), ("_perhaps_exchanged", profile),
        ("_doubts", ()), ("_profile_doubts", ()), ("_last", ()),
    ):  # fmt: skip
        monkeypatch.setattr(module, name, lambda *rest, value=value, **more: value)
    return width_along(None, band or band_of(), setup or setup_of(), np.array([100.0, 7.0]))


def test_an_interval_holds_the_scatter_the_scale_and_the_tone(monkeypatch):
    """20 px of 2 µm: 0.3 px, 2 % of 40 µm, a share of the blur of 3 px, and what tones reach."""
    found = along(monkeypatch).width_um
    assert (found.mean, found.low, found.high) == pytest.approx((40, 40 - 1.176, 40 + 1.176))
    assert found.sd_along_edge == pytest.approx(1.6)
    scaled = along(monkeypatch, setup=setup_of(scale_u=0.02)).width_um
    assert scaled.high == pytest.approx(40 + 1.96 * np.hypot(0.6, 0.8))
    own = along(monkeypatch, setup=setup_of(scale_u=0.02, calibrated=True)).width_um
    shared = np.hypot(0.8, CALIBRATED_U * 3 * 2)
    assert own.low == pytest.approx(40 - 1.96 * np.hypot(0.6, shared))
    toned = along(monkeypatch, reach=(0.7, 1.5)).width_um
    assert (toned.low, toned.high) == pytest.approx((40 - 1.176 - 1.4, 40 + 1.176 + 3))


def test_percentiles_are_of_the_places_that_count(monkeypatch):
    found = along(monkeypatch, band=band_of(used=21))
    widths = 2 * (20 + np.arange(21) / 10)
    told = found.width_um.p05, found.width_um.p50, found.width_um.p95
    assert told == pytest.approx(np.percentile(widths, [5, 50, 95]))
    assert found.width_u_um == pytest.approx(0.6)
    assert found.measured_length_um == pytest.approx(21 * 2 * 2)
    assert found.share_measured == pytest.approx(21 / 40)
    assert found.snr == pytest.approx(50)
    assert found.blur_px == 3
    assert (found.um_per_px, found.scale_relative_u) == (2.0, 0.0)


def test_places_are_told_in_pixels_of_the_photograph(monkeypatch):
    found = along(monkeypatch)
    assert_allclose(found.left_rc[3], [50 - 9 + 100, 6 + 7])
    assert_allclose(found.right_rc[3], [50 + 11 + 100, 6 + 7])
    assert_allclose(found.centre_rc[3], [50 + 1 + 100, 6 + 7])
    assert_allclose(found.position_um, 2 * (2 * np.arange(40) + 1))


@pytest.mark.parametrize(("u_px", "status"), [(0.81, "measured"), (0.82, "refused")])
def test_an_overexposed_land_is_known_to_eight_hundredths(monkeypatch, u_px, status):
    """1.96 times 0.816 px is 1.6 px of 20."""
    assert along(monkeypatch, u_px=u_px, band=band_of(saturated=True)).status == status
    assert along(monkeypatch, u_px=u_px).status == "measured"


@pytest.mark.parametrize(("shift", "below"), [(0.0, 42.8), (0.5, 42.8), (-3.0, 49.22)])
def test_a_bell_as_wide_as_it_looks_is_an_upper_limit(monkeypatch, shift, below):
    """7 % more than 40 µm, or than the 46 µm that it would be without the correction."""
    found = along(monkeypatch, behind=1.0, shift=shift)
    assert found.width_um is None
    assert found.below_um == pytest.approx(below)
    assert [one.code for one in found.doubts] == ["wide_or_blurred"]
    wide = along(monkeypatch, behind=1.0, u_px=3.0)
    assert wide.below_um == pytest.approx(40 + 1.96 * 6)  # the interval reaches further


def test_a_land_lost_in_the_blur_is_refused(monkeypatch):
    along(monkeypatch)
    monkeypatch.setattr(module, "too_blurred", lambda *rest: "out_of_focus")
    found = width_along(None, band_of(), setup_of(), np.zeros(2))
    assert [one.code for one in found.reasons] == ["out_of_focus"]


def pooled(monkeypatch, *, resolved, blur=2.0, known=None, scale_u=0.0, profile="pooled"):
    """A narrow land of 20 px and more behind a blur of 3 px, pooled."""
    asked = {}
    narrow = NarrowWidth(4.0, 3.0, 5.5, 6.0, blur, resolved)
    bell = NarrowWidth(9.0, 8.0, 9.5, 9.9, blur, resolved)

    def pool(grey, centre, used, upright, reach):
        asked.update(centre=centre, reach=reach)
        return profile

    monkeypatch.setattr(module, "pool_profile", pool)
    monkeypatch.setattr(module, "_flat_or_round", lambda pooled, blur_px: narrow)
    monkeypatch.setattr(module, "bell_width", lambda pooled, detail: bell)
    monkeypatch.setattr(
        module, "detail_beside", lambda grey, sides, total: asked.update(detail=sides, total=total)
    )
    monkeypatch.setattr(module, "narrow_on_any_tone", lambda pooled, found, tone, measure: found)
    setup = setup_of(blur=known, scale_u=scale_u)
    return width_pooled(None, SimpleBand(), setup, np.zeros(2)), asked


class SimpleBand:
    """A band whose sides can be replaced."""

    def __new__(cls):
        from dataclasses import make_dataclass, replace

        plain = band_of()
        sides = make_dataclass("Sides", list(vars(plain.sides)))(**vars(plain.sides))
        return replace(plain, sides=sides)


def test_a_narrow_land_has_a_width_or_a_limit(monkeypatch):
    found, asked = pooled(monkeypatch, resolved=True)
    assert found.width_um.mean == pytest.approx(8)
    assert [one.code for one in found.doubts] == ["narrow_band"]
    total = np.median(np.hypot(3, (20 + np.arange(40) / 10) / 3.46))
    assert asked["reach"] == pytest.approx(5 * total + 3)
    assert_allclose(asked["centre"][:, 0], 51)
    found, _ = pooled(monkeypatch, resolved=False, scale_u=0.1)
    assert found.below_um == pytest.approx(12 * 1.164)
    assert [one.code for one in found.doubts] == ["below_resolution"]
    none, _ = pooled(monkeypatch, resolved=True, profile=None)
    assert [one.code for one in none.reasons] == ["too_short"]


@pytest.mark.parametrize(
    ("blur", "known", "code"),
    [
        (3.0, None, "narrow_band"),
        (3.1, None, "round_crest"),
        (3.1, 2.0, "narrow_band"),
    ],
)
def test_a_soft_narrow_land_may_be_a_round_crest(monkeypatch, blur, known, code):
    found, asked = pooled(monkeypatch, resolved=True, blur=blur, known=known)
    assert [one.code for one in found.doubts] == [code]
    if code == "round_crest":
        assert found.width_um.mean == pytest.approx(18)
        assert_allclose(asked["detail"].left, 1)
        assert_allclose(asked["detail"].right, 1)
        limit, _ = pooled(monkeypatch, resolved=False, blur=blur)
        assert [one.code for one in limit.doubts] == ["soft_or_round"]
