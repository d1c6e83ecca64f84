"""Which value does a named camera write for a known light? Cameras, and a staircase of greys.

The staircase falls by equal ratios, as a photographic step tablet does (equal steps of density).
"""

import numpy as np

from tests.benchmarks.pictures import tones
from tests.benchmarks.pictures.camera import Camera, develop

# Share of a patch, each way, that lies inside its box: the rest is left to blur and halo.
INSIDE = 0.6
# Darkest and brightest step as shares of the most light that the curve tells apart.
DARKEST, BRIGHTEST = 0.004, 0.97

TONES = {
    "sRGB": Camera(),
    "gamma 1.6": Camera(tone="gamma", tone_parameter=1.6),
    "gamma 1.8": Camera(tone="gamma", tone_parameter=1.8),
    "gamma 2": Camera(tone="gamma", tone_parameter=2.0),
    "gamma 2.2": Camera(tone="gamma", tone_parameter=2.2),
    "gamma 2.4": Camera(tone="gamma", tone_parameter=2.4),
    "linear": Camera(tone="linear", file="png"),
    "filmic 1.2": Camera(tone="filmic", tone_parameter=1.2),
    "filmic 1.6": Camera(tone="filmic", tone_parameter=1.6),
    "shouldered 4": Camera(tone="shouldered", tone_parameter=4.0, exposure=1.8, full_well=20000.0),
    "sRGB with local contrast": Camera(exposure=0.55, local_contrast=0.25, local_px=40.0),
}

# Whole chains (common practice, no source): a telephone smooths, bends and sharpens; a cheap
# microscope has a small sensor, halos, hard JPEG and made-up pixels; a laboratory camera little.
CAMERAS = {
    "telephone": Camera(
        exposure=0.7,
        full_well=6000.0,
        response=(0.55, 1.0, 0.65),
        demosaic="edge-aware",
        saturation=1.2,
        tone="filmic",
        tone_parameter=1.2,
        local_contrast=0.15,
        denoise="bilateral",
        denoise_strength=5.0,
        sharpen=0.6,
        sharpen_px=1.0,
        quality=92,
    ),
    "cheap microscope": Camera(
        full_well=5000.0,
        read_noise=15.0,
        bits=10,
        black=0.005,
        cast=(1.06, 1.0, 0.94),
        tone="gamma",
        tone_parameter=2.2,
        denoise="median",
        sharpen=1.0,
        sharpen_px=1.6,
        resize=1.25,
        quality=70,
        subsampling="4:2:2",
    ),
    "eyepiece camera": Camera(
        full_well=12000.0,
        tone="gamma",
        tone_parameter=1.8,
        crush=0.04,
        sharpen=0.4,
        sharpen_px=0.8,
        file="png",
    ),
    "laboratory camera": Camera(
        exposure=0.75,
        colour=False,
        full_well=20000.0,
        read_noise=6.0,
        black=0.005,
        tone="linear",
        file="png16",
    ),
}


def grey_steps(camera, rng, steps=12, rows=480, cols=640):
    """A picture of patches of known light, brightest at the left, by the very same chain.

    Returns
    -------
    data : bytes
        The file.
    luminances : ndarray (steps,)
        Light of each patch, in the unit in which the clean land is 1.
    boxes : ndarray (steps, 4)
        First and last + 1 row, then column, of the inner part of each patch, in file pixels.
    """
    most = tones.top(camera.tone, camera.tone_parameter) / camera.exposure
    luminances = most * np.geomspace(BRIGHTEST, DARKEST, steps)
    borders = np.rint(np.linspace(0, cols, steps + 1)).astype(int)
    light = np.repeat(luminances, np.diff(borders)).astype(np.float32)
    photo = develop(np.repeat(light[None, :], rows, axis=0), camera, rng)
    spare = (1 - INSIDE) / 2
    width = np.diff(borders)
    left = np.ceil((borders[:-1] + spare * width) * photo.scale_x)
    right = np.floor((borders[1:] - spare * width) * photo.scale_x)
    high = np.full(steps, np.ceil(spare * rows * photo.scale_y))
    low = np.full(steps, np.floor((1 - spare) * rows * photo.scale_y))
    return photo.data, luminances, np.stack([high, low, left, right], axis=1).astype(int)
