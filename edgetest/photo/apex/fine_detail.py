"""Is there detail as fine as a sharp picture would show, and in which direction? (Whittle)

A lens out of focus shows no detail finer than its picture of a point, whichever way it runs; a
movement shows what runs along with it. Land and bevels have texture. Its power spectrum beside
the edge and along the land, where the edge's own profile does not come in, is compared with
what two explanations of the profile let through: texture of any strength in every direction,
falling with some power of the frequency, times the square of the transfer function, and noise.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp

from edgetest.photo.apex.lens_edges import FORMS, MIDDLES, spread_shares
from edgetest.photo.apex.straighten import make_track, unroll

FALLS = (0, 1, 2, 3, 4)  # powers of the frequency with which a ground surface's texture falls
# Noise that compression, demosaicing and denoising have drawn out: it falls like a Gaussian of
# so many cycles a pixel, or not at all.
NOISE_DRAWN = (0.12, 0.25, np.inf)
FINEST, COARSEST = 0.2, 0.12  # cycles a pixel: interpolation damps above; of 1 / radius
SECTORS, STEPS = 8, 24  # of direction; of frequency
SLANTS = (0.0, 0.4, 0.8, 1.3, 2.2, 4.0)  # of a movement: its length along the edge over that across
TURNS = 40
# Of the bevels, on either side, in radii of the aperture: a narrower window would wash its
# transfer function out.
BESIDE_RADII, BESIDE_PX = 8.0, (48.0, 160.0)
LEAST_COLUMNS = 3
FITTED = 3  # of a ray's strengths of texture and noise that are not 0, mostly
# The focus is nowhere the same throughout, and the windows wash zeros of a transfer out.
UNEVEN = np.array([0.84, 0.92, 1.0, 1.08, 1.16])
MEAN_MOVED_PX = 12.0  # longer movements are rarer: so much more, and it is e times less likely
ALIKE_PX, ALIKE_CELLS = 5.0, 2.25  # columns of the land, cells under two Hann windows: one each


@dataclass(frozen=True)
class Rays:
    """Power of the detail in the directions in which it is seen.

    Attributes
    ----------
    angle : ndarray, shape (rays,)
        From the direction along the edge, radians: of the wave, not of its crests.
    frequency : ndarray, shape (STEPS,)
        Cycles a pixel.
    power, count : ndarray, shape (rays, STEPS)
        Mean power, relative to the ray's mean, and how many independent values are in it.
    level : ndarray, shape (rays,)
        The ray's mean.
    side : ndarray of int, shape (rays,)
        0 on the land, 1 and 2 on the bevels.
    """

    angle: np.ndarray
    frequency: np.ndarray
    power: np.ndarray
    count: np.ndarray
    level: np.ndarray
    side: np.ndarray


def detail_of(grey, sides, keep_px, coarsest):
    """Power spectra of the land along the edge, and of either bevel in all directions.

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    sides : FittedSides
    keep_px : float
        How far to stay away from the sides.
    coarsest : float
        Lowest frequency, cycles a pixel.

    Returns
    -------
    Rays
    """
    offset = (sides.left + sides.right) / 2
    middle = sides.track.centre_rc + offset[:, None] * sides.track.normal_rc
    width = float(np.median(sides.right - sides.left))
    beyond = width / 2 + keep_px
    reach = float(np.clip(BESIDE_RADII * keep_px, *BESIDE_PX))
    strip = unroll(grey, make_track(middle, grey.shape), beyond + reach)
    inside = strip.weight.mean(axis=0) > 0.98
    borders = np.linspace(coarsest, FINEST, STEPS + 1)
    rays = []
    land = strip.values[:, (np.abs(strip.x) < 0.35 * width) & inside]
    if land.shape[1] >= LEAST_COLUMNS:
        power, frequency = _periodogram(land, 1)
        turn, many = np.zeros_like(frequency), 1 / ALIKE_PX
        rays += [(0.0, *_gathered(power, frequency, turn, 0, borders, many), 0)]
    for number, bevel in enumerate((strip.x < -beyond, strip.x > beyond), start=1):
        field = strip.values[:, bevel & inside]
        if field.shape[1] < 0.7 * BESIDE_RADII * keep_px:
            continue
        power, along = _periodogram(field, field.shape[1])
        across = np.fft.fftfreq(field.shape[1])[None, :]
        frequency, turn = np.hypot(along, across), np.arctan2(across, along)
        turn, many = np.rint(turn * SECTORS / np.pi) % SECTORS, 1 / ALIKE_CELLS
        rays += [
            (k * np.pi / SECTORS, *_gathered(power, frequency, turn, k, borders, many), number)
            for k in range(SECTORS)
        ]
    rays = [ray for ray in rays if (ray[2] > 0).sum() > 2 * len(FALLS)]
    middles = (borders[:-1] + borders[1:]) / 2
    if not rays:
        none, nothing = np.empty(0), np.empty((0, STEPS))
        return Rays(none, middles, nothing, nothing, none, none)
    angle, power, count, level, side = (np.array(part) for part in zip(*rays, strict=True))
    return Rays(angle, middles, power, count, level, side)


def _periodogram(field, size):
    """Power of a field of light under Hann windows, its mean across taken out, and frequency.

    Columns are transformed along the edge, and across it where `size` is more than 1.
    """
    field = field.astype(float)
    field = (field - field.mean(axis=0)) * np.hanning(len(field))[:, None]
    wave = np.fft.rfft(field, axis=0)
    if size > 1:
        wave = np.fft.fft(wave * np.hanning(size), axis=1)
    along = np.fft.rfftfreq(len(field))[:, None]
    # What changes slowly along the edge is the edge's own light.
    return np.abs(wave) ** 2 * (along > 3 / len(field)), along


def _gathered(power, frequency, turn, sector, borders, many):
    """Mean power in steps of frequency in one sector, relative, and its independent values."""
    frequency = np.broadcast_to(frequency, power.shape)
    ok = (np.broadcast_to(turn, power.shape) == sector) & (power > 0)
    step = np.searchsorted(borders, frequency[ok]) - 1
    ok_step = (step >= 0) & (step < STEPS)
    count = np.bincount(step[ok_step], minlength=STEPS)
    total = np.bincount(step[ok_step], power[ok][ok_step], minlength=STEPS)
    mean = total / np.maximum(count, 1)
    usual = mean[count > 0].mean() if count.any() else 1.0
    return np.where(count > 0, mean / usual, 1.0), count * many, usual


def directed(rays, coarsest):
    """How much likelier it is that fine detail has a direction than that it has none.

    A ground surface is scratched along its grind; noise runs every way alike, whatever its
    spectrum has become in the camera. Each direction of a bevel has a level of its own, or all have
    one (likelihood ratio of gamma-distributed powers); of both bevels, the greater.

    Parameters
    ----------
    rays : Rays
    coarsest : float
        Cycles a pixel, from where on detail counts.

    Returns
    -------
    float
        Difference of the log likelihoods; 0 where no bevel is seen.
    """
    fine = rays.frequency > coarsest
    count = rays.count[:, fine]
    power = rays.power[:, fine] * rays.level[:, None]
    found = [0.0]
    for side in (1, 2):
        n, p = count[rays.side == side], power[rays.side == side]
        n, p = n[n.sum(axis=1) > 0], p[n.sum(axis=1) > 0]
        if len(n) < 2:
            continue
        common = np.maximum((n * p).sum(axis=0) / np.maximum(n.sum(axis=0), 1e-9), 1e-30)
        many = n.sum(axis=1)
        level = (n * p / common).sum(axis=1) / many
        alike = (many * level).sum() / many.sum()
        found.append(float((many * np.log(alike / level)).sum()))
    return max(found)


def passed(lens, angle, frequency):
    """Shares of the power of detail that a lens may let through.

    Parameters
    ----------
    lens : Explanation
    angle : ndarray, shape (rays,)
        As in `Rays`.
    frequency : ndarray, shape (n,)
        Cycles a pixel.

    Returns
    -------
    ndarray, shape (ways, rays, n)
        Square of the transfer function; several ways for a movement, which may run at any
        angle to the edge, and for a hexagon, which may be its mirror image.
    """
    along, across = np.cos(angle)[:, None], np.sin(angle)[:, None]
    lengths = lens.extra * UNEVEN
    if lens.name == "moved":
        way = np.abs(slants()[:, None, None] * along + across)
        share = np.mean([np.sinc(frequency * way * length) ** 2 for length in lengths], axis=0)
    elif lens.name in ("disc", *FORMS):
        ways = (-1, 1) if lens.name == "hexagon" else (1,)
        turned = [np.pi / 2 - way * angle if lens.name == "hexagon" else 0 * angle for way in ways]
        shares = [spread_shares(lens.name, (lens.form + turn)[:, None]) for turn in turned]
        waves = np.cos(2 * np.pi * lengths[:, None, None] * MIDDLES[:, None] * frequency)
        share = np.stack([((part @ waves) ** 2).mean(axis=0) for part in shares])
    else:
        share = np.ones((1, angle.size, frequency.size))
    return share * np.exp(-((2 * np.pi * frequency * lens.blur_px) ** 2))


def slants():
    """Lengths along the edge, over those across it, of the movements that are tried."""
    return np.concatenate([SLANTS, -np.array(SLANTS[1:])])


def finer_than(grey, sides, sharp, soft):
    """How much likelier an explanation with fine detail makes the texture that is seen.

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
    coarsest = COARSEST / max(soft.extra, 1e-6)
    if 2 * coarsest > FINEST:
        return 0.0
    rays = detail_of(grey, sides, soft.extra, coarsest)
    if not rays.angle.size:
        return 0.0
    first, second = likelihoods(rays, (sharp, soft))
    return float(first - second)


