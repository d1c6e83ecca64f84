"""The lines that are drawn lie on the lines of the picture, at any angle."""

import cv2
import numpy as np
import pytest

from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.scale.line_ends import line_ends
from edgetest.photo.scale.ruling_scale import line_families


@pytest.mark.parametrize("rotation_deg", [0.0, 12.0, -35.0, 90.0])
def test_the_picture_is_dark_along_each_line_and_bright_beside_it(rotation_deg):
    picture, _ = render_ruling(
        shape=(360, 480), pitch_um=20.0, lines=15, rotation_deg=rotation_deg,
        rng=np.random.default_rng(2),
    )  # fmt: skip
    light = linear_light(picture, "srgb")
    (lines,) = line_families(light.grey)
    found = line_ends(lines, light.grey.shape)
    assert len(found) == 15
    normal = np.array([np.sin(np.deg2rad(lines.angle_deg)), np.cos(np.deg2rad(lines.angle_deg))])
    on, beside = (_along(light.grey, found + shift * normal) for shift in (0.0, 10.0))
    assert np.all(on < 0.7 * beside.mean())
    assert np.all(np.hypot(*(found[:, 1] - found[:, 0]).T) > 100)


def _along(grey, ends):
    """Mean brightness along each line, between its ends."""
    share = np.linspace(0.1, 0.9, 60)[None, :, None]
    places = ends[:, :1] * (1 - share) + ends[:, 1:] * share
    row, column = np.moveaxis(places, -1, 0).astype(np.float32)
    return cv2.remap(grey, column, row, cv2.INTER_LINEAR).mean(axis=1)
