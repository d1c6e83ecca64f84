"""Scratches along the land widen the interval; grain that does not last along it hardly does."""

import cv2
import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from tests.photo.light import linear

ROWS, COLS, WIDTH_PX, BLUR_PX = 240, 480, 21.0, 1.4


def scratched(seed, relative_sd, along_px):
    """A land of unlike stripes, drawn without the program's renderer, and seen by a soft lens."""
    rng = np.random.default_rng(seed)
    fine = 4
    across = (np.arange(ROWS * fine) + 0.5) / fine - ROWS / 2 + rng.uniform(-0.5, 0.5)
    cover = np.clip((WIDTH_PX / 2 - np.abs(across)) * fine + 0.5, 0, 1)[:, None]
    stripes = rng.standard_normal((ROWS * fine, COLS)).astype(np.float32)
    stripes = cv2.GaussianBlur(stripes, (0, 0), sigmaX=along_px / 1.4, sigmaY=1.2 * fine)
    land = 0.55 * (1 + relative_sd * stripes / stripes.std())
    scene = 0.05 + (land - 0.05) * cover
    scene = cv2.GaussianBlur(scene, (0, 0), sigmaX=BLUR_PX, sigmaY=BLUR_PX * fine)
    light = scene.reshape(ROWS, fine, COLS).mean(axis=1)
    return np.clip(light + 0.006 * rng.standard_normal(light.shape), 0, 1)


@pytest.mark.parametrize("relative_sd", [0.03, 0.08, 0.15])
@pytest.mark.parametrize("seed", [1, 2])
def test_an_uneven_land_is_measured_and_its_interval_holds(seed, relative_sd):
    result = measure_apex(linear(scratched(seed, relative_sd, 80.0)), 1.0)
    assert result.status == "measured", result.reasons
    assert result.share_measured > 0.9
    assert result.width_um.low < WIDTH_PX < result.width_um.high
    # A column's light is off by up to the texture itself: a fifth of a blur a tenth of it.
    assert result.width_um.mean == pytest.approx(WIDTH_PX, abs=3 * relative_sd * BLUR_PX + 0.02)


def test_scratches_that_last_count_for_more_than_grain():
    def half(along_px):
        widths = [measure_apex(linear(scratched(k, 0.08, along_px)), 1.0).width_um for k in (5, 6)]
        return np.mean([(width.high - width.low) / 2 for width in widths])

    assert half(120.0) > 1.5 * half(4.0)
