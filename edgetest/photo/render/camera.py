"""What a camera does to a scene: blur, noise, clipping, tone curve, whole grey levels."""

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_encode


def disc_kernel(radius_px):
    """Uniform disc of `radius_px`, edge pixels by area (5 x 5 points each), sum 1."""
    half = int(np.ceil(radius_px + 0.5))
    fine = (np.arange(5 * (2 * half + 1)) + 0.5) / 5 - half - 0.5
    inside = (fine[:, None] ** 2 + fine[None, :] ** 2 <= radius_px**2).astype(np.float32)
    size = 2 * half + 1
    kernel = inside.reshape(size, 5, size, 5).mean(axis=(1, 3))
    return kernel / kernel.sum()


def blur(linear, blur_px, *, disc=False):
    """Scene blurred by a Gaussian, or a defocus disc, of standard deviation `blur_px`.

    Parameters
    ----------
    linear : array_like, shape (rows, cols)
        Linear light.
    blur_px : float or (float, float)
        Standard deviation across an edge, pixels. A pair is the blur at the left and
        at the right border; between them it changes linearly (a tilted edge).
    disc : bool
        Uniform disc of radius 2 * blur_px (same standard deviation along one axis).

    Returns
    -------
    ndarray, shape (rows, cols), float32
    """
    linear = np.ascontiguousarray(linear, dtype=np.float32)
    if np.ndim(blur_px):
        return _varying_blur(linear, *blur_px, disc=disc)
    if blur_px <= 0:
        return linear
    if disc:
        return cv2.filter2D(linear, -1, disc_kernel(2 * blur_px), borderType=cv2.BORDER_REFLECT)
    size = 2 * int(np.ceil(5 * blur_px)) + 1
    return cv2.GaussianBlur(linear, (size, size), blur_px, borderType=cv2.BORDER_REFLECT)


def _varying_blur(linear, left_px, right_px, *, disc):
    """Blur changing from border to border: nine even steps, mixed linearly between."""
    levels = np.linspace(left_px, right_px, 9)
    place = np.linspace(0, len(levels) - 1, linear.shape[1])
    out = np.zeros_like(linear)
    for index, level in enumerate(levels):
        share = np.clip(1 - np.abs(place - index), 0, 1).astype(np.float32)
        out += share * blur(linear, float(level), disc=disc)
    return out


def expose(
    linear,
    *,
    blur_px=1.3,
    noise=0.01,
    shot_noise=0.0,
    tone="srgb",
    bits=8,
    rng=None,
    disc=False,
    supersample=1,
    vignette=0.0,
    motion_px=0.0,
    motion_deg=0.0,
    sharpen=0.0,
):
    """Photograph of a scene.

    Parameters
    ----------
    linear : array_like, shape (rows * supersample, cols * supersample)
        Scene in linear light; 1 is the sensor's full scale, more than 1 saturates.
    blur_px : float or (float, float)
        Standard deviation of the optical blur, pixels of the photograph; see `blur`.
    noise : float
        Standard deviation of the read noise in linear light, full scale = 1.
    shot_noise : float
        Standard deviation of the shot noise at full scale; it grows with sqrt(light).
    tone : {"srgb", "linear"} or float
        Curve that the camera stores with; a number is a plain gamma (2.2).
    bits : {8, 16}
        Depth of the stored values.
    rng : numpy.random.Generator, optional
        Needed where there is noise.
    disc : bool
        Defocus disc instead of a Gaussian.
    supersample : int
        Scene samples per pixel and axis; a pixel is their mean (a square sensor cell).
    vignette : float
        Share of light lost in the corners.
    motion_px, motion_deg : float
        Length and direction (0 = along the rows) of a camera movement.
    sharpen : float
        Amount of unsharp masking after the tone curve, as phones do (0.5 is mild).

    Returns
    -------
    ndarray, shape (rows, cols), uint8 or uint16
    """
    scene = np.asarray(linear, dtype=np.float32)
    scale = supersample
    width = np.multiply(blur_px, scale) if np.ndim(blur_px) else float(blur_px) * scale
    light = blur(scene, width, disc=disc)
    if motion_px > 0:
        light = _move(light, motion_px * scale, motion_deg)
    if scale > 1:
        rows, cols = light.shape[0] // scale, light.shape[1] // scale
        light = light[: rows * scale, : cols * scale]
        light = light.reshape(rows, scale, cols, scale).mean(axis=(1, 3))
    if vignette > 0:
        light = light * _falloff(light.shape, vignette)
    if noise > 0 or shot_noise > 0:
        sd = np.sqrt(noise**2 + shot_noise**2 * np.clip(light, 0, None))
        light = light + sd * rng.standard_normal(light.shape, dtype=np.float32)
    stored = _tone(np.clip(light, 0, 1), tone)
    if sharpen > 0:
        stored = np.clip(stored + sharpen * (stored - blur(stored, 1.0)), 0, 1)
    top = 2**bits - 1
    return np.rint(stored * top).astype(np.uint8 if bits == 8 else np.uint16)


def _tone(light, tone):
    """Stored value 0..1 for light 0..1."""
    if tone == "srgb":
        return srgb_encode(light)
    return light if tone == "linear" else light ** (1 / float(tone))


def _falloff(shape, vignette):
    """Light falling off with the square of the distance from the centre, 1 there."""
    row = np.linspace(-1, 1, shape[0], dtype=np.float32)[:, None]
    col = np.linspace(-1, 1, shape[1], dtype=np.float32)[None, :]
    return 1 - vignette * (row**2 + col**2) / 2


def _move(light, length_px, direction_deg):
    """Scene smeared along a straight line (a camera that moved)."""
    half = int(np.ceil(length_px / 2)) + 1
    row, col = np.mgrid[-half : half + 1, -half : half + 1].astype(np.float32)
    along = np.cos(np.deg2rad(direction_deg)), np.sin(np.deg2rad(direction_deg))
    along_px = col * along[0] + row * along[1]
    across_px = row * along[0] - col * along[1]
    reach = np.clip(length_px / 2 + 0.5 - np.abs(along_px), 0, 1)
    kernel = reach * np.clip(1 - np.abs(across_px), 0, 1)
    return cv2.filter2D(light, -1, kernel / kernel.sum(), borderType=cv2.BORDER_REFLECT)
