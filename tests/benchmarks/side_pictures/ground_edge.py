"""How rough is a ground edge along its length? A random function by grit, and grooves of scratches.

Invented: a self-affine profile (power spectrum falling beyond a corner length) as worn abrasives
leave it, and single V grooves that break through the edge at random places.
"""

from dataclasses import dataclass

import numpy as np

STEP_UM = 0.5
# No groove of a grinding scratch is deeper than this, µm.
DEEPEST_GROOVE_UM = 10.0
# Shape of the gamma law of depths: worn grits of one belt scratch about alike deep (invented).
GRITS = 4.0


@dataclass(frozen=True)
class Grinder:
    """What is alike in all edges of one grinder; lengths in µm.

    ``sigma_um`` and ``corner_um`` are the deviation and the corner length of the even roughness,
    ``hurst`` its exponent, ``spacing_um`` the mean distance of single grooves, ``groove_um`` their
    mean depth; ``wave_um`` the amplitude of the slow waviness of a hand-held grinding.
    """

    sigma_um: float
    corner_um: float
    hurst: float
    spacing_um: float
    groove_um: float
    wave_um: float


def draw_grinder(rng, sigma_um, groove_um):
    """A grinder whose roughness lies about the given deviation and depth of grooves."""
    return Grinder(
        sigma_um=sigma_um * rng.uniform(0.7, 1.3),
        corner_um=rng.uniform(15.0, 60.0),
        hurst=rng.uniform(0.3, 0.9),
        spacing_um=float(np.exp(rng.uniform(np.log(12.0), np.log(50.0)))),
        groove_um=groove_um * rng.uniform(0.7, 1.3),
        wave_um=rng.uniform(0.5, 5.0),
    )


def ground_profile(rng, grinder, length_um):
    """Height of a ground edge over its line, µm, every ``STEP_UM``; its mean is nought."""
    count = int(np.ceil(length_um / STEP_UM)) + 1
    size = 2 ** int(np.ceil(np.log2(count + 4096)))
    frequency = np.fft.rfftfreq(size, STEP_UM)
    falling = (1 + (frequency * grinder.corner_um) ** 2) ** (-(2 * grinder.hurst + 1) / 4)
    even = np.fft.irfft(np.fft.rfft(rng.standard_normal(size)) * falling, size)[:count]
    even *= grinder.sigma_um / even.std()
    profile = even * _swell(rng, count) - _grooves(rng, grinder, count)
    return profile - profile.mean()


def waviness(rng, grinder, length_um):
    """Slow waviness of the line itself, µm, every ``STEP_UM``."""
    count = int(np.ceil(length_um / STEP_UM)) + 1
    at = np.arange(count) * STEP_UM
    return sum(
        grinder.wave_um
        * rng.uniform(0.3, 0.7)
        * np.sin(2 * np.pi * (at / rng.uniform(4000.0, 12000.0) + rng.random()))
        for _ in range(3)
    )


def _swell(rng, count):
    """How the grit bites more here and less there: a factor about 1."""
    knots = max(int(count * STEP_UM / 600.0), 3)
    return np.interp(np.linspace(0, knots - 1, count), np.arange(knots),
                     rng.uniform(0.7, 1.3, knots))  # fmt: skip


def _grooves(rng, grinder, count):
    """Depth of the single grooves, µm: V with a small raised lip on each side."""
    depth = np.zeros(count)
    for at in rng.integers(0, count, rng.poisson(count * STEP_UM / grinder.spacing_um)):
        deep = min(rng.gamma(GRITS) * grinder.groove_um / GRITS, DEEPEST_GROOVE_UM)
        half = rng.uniform(1.0, 2.5) * max(deep, 1.5)
        reach = int(1.6 * half / STEP_UM) + 1
        low, high = max(at - reach, 0), min(at + reach + 1, count)
        away = np.abs(np.arange(low, high) - at) * STEP_UM / half
        groove = np.where(away < 1, 1 - away, -0.4 * np.maximum(0.3 - np.abs(away - 1.3), 0))
        depth[low:high] = np.where(
            np.abs(groove * deep) > np.abs(depth[low:high]), groove * deep, depth[low:high]
        )
    return depth
