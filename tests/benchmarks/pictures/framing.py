"""What does a camera see of a long scene, shifted, turned and zoomed? Resampling of its light.

Points are (x, y) in pixels, x along the columns, the middle of the first pixel at (0, 0). A
placing is a 3 by 3 matrix that leads from a point of a frame to a point of the scene, both in
pixels of the camera (the scene's light is held `ss` times finer).
"""

import cv2
import numpy as np
from scipy.ndimage import affine_transform

BORDER = 16  # samples round a frame that the splines lean on


def placing(middle, turn_deg, zoom, shape):
    """Matrix of a frame whose middle lies at a point of the scene.

    Parameters
    ----------
    middle
        Point of the scene, (x, y), that the middle of the frame looks at.
    turn_deg
        How far the frame is turned about its middle; positive turns x towards y.
    zoom
        Magnification beside the scene's own: 1.006 shows everything 0.6 % larger.
    shape
        (rows, columns) of the frame.
    """
    angle = np.deg2rad(turn_deg)
    around = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) / zoom
    own_middle = np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2])
    matrix = np.eye(3)
    matrix[:2, :2] = around
    matrix[:2, 2] = np.asarray(middle) - around @ own_middle
    return matrix


def _finer(ss):
    """From pixels of the camera to samples of the light."""
    return np.array([[ss, 0, (ss - 1) / 2], [0, ss, (ss - 1) / 2], [0, 0, 1.0]])


def seen(light, ss, matrix, shape):
    """Light of a frame, (rows * ss, columns * ss), placed by `placing` on a scene's light.

    The frame should lie inside the scene; what does not is mirrored. Cubic splines: unlike the
    cheap cubic kernels they leave a slope where it was (those shift it by up to 0.04 samples).
    """
    rows, columns = shape[0] * ss, shape[1] * ss
    to_samples = _finer(ss) @ matrix @ np.linalg.inv(_finer(ss))
    corners = to_samples @ [[0, columns, 0, columns], [0, 0, rows, rows], [1, 1, 1, 1]]
    low = np.maximum(np.floor(corners.min(axis=1)).astype(int) - BORDER, 0)
    high = np.ceil(corners.max(axis=1)).astype(int) + BORDER
    near = light[low[1] : high[1], low[0] : high[0]]
    (a, b, x), (c, d, y) = to_samples[:2]
    # Arrays are addressed by row, then column: y before x.
    turned, offset = np.array([[d, c], [b, a]]), np.array([y - low[1], x - low[0]])
    parts = [
        affine_transform(part, turned, offset, (rows, columns), order=3, mode="mirror")
        for part in (near[..., None] if light.ndim == 2 else near).transpose(2, 0, 1)
    ]
    return np.maximum(parts[0] if light.ndim == 2 else np.stack(parts, axis=-1), 0)


def disc(radius):
    """Defocus by a round pupil: a disc of a radius in samples, its rim shared between samples."""
    half = int(np.ceil(radius)) + 1
    fine = (np.arange(-half * 8, half * 8 + 8) - 3.5) / 8
    inside = (np.add.outer(fine**2, fine**2) <= max(radius, 0.3) ** 2).astype(np.float32)
    kernel = inside.reshape(2 * half + 1, 8, 2 * half + 1, 8).sum(axis=(1, 3))
    return kernel / kernel.sum()


def focus_bank(light, most, steps=12):
    """Copies of a light behind discs of defocus, radii 0 to `most` samples in equal steps."""
    radii = np.linspace(0, most, steps)
    return [light if each < 0.3 else cv2.filter2D(light, -1, disc(each)) for each in radii]


def defocused(bank, most, radius):
    """Light behind a lens whose disc of defocus changes from place to place.

    Parameters
    ----------
    bank, most
        From `focus_bank`, and the largest radius in it.
    radius
        Radius of the disc in samples, of the shape of the light.

    Notes
    -----
    A linear mix of the nearest two copies: right where the radius changes slowly, as it does over
    a tilted plane. Where it jumps, no blurred part spills over the nearer one.
    """
    place = np.clip(radius / most * (len(bank) - 1), 0, len(bank) - 1.001).astype(np.float32)
    mixed = np.zeros_like(bank[0])
    for index, blurred in enumerate(bank):
        weight = np.clip(1 - np.abs(place - index), 0, None)
        mixed += blurred * (weight[..., None] if blurred.ndim == 3 else weight)
    return mixed