def likelihoods(rays, lenses):
    """Whittle log likelihoods of the detail behind each lens, every ray in its own scatter.

    A speck, a scratch or a label is no even texture: none of the lenses explains its power. A
    ray's likelihoods are divided by its deviance from the best of them per degree of freedom
    (P. McCullagh, J. A. Nelder, "Generalized linear models", section 4.5), where that is over 1:
    without it a smooth speck spoke for an aperture by up to 440 in sharp pictures (second world,
    even seeds, 150 pictures), with it by up to 118.

    Parameters
    ----------
    rays : Rays
    lenses : sequence of Explanation

    Returns
    -------
    ndarray, shape (lenses,)
    """
    found = [_each_ray(rays, lens) for lens in lenses]
    best = np.max([ways.max(axis=0) for ways in found], axis=0)
    full = -(rays.count * (np.log(rays.power) + 1)).sum(axis=1)
    free = np.maximum((rays.count > 0).sum(axis=1) - FITTED, 1)
    scale = np.maximum(2 * (full - best) / free, 1.0)
    return np.array([_of_all(ways / scale, lens) for ways, lens in zip(found, lenses, strict=True)])


def _of_all(ways, lens):
    """Log likelihood of all rays: the best way, of a movement the mean of all."""
    likely = ways.sum(axis=1)
    if lens.name != "moved":
        return likely.max()
    # Any direction is as likely as another beforehand.
    return logsumexp(likely - lens.extra * np.hypot(1, slants()) / MEAN_MOVED_PX, b=1 / likely.size)


