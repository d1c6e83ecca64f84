"""How a lens, a movement or a sharpening shows a sharp step of light: edge spread functions.

A lens out of focus spreads a point over a picture of its aperture. What a straight edge shows
of it is the aperture summed along the edge: its chords.
"""

from functools import cache

import numpy as np
from scipy.special import ndtr

from edgetest.photo.apex.lens_transfer import transfer

LEAST_BLUR_PX = 0.3
CELLS = 48  # a chord function in so many steps: its edge is right to a thousandth of the light
MIDDLES = (np.arange(CELLS) + 0.5) * 2 / CELLS - 1
# Fewer steps do where they are finer than so many blurs: widths change by 1e-3 px at most.
FEWER, FINE_BLURS = (12, 16, 24), 0.7
APOTHEM = np.sqrt(3) / 2  # of a hexagon, in radii of its corners
# What the form of a spread is, and how far it goes: central stop over aperture (mirror and
# macro lenses stop 0.3 to 0.6), a corner's angle from the normal of the edge (sixty degrees
# make a hexagon itself again, half of that its mirror image).
FORMS = {"annular": (0.15, 0.7), "hexagon": (0.0, np.pi / 6)}

# Even nodes of a Gaussian (trapezoidal rule, spectrally accurate for what is smooth over a step).
NODES = np.linspace(-3.3, 3.3, 19)
NODE_SHARES = np.exp(-0.5 * NODES**2) / np.sum(np.exp(-0.5 * NODES**2))
FINEST_RING = 0.4  # blurs: a finer ring is not told from a Gaussian
HALF_FALL = np.sqrt(2 * np.log(2))  # standard deviations to a Gaussian's half height

# Rayleigh's law in six steps: half its square follows the exponential law. Eight equally likely
# ones, closer to it, hold the width of 77 % of the lands with round corners, these of 83 % (second
# world, even seeds): aperture and lamp make the fall steeper than a Gaussian.
_halves, CORNER_SHARES = np.polynomial.laguerre.laggauss(6)
CORNER_STEPS = np.sqrt(2 * _halves)
FAR_BLURS = 6.0  # beyond an aperture's picture a step is 0 or 1 to a billionth
REACH = 30.0  # radii of the first dark ring
PLACES = np.linspace(-REACH, REACH, 3001)
# In rings; cubic between them, linear between the places: right to 7e-5 of the light.
BLURS = np.linspace(0, 1 / FINEST_RING, 51)


@cache
def _diffracted_edges():
    """Edge spreads of diffraction at a round aperture behind Gaussians, by its transfer function.

    For every blur of `BLURS`, on the even places `PLACES`, both in radii of the first dark ring.
    Beyond these places 0 and 1 are as near as the last place.
    """
    step = 1 / (10 * REACH)
    frequency = (np.arange(int(2.0 / step)) + 0.5) * step
    passed = transfer(frequency, np.array([[1.0, 0.0, 0.0]]))[0]
    weight = 2 * step * passed / (2 * np.pi * frequency)
    blurred = np.cos(2 * np.pi * frequency * (BLURS[:, None] * NODES)[..., None])
    after = weight * np.einsum("bnf,n->bf", blurred, NODE_SHARES)
    half = after @ np.sin(2 * np.pi * frequency[:, None] * PLACES[PLACES >= 0])
    return 0.5 + np.concatenate([-half[:, :0:-1], half], axis=1)


def _diffracted(x, blur, ring):
    """Edge spread of diffraction behind a Gaussian: cubic between blurs, linear between places."""
    ring = np.hypot(ring, FINEST_RING * blur)
    at = (blur / ring / (BLURS[1] - BLURS[0])).ravel()
    first = np.clip(at.astype(int) - 1, 0, BLURS.size - 4)
    p = (at - first)[:, None]
    shares = (  # Lagrange's
        -(p - 1) * (p - 2) * (p - 3) / 6,
        p * (p - 2) * (p - 3) / 2,
        -p * (p - 1) * (p - 3) / 2,
        p * (p - 1) * (p - 2) / 6,
    )
    table = _diffracted_edges()
    rows = sum(share * table[first + k] for k, share in enumerate(shares))
    at = np.clip((x / ring + REACH) / (PLACES[1] - PLACES[0]), 0, PLACES.size - 1.001)
    place = at.astype(int)
    below, above = (np.take_along_axis(rows, place + more, axis=1) for more in (0, 1))
    return below + (at - place) * (above - below)


def _moved(x, blur, half):
    """Edge spread of an even movement by twice `half` behind a Gaussian: a mean of its edges."""
    half = np.maximum(half, 1e-4 * blur)
    ends = np.stack([x + half, x - half]) / blur
    sums = ends * ndtr(ends) + np.exp(-0.5 * ends**2) / np.sqrt(2 * np.pi)
    return (sums[0] - sums[1]) * blur / (2 * half)


