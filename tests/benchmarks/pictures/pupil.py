"""Which blur does a lens of a given pupil make? Its point image by Fourier optics.

The optical transfer function is the autocorrelation of the pupil function (Goodman, Introduction
to Fourier Optics, chapter on frequency analysis of imaging systems), with the wavefront errors of
defocus and of balanced spherical aberration in the pupil's phase.
"""

from functools import lru_cache

import numpy as np
import scipy.fft as sf

# First dark ring of a round pupil, in wavelengths over the full aperture (first zero of J1 / pi).
FIRST_RING = 1.219670
# The wavelength, in um, that the Airy radius of a lens is told for.
WAVE = 0.55
# Wavelengths of the three channels and of a sensor without filters (rounded textbook bands).
BANDS = {
    "red": (0.585, 0.610, 0.640),
    "green": (0.515, 0.540, 0.565),
    "blue": (0.445, 0.465, 0.485),
    "white": (0.455, 0.5, 0.545, 0.59, 0.635),
    "one": (WAVE,),
}
# Standard deviation of the light over a Gaussian-apodised pupil, in pupil radii (invented).
APODISED = 0.4
# How far the point image is followed, in radii of the first dark ring.
RINGS = 12
# Samples of the pupil a cell of frequency: the transfer function errs by 0.014 at 1, by 0.008 at 2
# (a round pupil, first ring at 5 px: the soft rim loses light of the farthest rings).
STEPS = 2
# Width between 10 and 90 % of a Gaussian edge, in standard deviations (tables of the normal law).
RISE = 2.563103
APERTURES = ("disc", "annular", "hexagon", "gaussian")


def amplitude(u, v, aperture, stop, soft):
    """Transmitted amplitude at pupil coordinates (rim at 1); the rim is ``soft`` wide."""
    radius = np.hypot(u, v)

    def within(distance, limit):
        return np.clip(0.5 + (limit - distance) / soft, 0.0, 1.0)

    if aperture == "hexagon":
        turned = [u * np.cos(a) + v * np.sin(a) for a in np.deg2rad((0.0, 60.0, 120.0))]
        return within(np.max(np.abs(turned), axis=0), np.cos(np.pi / 6))
    light = within(radius, 1.0)
    if aperture == "annular":
        return light - within(radius, stop)
    if aperture == "gaussian":
        return light * np.exp(-((radius / APODISED) ** 2) / 4)
    if aperture != "disc":
        raise ValueError(f"aperture {aperture!r}: choose one of {', '.join(APERTURES)}")
    return light


def reach(lens):
    """Half of the point image's support in pixels."""
    cutoff = FIRST_RING / lens.airy_px
    discs = abs(lens.disc_px) * 2 * max(lens.defocus_ratio, 1 / lens.defocus_ratio)
    discs /= 1 + max(lens.defocus_ratio, 1 / lens.defocus_ratio)
    far = 1.1 * (discs + abs(lens.axial_px)) + RINGS * lens.airy_px
    far += 4 * abs(lens.spherical) / cutoff + lens.motion_px / 2 + lens.lateral_px + 4
    return sf.next_fast_len(int(np.ceil(far)), real=True)


def frequencies(cells, ss):
    """Frequencies in cycles a pixel of a point image ``cells`` pixels wide (real transform)."""
    fy = np.fft.fftfreq(cells * ss, 1 / ss)[:, None]
    return fy, np.fft.rfftfreq(cells * ss, 1 / ss)[None, :]


def of_one_wave(lens, disc, wave, cells, ss):
    """Optical transfer function at one wavelength: (cells ss, cells ss / 2 + 1), 1 at zero."""
    cutoff = FIRST_RING / lens.airy_px * WAVE / wave
    finer = int(np.ceil(2.02 * cutoff / ss))
    count = STEPS * cells * ss * finer
    axis = np.fft.fftfreq(count, 1 / (ss * finer)) / (cutoff / 2)
    u, v = axis[None, :], axis[:, None]
    square = u**2 + v**2
    # The rim ray misses by disc px: disc = (dW/drho at the rim, in waves) * 2 / cutoff.
    waves = disc * cutoff / 4 * square + lens.spherical * WAVE / wave * (square**2 - square)
    pupil = amplitude(u, v, lens.aperture, lens.stop, 2 / (STEPS * cells * cutoff))
    field = sf.fft2((pupil * np.exp(2j * np.pi * waves)).astype(np.complex64), workers=1)
    spectrum = sf.rfft2(field.real**2 + field.imag**2, workers=1).real
    # Every STEPS-th frequency: light beyond the window is folded into it, none is lost.
    held = STEPS * np.fft.fftfreq(cells * ss, 1 / (cells * ss)).astype(int)
    return spectrum[held][:, : STEPS * (cells * ss // 2) + 1 : STEPS] / spectrum[0, 0]


def transfer(lens, disc, band, cells, ss):
    """Transfer function of a channel: pupil, motion, lateral shift, over the mean of its waves."""
    fy, fx = frequencies(cells, ss)
    found = np.mean([of_one_wave(lens, disc, w, cells, ss) for w in BANDS[band]], axis=0)
    angle = np.deg2rad(lens.motion_deg)
    found = found * np.sinc(lens.motion_px * (fx * np.cos(angle) + fy * np.sin(angle)))
    shift = {"red": 0.5, "blue": -0.5}.get(band, 0.0) * lens.lateral_px
    if shift:
        angle = np.deg2rad(lens.lateral_deg)
        found = found * np.exp(-2j * np.pi * shift * (fx * np.cos(angle) + fy * np.sin(angle)))
    return found


@lru_cache(maxsize=32)
def kernel(lens, disc, band, cells, ss):
    """Weights by which cells of light add to a pixel: (cells ss, cells ss), wrapped, sum 1."""
    fy, fx = frequencies(cells, ss)
    steps = np.arange(ss)[:, None, None] / ss
    aperture = 1.0
    for f in (fy, fx):
        aperture = aperture * np.exp(2j * np.pi * f * steps).mean(axis=0)
    found = transfer(lens, disc, band, cells, ss) * aperture
    return sf.irfft2(found, s=(cells * ss, cells * ss), workers=1).astype(np.float32)
