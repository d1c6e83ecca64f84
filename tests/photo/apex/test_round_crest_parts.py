"""What the detail beside a bell allows, and the bell's width: at the limits, and by another way."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex import round_crest
from edgetest.photo.apex.narrow_band import Pooled
from edgetest.photo.apex.round_crest import Detail, _fitted, _side, bell_width, detail_beside

SD = 6.0


@pytest.mark.parametrize(
    ("gain", "directed", "sharp"),
    [(6.1, 16.1, True), (6.0, 16.1, False), (6.1, 16.0, False), (99.0, 0.0, False)],
)
def test_a_bell_is_the_crest_s_own_where_sharp_detail_has_a_direction(gain, directed, sharp):
    assert Detail(gain, 1.0, directed).sharp == sharp


def beside(monkeypatch, likely=None, *, rays=3):
    """What `detail_beside` asks, and makes of likelihoods (4 lenses by 12 blurs)."""
    asked = {}

    def replaced(sides, **ends):
        asked["ends"] = ends
        return "around"

    def detail_of(grey, sides, keep_px, coarsest):
        asked["detail"] = (sides, keep_px, coarsest)
        return SimpleNamespace(angle=np.zeros(rays))

    def likelihoods(rays, lenses):
        asked["lenses"] = lenses
        return np.asarray(likely, dtype=float).ravel()

    def directed(rays, finest):
        asked["finest"] = finest
        return 21.0

    for name, stub in (("replace", replaced), ("detail_of", detail_of),
                       ("likelihoods", likelihoods), ("directed", directed)):  # fmt: skip
        monkeypatch.setattr(round_crest, name, stub)
    sides = SimpleNamespace(left=np.full(3, 2.0), right=np.full(3, 8.0))
    return detail_beside(None, sides, SD), asked


def flat(**at):
    likely = np.zeros((4, 12))
    for place, value in at.items():
        lens, blur = place[1:].split("_")
        likely[int(lens), int(blur)] = value
    return likely


def test_lenses_that_are_tried_blur_from_a_twentieth_of_the_bell_to_all_of_it(monkeypatch):
    """The picture of an aperture spreads as its chords do: a disc's by half its radius."""
    _, asked = beside(monkeypatch, flat())
    lenses = asked["lenses"]
    assert [one.name for one in lenses[::12]] == ["plain", "disc", "annular", "hexagon"]
    blurs = np.array([one.blur_px for one in lenses[:12]])
    assert (blurs[0], blurs[-1]) == pytest.approx((SD / 20, SD))
    assert np.all(np.diff(blurs) > 0)
    assert np.all(blurs[1:] / blurs[:-1] <= 2.0 + 1e-9)
    assert {one.extra for one in lenses[:12]} == {0.0}
    for first, spread in ((12, 0.5), (24, np.sqrt(1 + 0.45**2) / 2), (36, np.sqrt(5 / 24))):
        own = lenses[first : first + 12]
        assert {one.blur_px for one in own} == {0.3}
        assert_allclose([spread * one.extra for one in own], blurs, rtol=2e-3)
    assert [lenses[k].form for k in (12, 24, 36)] == [0.0, 0.45, 0.25]


def test_detail_is_sought_beside_the_bell_s_half_height(monkeypatch):
    _, asked = beside(monkeypatch, flat())
    half = SD * np.sqrt(2 * np.log(2))
    assert_allclose(asked["ends"]["left"], 5 - half)
    assert_allclose(asked["ends"]["right"], 5 + half)
    assert asked["detail"] == ("around", 12.0, pytest.approx(0.12 / 12))
    # Where a lens of 0.7 of the bell passes exp(-4) of the power.
    passed = np.exp(-((2 * np.pi * asked["finest"] * 0.7 * SD) ** 2))
    assert passed == pytest.approx(np.exp(-4))


def test_no_detail_tells_nothing(monkeypatch):
    found, _ = beside(monkeypatch, rays=0)
    assert found == Detail(0.0, SD, 0.0)


