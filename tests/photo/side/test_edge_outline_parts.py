"""Outline and smooth line, part by part: both sides of every limit, small cases by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side.edge_outline import (
    SmoothCurve,
    _cut_squares,
    _foot,
    _middle,
    _reweighted,
    _turn,
    blade_mask,
    evenly_lit,
    outline_runs,
    robust_curve,
    robust_polynomial,
    shrink,
    split_at_corners,
    turned_away,
    two_levels,
)


def corner(turn_deg, count=240):
    turn = np.deg2rad(turn_deg)
    ahead = np.arange(count)[:, None] * [1.0, 0.0]
    on = ahead[-1] + np.arange(1, count + 1)[:, None] * [np.cos(turn), np.sin(turn)]
    return np.vstack([ahead, on])


@pytest.mark.parametrize(
    ("shape", "factor", "small"),
    [
        ((1000, 1000), 1, (1000, 1000)),
        ((1000, 1001), 2, (500, 500)),
        ((2000, 2000), 2, (1000, 1000)),
        ((2000, 2003), 3, (666, 667)),
    ],
)
def test_a_picture_is_shrunk_to_a_megapixel_at_most(shape, factor, small):
    found, by = shrink(np.broadcast_to(np.float32(0.5), shape).copy())
    assert by == factor
    assert found.shape == small


def test_light_that_hardly_changes_has_no_two_levels():
    dark = np.arange(60)[:, None] < 20 + np.zeros(60)
    assert two_levels(np.where(dark, 0.5, 0.5009)) == (None, 0.0)
    levels, threshold = two_levels(np.where(dark, 0.5, 0.502))
    assert levels.dark == pytest.approx(0.5, abs=1e-5)
    assert levels.bright == pytest.approx(0.502, abs=1e-5)
    assert threshold == pytest.approx(0.501, abs=1e-5)
    assert levels.parting == pytest.approx(1, abs=1e-6)
    assert levels.spread == pytest.approx(0, abs=1e-3)


def test_of_three_levels_two_stand_together():
    """Four ninths at 0.8, as much at 0.9, a ninth of blade at 0.1: by Otsu's variances."""
    rows = np.arange(306) % 9
    column = np.select([rows == 0, rows < 5], [0.1, 0.8], 0.9)
    levels, threshold = two_levels(np.tile(column[:, None], (1, 61)))
    assert levels.dark == pytest.approx(0.1, abs=0.002)
    assert levels.bright == pytest.approx(0.85, abs=0.003)
    assert threshold == pytest.approx((levels.dark + levels.bright) / 2)
    inside = 8 / 9 * 0.05**2  # variance within the ground, of all
    distance = levels.bright - levels.dark
    assert levels.spread == pytest.approx(np.sqrt(inside) / distance, rel=0.05)  # 256 bins
    between = 8 / 81 * distance**2
    assert levels.parting == pytest.approx(between / (between + inside), abs=4e-3)


@pytest.mark.parametrize(("side", "known"), [(99, False), (100, True)])
def test_a_hundred_places_of_ground_are_asked_for(side, known):
    root = np.full((20, 20), 0.2)
    root.flat[:side] = 0.9
    even, levels, threshold = evenly_lit((root**2).astype(np.float32))
    assert (levels is not None) == known
    assert even.shape == (20, 20)
    if not known:
        assert threshold == 0


def test_a_large_picture_is_made_even_from_a_part_of_its_places():
    x = np.linspace(-1, 1, 400)
    root = np.where(np.arange(300)[:, None] > 200, 0.1, 0.6 + 0.3 * x)
    even, levels, threshold = evenly_lit((root**2).astype(np.float32))
    assert_allclose(even[:200], 1, atol=2e-3)
    assert levels.bright == pytest.approx(1, abs=5e-3)
    assert threshold == pytest.approx((levels.bright + levels.dark) / 2)
    # Light below nothing, which a noisy picture may hold, is none.
    dark = np.where(root == 0.1, -0.3, root**2)
    assert evenly_lit(dark.astype(np.float32))[0].min() == 0


def test_the_largest_region_is_the_blade():
    picture = np.full((90, 120), 0.9, np.float32)
    picture[10:50, 10:60] = 0.1
    picture[60:80, 80:105] = 0.1
    mask, every, second = blade_mask(picture, 0.5)
    assert mask.sum() == pytest.approx(2000, abs=12)  # corners are rounded off
    assert mask[30, 30] == 1
    assert mask[70, 90] == 0
    assert every[70, 90] == 1
    assert second == pytest.approx(500 / 2000, abs=0.003)
    again, _, _ = blade_mask(1 - picture, 0.5, bright_blade=True)
    assert np.array_equal(again, mask)
    alone = picture.copy()
    alone[60:80] = 0.9
    assert blade_mask(alone, 0.5)[2] == 0
    none, nowhere, second = blade_mask(np.full((20, 20), 0.9, np.float32), 0.5)
    assert none is None
    assert not nowhere.any()
    assert second == 0


