"""A border followed, part by part: crossings, cores, light made even, limits of what is seen."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.border_path import (
    Border,
    _border,
    _core,
    _crossing,
    _votes,
    follow_borders,
    least_path,
    robust_whittaker,
    whittaker,
)
from edgetest.photo.apex.straighten import Track

MIDDLE, COLUMNS = 40, 90


def land(edge):
    """Light of one side, columns outward: halfway at `edge`, a row each, falling over 2 px."""
    return np.clip(0.5 + (np.asarray(edge)[:, None] - np.arange(COLUMNS)) / 2, 0, 1)


def border_of(edge, *, seen=None, core=0, whole=None):
    bright = land(edge).astype(np.float32)
    every = np.ones(len(bright), bool)
    return _border(
        bright,
        np.ones(bright.shape, bool) if seen is None else seen,
        MIDDLE,
        np.full(len(bright), core),
        every if whole is None else whole,
    )


def crossing(row, path):
    return _crossing(np.array([row], dtype=float), np.array([path]))[0]


def test_the_crossing_lies_where_the_light_is_half():
    row = [1, 1, 1, 0.8, 0.3, 0, 0, 0, 0, 0, 0, 0, 0]
    assert crossing(row, 3) == pytest.approx(3.6)
    assert crossing(row, 7) == pytest.approx(3.6)  # four samples away
    assert crossing(row, 8) == 8.5  # five: none is met
    late = [1, 1, 1, 1, 1, 1, 0.8, 0.3, 0, 0, 0, 0, 0]
    assert crossing(late, 2) == pytest.approx(6.6)
    assert crossing(late, 1) == 1.5


def test_a_crossing_at_either_end_of_a_row_is_met_and_none_runs_round_it():
    assert crossing([0.75, 0.25, 0, 0, 0, 0, 0, 0], 2) == pytest.approx(0.5)
    assert crossing([1, 1, 1, 1, 1, 1, 0.6, 0.1], 5) == pytest.approx(6.2)
    assert crossing([0, 0, 0, 0, 0, 0, 1, 1], 0) == 0.5
    assert crossing([0, 0, 0, 0, 0, 0, 1, 1], 7) == 7.5


def test_of_two_crossings_the_nearer_to_the_middle_of_the_step_is_taken():
    row = [1, 1, 1, 0.6, 0.1, 0, 1, 0.8, 0.3, 0, 0, 0]
    assert crossing(row, 4) == pytest.approx(3.2)
    assert crossing(row, 5) == pytest.approx(7.6)


def test_half_the_light_is_land_still():
    assert crossing([1, 1, 0.5, 0, 0, 0, 0, 0, 0], 2) == 2.0
    assert crossing([1, 1, 1, 0.9, 0.8, 0.6, 0.6, 0.6, 0.6], 3) == 3.5


def test_votes_are_land_ground_and_halfway():
    assert_allclose(_votes(np.array([-0.5, 0, 0.25, 0.5, 1, 1.5])), [-1, -1, -0.5, 0, 1, 1])


def test_a_straight_border_lies_on_its_line():
    found = border_of(np.full(300, 52.3))
    assert_allclose(found.line, 12.3, atol=1e-3)
    assert_allclose(found.off, 0, atol=1e-3)
    assert found.seen.all()
    assert not found.gone.any()
    assert found.middle == MIDDLE


@pytest.mark.parametrize("depth", [-6.0, 6.0])
def test_a_bite_and_a_drop_are_followed_and_the_line_is_not(depth):
    edge = np.full(400, 52.3)
    edge[180:200] += depth
    found = border_of(edge)
    assert_allclose(found.line, 12.3, atol=0.1)
    assert_allclose(found.off[183:197], depth, atol=0.1)
    assert_allclose(found.off[:170], 0, atol=0.1)
    assert_allclose(found.off[210:], 0, atol=0.1)


@pytest.mark.parametrize(("level", "at"), [(1.0, 60), (0.0, 46)])
def test_a_bright_speck_outside_and_a_dark_one_inside_do_not_draw_the_border(level, at):
    bright = land(np.full(300, 52.3)).astype(np.float32)
    bright[140:142, at] = level
    index = np.arange(300)
    found = _border(bright, index[:, None] + 0 * bright >= 0, MIDDLE, 0 * index, index >= 0)
    assert_allclose(found.off, 0, atol=0.05)


def test_what_lies_inward_of_the_core_is_nobodys_ground():
    bright = land(np.full(300, 52.3)).astype(np.float32)
    bright[:, 42] = 0
    index = np.arange(300)
    seen = np.ones(bright.shape, bool)
    inner = _border(bright, seen, MIDDLE, 0 * index, index >= 0)
    outer = _border(bright, seen, MIDDLE, 0 * index + 3, index >= 0)
    assert_allclose(inner.line, 1.5, atol=0.01)  # halfway from 1 to 0
    assert_allclose(outer.line, 12.3, atol=0.01)


def test_places_that_show_no_band_have_no_say_in_the_line():
    edge = np.full(400, 52.3)
    edge[150:300] += 5
    whole = np.ones(400, bool)
    whole[150:300] = False
    assert_allclose(border_of(edge, whole=whole).line, 12.3, atol=0.1)
    seen = np.ones((400, COLUMNS), bool)
    seen[150:300] = False
    found = border_of(edge, seen=seen)
    assert_allclose(found.line, 12.3, atol=0.1)
    assert found.seen.sum() == 250
    assert not found.seen[150:300].any()


@pytest.mark.parametrize(("short", "seen"), [(7, True), (6, False)])
def test_a_border_within_six_samples_of_the_strips_end_is_none(short, seen):
    """The last sample of land stands `short` samples before the strip's end."""
    assert border_of(np.full(120, COLUMNS - short + 0.5)).seen.tolist() == [seen] * 120


