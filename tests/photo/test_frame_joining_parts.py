"""A walk along an edge: matrices multiplied, zooms believed or not, places that two frames saw."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.photo.frame_joining import Walk, _unlaid, _walk, join_widths
from edgetest.photo.frame_laying import Laid

NAMES = ("a.png", "b.png", "c.png", "d.png")


def laid(corner, *, zoom=1.0, zoom_u=1e-4, turn=0.0):
    middle = np.asarray(corner, dtype=float) + 50
    return Laid(np.asarray(corner, dtype=float), middle, turn, zoom, zoom_u, 1e-3, 0.9, 20.0, 0.3,
                30.0)  # fmt: skip


def test_frames_lie_one_upon_the_other():
    steps = {1: (0, laid((1.0, 100.0), turn=90.0)), 2: (1, laid((0.0, 10.0)))}
    walk = _walk(steps, NAMES[:3])
    # A quarter turn leads columns to rows: 10 columns of the second are rows of the first.
    assert_allclose(walk.offsets_rc, [[0, 0], [1, 100], [11, 100]], atol=1e-9)
    assert_allclose(
        walk.to_strip(np.array([[0.0, 0.0], [0.0, 5.0]]), 2), [[11, 100], [16, 100]], atol=1e-9
    )
    assert_allclose(walk.along, np.array([11, 100]) / np.hypot(11, 100))
    assert walk.zooms.tolist() == [1, 1, 1]
    assert walk.doubts == ()


def test_a_frame_left_out_is_told_and_has_no_place():
    steps = {1: (0, laid((0.0, 100.0))), 3: (1, laid((0.0, 150.0)))}
    walk = _walk(steps, NAMES)
    assert np.isnan(walk.matrices[2]).all()
    assert_allclose(walk.offsets_rc[3], [0, 250])
    assert [(one.code, one.where.file) for one in walk.doubts] == [("frame_left_out", "c.png")]
    assert_allclose(walk.along, [0, 1])


@pytest.mark.parametrize(
    ("zooms", "u", "zoomed"),
    [
        ([1.0, 1.0], 1e-5, False),
        ([1.00049, 1.0], 1e-5, False),  # less than 0.0005
        ([1.00051, 1.0], 1e-5, True),
        ([0.99949, 1.0], 1e-5, True),
        ([1.0049, 1.0], 1e-3, False),  # less than five spreads
        ([1.0051, 1.0], 1e-3, True),
        ([1.0003, 1.0003], 1e-5, True),  # together
        ([1.003, 1.003], 1e-3, False),
        ([1.0036, 1.0036], 1e-3, True),  # five spreads of both: 0.00707
    ],
)
def test_a_zoom_is_believed_beyond_chance(zooms, u, zoomed):
    steps = {k + 1: (k, laid((0.0, 100.0), zoom=z, zoom_u=u)) for k, z in enumerate(zooms)}
    walk = _walk(steps, NAMES[:3])
    assert ("frames_zoomed" in [one.code for one in walk.doubts]) == zoomed
    expected = np.cumprod([1.0, *zooms]) if zoomed else np.ones(3)
    assert_allclose(walk.zooms, expected)
    if zoomed:
        assert walk.doubts[-1].where.value == pytest.approx(np.ptp(expected))


def test_an_error_of_one_step_stands_in_all_frames_after_it():
    """Of three frames the first step's is in two, the second's in one."""
    steps = {1: (0, laid((0, 9), zoom_u=3e-3)), 2: (1, laid((0, 9), zoom_u=6e-3))}
    assert _walk(steps, NAMES[:3]).zoom_u == pytest.approx(np.hypot(2e-3, 2e-3))


@pytest.mark.parametrize(("likeness", "words"), [(0.49, "do not overlap"), (0.5, "repeats itself")])
def test_why_two_frames_cannot_be_joined(likeness, words):
    error = _unlaid(SimpleNamespace(likeness=likeness), "a.png", "b.png")
    assert isinstance(error, UnusableInput)
    assert words in str(error)
    assert "a.png and b.png" in str(error)


def measured(first, last, width, *, used=None):
    at = np.arange(float(first), float(last))
    used = np.ones(at.size, bool) if used is None else used
    return SimpleNamespace(width_um=1.0, centre_rc=np.stack([0 * at + 5, at], axis=1), used=used,
                           width_px=np.full(at.size, float(width)))  # fmt: skip


def walk_of(*corners, zooms=None):
    matrices = np.stack([np.column_stack([np.eye(2), corner]) for corner in corners])
    zooms = np.ones(len(corners)) if zooms is None else np.array(zooms)
    return Walk(matrices, zooms, 0.0, ())


def test_what_two_frames_saw_is_taken_from_the_one_that_saw_it_deeper():
    """Frames of 100 places, 60 apart: 60 to 99 are on both, from 80 on the second's lie deeper."""
    walk = walk_of([0.0, 0.0], [0.0, 60.0])
    found = join_widths([measured(0, 100, 10), measured(0, 100, 12)], walk, 2.0)
    assert_allclose(found.position_um, 2.0 * np.arange(160))
    first = found.frame == 0
    assert 78 <= first.sum() <= 81
    assert found.position_um[first].max() == pytest.approx(159, abs=3)
    assert_allclose(found.width_um, np.where(first, 20, 24))


def test_zooms_bring_widths_to_the_first_frame_s_pixels():
    walk = walk_of([0.0, 0.0], [0.0, 200.0], zooms=[1.0, 1.05])
    found = join_widths([measured(0, 100, 10), measured(0, 100, 10)], walk, 1.0)
    assert found.position_um.size == 200  # a gap between them is left
    assert_allclose(found.width_um[found.frame == 1], 10.5)


def test_frames_refused_or_not_placed_leave_a_gap():
    walk = walk_of([0.0, 0.0], [np.nan, np.nan], [0.0, 120.0])
    refused = SimpleNamespace(width_um=None)
    found = join_widths([measured(0, 50, 10), measured(0, 50, 99), measured(0, 50, 12)], walk, 1.0)
    assert set(found.frame) == {0, 2}
    assert_allclose(found.position_um[-50:], 120 + np.arange(50))
    only = join_widths([None, None, measured(0, 50, 12)], walk, 1.0)
    assert set(only.frame) == {2}
    with pytest.raises(UnusableInput, match="no frame could be measured"):
        join_widths([refused, None, refused], walk, 1.0)


def test_places_that_do_not_count_are_not_joined():
    used = np.arange(100) % 2 == 0
    walk = walk_of([0.0, 0.0], [0.0, 60.0])
    found = join_widths([measured(0, 100, 10, used=used), None], walk, 1.0)
    assert_allclose(found.position_um, np.arange(0, 100, 2))


def test_a_gap_in_one_frame_is_filled_from_the_other_though_less_deep():
    """Eight pixels from its next place a frame does not see a place."""
    used = (np.arange(100) < 40) | (np.arange(100) > 70)
    walk = walk_of([0.0, 0.0], [0.0, 25.0])
    found = join_widths([measured(0, 100, 10, used=used), measured(0, 60, 12)], walk, 1.0)
    filled = found.position_um[found.frame == 1]
    assert filled.min() <= 48
    assert filled.max() == 63  # the first sees 71 again
