"""Parts of laying one outline on another: lags, likenesses and odds in closed form."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.photo.side.laying import (
    Candidate,
    _alone,
    _candidate,
    _evidence,
    _excess,
    _lags,
    _likeness,
    _own_likeness,
    _peaks,
    _spectra,
    chance_of,
    stretches,
)


def line_of(value, *, sound=None, start=0.0, step=2.0):
    value = np.asarray(value, dtype=float)
    sound = np.ones(value.size, bool) if sound is None else np.asarray(sound)
    return SimpleNamespace(value=np.where(sound, value, 0.0), sound=sound, start_um=start,
                           step_um=step, enough=True)  # fmt: skip


def test_stretches_reach_to_three_hundredths_in_steps_of_a_peak():
    found = stretches(1000.0, 6.0)
    assert_allclose(np.diff(found), 0.006)
    assert found.size == 11
    assert found[5] == 1
    assert (found[0], found[-1]) == pytest.approx((0.97, 1.03))
    assert stretches(1000.0, 7.0).size == 11  # five of 0.007 and no less
    assert stretches(1e9, 6.0)[1] - stretches(1e9, 6.0)[0] == pytest.approx(2e-4)


def test_likeness_is_the_correlation_of_what_both_show_soundly():
    rng = np.random.default_rng(1)
    one, other = rng.standard_normal(40), rng.standard_normal(60)
    good_one, good_other = rng.random(40) < 0.8, rng.random(60) < 0.8
    first, second = line_of(one, sound=good_one), line_of(other, sound=good_other)
    count = 128
    alike, overlap = _likeness(_spectra(first, count), _spectra(second, count), count)
    lags = _lags(40, 60, count)
    for lag in (-30, -7, 0, 5, 31, 55):
        (k,) = np.flatnonzero(lags == lag)
        a = np.arange(max(0, -lag), min(40, 60 - lag))
        both = good_one[a] & good_other[a + lag]
        x, y = one[a][both], other[a + lag][both]
        assert overlap[k] == both.sum()
        assert alike[k] == pytest.approx((x @ y) / np.sqrt((x @ x) * (y @ y)), abs=1e-6)


def test_lags_go_round_and_those_of_no_overlap_are_far_away():
    found = _lags(3, 4, 10)
    assert found.tolist() == [0, 1, 2, 3, -20, -20, -20, -20, -2, -1]


def test_a_line_s_own_likeness_is_tapered():
    """Runs of four of one sign: 1, 3/4, ... of neighbours that lie on the same run."""
    value = np.repeat(np.tile([1.0, -1.0], 60), 4)
    own = _own_likeness(line_of(value))
    assert own.size == 60
    expected = np.array([1, 0.5, 0, -0.5, -1]) * (1 - np.arange(5) / 60)
    assert_allclose(own[:5], expected, atol=0.01)
    assert _own_likeness(line_of(value[:80])).size == 20
    half = _own_likeness(line_of(value, sound=np.arange(480) < 240))
    assert_allclose(half[:5], expected, atol=0.02)


def test_samples_that_stand_for_one_are_the_sum_of_both_likenesses():
    white = line_of(np.random.default_rng(2).standard_normal(20000))
    slow = line_of(
        np.convolve(np.random.default_rng(3).standard_normal(20003), np.ones(4), "valid")
    )
    assert _alone(white, slow) == pytest.approx(1.0, abs=0.1)
    # Of sums over four: 3/4, 1/2, 1/4; squared and doubled 1.75 (and 1).
    assert _alone(slow, slow) == pytest.approx(2.75, rel=0.08)


def test_odds_of_a_likeness_are_those_of_any_true_likeness_over_none():
    """sqrt(2 pi / n) (1 - r²) is what a likeness's own law spreads over all from 0 to 1."""
    for r, n in ((0.0, 50.0), (0.3, 80.0), (0.8, 30.0)):
        gain = -(n - 1) / 2 * np.log(1 - r * r)
        expected = gain + np.log(np.sqrt(2 * np.pi / n) * (1 - r * r))
        assert float(_evidence(np.array([r]), np.array([n]))[0]) == pytest.approx(expected)
    below = _evidence(np.array([-0.5, 0.0]), np.array([50.0, 50.0]))
    assert below[0] == below[1]


