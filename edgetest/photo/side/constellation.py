"""Do old chips lie where a laying says? The likelihood ratio of places that match by chance."""

from math import log, pi, sqrt

import numpy as np

FOUND_AGAIN = 0.9  # of old chips; others have run together with a new one, or were dust
SHALLOWER = 0.7  # of its depth: a chip so much shallower than before is another one
PLACED = 0.08  # standard error of a chip's place, share of its length: it grows to one side
LEAST_PLACED = 2.0  # µm a pixel: standard error of a place at least
MOST = 6.0  # what all chips together may add (odds of 400): their places are not independent


def chips_evidence(before, after, candidate, span, step_um):
    """Log odds that the chips give for a laying, against chips that lie anywhere.

    Parameters
    ----------
    before, after : sequence of (float, float, float, int)
        Place, length and depth, µm, and the sign (chip −1, roll 1) of each damage.
    candidate : Candidate
        Where the first outline is said to lie on the second.
    span : (float, float)
        First and last place of the second outline, µm.
    step_um : float
        A pixel of the coarser picture.

    Returns
    -------
    float
        At most `MOST`; 0 where no old chip is on both.
    """
    if not before:
        return 0.0
    total, left = 0.0, list(after)
    density = (len(after) + 1) / max(span[1] - span[0], step_um)
    for place, length, depth, sign in before:
        there = candidate.on_second(place)
        if not span[0] + length < there < span[1] - length:
            continue
        best, gain = None, log(1 - FOUND_AGAIN)
        for other in left:
            if other[3] != sign or other[2] < SHALLOWER * depth:
                continue
            u = np.hypot(PLACED * max(length, other[1]), LEAST_PLACED * step_um)
            away = (other[0] - there) / u
            likely = log(FOUND_AGAIN) - away**2 / 2 - log(sqrt(2 * pi) * u * density)
            if likely > gain:
                best, gain = other, likely
        if best is not None:
            left.remove(best)
        total += gain
    return float(min(total, MOST))
