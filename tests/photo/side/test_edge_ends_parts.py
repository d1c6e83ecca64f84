"""Tips and what goes on beyond an end: how far is looked, and what ends it."""

import numpy as np
import pytest

from edgetest.photo.side.edge_ends import NO_TIP, goes_on, to_tip

ROWS, COLS = 220, 500


def points(last, count=300, slope=0.0):
    """A line that may lean, and the way into the blade above it."""
    x = np.arange(last - count + 1.0, last + 1)
    line = np.stack([x, 150.0 + slope * (x - last)], axis=1)
    into = np.array([slope, -1.0]) / np.hypot(1, slope)
    return line, np.tile(into, (count, 1))


def wedge(tip, slope, *, thickest=120.0, low=0.0):
    row, column = np.arange(ROWS)[:, None], np.arange(COLS)
    thick = np.clip((tip - column) * slope, 0, thickest)
    return ((row <= 150 + low) & (row > 150 - thick)).astype(np.uint8)


@pytest.mark.parametrize("mirror", [False, True])
@pytest.mark.parametrize("turned", [False, True])
def test_a_tip_is_found_whichever_way_the_blade_points(mirror, turned):
    mask, (line, into) = wedge(430, 0.5), points(400)
    if mirror:
        mask = mask[:, ::-1]
        line, into = np.c_[COLS - 1 - line[:, 0], line[:, 1]], into * [-1, 1]
    if turned:
        mask, line, into = mask.T, line[:, ::-1], into[:, ::-1]
    found = to_tip(np.ascontiguousarray(mask), 1, line, into)
    assert found == pytest.approx((30, 0.5), rel=0.08)


@pytest.mark.parametrize(("slope", "seen"), [(0.018, False), (0.023, True)])
def test_a_blade_that_slims_by_a_fiftieth_has_a_tip(slope, seen):
    found = to_tip(sloped(slope), 1, *points(400))
    assert (found != NO_TIP) == seen


def sloped(slope):
    """Forty pixels thick at column 400, slimming so slowly."""
    row, column = np.arange(ROWS)[:, None], np.arange(COLS)
    thick = 40 + slope * (400 - column)
    return ((row <= 150) & (row > 150 - thick)).astype(np.uint8)


def test_a_tip_lies_no_further_than_a_hundred_and_fifty_samples():
    found, slims = to_tip(sloped(0.2), 1, *points(400))
    assert found == 150
    assert slims == pytest.approx(0.2, rel=0.1)


def test_a_blade_as_thick_as_is_looked_has_no_tip_there():
    """Where it fills the 140 samples that are looked at, its thickness is not known."""
    tall = np.ones((400, COLS), np.uint8)
    tall[151:] = 0
    assert to_tip(tall, 1, *points(400)) == NO_TIP


def test_what_the_picture_cuts_off_does_not_slim():
    """The far side is the picture's border: it tells no thickness."""
    mask = np.ones((151, COLS), np.uint8)
    column, row = np.arange(COLS), np.arange(151)[:, None]
    mask[row < (column - 350) * 0.8 + 60] = 0
    assert to_tip(mask, 1, *points(400, slope=0.0)) != NO_TIP
    cut = np.ones((60, COLS), np.uint8)
    line, into = points(400)
    line[:, 1] = 59 - 0.2 * (line[:, 0] - 400)
    assert to_tip(cut, 1, line, into) == NO_TIP


def test_damage_of_the_very_tip_is_passed_over():
    """The last 20 px broken off from the far side: the slimming before it tells."""
    mask = wedge(440, 0.5)
    broken = mask.copy()
    broken[:148, 396:] = 0
    whole, found = to_tip(mask, 1, *points(400)), to_tip(broken, 1, *points(400))
    assert found == pytest.approx(whole, rel=0.12)


@pytest.mark.parametrize("slope", [0.0, 0.3])
@pytest.mark.parametrize("factor", [1, 2])
def test_an_edge_that_leans_goes_on_along_its_own_line(slope, factor):
    last = 300.0 * factor
    line, into = points(last, slope=slope)
    x = np.arange(COLS) * factor + (factor - 1) / 2
    y = np.arange(ROWS)[:, None] * factor + (factor - 1) / 2
    below = (y - 150 - slope * (x - last)) / np.hypot(1, slope)
    along = ((x - last) + slope * (y - 150)) / np.hypot(1, slope)
    mask = ((below <= 0) & (along <= 40)).astype(np.uint8)
    found = goes_on(mask, factor, line, into, 290.0)
    # A deep pixel on the leaning end may show a little less far.
    assert found == pytest.approx(40, abs=2.0 * factor)


@pytest.mark.parametrize(
    ("length", "deep", "seen"),
    [(400.0, 22, True), (400.0, 26, False), (50.0, 4, True), (50.0, 8, False)],
)
def test_a_chip_at_the_end_is_six_hundredths_of_the_edge_deep(length, deep, seen):
    """And five samples at least."""
    mask = np.zeros((ROWS, COLS), np.uint8)
    mask[: 151 - deep, :360] = 1
    mask[:151, :301] = 1
    line, into = points(300.0)
    found = goes_on(mask, 1, line, into, length)
    assert found == pytest.approx(59 if seen else 0, abs=1)


def test_no_blade_beyond_the_end_goes_on_nowhere():
    mask = np.zeros((ROWS, COLS), np.uint8)
    assert goes_on(mask, 1, *points(300.0), 290.0) == 0
    assert goes_on(mask, 3, *points(300.0), 290.0) == 0


@pytest.mark.parametrize("factor", [1, 2])
def test_an_edge_goes_on_in_the_direction_of_its_last_sixty_samples(factor):
    """Before them it leans by a half: its course there does not tell where it goes on."""
    line, into = points(300.0 * factor, count=240 * factor)
    bend = 300.0 * factor - 60 * factor + 1
    line[:, 1] = 150.0 * factor + 0.5 * np.minimum(line[:, 0] - bend, 0)
    mask = np.zeros((ROWS, COLS), np.uint8)
    mask[:151, :341] = 1
    found = goes_on(mask, factor, line, into, 290.0 * factor)
    assert found == pytest.approx(40 * factor, abs=2.0 * factor)
