"""Blades, bodies and outlines: counted on masks made by hand."""

from types import SimpleNamespace

import cv2
import numpy as np
import pytest

from edgetest.photo.side.other_subject import (
    _outlines,
    _share_near,
    _turn_deg,
    is_an_edge,
    other_bodies,
)


def trace_of(points, *, line=0.0, length=None):
    points = np.asarray(points, dtype=float)
    step = np.gradient(points, axis=0)
    normals = np.stack([-step[:, 1], step[:, 0]], axis=1) / np.hypot(*step.T)[:, None]
    strip = SimpleNamespace(points=points, normals=normals)
    length = float(len(points)) if length is None else length
    return SimpleNamespace(strip=strip, line=np.full(len(points), line), length=length)


def level(row, first=0, last=400):
    x = np.arange(float(first), float(last))
    return np.stack([x, np.full(x.size, float(row))], axis=1)


def blade(shape=(200, 400), top=60, bottom=140):
    mask = np.zeros(shape, np.uint8)
    mask[top : bottom + 1] = 1
    return mask


@pytest.mark.parametrize("turn", [30.0, 90.0, 170.0])
def test_an_arc_turns_by_its_angle(turn):
    """Chords of a twentieth: their outermost directions lie a twentieth closer."""
    angle = np.deg2rad(np.linspace(0, turn, 401))
    arc = 300 * np.stack([np.sin(angle), 1 - np.cos(angle)], axis=1)
    assert _turn_deg(trace_of(arc)) == pytest.approx(turn * 19 / 20, rel=0.01)
    assert _turn_deg(trace_of(arc[::-1])) == pytest.approx(turn * 19 / 20, rel=0.01)
    assert _turn_deg(trace_of(level(50))) == 0


def test_other_bodies_are_larger_than_dust():
    """A five-hundredth of the picture: 160 of 80,000 px."""
    mask = blade()
    whole = mask.copy()
    assert other_bodies(mask, whole) == []
    whole[10:24, 20:34] = 1  # 13 by 13 between the middles of its pixels
    assert other_bodies(mask, whole) == [pytest.approx(169 / 80000)]
    whole[10:24, 20:34] = 0
    whole[10:23, 20:34] = 1  # 156
    assert other_bodies(mask, whole) == []
    whole[170:190, 50:90] = 1
    assert other_bodies(mask, whole) == [pytest.approx(19 * 39 / 80000)]


def test_outlines_leave_out_the_border_specks_and_holes():
    mask = blade()
    points = _outlines(mask)
    assert set(points[:, 1]) == {60, 140}
    assert (points[:, 0].min(), points[:, 0].max()) == (2, 397)
    speck = mask.copy()
    speck[20:28, 50:58] = 1  # 49 px and half of 28: less than 80
    assert len(_outlines(speck)) == len(points)
    speck[20:30, 50:60] = 1  # 81 and 18
    assert len(_outlines(speck)) == len(points) + 36


@pytest.mark.parametrize("factor", [1, 3])
def test_the_share_is_of_the_outline_that_lies_near(factor):
    from scipy.spatial import cKDTree

    lines = cKDTree((level(60) + 0.5) * factor - 0.5)
    assert _share_near(lines, blade(), factor, 5.0 * factor) == pytest.approx(0.5, abs=0.01)
    assert _share_near(lines, blade(), factor, 81.0 * factor) == 1.0
    assert _share_near(lines, blade(), factor, 79.0 * factor) == pytest.approx(0.5, abs=0.01)
    assert _share_near(lines, np.zeros((200, 400), np.uint8), factor, 5.0) == 1.0


def edge(whole=None, mask=None, *, traces=None, factor=1, points=None, length=None):
    mask = blade() if mask is None else mask
    whole = mask if whole is None else whole
    found = trace_of(level(60) if points is None else points, length=length)
    return is_an_edge(found, [found] if traces is None else [found, *traces], mask, whole, factor)


def test_an_edge_with_its_spine_is_all_the_outline():
    spine = trace_of(level(140))
    assert edge(traces=[spine])
    assert not edge()  # half of the outline alone
    assert edge(blade(bottom=199), blade(bottom=199))  # the spine lies outside
    # Of a blade's outline 0.7 must be near: the spine's first half, 0.2, is not enough.
    half = trace_of(level(140, 0, 130))
    more = trace_of(level(140, 0, 180))
    assert not edge(traces=[half])
    assert edge(traces=[more])


@pytest.mark.parametrize(
    ("length", "factor", "kept"),
    [(99.0, 1, False), (101.0, 1, True), (201.0, 2, True), (199.0, 2, False)],
)
def test_an_edge_runs_through_half_of_the_shorter_side(length, factor, kept):
    points = level(60) if factor == 1 else level(120.5, 0, 800)
    spine = trace_of(level(140) if factor == 1 else level(280.5, 0, 800))
    assert edge(points=points, length=length, traces=[spine], factor=factor) == kept


@pytest.mark.parametrize(("turn", "kept"), [(77.0, True), (81.0, False)])
def test_an_edge_hardly_turns(turn, kept):
    """By 75 degrees between its outermost chords: 0.95 of the whole turn."""
    angle = np.deg2rad(np.linspace(0, turn, 401))
    arc = 250 * np.stack([np.sin(angle), 1 - np.cos(angle)], axis=1) + [30, 20]
    mask = np.zeros((400, 400), np.uint8)
    cv2.fillPoly(mask, [np.rint(np.vstack([arc, [[0, 399], [0, 20]]])).astype(np.int32)], 1)
    back = trace_of(np.linspace(arc[-1], [0, 399], 300))
    assert edge(mask, mask, points=arc, traces=[back]) == kept


def test_a_rest_or_two_may_lie_beside_the_blade():
    mask = blade(bottom=199)
    whole = mask.copy()
    whole[5:50, 20:100] = 1
    assert edge(whole, mask)
    whole[5:50, 120:200] = 1
    assert edge(whole, mask)
    whole[5:50, 220:300] = 1
    assert not edge(whole, mask)
