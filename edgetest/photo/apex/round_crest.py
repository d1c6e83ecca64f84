"""Is a soft, narrow band a round crest in focus, and how wide is its bell of light?

A round crest in on-axis light has no flat: its light falls off from its middle as a bell, as that
of a narrow land does out of focus, and from the profile alone the two are one. The grind tells
them apart: a lens blurs the detail on crest and bevels as much as the crest itself. The blur that
the detail allows is taken out of the bell, and what it leaves open is in the interval.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtr

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.fine_detail import COARSEST, detail_of, directed, likelihoods
from edgetest.photo.apex.lens_edges import HALF_FALL
from edgetest.photo.apex.narrow_band import NarrowWidth

# Blurs that are tried, of the bell's standard deviation; from `SOFT` on the lens makes the bell.
SHARES = np.array([0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.85, 1.0])
SOFT = 0.7
# Standard deviation of an aperture's picture, of its radius.
APERTURES = (("disc", 0.0, 0.5), ("annular", 0.45, 0.548), ("hexagon", 0.25, 0.456))
# Detail counts from where the softest lens that is not the bell's own passes exp(-CUT²) of it.
CUT = 2.0
# Log likelihoods of the detail (second world, even seeds). 120 bells of narrow lands out of focus
# had a gain of 4.4 at most but for seven, whose noise the camera had drawn out; of these six had
# no direction (12.3 at most; 13 too where the gain was small). Of 200 round crests 73 have a gain
# of more than 6, and 63 of these a direction of more than 16.
SURE_SHARP, SURE_DIRECTED, LEFT_OPEN = 6.0, 16.0, 10.0
# The lens's true blur was up to 1.6 times the largest that the detail allows (same pictures).
BLUR_U = 1.6
LEAST_BLUR_PX = 0.5
LEAST_TOLD = 0.5  # lower end over the width, from where on the width is given
# Relative, half-width: lamp and lens give the bell another form than a Gaussian's. The picture's
# own width at half height, blur and all, fell short of the true one by up to 2.3 % (same pictures).
BELL_U = 0.07


@dataclass(frozen=True)
class Detail:
    """What the detail beside a bell says.

    Attributes
    ----------
    gain : float
        How much likelier a lens sharper than the bell makes it (log likelihoods).
    blur_px : float
        The largest blur that it allows.
    directed : float
        How much likelier detail finer than the bell has a direction, as a grind, than none.
    """

    gain: float
    blur_px: float
    directed: float

    @property
    def sharp(self):
        """The bell is the crest's own."""
        return self.gain > SURE_SHARP and self.directed > SURE_DIRECTED


def detail_beside(grey, sides, sd_px):
    """How sharp the grind is on and beside a bell of light (likelihood ratio).

    Parameters
    ----------
    grey : ndarray, shape (rows, cols)
    sides : FittedSides
        Of the bell; their distance does not count.
    sd_px : float
        Standard deviation of the bell.

    Returns
    -------
    Detail
    """
    middle, half = (sides.left + sides.right) / 2, HALF_FALL * sd_px
    around = replace(sides, left=middle - half, right=middle + half)
    rays = detail_of(grey, around, 2 * sd_px, COARSEST / (2 * sd_px))
    if not rays.angle.size:
        return Detail(0.0, sd_px, 0.0)
    blurs = sd_px * SHARES
    plain = [Explanation("plain", 0.0, blur, 0.0, 0.0) for blur in blurs]
    lenses = [*plain]
    for name, form, sd in APERTURES:
        lenses += [Explanation(name, 0.0, 0.3, blur / sd, 0.0, form) for blur in blurs]
    likely = likelihoods(rays, lenses).reshape(-1, SHARES.size)
    soft = SHARES >= SOFT
    gain = float(likely[0, ~soft].max() - likely[:, soft].max())
    top = likely.max(axis=0)
    allowed = blurs[top > top.max() - LEFT_OPEN].max()
    finest = CUT / (2 * np.pi * SOFT * sd_px)
    return Detail(gain, min(BLUR_U * float(allowed), sd_px), directed(rays, finest))


def bell_width(pooled, detail):
    """Width at half height of a bell behind a blur, over all blurs that the detail allows.

    Parameters
    ----------
    pooled : Pooled
    detail : Detail

    Returns
    -------
    NarrowWidth
        `resolved` is False where the detail leaves most of the bell to the lens: only the upper
        end is known.
    """
    upper = bell_limit(pooled)
    soft = _fitted(pooled, max(detail.blur_px, LEAST_BLUR_PX))
    likeliest = _fitted(pooled, max(detail.blur_px / BLUR_U, LEAST_BLUR_PX))
    low = (1 - BELL_U) * min(soft, likeliest)
    told = detail.sharp and low > LEAST_TOLD * likeliest
    return NarrowWidth(likeliest, low, upper, upper, detail.blur_px / BLUR_U, told)


def bell_limit(pooled):
    """Upper limit of the bell's width at half height: all of it is the crest's own."""
    return (1 + BELL_U) * _fitted(pooled, LEAST_BLUR_PX)


def _fitted(pooled, blur):
    """Width at half height of a flat between two half Gaussians behind a Gaussian blur."""
    x, weight = pooled.distance, 1 / pooled.sd
    usual = 1 / max(float(pooled.value.max()), 1e-6)  # the flux is 1

    def off(p):
        middle, width, reach = p
        reach = min(reach, width / (2 * HALF_FALL))
        flat = width / 2 - HALF_FALL * reach
        rise, fall = _side(x - middle + flat, blur, reach), _side(flat - x + middle, blur, reach)
        basis = np.stack([1 - rise, rise + fall - 1, 1 - fall]) * weight
        linear = np.linalg.lstsq(basis.T, pooled.value * weight, rcond=None)[0]
        return pooled.value * weight - linear @ basis

    least = [-np.inf, 0.05 * usual, 0.01 * usual]
    start = [0.0, usual, 0.35 * usual]
    return float(least_squares(off, start, bounds=(least, np.inf), x_scale=usual).x[1])


def _side(x, blur, reach):
    """Side of a flat whose light falls off outward as a half Gaussian, behind a Gaussian blur."""
    both = np.hypot(blur, reach)
    outside = np.exp(-0.5 * (x / both) ** 2) * ndtr(-x * reach / (blur * both))
    return ndtr(x / blur) + reach / both * outside
