"""Finer lines between those that were found: seen singly, or only as a grey."""

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.scale.finer_lines import divided, finer_parts, grey_beyond
from edgetest.photo.scale.line_spacing import Lattice

X = np.arange(500.0)


def lines(pitch, width, blur=1.0, ink=0.4):
    off = (X + pitch / 2) % pitch - pitch / 2
    return -ink * (ndtr((off + width / 2) / blur) - ndtr((off - width / 2) / blur))


@pytest.mark.parametrize("pitch", [30.0, 50.0])
@pytest.mark.parametrize("parts", [5, 10])
def test_lines_that_divide_the_spacing_are_told_by_their_parts(pitch, parts):
    flat = np.stack(
        [lines(pitch, 4.0) + lines(pitch / parts, pitch / parts / 2, 0.15 * pitch / parts, 0.1)] * 6
    )
    flat = flat + 0.003 * np.random.default_rng(1).standard_normal(flat.shape)
    assert finer_parts(flat, np.full(6, 0.003), pitch, 0.4) == parts


def test_every_second_line_hardly_darker_is_half_the_spacing():
    flat = np.stack([lines(30.0, 4.0, ink=0.1) + lines(15.0, 4.0, ink=0.35)] * 6)
    assert finer_parts(flat, np.full(6, 0.003), 30.0, 0.45) == 2


@pytest.mark.parametrize("pitch", [14.0, 30.0, 50.0])
def test_lines_alone_are_in_one_part(pitch):
    flat = np.stack([lines(pitch, 4.0)] * 6)
    flat = flat + 0.003 * np.random.default_rng(2).standard_normal(flat.shape)
    assert finer_parts(flat, np.full(6, 0.003), pitch, 0.4) == 1
    # Finer than two pixels and a bit, nothing is looked for; and what is lost in noise is none.
    fine = flat + np.stack([lines(pitch / 10, 0.1, ink=0.02)] * 6)
    assert finer_parts(fine, np.full(6, 0.2), pitch, 0.4) == 1


def test_finer_lines_in_a_few_strips_alone_are_none():
    """Three neighbouring strips tell, two do not."""
    bare, fine = lines(30.0, 4.0), lines(30.0, 4.0) + lines(6.0, 1.2, ink=0.1)
    noise = np.full(6, 0.003)
    assert finer_parts(np.stack([bare, fine, fine, bare, fine, fine]), noise, 30.0, 0.4) == 1
    assert finer_parts(np.stack([bare, fine, fine, fine, bare, bare]), noise, 30.0, 0.4) == 5


def test_a_lattice_is_divided():
    found = divided(Lattice(50.0, 3.0, 0.01, 0.9, 40), 5)
    assert (found.pitch, found.origin, found.slope) == (10.0, 3.0, 0.01)


def strips(step=0.0, *, slope=0.0, noise=0.002, sign=-1):
    """24 strips, lines in the upper half; their ground steps where the lines end."""
    along = np.arange(24) * 10.0
    ground = 0.6 * (1 + slope * (along - along.mean()))
    ground = np.where(np.arange(24) >= 12, ground * (1 + sign * step), ground)
    profiles = np.tile(ground[:, None], (1, 60))
    profiles = profiles + noise * np.random.default_rng(3).standard_normal(profiles.shape)
    held = np.where(np.arange(24) < 12, 10, 0)
    columns = np.tile(np.arange(5, 55, 5), (24, 1))
    return profiles, along, held, columns


@pytest.mark.parametrize("sign", [-1, 1])
def test_a_step_of_grey_where_the_lines_end_is_told(sign):
    assert grey_beyond(*strips(0.15, sign=sign), 0.4, sign)
    assert not grey_beyond(*strips(0.15, sign=-sign), 0.4, sign)  # it brightens
    assert not grey_beyond(*strips(0.08, sign=sign), 0.4, sign)  # under a quarter of the ink
    assert not grey_beyond(*strips(0.0, slope=0.002), 0.4, sign)  # light that slopes


def test_the_step_is_told_from_either_end():
    profiles, along, held, columns = strips(0.15)
    assert grey_beyond(profiles[::-1], along, held[::-1], columns, 0.4, -1)
    # Where lines are held throughout, nothing ends.
    assert not grey_beyond(profiles, along, np.full(24, 10), columns, 0.4, -1)
    # Few gaps between lines tell nothing.
    assert not grey_beyond(profiles, along, held, columns[:, :2], 0.4, -1)


@pytest.mark.parametrize(("pitch", "parts"), [(20.6, 10), (20.4, 1)])
def test_finer_lines_are_sought_down_to_two_pixels_and_a_twentieth(pitch, parts):
    fine = 0.05 * np.cos(2 * np.pi * X / (pitch / 10))
    flat = np.stack([lines(pitch, 4.0) + fine] * 6)
    assert finer_parts(flat, np.full(6, 0.003), pitch, 0.4) == parts