def test_the_gain_is_that_of_a_sharp_lens_over_every_soft_one(monkeypatch):
    """Soft ones blur by 0.7 of the bell and more, whatever their aperture."""
    found, _ = beside(monkeypatch, flat(p0_8=9.0, p0_9=2.0, p3_11=3.0, p1_2=50.0))
    assert found.gain == pytest.approx(6.0)
    assert found.directed == 21.0


@pytest.mark.parametrize(("likely", "allowed"), [(10.1, 0.6), (9.9, 0.25)])
def test_a_blur_is_allowed_that_is_ten_less_likely(monkeypatch, likely, allowed):
    """1.6 times as much may be the true one, and no more than the bell."""
    found, _ = beside(monkeypatch, flat(p0_4=20.0, p2_8=likely))
    assert found.blur_px == pytest.approx(1.6 * allowed * SD)
    wide, _ = beside(monkeypatch, flat(p0_4=20.0, p2_9=15.0))
    assert wide.blur_px == SD


def widths(monkeypatch, blur, *, sharp=True, steep=1.0):
    """Fitted widths that shrink with the blur."""
    monkeypatch.setattr(round_crest, "_fitted", lambda pooled, blur: 20.0 - steep * blur)
    return bell_width(None, Detail(50.0 if sharp else 0.0, blur, 50.0))


def test_a_bell_s_width_is_that_of_the_likeliest_blur(monkeypatch):
    found = widths(monkeypatch, 3.2)
    assert found.width_px == pytest.approx(18.0)
    assert found.low_px == pytest.approx(0.93 * 16.8)
    assert (found.high_px, found.upper_px) == pytest.approx((1.07 * 19.5, 1.07 * 19.5))
    assert found.blur_px == pytest.approx(2.0)
    assert found.resolved
    assert not widths(monkeypatch, 3.2, sharp=False).resolved
    # No blur of less than half a pixel is taken out.
    assert widths(monkeypatch, 0.1).width_px == pytest.approx(19.5)


@pytest.mark.parametrize(("steep", "told"), [(4.2, True), (4.5, False)])
def test_a_width_is_told_whose_lower_end_is_half_of_it(monkeypatch, steep, told):
    """0.93 times 20 - 3.2 k, and half of 20 - 2 k, of a width that shrinks by k a pixel of blur."""
    found = widths(monkeypatch, 3.2, steep=steep)
    assert found.resolved == told == (found.low_px > 0.5 * found.width_px)


@pytest.mark.parametrize(("blur", "reach"), [(1.0, 3.0), (2.0, 0.5), (1.5, 1.5)])
def test_a_side_is_a_half_gaussian_behind_a_gaussian(blur, reach):
    fine = np.arange(-60, 60, 0.01)
    sharp = np.where(fine > 0, 1.0, np.exp(-0.5 * (fine / reach) ** 2))
    kernel = np.exp(-0.5 * (np.arange(-1500, 1501) * 0.01 / blur) ** 2)
    seen = np.convolve(sharp, kernel / kernel.sum(), "same")
    x = np.linspace(-12, 8, 60)
    assert_allclose(_side(x, blur, reach), np.interp(x, fine, seen), atol=3e-3)


@pytest.mark.parametrize("grounds", [(0.0, 0.0), (0.01, 0.03)])
def test_a_flat_between_two_steps_has_its_own_width(grounds):
    x = np.arange(-30, 30.25, 0.25)
    step = ndtr((x + 8) / 1.5) - ndtr((x - 7) / 1.5)
    value = step / 15 + grounds[0] * (1 - ndtr(x + 8)) + grounds[1] * ndtr(x - 7)
    pooled = Pooled(x, value, np.full(x.size, 1e-3), 1.0, 0.0)
    assert _fitted(pooled, 1.5) == pytest.approx(15.0, rel=0.02)