def test_likenesses_that_scatter_more_count_for_less():
    z = np.tile([2.0, -2.0], 50)
    found = _excess(z / 10, np.full(100, 100.0), np.ones(100, bool))
    assert found == pytest.approx((1.4826 * 2) ** 2)
    assert _excess(z / 100, np.full(100, 100.0), np.ones(100, bool)) == 1.0
    usable = np.arange(100) < 2
    assert _excess(np.r_[0.3, 0.3, z[2:]], np.full(100, 100.0), usable) == pytest.approx(
        (1.4826 * 3) ** 2
    )


def test_chance_is_student_s_times_the_places_tried():
    r, n = 0.3, 60.0
    alone = student.sf(r * np.sqrt(58 / (1 - r * r)), 58)
    assert chance_of(r, n, 1.0) == pytest.approx(alone)
    assert chance_of(r, n, 20.0) == pytest.approx(20 * alone)
    assert chance_of(0.05, n, 500.0) == 1.0
    assert chance_of(0.9, 2.5, 1.0) == pytest.approx(student.sf(0.9 / np.sqrt(0.19), 1.0))


@pytest.mark.parametrize("away", [-0.3, 0.0, 0.4])
@pytest.mark.parametrize("stretch", [1.0, 1.02])
def test_a_summit_lies_between_lags_and_its_bend_tells_how_well(away, stretch):
    """A parabola of curvature 0.5 a lag squared: 1 / sqrt(0.5) lags of 2 µm."""
    first, second = line_of(np.zeros(100), start=10.0), line_of(np.zeros(150), start=30.0)
    lags = np.arange(-20, 60)
    evidence = 9 - 0.25 * (lags - 20 - away) ** 2
    likes = lags / 100.0
    found = _candidate(first, second, stretch, 40, lags, likes, 50 + 0 * likes, evidence)
    # The first from 10 µm on, 100 samples that all lie on the second: its middle is 110 µm.
    assert found.middle_um == pytest.approx(110)
    assert found.shift_um == pytest.approx(stretch * (30 + 100 + 2 * (20 + away)) - 110)
    assert found.shift_u_um == pytest.approx(2 / np.sqrt(0.5))
    assert (found.likeness, found.independent) == (0.2, 50.0)
    assert found.evidence == pytest.approx(9 - 0.25 * away**2)
    assert found.stretch == stretch


def test_a_summit_at_an_end_or_beside_a_gap_stands_at_its_lag():
    first, second = line_of(np.zeros(100)), line_of(np.zeros(100))
    lags = np.array([-50, -49, -48, 10, 11, 12])
    evidence = np.array([5.0, 4, 3, 8, 2, 1])
    one = _candidate(first, second, 1.0, 0, lags, evidence, evidence, evidence)
    assert (one.shift_um, one.shift_u_um) == (pytest.approx(-100.0), 2.0)
    assert one.middle_um == pytest.approx(150.0)  # the first's samples 50 to 99
    gap = _candidate(first, second, 1.0, 3, lags, evidence, evidence, evidence)
    assert (gap.shift_um, gap.shift_u_um) == (pytest.approx(20.0), 2.0)
    assert gap.middle_um == pytest.approx(90.0)
    every = _peaks(first, second, 1.0, lags, evidence, evidence, evidence)
    assert [found.evidence for found in every] == [8.0, 5.0]
    assert _peaks(first, second, 1.0, lags[:2], evidence[:2], evidence[:2], evidence[:2]) == []
    none = np.where(lags > 0, -np.inf, evidence)
    assert [f.evidence for f in _peaks(first, second, 1.0, lags, evidence, evidence, none)] == [5.0]


def test_a_place_lies_on_the_second_by_shift_and_stretch():
    one = Candidate(100.0, 1.02, 500.0, 0.5, 50.0, 9.0)
    assert one.on_second(600.0) == pytest.approx(702.0)