def gaussian_edge(x, blur):
    """Edge spread of a Gaussian lens."""
    return ndtr(x / blur)


def disc_edge(x, blur):
    """Edge spread of a uniform disc of radius 2 * blur."""
    return _disc(x / (2 * blur))


def round_side(x, blur, extra, reach):
    """Side of a flat whose light falls off over a round corner (Gauss-Laguerre quadrature).

    A corner of radius r leans by x / r at the distance x; microfacets whose slopes are Gaussian
    send light back as exp(-x² / 2c²), c = r times their spread. That is the mean of steps of
    light at distances that follow Rayleigh's law, and half of it lies `HALF_FALL` c outside.

    Parameters
    ----------
    x : ndarray, shape (sets, places)
        Distance inward from the end of the flat, pixels.
    blur, extra : ndarray, shape (sets, 1)
        Of the lens, as for a "diffracted" one in `edge_of`.
    reach : ndarray, shape (sets, 1)
        c, pixels.

    Returns
    -------
    ndarray, shape (sets, places)
        From 0 far outside to 1 on the flat.
    """
    apart = x[..., None] + reach[..., None] * CORNER_STEPS
    steps = _diffracted(apart.reshape(len(x), -1), blur, extra)
    return steps.reshape(apart.shape) @ CORNER_SHARES


def _disc(u):
    """Share of the unit disc on this side of a line at `u`."""
    u = np.clip(u, -1, 1)
    return 0.5 + (u * np.sqrt(1 - u**2) + np.arcsin(u)) / np.pi


def spread_shares(name, form, cells=CELLS):
    """Shares of a spread of half-length 1 in even steps across the edge.

    Parameters
    ----------
    name : {"moved", "disc", "annular", "hexagon"}
    form : ndarray, shape (sets, 1)
        See `FORMS`; the other two have none.
    cells : int
        Number of steps.

    Returns
    -------
    ndarray, shape (sets, cells)
    """
    if name == "moved":
        return np.full((len(form), cells), 1 / cells)
    borders = np.linspace(-1, 1, cells + 1)
    if name in ("disc", "annular"):
        stop = form if name == "annular" else np.full((len(form), 1), 1e-6)
        ring = (_disc(borders) - stop**2 * _disc(borders / stop)) / (1 - stop**2)
        return np.diff(ring, axis=1)
    low, high = -np.inf, np.inf
    for third in (-np.pi / 3, 0.0, np.pi / 3):  # between three pairs of parallel sides
        angle = form + third + np.pi / 6
        # Sides at right angles to the edge bound nothing along it.
        across, along = (borders[1:] + borders[:-1]) / 2 * np.cos(angle), np.sin(angle)
        along = np.where(np.abs(along) < 1e-6, 1e-6, along)
        ends = (APOTHEM - across) / along, (-APOTHEM - across) / along
        low, high = np.maximum(low, np.minimum(*ends)), np.minimum(high, np.maximum(*ends))
    chord = np.maximum(high - low, 0)
    return chord / chord.sum(axis=1, keepdims=True)


def edge_of(name, x, blur, extra, form):
    """Picture of a step at 0, from 0 to 1.

    Parameters
    ----------
    name : str
        "moved", "disc", "annular", "hexagon", "diffracted"; any other is a
        Gaussian lens.
    x : ndarray, shape (sets, places)
    blur, extra, form : ndarray, shape (sets, 1)
        Gaussian part (standard deviation, pixels); length of the movement, radius of the
        aperture's picture or of the first dark ring; see `FORMS`.

    Returns
    -------
    ndarray, shape (sets, places)
    """
    if name == "diffracted":
        return _diffracted(x, blur, extra)
    if name not in ("moved", "disc", *FORMS):
        return ndtr(x / blur)
    if name == "moved":
        return _moved(x, blur, extra / 2)
    coarsest = 2 * float(extra[0, 0]) / (FINE_BLURS * float(blur[0, 0]))
    cells = next((number for number in FEWER if number >= coarsest), CELLS)
    blur = np.hypot(blur, 2 * extra / cells / np.sqrt(12))
    shares = spread_shares(name, form, cells)[..., None]
    edge = (x > 0).astype(float)
    near = (np.abs(x) < extra + FAR_BLURS * blur).any(axis=0)
    middles = (np.arange(cells) + 0.5) * 2 / cells - 1
    apart = x[:, near, None] - (extra * middles)[:, None]
    edge[:, near] = (ndtr(apart / blur[..., None]) @ shares)[..., 0]
    return edge