def test_the_core_is_the_middle_and_runs_round_what_is_bitten_off():
    """A land of 16 px; from row 80 to 110 only what lies 3 px or more to one side is left."""
    column = np.arange(-60, 61)
    bright = np.tile((np.abs(column) < 8).astype(np.float32), (256, 1))
    bright[80:110, column < 3] = 0
    core = _core(bright, 60, 8.0)
    assert np.all(core[85:105] >= 4)
    assert np.all(core[85:105] <= 8)
    assert not core[:64].any()
    assert not core[118:].any()
    mirrored = _core(bright[:, ::-1], 60, 8.0)
    assert_allclose(mirrored, -core, atol=1)


def test_a_whole_land_has_its_core_in_the_middle_though_damage_is_near():
    """Within the piece of 64 rows that is followed, away from the bite."""
    column = np.arange(-80, 81)
    bright = np.tile((np.abs(column) < 20).astype(np.float32), (192, 1))
    bright[70:76, column < 4] = 0
    core = _core(bright, 80, 20.0)
    assert not core[100:].any()
    assert core[72] >= 4


def lit(rows, left_px, right_px, *, columns=150, ground=(0.2, 0.4)):
    """A land about row 60, across; light falls over 4 px, the rows above it are its left."""
    row = np.arange(rows)[:, None] - 60.0
    up, down = (
        np.clip(0.5 + (at + way * row) / 4, 0, 1) for at, way in ((left_px, 1), (right_px, -1))
    )
    lights = ground[0] + (1 - ground[0]) * up, ground[1] + (1 - ground[1]) * down
    return np.tile(np.where(row < 0, *lights), (1, columns)).astype(np.float32)


def followed(grey):
    count = grey.shape[1]
    centre = np.stack([np.full(count, 60.0), np.arange(count)], axis=1)
    track = Track(np.arange(count) + 0.5, centre, np.tile([1.0, 0.0], (count, 1)))
    levels = np.ones(count), np.full(count, 0.2), np.full(count, 0.4)
    return follow_borders(grey, track, np.full(count, 16.5), levels, np.ones(count, bool))


def test_both_borders_are_told_outward_each_against_its_own_ground():
    left, right = followed(lit(140, 7.3, 9.2))
    assert_allclose(left.line, 7.3, atol=0.02)
    assert_allclose(right.line, 9.2, atol=0.02)
    for side in (left, right):
        assert side.seen.all()
        assert_allclose(side.off, 0, atol=0.02)
        assert_allclose(side.bright[:, side.middle], 1, atol=1e-5)
        assert_allclose(side.bright[:, side.middle + 20 :], 0, atol=1e-5)
        # The strip reaches 45 px beyond half the usual width.
        assert side.middle == 54
        assert side.bright.shape == (150, 109)


