"""What a lens makes of a bright band: its image through the optical transfer function.

An incoherent image is the object with every frequency weakened by the transfer function of the
lens (J. W. Goodman, "Introduction to Fourier Optics", ch. 6; from memory). Diffraction at a round
aperture, a disc of defocus and the pixel have closed forms, so a band of any width behind any of
them is a sum of cosines: one product of matrices for many widths and blurs at once.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import j1

# Radius of the first dark ring of a diffraction-limited lens over the standard deviation of the
# Gaussian most like its line image (least squares over the line's core).
AIRY_OVER_SD = 2.9
CUTOFF = 1.22  # cycles in a radius of the first dark ring: 1 / (wavelength x focal ratio)
HIGHEST = 1.5  # cycles a pixel; the pixel itself passes nothing at 1, and a lens next to nothing
STOPPED_SD = 1.2  # cycles in the deviation of a Gaussian that lets less than 1e-12 through
NUDGE_PX, LEAST_PX = 0.01, 0.05
# Wavelengths of white light over their middle, and what a sensor makes of each.
WHITE = ((0.82, 0.25), (1.0, 0.5), (1.18, 0.25))


def transfer(frequency, lens):
    """Transfer of lenses at frequencies across the edge.

    Parameters
    ----------
    frequency : ndarray, shape (n,)
        Cycles a pixel.
    lens : ndarray, shape (m, 3)
        Radius of the first dark ring, radius of the disc of defocus, and standard deviation of
        what else blurs (the camera's smoothing, the lens's faults), pixels.

    Returns
    -------
    ndarray, shape (m, n)
        1 at frequency 0.
    """
    f = np.asarray(frequency, dtype=float)[None, :]
    airy, disc, smooth = (np.asarray(lens, dtype=float)[:, k : k + 1] for k in range(3))
    passed = np.zeros(np.broadcast_shapes(airy.shape, f.shape))
    for length, share in WHITE:
        part = np.minimum(f * airy * (length / CUTOFF), 1)
        passed += share * (2 / np.pi) * (np.arccos(part) - part * np.sqrt(1 - part**2))
    z = np.maximum(2 * np.pi * f * disc, 1e-6)
    return passed * (2 * j1(z) / z) * np.exp(-2 * (np.pi * f * smooth) ** 2)


def blur_sd(lens):
    """Standard deviation that the blur of a lens is like, shape (m,), pixels."""
    airy, disc, smooth = np.asarray(lens, dtype=float).T
    return np.sqrt((airy / AIRY_OVER_SD) ** 2 + (disc / 2) ** 2 + smooth**2)


def best_lenses(misses, lens, turns, free=(0, 1, 2)):
    """Lenses of least misfit by Levenberg-Marquardt, many at once.

    Parameters
    ----------
    misses : callable
        From lenses, shape (m, 3), to their weighted residuals, shape (m, n).
    lens : ndarray, shape (m, 3)
        To start from.
    turns : int
    free : tuple of int
        Which of the three change.

    Returns
    -------
    lens : ndarray, shape (m, 3)
    chi2 : ndarray, shape (m,)
        Sums of squares.
    """
    lens = lens.copy()
    off = misses(lens)
    held = np.full(len(lens), 1e-2)
    for _ in range(turns):
        slope = np.zeros((*off.shape, 3))
        for k in free:
            moved = lens.copy()
            moved[:, k] += NUDGE_PX
            slope[..., k] = (misses(moved) - off) / NUDGE_PX
        normal = slope.transpose(0, 2, 1) @ slope
        stiff = held[:, None] * (np.einsum("mkk->mk", normal) + 1e-9)
        damped = normal + stiff[:, :, None] * np.eye(3)
        step = -np.linalg.solve(damped, (slope.transpose(0, 2, 1) @ off[..., None]))[..., 0]
        limit = 0.4 * blur_sd(lens)[:, None] + 0.1
        tried = np.clip(lens + np.clip(step, -limit, limit), LEAST_PX, None)
        new = misses(tried)
        better = (new**2).sum(axis=1) < (off**2).sum(axis=1)
        lens[better], off[better] = tried[better], new[better]
        held = np.where(better, held / 4, held * 8)
    return lens, (off**2).sum(axis=1)


@dataclass(frozen=True)
class Waves:
    """Cosines and sines of the places of a profile, for `band_columns`.

    Attributes
    ----------
    frequency : ndarray, shape (n,)
    cosine, sine : ndarray, shape (n, places)
    step : float
        Distance of neighbouring frequencies.
    pixel : ndarray, shape (n,)
        What the pixels pass: they average over `along` and `across` of the profile.
    """

    frequency: np.ndarray
    cosine: np.ndarray
    sine: np.ndarray
    step: float
    pixel: np.ndarray


def waves(distance, along=1.0, across=0.0):
    """Frequencies that tell a profile out to its ends, with its places' cosines and sines.

    Parameters
    ----------
    distance : ndarray, shape (places,)
        From the middle of the band, pixels.
    along, across : float
        Sides of a pixel as the profile sees them: cosine and sine of the edge's slope.
    """
    reach = float(np.abs(distance).max())
    step = 1 / (5 * reach + 20)  # a sum of cosines repeats itself: far beyond the profile
    frequency = (np.arange(int(HIGHEST / step)) + 0.5) * step
    angle = 2 * np.pi * frequency[:, None] * distance[None, :]
    pixel = np.sinc(frequency * along) * np.sinc(frequency * across)
    return Waves(frequency, np.cos(angle), np.sin(angle), step, pixel)


def band_columns(wave, widths, lens):
    """Image of a band, its slope along the profile, and the image of the ground beyond it.

    Parameters
    ----------
    wave : Waves
    widths : ndarray, shape (m,)
        Pixels.
    lens : ndarray, shape (m, 3)
        As for `transfer`.

    Returns
    -------
    ndarray, shape (m, 3, places)
        Band of light 1 on a ground of 0, its derivative by the place, and a step from 0 to 1 at
        the band's far side.
    """
    passing = slice(_first_stopped(wave.frequency, lens))
    f, wave_cosine, wave_sine = (a[passing] for a in (wave.frequency, wave.cosine, wave.sine))
    passed = transfer(f, lens) * wave.pixel[passing]
    weight = 2 * wave.step * passed
    half = np.pi * f[None, :] * np.asarray(widths, dtype=float)[:, None]
    sine, cosine = np.sin(half), np.cos(half)
    over = weight / (2 * np.pi * f)
    half_band = (over * sine) @ wave_cosine
    slope = -(2 * weight * sine) @ wave_sine
    after = 0.5 + (over * cosine) @ wave_sine - half_band
    return np.stack([2 * half_band, slope, after], axis=1)


def _first_stopped(frequency, lens):
    """Number of the first frequency that no lens lets through."""
    airy, _, smooth = np.maximum(np.asarray(lens, dtype=float), 1e-6).T
    shortest = min(length for length, _ in WHITE)
    last = np.minimum(CUTOFF / (shortest * airy), STOPPED_SD / smooth).max()
    return max(int(np.searchsorted(frequency, last)), 1)
