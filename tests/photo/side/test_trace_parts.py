"""An outline followed, part by part: its ends, its sides, what of it is valid."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.departures import Stretch
from edgetest.photo.side import trace
from edgetest.photo.side.boundary import Places, Strip
from edgetest.photo.side.edge_outline import SmoothCurve
from edgetest.photo.side.find_kinds import DUST, UNSURE, Telling
from edgetest.photo.side.trace import (
    Trace,
    _ends,
    _height,
    _seen,
    _smoothed,
    _to_its_ends,
    _towards_ground,
    find_traces,
)


def strip_of(count):
    points = np.stack([np.arange(float(count)), np.full(count, 50.0)], axis=1)
    normals = np.tile([0.0, 1.0], (count, 1))
    level = np.ones(count)
    return Strip(np.zeros((3, count)), np.arange(3.0), np.arange(float(count)), points, normals,
                 level, level)  # fmt: skip


def trace_of(count=10, **changed):
    edge = np.zeros(count)
    values = {
        "strip": strip_of(count),
        "places": Places(edge, edge, edge),
        "line": edge + 2,
        "stretches": [],
        "sizes": [],
        "kinds": [],
        "sound": edge == 0,
        "spread": 0.1,
        "blur": 2.0,
        "noise": 0.01,
        "line_u": edge + 0.03,
        "cut": (0.0, 0.0),
    }
    return Trace(**(values | changed))


def test_a_length_is_what_was_followed_and_what_lies_before_and_after():
    one = trace_of(11, before_px=2.0, after_px=3.5, missing_px=30.0)
    assert one.length == 15.5
    assert one.share == pytest.approx(10 / 40)


def test_a_place_is_known_as_well_as_line_noise_and_form_let_it():
    """Rows over twice three blurs and two are added up, each with its noise."""
    summed = 0.01 * np.sqrt(2 * (3 * 2.0 + 2))
    assert_allclose(trace_of().place_u, np.sqrt(0.03**2 + summed**2 + 0.05**2))


def test_dust_what_is_unsure_and_double_crossings_are_not_valid():
    outer = np.zeros(12)
    outer[1] = 5
    stretches = [Stretch(2, 4, 3, 1), Stretch(5, 7, 6, 1), Stretch(8, 10, 9, 1)]
    kinds = [Telling(DUST), Telling(UNSURE), Telling("roll")]
    one = trace_of(12, places=Places(0 * outer, outer, 0 * outer), stretches=stretches, kinds=kinds)
    assert np.flatnonzero(~one.valid).tolist() == [1, 2, 3, 5, 6]
    assert one.places.single.sum() == 11


def test_damage_counts_from_a_pixel_on_and_at_an_end_from_three():
    kinds = [Telling("chip"), Telling("chip"), Telling(DUST)]
    sizes = [{"height": 1.01}, {"height": 1.0}, {"height": 9.0}]
    stretches = [Stretch(0, 1, 0, 1)] * 3
    for cut, count in (((3.0, 0.0), 1), ((3.01, 0.0), 2), ((3.01, 4.0), 3)):
        one = trace_of(stretches=stretches, kinds=kinds, sizes=sizes, cut=cut)
        assert one.damaged == count


def test_an_outline_is_evened_out_over_five_points():
    run = np.stack([np.arange(8.0), [0, 0, 0, 5, 0, 0, 0, 0]], axis=1)
    found = _smoothed(run)
    assert_allclose(found[:, 1], [0, 1, 1, 1, 1, 1, 0, 0])
    assert_allclose(found[:, 0], [0.6, 1.2, 2, 3, 4, 5, 5.8, 6.4])


@pytest.mark.parametrize(("factor", "limit"), [(1, 4.0), (2, 8.0)])
def test_an_end_is_at_the_border_within_four_pixels_of_the_outline(factor, limit):
    size = np.array([300.0, 200.0])
    t = np.array([-0.9, 0.8])

    def ends(first, last):
        return _ends(np.array([first, last], dtype=float), t, factor, size)

    inside = [150, 100]
    assert ends([limit, 100], inside) == ([-0.9, 0.8], [True, True])
    (low, high), is_open = ends([limit - 0.1, 100], inside)
    assert (low, high, is_open) == (pytest.approx(-0.95), 0.8, [False, True])
    assert ends(inside, [150, limit - 0.1])[1] == [True, False]
    far = 300 - limit - 1
    assert ends(inside, [far, 100])[1] == [True, True]
    (low, high), is_open = ends(inside, [far + 0.1, 100])
    assert (low, high, is_open) == (-0.9, pytest.approx(0.85), [True, False])
    assert ends(inside, [150, 200 - limit - 0.9])[1] == [True, False]


def test_what_is_nowhere_seen_is_cut_off_at_the_ends_and_bridged_within():
    edge = np.array([np.nan, np.nan, 1.0, 2.0, np.nan, 4.0, 5.0, np.nan])
    places = Places(edge, edge + 10, edge + 20)
    strip, coarse, found = _seen(strip_of(8), np.arange(8.0), places)
    assert_allclose(found.edge, [1, 2, 3, 4, 5])
    assert_allclose(found.outer, [11, 12, 13, 14, 15])
    assert_allclose(found.inner, [21, 22, 23, 24, 25])
    assert coarse.tolist() == [2, 3, 4, 5, 6]
    assert strip.arc.tolist() == [0, 1, 2, 3, 4]
    nowhere = Places(*[np.full(8, np.nan)] * 3)
    assert _seen(strip_of(8), np.arange(8.0), nowhere)[2].edge.size == 0


@pytest.mark.parametrize("factor", [1, 3])
def test_normals_point_from_the_blade_to_the_ground(factor):
    """The curve runs to the right along row 50 of the small picture; its normal points up."""
    curve = SmoothCurve(np.array([[60.0, 50.0], [40.0, 0.0]]) * factor)
    t = np.linspace(-1, 1, 9)
    below = np.zeros((100, 120), np.uint8)
    below[51:] = 1
    assert curve.normal(np.zeros(1))[0, 1] == -1
    assert _towards_ground(below, curve, t, factor) == 1
    assert _towards_ground(1 - below, curve, t, factor) == -1
    # Six pixels of the small picture to either side: farther off is not asked.
    strip = np.ones((100, 120), np.uint8)
    strip[43:46] = 0
    assert _towards_ground(strip, curve, t, factor) == 1
    strip = np.ones((100, 120), np.uint8)
    strip[54:58] = 0
    assert _towards_ground(strip, curve, t, factor) == -1


def test_a_side_beyond_the_picture_has_no_say():
    curve = SmoothCurve(np.array([[60.0, 4.0], [40.0, 0.0]]))
    t = np.linspace(-1, 1, 9)
    assert _towards_ground(np.ones((100, 120), np.uint8), curve, t, 1) == 1
    assert _towards_ground(np.zeros((100, 120), np.uint8), curve, t, 1) == -1


def test_the_highest_damage_that_reaches_the_samples_is_told():
    e = np.zeros(60)
    e[5], e[12], e[30] = -4.0, 6.0, 9.0
    stretches = [Stretch(3, 8, 5, -1), Stretch(10, 15, 12, 1), Stretch(28, 33, 30, 1)]
    assert _height(e, stretches, 0, 10) == 6
    assert _height(e, stretches, 0, 9) == 4
    assert _height(e, stretches, 0, 2) == 0
    assert _height(e, stretches, 33, 60) == 9
    assert _height(e, stretches, 34, 60) == 0


def ended(monkeypatch, cut, open_ends):
    """Ends of a trace whose tips lie 2 px before and 3 px after it, 5 and 7 px of edge beyond."""
    asked = []

    def to_tip(mask, factor, line, inwards):
        asked.append((line[0, 0], line[0, 1], inwards[0, 1]))
        return (2.0 if line[0, 0] > 0 else 3.0), None

    monkeypatch.setattr(trace, "to_tip", to_tip)
    monkeypatch.setattr(
        trace, "goes_on", lambda mask, factor, line, inwards, arc: 5.0 if line[0, 0] > 0 else 7.0
    )
    return _to_its_ends(trace_of(cut=cut), None, 1, open_ends), asked


def test_open_ends_are_led_to_their_tips(monkeypatch):
    found, asked = ended(monkeypatch, (0.0, 0.0), [True, True])
    assert (found.before_px, found.after_px, found.missing_px) == (2, 3, 12)
    assert asked == [(9, 52, -1), (0, 52, -1)]  # outwards, from the line, into the blade
    found, _ = ended(monkeypatch, (0.0, 0.0), [False, True])
    assert (found.before_px, found.after_px) == (0, 3)


@pytest.mark.parametrize(
    ("cut", "open_ends", "at_tip", "at_border"),
    [
        ((3.0, 0.0), [True, True], False, False),
        ((3.1, 0.0), [True, True], True, False),
        ((3.1, 0.0), [False, True], False, True),
        ((0.1, 0.0), [False, True], False, True),
        ((0.0, 9.0), [False, True], True, False),
        ((9.0, 9.0), [True, False], True, True),
        ((0.0, 0.0), [False, False], False, False),
    ],
)
def test_damage_at_an_end_is_at_a_tip_or_at_the_border(
    monkeypatch, cut, open_ends, at_tip, at_border
):
    found, _ = ended(monkeypatch, cut, open_ends)
    assert (found.at_tip, found.at_border) == (at_tip, at_border)


@pytest.mark.parametrize(
    ("lengths", "followed"),
    [
        ([300, 90, 89], [300, 90]),
        ([100, 41, 39], [100, 41]),
        ([100, 90, 80, 70], [100, 90, 80]),
        ([39], []),
    ],
)
def test_the_three_longest_outlines_of_a_third_of_the_longest_are_followed(
    monkeypatch, lengths, followed
):
    runs = [np.zeros((size, 2)) for size in reversed(lengths)]
    monkeypatch.setattr(trace, "outline_runs", lambda mask: runs)
    monkeypatch.setattr(trace, "split_at_corners", lambda run: [run])
    monkeypatch.setattr(trace, "_follow", lambda grey, mask, piece, factor: len(piece))
    assert find_traces(None, SimpleNamespace(), 1) == followed


class _AskedError(Exception):
    """Carries the points that a curve was asked for."""


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("backwards", [False, True])
def test_a_piece_is_followed_from_left_to_right_or_down(monkeypatch, upright, backwards):
    """Its ends tell how it runs, though its first steps go another way."""
    piece = np.array([[5.0, 9], [5, 8], [4, 8], [5, 7], [30, 7], [60, 9], [61, 8], [61, 9]])
    piece = piece[:, ::-1] if upright else piece
    piece = piece[::-1] if backwards else piece

    def curve(points, *, floor_px):
        raise _AskedError(points, floor_px)

    monkeypatch.setattr(trace, "robust_curve", curve)
    with pytest.raises(_AskedError) as asked:
        trace._follow(None, None, piece, 3)
    points, floor_px = asked.value.args
    assert floor_px == 0.75
    along = 1 if upright else 0
    assert points[0, along] == 5 * 3 + 1
    assert points[-1, along] == 61 * 3 + 1


def test_a_side_on_the_pictures_last_pixel_has_no_say():
    """Six pixels from the border: what lies inside alone tells, three in five of it blade."""
    mask = np.zeros((120, 100), np.uint8)
    for column, inside in ((93, 87), (6, 12)):
        mask[:] = 0
        mask[20:68, inside] = 1
        mask[:, [0, 99]] = 1
        curve = SmoothCurve(np.array([[float(column), 60.0], [0.0, 40.0]]))
        out = curve.normal(np.zeros(1))[0, 0] * (1 if column > 50 else -1)
        assert _towards_ground(mask, curve, np.linspace(-1, 1, 9), 1) == out
