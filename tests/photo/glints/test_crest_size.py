"""A crest's size from its two lines and a needle's."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from edgetest.errors import UnusableInput
from edgetest.photo.glints.crest_size import size_crest
from edgetest.photo.glints.needle_light import Needle, SideSetup, perspective
from edgetest.photo.glints.pair_spacing import LineSpacing, pair_spacing
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture

FAR = SideSetup(um_per_px=0.5, lens_distance_mm=1e4, lamp_distance_mm=1e4)
NEEDLE = Needle(400.0)


def lines(spacing_px):
    return LineSpacing("two lines", "", spacing_px, spacing_px, spacing_px, 0.01, ratio=1.0)


CREST, NEEDLES = lines(20.0), lines(400.0)  # at 0.5 µm a pixel: lamps at 60°


def test_a_round_crest_is_half_the_needle_times_spacing_over_spacing():
    size = size_crest(CREST, NEEDLES, NEEDLE, FAR)
    assert size.status == "measured"
    assert size.radius_um.value == pytest.approx(10.0, rel=1e-3)
    assert size.lamp_angle_deg == pytest.approx(60.0)
    assert size.radius_um.low < 10.0 < size.radius_um.high


def test_at_sixty_degrees_flat_and_round_have_one_w30():
    size = size_crest(CREST, NEEDLES, NEEDLE, FAR)
    assert size.flat_um.value == pytest.approx(size.radius_um.value, rel=1e-3)
    assert size.w30_um.high / size.w30_um.low < 1.07


@pytest.mark.parametrize("angle", [50.0, 75.0])
def test_w30_spans_round_and_flat_where_the_lamps_are_not_at_sixty(angle):
    setup = replace(FAR, um_per_px=None, lamp_angle_deg=angle)
    size = size_crest(CREST, NEEDLES, NEEDLE, setup)
    radius, flat = 10.0, 20.0 * np.sin(np.radians(angle / 2))
    assert size.flat_um.value == pytest.approx(flat, rel=1e-3)
    for form in (radius, flat):
        assert size.w30_um.low < form < size.w30_um.high


def test_without_scale_and_angle_the_radius_stands_and_w30_is_wider():
    size = size_crest(CREST, NEEDLES, NEEDLE, replace(FAR, um_per_px=None))
    assert size.radius_um.value == pytest.approx(10.0, rel=1e-3)
    assert (size.flat_um, size.w30_um.value) == (None, None)
    assert size.w30_um.low < 8.6
    assert size.w30_um.high > 12.1
    assert [one.code for one in size.doubts] == ["lamp_angle_not_noted"]


def test_perspective_is_that_of_rays_from_a_near_lamp_to_a_near_lens():
    """The glint found exactly, by the law of reflection, the lens focused on its height."""
    theta, lamp_mm, lens_mm, radius = np.radians(60), 60.0, 50.0, 0.2
    lamp = lamp_mm * np.array([np.sin(theta), np.cos(theta)])
    lens = np.array([0.0, lens_mm])

    def off(lean):
        place = radius * np.array([np.sin(lean), np.cos(lean) - np.cos(theta / 2)])
        ways = [(end - place) / np.linalg.norm(end - place) for end in (lamp, lens)]
        half = ways[0] + ways[1]
        return np.arctan2(half[0], half[1]) - lean

    lean = brentq(off, 0.1, 1.0)
    exact = 1 - np.sin(lean) / np.sin(theta / 2)
    view = perspective(
        400.0, np.sin(theta / 2), SideSetup(lens_distance_mm=lens_mm, lamp_distance_mm=lamp_mm)
    )
    assert view.bound == 0
    assert view.relative == pytest.approx(exact, rel=0.1)


def test_distances_that_nobody_noted_are_bounded_by_the_nearest():
    unknown = perspective(400.0, 0.5, SideSetup())
    nearest = perspective(400.0, 0.5, SideSetup(lens_distance_mm=30, lamp_distance_mm=30))
    assert unknown.relative + unknown.bound == pytest.approx(nearest.relative)
    assert unknown.relative == pytest.approx(unknown.bound)


def test_an_open_ring_says_at_least_and_never_a_value():
    size = size_crest(CREST, NEEDLES, NEEDLE, replace(FAR, direction="ring"))
    for bound in (size.radius_um, size.w30_um):
        assert (bound.value, bound.high) == (None, None)
        assert bound.low > 9
    assert size.flat_um is None
    assert "ring_at_least" in [one.code for one in size.doubts]
    assert "at least" in size.summary()


def test_one_line_beside_a_needle_of_two_says_at_most():
    one = LineSpacing("one line", "one_line", at_most_px=6.0, line_sd_px=2.4)
    size = size_crest(one, NEEDLES, NEEDLE, FAR)
    assert (size.radius_um.value, size.radius_um.low) == (None, 0)
    assert size.radius_um.high == pytest.approx(3.0, rel=0.05)
    assert "at most" in size.summary()


@pytest.mark.parametrize(
    ("crest", "needle_lines", "needle", "code"),
    [
        (CREST, None, None, "no_needle"),
        (CREST, None, NEEDLE, "no_needle"),
        (LineSpacing("none", "uneven_lines"), NEEDLES, NEEDLE, "uneven_lines"),
        (CREST, LineSpacing("one line", "one_line"), NEEDLE, "needle_not_resolved"),
        (LineSpacing("one line", "one_line"), LineSpacing("none", "no_lines"), NEEDLE, "one_line"),
        (CREST, lines(900.0), NEEDLE, "lamps_impossible"),
        (CREST, lines(100.0), NEEDLE, "lamps_impossible"),
    ],
)
def test_what_tells_no_size_is_refused_with_its_reason(crest, needle_lines, needle, code):
    size = size_crest(crest, needle_lines, needle, FAR)
    assert (size.status, size.reasons[0].code) == ("refused", code)
    assert (size.radius_um, size.w30_um) == (None, None)


def test_a_noted_angle_that_needle_and_scale_contradict_is_doubted():
    size = size_crest(CREST, NEEDLES, NEEDLE, replace(FAR, lamp_angle_deg=75.0))
    assert [one.code for one in size.doubts] == ["lamp_angle_contradicts"]
    assert size.lamp_angle_deg == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("needle", "setup", "words"),
    [
        (Needle(0.4), FAR, "no needle"),
        (Needle(400.0, -1.0), FAR, "tolerance"),
        (NEEDLE, replace(FAR, lamp_angle_deg=10.0), "lamps at 10"),
        (NEEDLE, replace(FAR, turned_deg=80.0), "turned"),
        (NEEDLE, replace(FAR, lens_distance_mm=0.0), "lens distance"),
        (NEEDLE, replace(FAR, direction="dome"), "two lines"),
    ],
)
def test_input_that_cannot_be_is_named(needle, setup, words):
    with pytest.raises(UnusableInput, match=words):
        size_crest(CREST, NEEDLES, needle, setup)


@pytest.mark.parametrize("seed", [pytest.param(3, marks=pytest.mark.slow), 5])
def test_round_crests_of_the_second_world_are_right_to_four_percent(seed):
    """Worst of the pairs in `tests/benchmarks/side_light.py` that lie across their lamps."""
    one = picture("sides", seed)
    found = [pair_spacing(read_picture(each.data, tone="srgb")) for each in (one, one.partner)]
    setup = replace(FAR, um_per_px=one.um_per_px)
    size = size_crest(*found, Needle(one.partner.needle.diameter_um, 0.0), setup)
    assert size.radius_um.value == pytest.approx(one.truth.radius_um, rel=0.04)
    assert size.radius_um.low < one.truth.radius_um < size.radius_um.high
    assert size.w30_um.low < one.truth.w30_um < size.w30_um.high