def test_an_outline_that_begins_in_the_middle_of_a_run_is_one_run():
    mask = np.zeros((60, 60), np.uint8)
    mask[20:, 10:50] = 1
    (run,) = outline_runs(mask)
    assert np.abs(np.diff(run, axis=0)).max() == 1
    assert run[:, 1].max() == 57
    wide = np.zeros((60, 60), np.uint8)
    wide[2:58, 2:58] = 1
    (closed,) = outline_runs(wide)
    assert len(closed) == 4 * 55
    assert outline_runs(np.pad(np.ones((58, 58), np.uint8), 1)) == []


def test_a_turn_is_the_angle_between_the_chords():
    run = corner(90.0, 60)
    at = np.array([59, 49, 39, 20, 69, 79])
    # Ten before the corner and arms of twenty: straight on, then ten on and ten down.
    assert_allclose(_turn(run, at, 20), [90, 45, 0, 0, 45, 0], atol=1e-9)
    assert_allclose(_turn(corner(-130.0, 60), np.array([59]), 20), 130)
    assert_allclose(_turn(run, np.array([3]), 20), 0, atol=1e-9)  # the arm ends with the run
    assert_allclose(_turn(run, np.array([115]), 20), 0, atol=1e-9)


@pytest.mark.parametrize(("turn_deg", "parts"), [(54, 1), (56, 2), (-54, 1), (-56, 2)])
def test_a_corner_turns_by_more_than_55_degrees(turn_deg, parts):
    assert len(split_at_corners(corner(turn_deg))) == parts


