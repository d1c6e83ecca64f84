"""What is refused and doubted of a silhouette, and what a size carries: at the limits."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side import side_view
from edgetest.photo.side.side_view import (
    ProfileMeasurement,
    _departure,
    _doubts,
    _doubts_of_blade,
    _doubts_of_finds,
    _followed,
    _ground_saturated,
    _silhouette,
    _surrounds,
    _unsound,
)


def trace_of(**known):
    usual = {"blur": 1.5, "length": 1000.0, "spread": 0.3, "sound": np.ones(10, bool),
             "share": 1.0, "at_border": False, "at_tip": False, "strip": None}  # fmt: skip
    return SimpleNamespace(**(usual | known))


@pytest.mark.parametrize(
    ("changes", "snr", "code"),
    [
        ({}, 1000.0, None),
        ({"blur": 12.0}, 1000.0, None),
        ({"blur": 12.1}, 1000.0, "out_of_focus"),
        ({"blur": 8.0, "length": 100.0}, 1000.0, None),
        ({"blur": 8.1, "length": 100.0}, 1000.0, "out_of_focus"),
        ({"blur": 25.0, "length": 9000.0}, 1000.0, None),
        ({"blur": 25.1, "length": 9000.0}, 1000.0, "out_of_focus"),
        ({}, 5.0, None),
        ({}, 4.99, "too_noisy"),
        ({"spread": 6.0}, 1000.0, None),
        ({"spread": 6.1}, 1000.0, "no_edge"),
        ({"sound": np.arange(10) < 3}, 1000.0, None),
        ({"sound": np.arange(100) < 29}, 1000.0, "no_edge"),
    ],
)
def test_an_outline_is_unsound_beyond_its_limits(changes, snr, code):
    assert _unsound(trace_of(**changes), snr) == code


@pytest.mark.parametrize(
    ("changes", "seen", "codes"),
    [
        ({}, (1, 0), {}),
        ({"blur": 3.5}, (1, 0), {}),
        ({"blur": 3.6}, (1, 0), {"soft_focus": 3.6}),
        ({}, (2, 0), {"two_outlines": None}),
        ({}, (1, 1), {"second_body": None}),
        ({"share": 0.95}, (1, 0), {}),
        ({"share": 0.5}, (1, 0), {"part_of_edge": 0.5}),
        ({"at_border": True}, (1, 0), {"damaged_at_border": None}),
        ({"at_tip": True}, (1, 0), {"damaged_at_tip": None}),
        ({"spread": 1.0}, (1, 0), {}),
        ({"spread": 1.1}, (1, 0), {"rough_edge": None}),
    ],
)
def test_doubts_of_an_outline_begin_at_their_limits(changes, seen, codes):
    found = {one.code: one.where.value for one in _doubts(trace_of(**changes), seen, None)}
    assert found == codes


def test_finds_are_counted_by_what_they_could_be():
    words = list(side_view.UNSURE_DOUBTS)
    finds = [SimpleNamespace(kind=kind, could_be=word) for kind, word in
             [("dust", None), ("chip", words[0]), ("chip", words[0]), ("dust", None),
              ("dust", None), ("roll", words[1])]]  # fmt: skip
    found = {one.code: one.where.value for one in _doubts_of_finds(finds)}
    expected = {side_view.UNSURE_DOUBTS[words[0]]: 2, side_view.UNSURE_DOUBTS[words[1]]: 1}
    assert found == {"specks_left_out": 3} | expected
    assert not list(_doubts_of_finds([SimpleNamespace(kind="chip", could_be=None)]))


@pytest.mark.parametrize(
    ("blade", "chips", "rolls", "code"),
    [("dark", 0, 1, None), ("dark", 0, 2, "more_rolls_than_chips"), ("dark", 1, 2, None),
     ("dark", 1, 3, "more_rolls_than_chips"), ("dark", 2, 5, None),
     ("dark", 2, 6, "more_rolls_than_chips"), ("bright", 0, 9, "bright_blade")],
)  # fmt: skip
def test_rolls_thrice_as_many_as_chips_may_be_a_blade_mistaken(blade, chips, rolls, code):
    found = [one.code for one in _doubts_of_blade(blade, chips, rolls)]
    assert found == ([] if code is None else [code])


def ground(count, *, held=100):
    """An edge along row 20, the ground below it; so many columns of it full."""
    points = np.stack([np.arange(float(held)), np.full(held, 20.0)], axis=1)
    saturated = np.zeros((60, 100), bool)
    saturated[28, :count] = True
    return SimpleNamespace(points=points, normals=np.tile([0.0, 1.0], (held, 1))), saturated


def test_ground_is_overexposed_for_a_tenth_of_the_edge():
    """Eight pixels outside of it; what lies beyond the picture does not count."""
    assert not _ground_saturated(*ground(10))
    assert _ground_saturated(*ground(11))
    strip, saturated = ground(6, held=200)
    strip.points[100:, 1] = 52.0  # eight pixels on: row 60, beyond the last
    strip.points[:100, 0] = np.arange(100)
    strip.points[100:, 0] = np.arange(100)
    assert not _ground_saturated(strip, saturated)
    saturated[28, :11] = True
    assert _ground_saturated(strip, saturated)
    strip.points[:, 1] = 52.0
    assert not _ground_saturated(strip, saturated)
    strip.points[:, 1], saturated[59] = 51.0, True
    assert _ground_saturated(strip, saturated)
    strip.points[:, 1], saturated[0] = -8.0, True
    assert _ground_saturated(strip, saturated)


def test_a_region_that_holds_corners_and_border_is_the_ground():
    mask = np.ones((50, 50), np.uint8)
    mask[10:40, 10:40] = 0
    assert _surrounds(mask)
    for corner in ((0, 0), (0, 49), (49, 0), (49, 49)):
        cut = mask.copy()
        cut[corner] = 0
        assert not _surrounds(cut)
    # Of a border of 200: 121 and 120.
    for held, around in ((121, True), (120, False)):
        part = mask.copy()
        part[0, 1:41], part[-1, 1 : 160 - held + 1] = 0, 0
        assert part[[0, -1]].sum() + part[:, [0, -1]].sum() == held
        assert _surrounds(part) == around


def test_sizes_carry_the_scale_s_doubt_beside_their_own():
    size = {"centre": 100.0, "length": 20.0, "depth": 5.0, "area": 60.0, "depth_u": 0.1,
            "length_u": 0.3, "area_u": 2.0}  # fmt: skip
    told = SimpleNamespace(kind="chip", could_be=None, low=None, high=None)
    found = _departure(size, told, 8.0, 2.0, 0.01)
    assert (found.position_um, found.length_um, found.depth_um) == (216.0, 40.0, 10.0)
    assert found.area_um2 == 240.0
    assert found.depth_u_um == pytest.approx(np.hypot(0.2, 0.1))
    assert found.length_u_um == pytest.approx(np.hypot(0.6, 0.4))
    assert found.area_u_um2 == pytest.approx(np.hypot(8.0, 4.8))  # twice the scale's share
    half = 1.96 * found.depth_u_um
    assert (found.depth_low_um, found.depth_high_um) == pytest.approx((10 - half, 10 + half))
    told.low, told.high = 3.0, 7.0
    wide = _departure(size, told, 8.0, 2.0, 0.01)
    assert (wide.depth_low_um, wide.depth_high_um) == pytest.approx((6 - half, 14 + half))
    told.low, told.high = 6.0, 4.0  # never inside of the depth itself
    same = _departure(size, told, 8.0, 2.0, 0.01)
    assert (same.depth_low_um, same.depth_high_um) == pytest.approx((10 - half, 10 + half))
    assert _departure(size | {"depth_u": 9.0}, told, 8.0, 2.0, 0.0).depth_low_um == 0


@pytest.mark.parametrize("code", [None, "no_contrast", "not_a_silhouette"])
@pytest.mark.parametrize("ruled", [False, True])
def test_a_ruling_is_asked_for_where_it_could_be_one(monkeypatch, code, ruled):
    monkeypatch.setattr(side_view, "_silhouette", lambda small, blade: (None, None, code))
    monkeypatch.setattr(side_view, "find_traces", lambda *_: [])
    monkeypatch.setattr(side_view, "is_a_ruling", lambda grey: ruled)
    trace, _, told = _followed(np.zeros((90, 90), np.float32), "dark")
    usual = code or "no_edge"
    assert trace is None
    assert told == ("ruling" if ruled and usual in side_view.LIKE_A_RULING else usual)


def test_the_trace_with_most_damage_is_the_edge_the_longest_of_equals(monkeypatch):
    whole = np.zeros((90, 90), np.uint8)
    monkeypatch.setattr(side_view, "_silhouette", lambda small, blade: (whole, whole, None))
    monkeypatch.setattr(side_view, "is_an_edge", lambda *_: True)
    traces = [SimpleNamespace(damaged=d, length=n) for d, n in ((1, 90.0), (2, 50.0), (2, 60.0))]
    monkeypatch.setattr(side_view, "find_traces", lambda *_: traces)
    trace, seen, code = _followed(np.zeros((90, 90), np.float32), "dark")
    assert (trace, seen, code) == (traces[2], (3, 0), None)


@pytest.mark.parametrize(("light", "code"), [(0.0199, "too_dark"), (0.0201, "no_contrast")])
def test_light_without_levels_is_too_dark_or_without_contrast(monkeypatch, light, code):
    monkeypatch.setattr(side_view, "two_levels", lambda small: (None, None))
    assert _silhouette(np.full((9, 9), light), "dark") == (None, None, code)


@pytest.mark.parametrize(
    ("bright", "dark", "second", "code"),
    [(0.65, 0.51, 0.0, "no_contrast"), (0.65, 0.49, 0.0, None), (0.0099, 0.001, 0.0, "no_contrast"),
     (0.0101, 0.001, 0.0, None), (0.65, 0.1, 0.35, None),
     (0.65, 0.1, 0.36, "not_a_silhouette")],
)  # fmt: skip
def test_blade_and_ground_differ_by_three_tenths(monkeypatch, bright, dark, second, code):
    levels = SimpleNamespace(bright=bright, dark=dark, parting=0.97)
    monkeypatch.setattr(side_view, "two_levels", lambda small: (levels, 0.3))
    mask = np.zeros((20, 20), np.uint8)
    seen = []

    def blade_mask(small, threshold, bright_blade):
        seen.append((threshold, bright_blade))
        return mask, mask, second

    monkeypatch.setattr(side_view, "blade_mask", blade_mask)
    small = np.full((20, 20), 0.5)
    assert _silhouette(small, "dark")[2] == code
    assert _silhouette(small, "bright")[2] == code
    if code in (None, "not_a_silhouette"):
        assert seen == [(0.3, False), (0.3, True)]


def test_a_summary_counts_in_words():
    shown = ProfileMeasurement("measured", edge_length_um=2500.0, measured_share=0.5)
    assert shown.summary() == (
        "2.50 mm of edge, 50% of what the picture shows, no chip and no roll found"
    )
    chip = SimpleNamespace(depth_um=3.0, position_um=1200.0)
    deep = SimpleNamespace(depth_um=7.0, position_um=400.0)
    found = ProfileMeasurement("measured", chips=(chip, chip), rolls=(deep,), unsure=(chip,),
                               edge_length_um=2500.0, measured_share=1.0)  # fmt: skip
    assert found.summary() == (
        "2.50 mm of edge: 2 chips, 1 roll; the deepest 7 µm at 0.40 mm; 1 place unsure"
    )
    assert_allclose(found.edge_length_um, 2500)
