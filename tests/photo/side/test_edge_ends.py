"""What lies beyond the ends of an edge: tips and edges drawn in closed form."""

import numpy as np
import pytest

from edgetest.photo.side.edge_ends import NO_TIP, goes_on, to_tip

ROWS, COLS = 220, 500


def points(last, count=300):
    """A line along the lower side of the blade, and the way into it."""
    line = np.stack([np.arange(last - count + 1.0, last + 1), np.full(count, 150.0)], axis=1)
    return line, np.tile([0.0, -1.0], (count, 1))


def wedge(tip, slope, thickest=120.0, factor=1):
    """Blade above row 150 that slims to its tip at a column, a sample of `factor` pixels."""
    half = (factor - 1) / 2
    row = np.arange(ROWS)[:, None] * factor + half
    column = np.arange(COLS) * factor + half
    thick = np.clip((tip - column) * slope, 0, thickest)
    return ((row <= 150) & (row > 150 - thick)).astype(np.uint8)


@pytest.mark.parametrize("slope", [0.3, 0.6])
@pytest.mark.parametrize("beyond", [8, 30])
def test_a_tip_lies_where_the_blade_s_thickness_ends(slope, beyond):
    found, slims = to_tip(wedge(400 + beyond, slope), 1, *points(400))
    assert found == pytest.approx(beyond, abs=2.5)
    assert slims == pytest.approx(slope, rel=0.04)


@pytest.mark.parametrize("factor", [2, 3])
def test_a_tip_is_found_on_a_reduced_picture_in_its_own_pixels(factor):
    found, slims = to_tip(wedge(430, 0.5, factor=factor), factor, *points(400))
    assert found == pytest.approx(30, abs=2.5 * factor)
    assert slims == pytest.approx(0.5, rel=0.08)


def test_a_chip_at_the_tip_does_not_thin_it():
    """The far side of the blade tells: a notch at the edge itself moves nothing."""
    mask = wedge(430, 0.5)
    mask[140:151, 360:372] = 0
    assert to_tip(mask, 1, *points(400)) == pytest.approx((30, 0.5), rel=0.08)


def test_a_blade_that_does_not_slim_has_no_tip():
    even = (np.arange(ROWS)[:, None] <= 150) & (np.arange(ROWS)[:, None] > 60)
    mask = (even & (np.arange(COLS) < 420)).astype(np.uint8)
    assert to_tip(mask, 1, *points(400)) == NO_TIP
    assert to_tip(np.ones((ROWS, COLS), np.uint8), 1, *points(400)) == NO_TIP
    assert to_tip(np.zeros((ROWS, COLS), np.uint8), 1, *points(400)) == NO_TIP


@pytest.mark.parametrize("factor", [1, 2])
@pytest.mark.parametrize("more", [0, 12, 60])
def test_the_edge_goes_on_as_far_as_there_is_blade(factor, more):
    last = 300 * factor
    column = np.arange(COLS) * factor + (factor - 1) / 2
    row = np.arange(ROWS)[:, None] * factor + (factor - 1) / 2
    mask = ((row <= 150) & (column <= last + more * factor)).astype(np.uint8)
    found = goes_on(mask, factor, *points(float(last)), 290.0)
    assert found == pytest.approx(more * factor, abs=1.1 * factor)


def test_the_edge_goes_on_over_a_chip_and_not_over_more():
    """A chip of 0.06 of the edge's length shows blade behind it; a deeper gap does not."""
    mask = (np.arange(ROWS)[:, None] <= 150) & (np.arange(COLS) <= 380)
    shallow, deep = mask.copy(), mask.copy()
    shallow[138:151, 320:340] = False
    deep[110:151, 320:340] = False
    line, inwards = points(300.0)
    assert goes_on(shallow.astype(np.uint8), 1, line, inwards, 290.0) == pytest.approx(80, abs=1)
    assert goes_on(deep.astype(np.uint8), 1, line, inwards, 290.0) == pytest.approx(19, abs=1)
    assert goes_on(deep.astype(np.uint8), 1, line, inwards, 900.0) == pytest.approx(80, abs=1)


def test_the_edge_goes_on_no_further_than_the_picture():
    mask = (np.arange(ROWS)[:, None] <= 150) & np.ones(COLS, bool)
    found = goes_on(mask.astype(np.uint8), 1, *points(450.0), 290.0)
    assert found == pytest.approx(COLS - 1 - 450, abs=1)
    line, inwards = points(450.0)
    back = goes_on(mask.astype(np.uint8), 1, line[::-1], inwards[::-1], 290.0)
    assert back == pytest.approx(line[0, 0], abs=1)
