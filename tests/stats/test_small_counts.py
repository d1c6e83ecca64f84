"""Means of counts of a few strokes: finite, honest ends where the rounding hides the scatter."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ndtr

from edgetest.stats.small_counts import small_counts
from edgetest.stats.whole_counts import (
    UsualSd,
    WholeCounts,
    fit_whole_counts,
    mean_of_counts,
    scatters,
)

ONE_PLACE = (np.array([0.2]), np.array([0.1]))


def counts(*strokes, groups=None, broken_off=()):
    boards = np.arange(len(strokes)) if groups is None else np.array(groups)
    off = np.isin(np.arange(len(strokes)), broken_off)
    return WholeCounts(np.array(strokes, float), off, boards)


def mean(*strokes, level=0.95, extra_sd=0.0, **told):
    return small_counts(counts(*strokes, **told), *ONE_PLACE).mean_count(
        np.ones(1), level=level, extra_sd=extra_sd
    )


def test_the_chance_of_counts_of_one_board_is_the_integral_over_the_board():
    """Two pieces of 2 and 3 strokes of one board, at a middle near 2.5, by quadrature."""
    found = small_counts(counts(2, 3, groups=(0, 0)), *ONE_PLACE)
    place = np.abs(found.log_mean - np.log(2.5)).argmin()

    def both(board):
        ends = (np.log([1.5, 2.5, 3.5]) - found.log_mean[place] - 0.1 * board) / 0.2
        first, second = np.diff(ndtr(ends))
        return first * second * np.exp(-(board**2) / 2) / np.sqrt(2 * np.pi)

    assert np.exp(found.log_chance[0, place]) == pytest.approx(quad(both, -8, 8)[0], rel=0.002)


def test_boards_of_their_own_are_independent():
    apart = small_counts(counts(2, 2), *ONE_PLACE).log_chance
    assert apart == pytest.approx(small_counts(counts(2), *ONE_PLACE).log_chance * 2)


def test_all_ones_reach_to_the_mean_that_leaves_them_half_the_chance_left():
    found = mean(1, 1, 1)
    assert found.low == 1
    middle = np.linspace(0, 1, 2001)
    ones = ndtr((np.log(1.5) - middle) / np.hypot(0.2, 0.1)) ** 3
    most = np.interp(-0.025, -ones, mean_of_counts(middle, np.hypot(0.2, 0.1)))
    assert found.high == pytest.approx(most, rel=0.02)
    assert mean(1).high > mean(1, 1).high > found.high


def test_more_pieces_tell_more_and_a_day_of_its_own_less():
    one, four = mean(2), mean(2, 2, 2, 2)
    assert 1 <= one.low < four.low < 2 < four.high < one.high < 4
    assert mean(2, 2, 2, 2, extra_sd=0.2).high > four.high
    assert mean(2, 2, level=0.8).high < mean(2, 2).high


def test_a_piece_that_still_stands_speaks_for_more():
    assert mean(2, 2, broken_off=(1,)).value > mean(2, 2).value


def test_larger_counts_agree_with_laplaces_method():
    """Twelve pieces of 5 to 7 strokes, each of its own board: both ways within 3 %."""
    many = counts(5, 6, 7, 6, 5, 7, 6, 6, 5, 7, 6, 6)
    within, between = UsualSd(0.16), UsualSd(0.14)
    s, t, log_prior = scatters(within, between)

    class Free:
        mean, sd = np.zeros(1), np.full(1, np.inf)

    laplace = fit_whole_counts(np.ones((12, 1)), many, prior=Free, within=within, between=between)
    summed = small_counts(many, s, t)
    weight = np.exp(log_prior) * summed.evidence()
    one, other = laplace.mean_count([1.0]), summed.mean_count(weight / weight.sum())
    assert (other.low, other.high) == pytest.approx((one.low, one.high), rel=0.03)


def test_counts_that_differ_speak_for_more_scatter():
    s, t, log_prior = scatters(UsualSd(0.16), UsualSd(0.14))

    def scatter(*strokes):
        weight = np.exp(log_prior) * small_counts(counts(*strokes), s, t).evidence()
        return weight @ np.hypot(s, t) / weight.sum()

    assert scatter(2, 6, 3, 6, 2) > 1.2 * scatter(4, 4, 4, 4, 4)
