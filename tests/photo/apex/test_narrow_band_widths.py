"""A width read from its likelihood: levels, scales and limits, on made-up curves."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import narrow_band
from edgetest.photo.apex.narrow_band import _profiled, narrow_width

TOTAL = 2.0
REACH = np.sqrt(12) * TOTAL
LENS = np.array([2.9, 0.0, 0.0])  # like a Gaussian of 1 px


def told(monkeypatch, curve, *, values=60, blur_px=None):
    """The width of a curve of misfit over the widths that are tried."""

    def profiled(pooled, widths, total, blur):
        assert total == TOTAL
        assert blur == blur_px
        assert widths.size == 36
        assert_allclose(widths[[0, -1]], np.array([0.04, 1.02]) * REACH)
        return curve(widths), np.tile(LENS, (36, 1))

    monkeypatch.setattr(narrow_band, "_total_sd", lambda pooled: TOTAL)
    monkeypatch.setattr(narrow_band, "_profiled", profiled)
    return narrow_width(SimpleNamespace(value=np.zeros(values)), blur_px=blur_px)


def parabola(at, half, least):
    """Misfit that rises by 1 at a distance of `half`."""
    return lambda widths: least + ((widths - at) / half) ** 2


def test_an_interval_is_where_the_misfit_stays_under_chi_square(monkeypatch):
    """3.841 to either side and 2.706 to one, and twice 2 % of the width for the lens."""
    at, half = 4.0, 0.2
    found = told(monkeypatch, parabola(at, half, 1e-3))
    assert found.width_px == pytest.approx(at, abs=1e-6)
    wide = half * np.sqrt(3.841)
    assert found.low_px == pytest.approx(at - wide - 0.04 * at, abs=0.02)
    assert found.high_px == pytest.approx(at + wide + 0.04 * at, abs=0.02)
    assert found.upper_px == pytest.approx((at + half * np.sqrt(2.706)) * 1.04, abs=0.02)
    assert found.blur_px == pytest.approx(np.hypot(1, np.sqrt(1 / 12)))
    assert found.resolved


def test_a_misfit_of_three_times_the_least_is_possible_still(monkeypatch):
    found = told(monkeypatch, parabola(4.0, 0.1, 20.0), values=60)
    assert found.high_px == pytest.approx(4.0 + 0.1 * np.sqrt(40) + 0.16, abs=0.02)
    assert found.upper_px == pytest.approx((4.0 + 0.1 * np.sqrt(40)) * 1.04, abs=0.02)


def test_a_misfit_above_the_number_of_values_widens_the_levels(monkeypatch):
    """All that is told in units of the least misfit over the values less eight."""
    found = told(monkeypatch, parabola(4.0, 0.02, 40.0), values=10)
    level = max(3.841 * 40 / 2, 2 * 40)
    assert level == 80
    assert found.high_px == pytest.approx(4.0 + 0.02 * np.sqrt(80) + 0.16, abs=0.02)
    found = told(monkeypatch, parabola(4.0, 0.02, 40.0), values=9)
    assert found.high_px == pytest.approx(4.0 + 0.02 * np.sqrt(3.841 * 40) + 0.16, abs=0.02)
    assert found.upper_px == pytest.approx((4.0 + 0.02 * np.sqrt(2.706 * 40)) * 1.04, abs=0.02)


@pytest.mark.parametrize(("half", "resolved"), [(0.21, True), (0.3, False)])
def test_a_width_is_resolved_within_three_tenths_of_it(monkeypatch, half, resolved):
    """4 px: 1.2 px from end to end, of which 0.32 are the lens's."""
    assert told(monkeypatch, parabola(4.0, half, 1e-3)).resolved == resolved
    assert (2 * half * 1.96 + 0.32 < 1.2) == resolved


def test_an_interval_that_goes_down_to_nothing_is_an_upper_limit(monkeypatch):
    found = told(monkeypatch, parabola(1.0, 0.6, 1e-3))
    assert found.low_px == 0
    assert not found.resolved
    lowest = told(monkeypatch, lambda widths: 1 + widths)
    assert lowest.width_px == pytest.approx(0.04 * REACH)
    assert lowest.upper_px >= lowest.width_px


def test_lenses_are_begun_with_from_what_the_width_leaves_of_the_blur(monkeypatch):
    """Three starts a width: sd² = total² - width² / 12 - 1 / 12, at least 0.04."""
    seen = {}

    def best(misses, lens, turns):
        seen.update(lens=lens, turns=turns, off=misses(lens))
        chi2 = np.arange(6.0)[::-1]
        return lens, chi2

    monkeypatch.setattr(narrow_band, "best_lenses", best)
    pooled = SimpleNamespace(
        distance=np.arange(-6.0, 7), value=np.exp(-0.5 * np.arange(-6.0, 7) ** 2 / 4),
        sd=np.full(13, 0.01), along=1.0, across=0.0,
    )  # fmt: skip
    widths = np.array([2.0, 6.9])
    chi2, lens = _profiled(pooled, widths, TOTAL, 1.3)
    blur = np.sqrt([4 - 4 / 12 - 1 / 12, 0.04])
    expected = np.concatenate(
        [
            blur[:, None] * np.array(start)
            for start in ((2.7, 0.5, 0.25), (1.4, 1.6, 0.25), (1.2, 0.6, 0.8))
        ]
    )
    assert_allclose(seen["lens"], expected)
    assert seen["turns"] == 9
    assert_allclose(chi2, [1, 0])  # the last start's, the least
    assert_allclose(lens, expected[4:])
    # A blur that is known to 3 %, the pixel's own taken out.
    airy, disc, smooth = expected.T
    sd = np.sqrt((airy / 2.9) ** 2 + (disc / 2) ** 2 + smooth**2)
    known = np.sqrt(1.3**2 - 1 / 12)
    assert_allclose(seen["off"][:, -1], (sd / known - 1) / 0.03)
    _profiled(pooled, widths, TOTAL, 0.3)
    assert_allclose(seen["off"][:, -1], (sd / 0.2 - 1) / 0.03)  # 0.2 px at least
    _profiled(pooled, widths, TOTAL, None)
    assert seen["off"].shape == (6, 13)
