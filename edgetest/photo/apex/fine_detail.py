"""Is there detail along the edge as fine as a sharp picture would show? (Whittle likelihood)

A lens out of focus shows no detail finer than its picture of a point, wherever it lies and
whatever the surface is like. Land and bevels have texture; its power spectrum along the edge,
where nothing of the edge's own profile comes in, is compared with what two explanations of the
profile would let through: texture of any spectrum that falls with some power of the frequency,
times the square of the transfer function, plus even noise.
"""

import numpy as np

from edgetest.photo.apex.lens_edges import FORMS, MIDDLES, spread_shares
from edgetest.photo.apex.straighten import make_track, unroll

FALLS = (0, 1, 2, 3, 4)  # powers of the frequency with which a ground surface's texture falls
FINEST, COARSEST = 0.2, 0.12  # cycles a pixel: interpolation damps above; of 1 / radius
# Noise that compression, demosaicing and denoising have drawn out: it falls like a Gaussian of
# so many cycles a pixel, or not at all.
NOISE_DRAWN = (0.12, 0.25, np.inf)
TURNS = 80
BESIDE_PX = 40.0  # of the bevels, on either side
LEAST_COLUMNS = 3
ALIKE_PX = 5.0  # neighbouring columns that count as one


def along_edge(grey, sides, keep_px):
    """Power spectra along the edge of the land and of either bevel.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    sides : FittedSides
    keep_px : float
        How far to stay away from the sides.

    Returns
    -------
    frequency : ndarray, shape (n,)
        Cycles a pixel.
    spectra : list of (power, count)
        Mean power of the region's columns, shape (n,), and how many of them count as one.
    """
    middle = sides.track.centre_rc + ((sides.left + sides.right) / 2)[:, None] * (
        sides.track.normal_rc
    )
    width = float(np.median(sides.right - sides.left))
    strip = unroll(grey, make_track(middle, grey.shape), width / 2 + keep_px + BESIDE_PX)
    inside = strip.weight.mean(axis=0) > 0.98
    window = np.hanning(len(strip.values))[:, None]
    spectra = []
    beyond = width / 2 + keep_px
    for region in (np.abs(strip.x) < 0.35 * width, strip.x < -beyond, strip.x > beyond):
        columns = strip.values[:, region & inside].astype(float)
        if columns.shape[1] < LEAST_COLUMNS:
            continue
        columns = (columns - columns.mean(axis=0)) * window
        power = (np.abs(np.fft.rfft(columns, axis=0)) ** 2).mean(axis=1)
        spectra.append((power, max(1.0, columns.shape[1] / ALIKE_PX)))
    return np.fft.rfftfreq(len(window)), spectra


def passed(name, frequency, extra, form):
    """Share of the power of detail along the edge that a lens lets through (transfer squared).

    Parameters
    ----------
    name : str
        As an explanation's; what is no aperture lets all through.
    frequency : ndarray, shape (n,)
    extra, form : float
        Radius and form of the aperture.
    """
    if name not in ("disc", *FORMS):
        return np.ones_like(frequency)
    if name == "hexagon":  # as it looks along the edge
        form = np.pi / 6 - form
    shares = spread_shares(name, np.array([[form]]))[0]
    return (np.cos(2 * np.pi * frequency[:, None] * extra * MIDDLES) @ shares) ** 2


def finer_than(grey, sides, sharp, soft):
    """How much likelier an explanation with fine detail makes the texture along the edge.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    sides : FittedSides
    sharp, soft : Explanation
        The second is an aperture.

    Returns
    -------
    float
        Difference of the log likelihoods: positive where there is detail finer than the
        aperture lets through, about 0 where there is no texture to be seen.
    """
    if soft.extra < 1 / (4 * FINEST):
        return 0.0
    frequency, spectra = along_edge(grey, sides, soft.extra)
    at = (frequency > COARSEST / soft.extra) & (frequency < FINEST)
    if at.sum() < 2 * len(FALLS):
        return 0.0
    frequency = frequency[at]
    gain = 0.0
    for power, count in spectra:
        likely = []
        for lens in (sharp, soft):
            through = passed(lens.name, frequency, lens.extra, lens.form)
            through = through * np.exp(-((2 * np.pi * frequency * lens.blur_px) ** 2))
            likely.append(_likelihood(frequency, power[at], through))
        gain += count * (likely[0] - likely[1])
    return float(gain)


def _likelihood(frequency, power, through):
    """Greatest Whittle likelihood over texture and noise, none of them negative.

    Multiplicative updates for the Itakura-Saito distance (C. Fevotte, N. Bertin, J.-L.
    Durrieu, Neural Computation 21 (2009) 793-830).
    """
    scale = frequency / frequency[0]
    noise = [np.exp(-0.5 * (frequency / drawn) ** 2) for drawn in NOISE_DRAWN]
    basis = np.stack([through / scale**fall for fall in FALLS] + noise)
    basis = np.maximum(basis, 1e-9)
    power = power / power.mean()
    share = np.full(len(basis), 1 / len(basis))
    for _ in range(TURNS):
        model = share @ basis
        share = share * (basis @ (power / model**2)) / (basis @ (1 / model))
        share = np.maximum(share, 1e-9)
    model = share @ basis
    return -float((np.log(model) + power / model).sum())
