"""The line that an edge once followed: a polynomial through what is sound, and how well known."""

import numpy as np

from edgetest.photo.departures import SLIGHT, Stretch, find_departures
from edgetest.photo.side.edge_outline import ALIKE_PX, robust_polynomial, turned_away

SOUND_SHARE = 0.3  # of the samples: with fewer the departures are not believed
MOST_DEGREE = 10  # of the polynomial that the smooth line may add to the coarse curve


def settled_line(strip, place, blur, inner):
    """Smooth line and departures from it, in turns until the departures stand still.

    Parameters
    ----------
    strip : Strip
    place : ndarray, shape (n,)
        Offset of the edge.
    blur : float
    inner : ndarray of bool, shape (n,)
        Samples clear of the picture's border.

    Returns
    -------
    coef : ndarray
        Of the line, see `line_at`.
    sound : ndarray of bool, shape (n,)
    stretches : list of Stretch
    """
    enough = SOUND_SHARE * place.size
    sound = inner & ~turned_away(strip.arc, place)
    stretches: list[Stretch] = []
    if sound.sum() < enough:
        sound = inner.copy()
    for _ in range(4):
        coef = _smooth_line(strip.arc, place, sound, inner)
        e = place - line_at(strip.arc, coef)
        before = [(s.low, s.high) for s in stretches]
        stretches = find_departures(e, sound, blur)
        sound = inner.copy()
        for stretch in stretches:
            if abs(e[stretch.peak]) < min(2 * SLIGHT * (stretch.high - stretch.low), 3.0):
                continue  # so shallow for its length that the line may be at fault: fit it again
            pad = int(2 * blur + 0.25 * (stretch.high - stretch.low)) + 2
            sound[max(0, stretch.low - pad) : stretch.high + pad] = False
        if sound.sum() < enough:
            return coef, inner.copy(), stretches
        if [(s.low, s.high) for s in stretches] == before:
            break
    return coef, sound, stretches


def _smooth_line(arc, place, sound, inner):
    """Its coefficients (Legendre) through the sound samples; the other inner ones are damage, at a
    price.
    """
    t = 2 * arc / arc[-1] - 1
    group = max(1, arc.size // 320)
    number = np.arange(arc.size) // group
    held = np.bincount(number, inner)
    full = held >= 0.6 * group
    x = np.bincount(number, inner * t)[full] / held[full]
    y = np.bincount(number, inner * place)[full] / held[full]
    calm = np.bincount(number, sound & inner)[full] >= 0.6 * group
    told = max(8.0, float(inner.sum()) / ALIKE_PX)
    return robust_polynomial(x, y, calm, floor=0.03, told=told, most=MOST_DEGREE)


def line_at(arc, coef):
    """Offset of the smooth line at each sample."""
    return np.polynomial.legendre.legval(2 * arc / arc[-1] - 1, coef)


def line_uncertainty(arc, sound, terms, spread, reach):
    """Standard uncertainty of the smooth line (least squares, neighbours alike over `reach`)."""
    basis = np.polynomial.legendre.legvander(2 * arc / arc[-1] - 1, terms - 1)
    normal = basis[sound].T @ basis[sound] + 1e-9 * np.eye(terms)
    variance = np.einsum("ij,ij->i", basis @ np.linalg.inv(normal), basis)
    return spread * np.sqrt(np.maximum(reach, 1.0) * variance)
