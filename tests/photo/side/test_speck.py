"""Rolls and specks of dust drawn in closed form, told apart by their pixels."""

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.chip_model import form_slopes
from edgetest.photo.side.boundary import Strip
from edgetest.photo.side.patch import cut_patch
from edgetest.photo.side.speck import tell_speck

OFFSETS = np.arange(-25.0, 26.0)
COUNT, BLUR = 160, 1.2
FINE = np.arange(-8.0, COUNT + 8, 0.1)


def told(light, theta):
    """The kind of what stands out from a straight edge, `light` its darkness by fine column."""
    weight = np.exp(-0.5 * ((np.arange(COUNT)[:, None] - FINE) / BLUR) ** 2)
    cover = (light @ (weight / weight.sum(axis=1, keepdims=True)).T).astype(np.float32)
    none, level = np.zeros((COUNT, 2)), np.ones(COUNT)
    strip = Strip(cover, OFFSETS, np.arange(float(COUNT)), none, none, level, 0 * level)
    patch = cut_patch(strip, np.zeros(COUNT), 60, 104, 12.0, BLUR, 0.01, np.array([1e-4]))
    return tell_speck(patch, theta)


def edge(height):
    return ndtr((height - OFFSETS[:, None]) / BLUR)


def disc(radius, above, darkness):
    """An edge with a disc over it, whose centre lies so far above."""
    half = np.sqrt(np.clip(radius**2 - (FINE - 80.4) ** 2, 0, None))
    top, bottom = np.maximum(above + half, 0), np.maximum(above - half, 0)
    blot = ndtr((top - OFFSETS[:, None]) / BLUR) - ndtr((bottom - OFFSETS[:, None]) / BLUR)
    return edge(0 * FINE) + darkness * blot


def form(length, depth, p=2.0, q=1.0):
    return np.array([80.4, np.log(length / 2), np.log(length / 2), np.log(depth), np.log(p),
                     np.log(q)])  # fmt: skip


@pytest.mark.parametrize(("length", "depth", "p", "q"), [(16, 5, 2.0, 1.0), (20, 7, 1.3, 1.2)])
def test_a_dark_roll_of_its_form_is_a_roll(length, depth, p, q):
    theta = form(length, depth, p, q)
    assert told(edge(form_slopes(FINE, theta)[0]), theta) == "roll"


@pytest.mark.parametrize("darkness", [0.4, 0.7])
def test_what_lets_light_by_is_a_speck(darkness):
    assert told(disc(5.0, 1.0, darkness), form(11, 6 * darkness)) == "speck"


def test_a_dark_disc_that_shows_light_under_it_is_unsure():
    assert told(disc(5.0, 3.5, 1.0), form(11, 8.5)) == "unsure"


def test_a_dark_disc_half_sunk_is_as_a_roll():
    assert told(disc(6.0, 0.0, 1.0), form(12, 6.0, 2.0, 0.5)) == "roll"
