"""Plain pictures of two bright lines, of known distance, for the tests of this room."""

import numpy as np
from scipy.special import ndtr

from edgetest.photo.linear_light import linear_light


def two_lines(
    spacing_px=30.0, *, sd_px=2.0, heights=(0.6, 0.5), between=0.0, tilt=0.05, noise=0.004, seed=1,
    shape=(240, 400), ground=0.08,
):  # fmt: skip
    """Light of two lines on an even ground, linear; `between` fills the space amid them."""
    rows, cols = np.mgrid[: shape[0], : shape[1]].astype(float)
    across = (rows - shape[0] / 2 - tilt * (cols - shape[1] / 2)) / np.hypot(1, tilt)
    light = np.full(shape, ground)
    for side, height in zip((-1, 1), heights, strict=True):
        light += height * np.exp(-((across - side * spacing_px / 2) ** 2) / (2 * sd_px**2))
    light += between * (
        ndtr((across + spacing_px / 2) / sd_px) - ndtr((across - spacing_px / 2) / sd_px)
    )
    light += np.random.default_rng(seed).normal(0, noise, shape)
    return linear_light(np.clip(light, 0, 1).astype(np.float32), "linear")
