"""Coarse outline and smooth line: levels, curves and corners of figures known in closed form."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side.edge_outline import (
    SmoothCurve,
    evenly_lit,
    outline_runs,
    robust_curve,
    robust_polynomial,
    shrink,
    split_at_corners,
    turned_away,
    two_levels,
)

ROWS, COLS = 240, 320
BLADE = np.arange(ROWS)[:, None] > 120 + np.zeros(COLS)


def test_two_levels_are_told_with_their_scatter():
    """A third dark with a scatter of 0.02, the rest bright: Otsu's variances by hand."""
    rng = np.random.default_rng(1)
    dark = np.arange(ROWS)[:, None] < ROWS // 3 + np.zeros(COLS)
    picture = np.where(dark, 0.2, 0.7) + 0.02 * rng.standard_normal(dark.shape)
    levels, threshold = two_levels(picture)
    assert levels.dark == pytest.approx(0.2, abs=0.002)
    assert levels.bright == pytest.approx(0.7, abs=0.002)
    assert threshold == pytest.approx(0.45, abs=0.002)
    assert levels.spread == pytest.approx(0.02 / 0.5, rel=0.03)
    between = 2 / 9 * 0.5**2
    assert levels.parting == pytest.approx(between / (between + 0.02**2), abs=0.001)
    assert two_levels(np.full((50, 60), 0.3)) == (None, 0.0)


@pytest.mark.parametrize(
    "bends",
    [(0.2, 0, 0, 0, 0), (0, 0.2, 0, 0, 0), (0, 0, 0.2, 0, 0), (0, 0, 0, 0.15, 0),
     (0, 0, 0, 0, 0.2), (0.1, -0.05, -0.1, 0.05, -0.05)],
)  # fmt: skip
def test_light_of_second_order_is_taken_out_of_the_ground(bends):
    """The root of the ground's light is a surface of second order: what is left is 1."""
    x, y = np.meshgrid(np.linspace(-1, 1, COLS), np.linspace(-1, 1, ROWS))
    surface = 0.7 + sum(
        k * part for k, part in zip(bends, (x, y, x * x, x * y, y * y), strict=True)
    )
    root = np.where(BLADE & (np.abs(x) < 0.5), 0.15, surface)
    even, levels, threshold = evenly_lit((root**2).astype(np.float32))
    assert_allclose(even[root > 0.16], 1, atol=2e-3)
    assert levels.bright == pytest.approx(1, abs=0.01)
    assert 0.35 < threshold < 0.75


def test_a_large_picture_is_shrunk_by_area_means():
    picture = np.random.default_rng(2).random((1203, 1801)).astype(np.float32)
    small, factor = shrink(picture)
    assert factor == 2
    expected = picture[:1202, :1800].reshape(601, 2, 900, 2).mean(axis=(1, 3))
    assert_allclose(small, expected, atol=1e-5)
    assert shrink(picture[:1000, :1000])[1] == 1


def test_a_curve_has_its_points_normals_and_arc():
    """x = 30 t + 50, y = 4 + 6 (3 t² - 1) / 2: a parabola; its length by quadrature."""
    curve = SmoothCurve(np.array([[50.0, 4.0], [30.0, 0.0], [0.0, 6.0]]))
    t = np.array([-0.7, 0.0, 0.4])
    assert_allclose(curve.point(t), np.stack([50 + 30 * t, 4 + 3 * (3 * t**2 - 1)], axis=1))
    assert_allclose(curve.tangent(t), np.stack([np.full(3, 30.0), 18 * t], axis=1))
    assert_allclose(curve.normal(t)[1], [0, -1], atol=1e-12)
    assert_allclose(np.sum(curve.normal(t) * curve.tangent(t), axis=1), 0, atol=1e-12)
    at, arc = curve.even_steps(-1, 0.5, 2.0)
    assert_allclose(np.diff(arc), 2.0)
    fine = np.linspace(-1, 0.5, 200_001)
    speed = np.hypot(30, 18 * fine)
    whole = np.concatenate([[0], np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(fine))])
    assert_allclose(at, np.interp(arc, whole, fine), atol=1e-6)
    assert whole[-1] - 2.0 <= arc[-1] < whole[-1]


def test_outlines_stop_at_the_picture_s_border():
    mask = np.zeros((60, 90), np.uint8)
    mask[:40, 20:70] = 1
    (run,) = outline_runs(mask)
    assert run[:, 1].min() == 2
    assert run[:, 1].max() == 39
    assert set(run[:, 0]) == set(range(20, 70))
    assert len(run) == 2 * 38 + 48
    whole = np.zeros((60, 90), np.uint8)
    whole[20:40, 30:60] = 1
    (closed,) = outline_runs(whole)
    assert len(closed) == 2 * (20 + 30) - 4
    assert outline_runs(np.ones((60, 90), np.uint8)) == []
    across = np.zeros((60, 90), np.uint8)
    across[20:40] = 1
    across[40:50, 30:40] = 1  # the lower side is longer by two walls of ten, less their corners
    longer, shorter = outline_runs(across)
    assert len(shorter) == 90 - 4
    assert len(longer) == 90 - 4 + 2 * (10 - 1)
    assert shorter[:, 1].max() == 20


