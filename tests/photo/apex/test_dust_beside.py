"""Specks beside the edge: drawn and counted, and how many must lie on its borders."""

import cv2
import numpy as np
import pytest

from edgetest.photo.apex.border_path import Border
from edgetest.photo.apex.dust_beside import dust_beside

COUNT, WIDE, MIDDLE, LINE = 400, 121, 60, 10.0
BLUR = 1.0


def border_of(specks=(), *, off=0.0, noise=0.004, seed=1, seen=True):
    """Land up to `LINE`, ground beyond; specks (row, column from the reference, radius, light)."""
    column = np.arange(WIDE) - MIDDLE
    bright = np.tile((column < LINE).astype(np.float32), (COUNT, 1))
    bright = cv2.GaussianBlur(bright, (0, 0), BLUR)
    bright += noise * np.random.default_rng(seed).standard_normal(bright.shape).astype(np.float32)
    y, x = np.mgrid[0:COUNT, 0:WIDE]
    for row, at, radius, light in specks:
        bright[(y - row) ** 2 + (x - MIDDLE - at) ** 2 <= radius**2] += light
    line = np.full(COUNT, LINE)
    held = np.full(COUNT, seen)
    return Border(line, np.full(COUNT, off), bright, held, ~held, MIDDLE)


def dust(specks=(), *, second=(), **known):
    return dust_beside((border_of(specks, **known), border_of(second, seed=2)), BLUR)


SPECK = (100, 30, 3.0, 0.4)


def test_no_specks_are_no_dust():
    assert dust() == dust().__class__(0.0, 0.0)


def test_specks_on_the_ground_tell_how_many_lie_on_the_borders():
    """Two of some 7 px beside 800 px of border: by their breadth over the area that was seen."""
    found = dust([SPECK, (300, 40, 3.0, -0.4)])
    assert found.largest_px == pytest.approx(7, abs=2)
    # Ground beyond 15.5 px on both sides, the land amid the lines less as much.
    area = 2 * COUNT * (WIDE - MIDDLE - 16) + COUNT * 9
    breadth = found.expected / (2 / area * 2 * COUNT)
    assert breadth == pytest.approx(7, abs=1.5)
    one = dust([SPECK])
    assert found.expected == pytest.approx(2 * one.expected, rel=0.1)
    assert dust(second=[SPECK]).expected == pytest.approx(one.expected, rel=0.1)


@pytest.mark.parametrize(
    ("speck", "seen"),
    [
        ((100, 30, 3.0, 0.03), False),  # less than a twentieth of the contrast
        ((100, 30, 3.0, 0.1), True),
        ((100, 30, 17.0, 0.4), False),  # longer than 30 px
        ((100, 35, 6.0, 0.4), True),
        ((100, 11, 1.5, 0.4), False),  # too near to the border
        ((100, 0, 2.5, 0.4), True),  # on the land, that one border sees
    ],
)
def test_what_is_a_speck(speck, seen):
    assert (dust([speck]).expected > 0) == seen


def test_a_scratch_is_no_speck():
    scratch = [(100 + k, 30, 0.5, 0.4) for k in range(25)]
    assert dust(scratch).expected == 0
    short = [(100 + k, 30, 0.5, 0.4) for k in range(6)]
    assert dust(short).expected > 0


def test_damage_and_what_is_not_seen_show_no_specks():
    """A lip moves the ground's beginning outward by as much."""
    speck = [(100, 24, 2.5, 0.4)]
    assert dust(speck).expected > 0
    assert dust(speck, off=20.0).expected == 0
    assert dust(speck, off=-20.0).expected > 0
    assert dust(speck, seen=False).expected == 0


def test_noise_alone_is_no_dust():
    assert dust(noise=0.02).expected == 0
    assert dust([(100, 30, 3.0, 0.12)], noise=0.1).expected == 0


@pytest.mark.parametrize(("height", "seen"), [(0.118, False), (0.145, True)])
def test_what_is_as_broad_as_the_ground_s_own_unevenness_is_taken_away(height, seen):
    """Of a bump of 10 px a Gaussian of 8 px leaves 1 - 100 / 164: 0.39, a twentieth of 0.128."""
    border = border_of(noise=0.002)
    y, x = np.mgrid[0:COUNT, 0:WIDE]
    border.bright[:] += height * np.exp(-0.5 * ((y - 200) ** 2 + (x - MIDDLE - 37) ** 2) / 100)
    found = dust_beside((border, border_of(noise=0.002, seed=2)), BLUR)
    assert (found.expected > 0) == seen


def test_a_round_speck_is_as_broad_as_long():
    """By the area of its disc, which is no broader than its longer side, and hardly narrower."""
    found = dust([(100, 36, 8.0, 0.4)])
    area = 2 * COUNT * (WIDE - MIDDLE - 16) + COUNT * 9
    breadth = found.expected * area / (2 * COUNT)
    assert 0.9 * found.largest_px < breadth <= found.largest_px