def test_arms_are_a_seventh_of_the_run_120_points_at_most_and_half_the_least_piece():
    """Each side of a cut ends an eighth of an arm, or four points, away from the corner."""
    pieces = split_at_corners(corner(90.0, 1000))
    assert [len(piece) for piece in pieces] == [999 - 15, 1001 - 15]
    pieces = split_at_corners(corner(90.0, 200))
    assert [len(piece) for piece in pieces] == [199 - 60 // 8, 201 - 60 // 8]
    pieces = split_at_corners(corner(90.0, 50))
    assert [len(piece) for piece in pieces] == [49 - 4, 51 - 4]


def test_pieces_of_fewer_points_than_asked_are_dropped():
    assert len(split_at_corners(corner(90.0, 44))) == 1  # 43 - 4 and 45 - 4 points
    assert len(split_at_corners(corner(90.0, 45))) == 2
    short = corner(90.0, 39)
    assert len(split_at_corners(short)[0]) == 78  # under twice the least: left as it is
    assert [len(piece) for piece in split_at_corners(short, min_points=20)] == [34, 36]


@pytest.mark.parametrize(("wall_deg", "away"), [(8.0, False), (10.5, True), (-10.5, True)])
def test_a_wall_leaves_the_general_direction_by_nine_degrees(wall_deg, away):
    x = np.arange(400.0)
    y = np.tan(np.deg2rad(wall_deg)) * np.clip(x - 190, 0, 16)
    found = turned_away(x, y)
    assert found.any() == away
    assert not found[:178].any()
    assert not found[218:].any()
    if away:
        assert found[191:206].all()


def test_a_wall_of_a_rough_edge_is_told_from_five_of_its_usual_turns():
    x = np.arange(600.0)
    rough = 0.5 * np.sin(2 * np.pi * x / 24)  # turns by up to 7.5°, by half of it smoothed
    wall = np.clip(x - 290, 0, 20)
    # 1.4826 times the median of |7.2 cos| is 7.6: five of them are 37°.
    assert not turned_away(x, rough + 0.4 * wall)[200:400].all()
    assert not turned_away(x, rough + np.tan(np.deg2rad(20)) * wall).any()
    assert turned_away(x, rough + np.tan(np.deg2rad(55)) * wall)[295:305].all()


@pytest.mark.parametrize(("count", "long", "known"), [(81, None, False), (82, None, True),
                                                      (41, 21, False), (42, 21, True)])  # fmt: skip
def test_a_general_direction_takes_two_windows_of_points(count, long, known):
    x = np.arange(float(count))
    y = np.clip(x - count // 2, 0, 3)
    assert turned_away(x, y, short=1, long=long).any() == known


def test_the_middle_of_an_even_number_is_the_upper_one():
    assert _middle(np.array([3.0, 1, 2])) == 2
    assert _middle(np.array([4.0, 1, 3, 2])) == 3
    assert _middle(np.array([7.0])) == 7


def test_squares_are_cut_off_at_five_spreads():
    assert _cut_squares(np.array([1.0, 2, 10, 100]), 2.0) == pytest.approx((0.25 + 1 + 50) / 4)


def test_weights_fall_to_nothing_at_five_spreads():
    """A level through nine points at 0 and one off it; the spread is the floor, 0.1."""
    basis, calm = np.ones((10, 1)), np.ones(10)
    y = np.zeros(10)
    y[4] = 0.45
    coef, off, scale, trust = _reweighted(basis, y, calm, calm > 0, 0.1, None)
    assert scale == 0.1
    at = coef[0]
    weights = (1 - (np.abs(y - at) / 0.5) ** 2) ** 2 + 1e-6
    assert at == pytest.approx(weights[4] * 0.45 / weights.sum(), rel=0.02)
    assert_allclose(trust, weights)
    assert_allclose(off, np.abs(y - at))
    y[4] = 0.56
    coef, _, _, trust = _reweighted(basis, y, calm, calm > 0, 0.1, None)
    assert trust[4] == pytest.approx(1e-6)
    assert coef[0] == pytest.approx(0.56e-6 / 9, rel=1e-3)


def test_the_spread_is_that_of_the_points_in_use():
    """Five points at 0, 1, 2, 3 and 4: absolute deviations first, their median 1."""
    y = np.array([0.0, 1, 2, 3, 4, 90])
    calm = np.array([1.0, 1, 1, 1, 1, 0])
    coef, _, scale, trust = _reweighted(np.ones((6, 1)), y, calm, calm > 0, 0.1, None)
    assert coef[0] == pytest.approx(2)
    assert scale == pytest.approx(1.4826)
    assert trust[5] == 0
    assert trust[0] == pytest.approx((1 - (2 / (5 * 1.4826)) ** 2) ** 2, rel=1e-5)


def test_a_foot_is_found_along_the_curve_and_its_distance_across():
    line = SmoothCurve(np.array([[0.0, 0.0], [100.0, 0.0]]))
    points = np.array([[30.0, 5.0], [-40.0, -2.0], [150.0, 0.0], [-150.0, 1.0]])
    t, distance = _foot(line, points, np.array([0.2, -0.5, 0.9, -1.0]))
    assert_allclose(t, [0.3, -0.4, 1.1, -1.1])
    assert_allclose(distance, [-5, 2, 0, -1])  # y runs down, the normal up


def test_a_higher_degree_is_taken_where_it_pays_its_price():
    """A bend of h over n points that tell: mean squares fall by h²; the price is log of told."""
    t = np.linspace(-1, 1, 201)
    noise = 0.2 * np.where(np.arange(201) % 2, 1, -1)
    bend = np.polynomial.legendre.legval(t, [0, 0, 1.0])
    for size, degree in ((0.02, 0), (0.6, 2)):
        y = noise + size * bend
        found = robust_polynomial(t, y, np.ones(201), floor=0.05, told=40, most=5)
        assert found.size == degree + 1
    assert found[2] == pytest.approx(0.6, abs=0.02)
    # No higher degree than allowed, and three more are tried beyond the best.
    wave = np.polynomial.legendre.legval(t, [0, 0, 0, 2.0])
    assert robust_polynomial(t, wave, np.ones(201), floor=0.05, told=40, most=2).size <= 3
    assert robust_polynomial(t, wave, np.ones(201), floor=0.05, told=40, most=9).size == 4


def test_a_long_outline_is_fitted_from_every_so_manieth_point_and_told_at_all():
    u = np.arange(1600.0)
    points = np.stack([u + 20, 300 + 0.00005 * (u - 800) ** 2], axis=1)
    curve, t, distance = robust_curve(points, floor_px=0.1)
    assert t.size == 1600
    assert_allclose([t[0], t[-1]], [-1, 1], atol=1e-3)
    assert_allclose(distance, 0, atol=0.02)
    assert_allclose(curve.point(t), points, atol=0.02)
    # The direction of the outline is kept, whichever way it runs.
    _, back, _ = robust_curve(points[::-1], floor_px=0.1)
    assert back[0] < back[-1]


def test_a_fit_begins_with_absolute_deviations_and_goes_on_from_a_trust_without_them():
    """Six of twenty points 10 off: four rounds by absolute deviations leave them out first."""
    y, even = np.r_[np.zeros(14), np.full(6, 10.0)], np.ones(20)
    basis = np.ones((20, 1))
    begun = _reweighted(basis, y, even, even > 0, 0.1, None)
    assert begun[0][0] == pytest.approx(0, abs=0.01)
    assert begun[3][-1] == pytest.approx(1e-6)
    on = _reweighted(basis, y, even, even > 0, 0.1, even)
    assert on[0][0] > 1  # four rounds of Tukey's weights from the mean do not come so far