def _each_ray(rays, lens):
    """Greatest Whittle log likelihood over texture and noise, none of them negative.

    Multiplicative updates for the Itakura-Saito distance (C. Fevotte, N. Bertin, J.-L.
    Durrieu, Neural Computation 21 (2009) 793-830). Shape (ways, rays).
    """
    through = passed(lens, rays.angle, rays.frequency)
    scale = rays.frequency / rays.frequency[0]
    noise = np.stack([np.exp(-0.5 * (rays.frequency / drawn) ** 2) for drawn in NOISE_DRAWN])
    texture = through[:, :, None] / (scale ** np.array(FALLS)[:, None])
    noise = np.broadcast_to(noise, (*through.shape[:2], *noise.shape))
    basis = np.maximum(np.concatenate([texture, noise], axis=2), 1e-9)
    power, count = rays.power[:, None], rays.count[:, None]
    share = np.full((*basis.shape[:2], 1, basis.shape[2]), 1 / basis.shape[2])
    turned = basis.swapaxes(-1, -2)
    for _ in range(TURNS):
        model = share @ basis
        more = (count * power / model**2) @ turned
        share = np.maximum(share * more / ((count / model) @ turned + 1e-12), 1e-9)
    model = share @ basis
    return -(count * (np.log(model) + power / model)).sum(axis=(2, 3))
