"""Directions of straight lines that were drawn, strongest first."""

import numpy as np
import pytest

from edgetest.photo.scale.line_directions import levels, line_directions


def lines(angle_deg, *, pitch=20.0, shape=(200, 260), height=0.5):
    """Waves of light whose normal runs at an angle from the rows, clockwise."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(float)
    turn = np.deg2rad(angle_deg)
    across = x * np.cos(turn) + y * np.sin(turn)
    return (0.5 + height / 2 * np.cos(2 * np.pi * across / pitch)).astype(np.float32)


@pytest.mark.parametrize("angle", [-85.0, -40.0, -3.3, 0.0, 12.4, 45.0, 77.7, 90.0])
def test_a_direction_is_found_to_a_tenth_of_a_degree(angle):
    (found,) = line_directions([lines(angle)])
    assert (found - angle + 90) % 180 - 90 == pytest.approx(0, abs=0.15)
    assert -90 < found <= 90.2


def test_parts_of_a_picture_add_up():
    both = line_directions([lines(30.0), lines(30.0)])
    assert both == pytest.approx([30.0], abs=0.15)


def test_directions_are_told_strongest_first_and_as_many_as_asked():
    picture = [lines(10.0, height=0.9), lines(60.0, height=0.6), lines(-50.0, height=0.45)]
    assert line_directions(picture) == pytest.approx([10, 60, -50], abs=0.2)
    assert line_directions(picture, count=2) == pytest.approx([10, 60], abs=0.2)


@pytest.mark.parametrize(("share", "count"), [(0.09, 1), (0.13, 2)])
def test_a_direction_of_a_tenth_of_the_strongest_is_one(share, count):
    """Gradients count by their squares."""
    picture = [lines(10.0, height=0.8), lines(60.0, height=0.8 * np.sqrt(share))]
    assert len(line_directions(picture)) == count


@pytest.mark.parametrize(("apart", "count"), [(9.5, 1), (12.5, 2)])
def test_directions_within_ten_degrees_are_one(apart, count):
    """Forty quarters of a degree; a family that is less than its rest of the peak is none."""
    picture = [lines(10.0, height=0.8), lines(10.0 + apart, height=0.6)]
    assert len(line_directions(picture)) == count


def test_an_even_picture_has_no_direction():
    assert line_directions([np.full((60, 60), 0.5, np.float32)]) == []


def test_levels_are_the_picture_or_nine_tiles_then_ever_coarser_ones():
    small = np.zeros((300, 420), np.float32)
    parts = list(levels(small))
    assert [[one.shape for one in level] for level in parts] == [[(300, 420)], [(150, 210)]]
    y, x = np.mgrid[0:1000, 0:1200].astype(np.float32)
    large = list(levels(y * 10000 + x))
    assert [one.shape for one in large[0]] == [(280, 280)] * 9
    corners = [(float(one[0, 0]) // 10000, float(one[0, 0]) % 10000) for one in large[0]]
    assert corners == [(r, c) for r in (0, 360, 720) for c in (0, 460, 920)]
    # Coarser ones of a million pixels and less, down to 200.
    assert [[one.shape for one in level] for level in large[1:]] == [
        [(500, 600)], [(250, 300)], [(125, 150)]
    ]  # fmt: skip
    assert len(list(levels(np.zeros((200, 900), np.float32)))) == 1
    huge = list(levels(np.zeros((2100, 2100), np.float32)))
    assert [level[0].shape for level in huge[1:]] == [(525, 525), (263, 263), (132, 132)]