@pytest.mark.parametrize(("rows", "seen"), [(72, True), (71, False)])
def test_a_border_is_seen_when_two_more_rows_of_the_picture_are(rows, seen):
    left, right = followed(lit(rows, 7.3, 9.4))
    assert right.seen.tolist() == [seen] * 150
    assert left.seen.all()


def test_a_wide_land_is_looked_at_as_far_again_as_it_is_wide():
    count = 40
    centre = np.stack([np.full(count, 130.0), np.arange(count)], axis=1)
    track = Track(np.arange(count) + 0.5, centre, np.tile([1.0, 0.0], (count, 1)))
    row = np.abs(np.arange(261)[:, None] - 130.0)
    grey = np.tile(np.clip(0.5 + (30 - row) / 4, 0, 1), (1, count)).astype(np.float32)
    levels = np.ones(count), np.zeros(count), np.zeros(count)
    left, _ = follow_borders(grey, track, np.full(count, 60.0), levels, np.ones(count, bool))
    assert left.middle == 90
    assert_allclose(left.line, 30, atol=0.02)


def test_light_is_a_mean_over_all_samples_from_the_first_to_the_last():
    bright = np.arange(30.0)[None]
    border = Border(np.array([2.0]), np.zeros(1), bright, np.ones(1, bool), np.zeros(1, bool), 10)
    assert border.light(3.0, 3.0) == 15
    assert border.light(1.0, 4.0) == pytest.approx(14.5)
    assert border.light(2.0, 7.0) == pytest.approx(16.5)
    assert border.light(-40.0) == 0


def test_few_samples_have_their_weighted_mean_and_five_a_smooth_line():
    values, weight = np.array([0.0, 1, 2, 7]), np.array([1.0, 1, 1, 3])
    assert_allclose(whittaker(values, weight, 9.0), 24 / 6)
    assert np.ptp(whittaker(np.array([0.0, 1, 2, 3, 4]), np.ones(5), 9.0)) > 3.9


@pytest.mark.parametrize("stray", [0.5, 0.95, 1.02])
def test_a_sample_counts_for_less_the_farther_off_and_for_nothing_beyond_six_deviations(stray):
    """Four samples have their weighted mean: Tukey's weights by hand."""
    values = np.array([0.1, -0.1, 0.1, stray])
    sd = 1.4826 * 0.1 + 0.02
    trust = [max(0.0, 1 - (value / (6 * sd)) ** 2) ** 2 for value in values]
    found = robust_whittaker(values, np.ones(4), np.zeros(4), (50.0,))
    assert_allclose(found, np.dot(trust, values) / sum(trust), rtol=1e-6)
    assert (trust[3] == 0) == (stray > 6 * sd)


def test_what_weighs_nothing_says_nothing_of_the_scatter():
    values = np.array([0.1, -0.1, 0.3, 90.0])
    found = robust_whittaker(values, np.array([1.0, 1, 1, 0]), np.zeros(4), (50.0,))
    sd = 1.4826 * 0.1 + 0.02
    near, far = (1 - (at / (6 * sd)) ** 2 for at in (0.1, 0.3))
    assert_allclose(found, 0.3 * far**2 / (2 * near**2 + far**2), rtol=1e-6)


@pytest.mark.parametrize(
    ("count", "asked", "rows"), [(200, 64, (64, 128)), (200, 63, (0, 64)), (100, 99, (64, 100))]
)
def test_the_piece_of_64_rows_that_holds_a_row_is_followed(count, asked, rows):
    wanted = np.arange(count) == asked
    cost = np.ones((count, 5))
    cost[:, 2] = 0
    found, path = least_path(cost, 0.3, wanted)
    assert found.tolist() == list(range(*rows))
    assert set(path) == {2}


@pytest.mark.parametrize(("before", "column"), [(40, 5), (41, 0)])
def test_forty_rows_before_a_piece_are_heeded(before, column):
    cost = np.zeros((300, 7))
    cost[128 - before] = 9
    cost[128 - before, 5] = 0
    rows, path = least_path(cost, 0.3, np.arange(300) == 130)
    assert path[rows == 128] == column


@pytest.mark.parametrize(("after", "column"), [(39, 5), (40, 0)])
def test_forty_rows_after_a_piece_are_heeded(after, column):
    cost = np.zeros((400, 7))
    cost[191 + after + 1] = 9
    cost[191 + after + 1, 5] = 0
    rows, path = least_path(cost, 0.3, np.arange(400) == 130)
    assert path[rows == 191] == column
