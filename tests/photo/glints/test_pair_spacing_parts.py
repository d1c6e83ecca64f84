"""Which places of two lines count, and what their mean is worth: by hand, at the limits."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.glints.pair_spacing import _counted, _mean, _one_line, full_width

COUNT = 40


def fit_of(**places):
    """Forty places alike, but for one each."""
    usual = {"spacing": 20.0, "first": 0.5, "second": 0.4, "misfit": 0.01}
    arrays = {name: np.full(COUNT, value) for name, value in usual.items()}
    for name, values in places.items():
        for at, value in values.items():
            arrays[name][at] = value
    return SimpleNamespace(**arrays)


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [("first", 0.151, 0.149), ("second", 0.121, 0.119), ("spacing", 24.9, 25.1),
     ("spacing", 15.1, 14.9), ("misfit", 0.0299, 0.0301), ("spacing", 20.0, np.nan)],
)  # fmt: skip
def test_a_place_counts_whose_lines_are_as_usual(name, inside, outside):
    """A third as bright (0.3), within a quarter of the spacing, three times the usual misfit."""
    if np.isnan(outside):
        spacing = fit_of(spacing={3: np.inf})
        assert not _counted(spacing)[3]
        return
    held = _counted(fit_of(**{name: {3: inside, 9: outside}}))
    assert np.flatnonzero(~held).tolist() == [9]


def test_lines_are_as_wide_overexposed_as_the_wider_one():
    x = np.arange(-30.0, 31)
    full = np.zeros((10, x.size), bool)
    full[:, (x >= -12) & (x <= -9)] = True  # four pixels at every place
    full[:5, (x >= 8) & (x <= 13)] = True  # six at half of them
    full[:, np.abs(x) <= 2] = True  # between them, three deviations from either
    pair = SimpleNamespace(strip=SimpleNamespace(x=x), lines=(-10.0, 10.0), sd_px=2.0, full=full)
    assert full_width(pair) == 4.0
    full[:9, (x >= 8) & (x <= 13)] = True
    assert full_width(pair) == pytest.approx(5.4)
    pair.lines = None  # one line, in the middle
    assert full_width(pair) == 5.0
    pair.sd_px = 0.5
    assert full_width(pair) == 3.0


def test_one_line_holds_two_that_are_two_and_a_half_deviations_apart():
    found = _one_line(SimpleNamespace(sd_px=1.5), 2)
    assert (found.found, found.reason) == ("one line", "one_line")
    assert (found.at_most_px, found.line_sd_px) == (7.5, 3.0)


def test_a_mean_leaves_outliers_out_and_places_that_do_not_count():
    spacing = np.full(200, 20.0)
    spacing[[20, 77]] = 60.0
    spacing[100:120] = 33.0
    used = np.ones(200, bool)
    used[100:120] = False
    mean, u, sd = _mean(spacing, used)
    assert mean == pytest.approx(20.0, abs=1e-3)
    assert u < 1e-3
    assert sd < 1e-3


def test_white_scatter_counts_by_its_number_and_slow_change_as_spread():
    rng = np.random.default_rng(1)
    told, means = [], []
    for _ in range(12):
        mean, u, _ = _mean(20 + 0.3 * rng.standard_normal(400), np.ones(400, bool))
        told.append(u)
        means.append(mean)
    assert np.mean(told) == pytest.approx(0.3 / 20, rel=0.12)
    assert np.mean(means) == pytest.approx(20, abs=3 * 0.3 / 20 / np.sqrt(12))
    wave = 20 + np.sin(2 * np.pi * np.arange(400) / 400)
    assert _mean(wave, np.ones(400, bool))[2] == pytest.approx(1 / np.sqrt(2), rel=0.05)