def corner(turn_deg, count=240):
    """Two straight arms of points a pixel apart."""
    turn = np.deg2rad(turn_deg)
    ahead = np.arange(count)[:, None] * [1.0, 0.0]
    return np.vstack([
        ahead, ahead[-1] + np.arange(1, count + 1)[:, None] * [np.cos(turn), np.sin(turn)]
    ])  # fmt: skip


@pytest.mark.parametrize(("turn_deg", "parts"), [(0, 1), (45, 1), (65, 2), (-120, 2), (175, 2)])
def test_the_outline_is_cut_where_it_turns_for_good(turn_deg, parts):
    run = corner(turn_deg)
    pieces = split_at_corners(run)
    assert len(pieces) == parts
    if parts == 2:
        arm = 0.15 * len(run)
        assert len(pieces[0]) == pytest.approx(240 - arm / 8, abs=3)
        assert len(pieces[1]) == pytest.approx(240 - arm / 8, abs=3)
        assert_allclose(pieces[0][0], run[0])
        assert_allclose(pieces[1][-1], run[-1])
    assert len(split_at_corners(run[200:275])) == 1


def test_a_chip_is_no_corner():
    run = corner(0)
    run[200:230, 1] += 12 * np.sin(np.linspace(0, np.pi, 30))
    assert len(split_at_corners(run)) == 1


def test_walls_of_damage_turn_away_and_the_rest_does_not():
    x = np.arange(400.0)
    y = 0.1 * x
    y[180:200] += np.linspace(0, 12, 20)
    y[200:220] += np.linspace(12, 0, 20)
    away = turned_away(x, y)
    assert away[184:196].all()
    assert away[204:216].all()
    assert not away[:170].any()
    assert not away[230:].any()
    assert not turned_away(x, 0.002 * (x - 200) ** 2 * 0.1).any()
    assert not turned_away(x[:60], y[170:230]).any()  # too short to have a direction


def test_a_polynomial_keeps_its_degree_under_damage():
    """A cubic with a tenth of its points 8 px off: the cubic comes back, and no more than it."""
    rng = np.random.default_rng(3)
    t = np.linspace(-1, 1, 400)
    truth = np.array([2.0, -3.0, 4.0, 1.5])
    y = np.polynomial.legendre.legval(t, truth) + 0.1 * rng.standard_normal(t.size)
    y[100:140] -= 8
    found = robust_polynomial(t, y, np.ones(t.size), floor=0.05, told=40, most=9)
    assert found.size == 4
    # Standard error of a coefficient: sigma sqrt((2 k + 1) / n), here to four of them.
    assert_allclose(found, truth, atol=4 * 0.1 * np.sqrt(7 / 360))
    flat = robust_polynomial(t, 0.1 * rng.standard_normal(400), np.ones(400), floor=0.05,
                             told=40, most=9)  # fmt: skip
    assert flat.size == 1
    # Points without trust from the start do not bend it, however many they are.
    half = np.where(t > 0, y + 50, y)
    told = robust_polynomial(t, half, t <= 0, floor=0.05, told=40, most=3)
    near = t < -0.6
    line = np.polynomial.legendre.legval(t, told)
    assert_allclose(line[near], np.polynomial.legendre.legval(t, truth)[near], atol=0.3)


@pytest.mark.parametrize("turn_deg", [0.0, 35.0, 90.0, 200.0])
def test_the_curve_of_an_outline_turns_with_it(turn_deg):
    u = np.arange(-300.0, 301.0)
    v = 0.0004 * u**2
    damage = np.zeros(u.size)
    damage[250:280] = 9.0 * np.sin(np.linspace(0, np.pi, 30))
    c, s = np.cos(np.deg2rad(turn_deg)), np.sin(np.deg2rad(turn_deg))
    turned = np.array([[c, s], [-s, c]])
    points = np.stack([u, v + damage], axis=1) @ turned + [500, 400]
    curve, t, distance = robust_curve(points, floor_px=0.1)
    assert np.all(np.diff(t[:240]) > 0)
    assert_allclose(np.abs(distance), damage, atol=0.25)
    bare = np.stack([u, v], axis=1) @ turned + [500, 400]
    assert_allclose(curve.point(t[:240]), bare[:240], atol=0.15)


def test_the_outline_of_a_drawn_blade_is_that_of_its_mask():
    mask = np.zeros((200, 300), np.uint8)
    cv2.fillPoly(mask, [np.array([[0, 60], [299, 90], [299, 0], [0, 0]])], 1)
    (run,) = outline_runs(mask)
    assert_allclose(run[:, 1], 60 + run[:, 0] * 30 / 299, atol=0.8)
