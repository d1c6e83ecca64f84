"""What a camera's sharpening adds to the width: an unsharp mask on the stored values, undone.

Cameras sharpen the stored values, not the light: on a bright land between dark bevels the same
halo is larger in light on the land's side, and the half level moves outward by a tenth of a pixel
or more. Round corners of the land move it, too. The mean profile is fitted with lens, band,
corners and mask together, and the width is averaged over what the profile leaves open about mask
and corners, 'none at all' among it (Bayesian model averaging, Laplace's approximation).
"""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.photo.apex.mask_model import AMOUNT, AMOUNT_PRIOR, RADIUS, WIDTH, MaskModel

NEAR_BLURS, NEAR_PX = 6.0, 6.0  # about either border: so far a mask of 4 px reaches
# Neighbouring bins share what no model explains: so many count as one. Of 120 pictures a kind of
# the second world (even seeds) the intervals hold the width of 97 % of 'hard', 95 % of 'chipped'
# and 97 % of 'corners' with 9, of 94, 93 and 95 % with 5.
TEMPER = 9.0
# Before the picture is seen: of a camera that does not sharpen, of a land with sharp corners. The
# same pictures: with 4 and 8 'plain' lands read 0.26 % RMS, 'corners' 0.44 %; with 1 and 8 0.30 and
# 0.45 %, with 4 and 5 0.28 and 0.43 %.
ODDS, CORNER_ODDS = 4.0, 8.0
# A corner's reach over the blur, in steps, and what corners there are: a half-normal law.
CORNERS, CORNER_PRIOR = np.arange(5) * 0.45, 1.0
COUNTS = 8.0  # of cost: beyond it corners count for nothing
NODES, REACH_SD = 60, 4.0  # over which masks are averaged
SURE_SD, LEAST_SURE = 1.5, 0.25


@dataclass(frozen=True)
class Sharpened:
    """The mean profile with the mask undone.

    Attributes
    ----------
    width_px : float
        Of the band before lens and mask, at half height of rounded corners.
    u_px : float
        Standard uncertainty of it, mask, corners and lens being free.
    amount, radius_px : float
        Of the mask.
    amount_u : float
        Standard uncertainty of the amount.
    chi2 : float
        Misfit per degree of freedom, priors left out.
    """

    width_px: float
    u_px: float
    amount: float
    radius_px: float
    amount_u: float
    chi2: float

    @property
    def sure(self):
        """The profile itself shows that the camera sharpened."""
        own_u = self.amount_u / np.sqrt(TEMPER)
        return bool(self.amount > SURE_SD * own_u and self.amount > LEAST_SURE)


def undo_sharpening(profile, levels, start, curve):
    """Width of the band before lens and mask, averaged over masks and corners.

    Parameters
    ----------
    profile : tuple of ndarray, shape (bins,)
        Distance from the middle (pixels), light over the contrast, its standard deviation.
    levels : tuple of float
        Mean level of the ground and contrast of the land, linear light from 0 to 1.
    start : tuple of float
        Width, Gaussian blur and radius of the first dark ring to start from, pixels.
    curve : StoredCurve

    Returns
    -------
    Sharpened
    """
    width, blur, ring = start
    near = NEAR_BLURS * blur + NEAR_PX
    (t, value, sd), taken_out = _without_middle(profile, width, near)
    ground, contrast = levels
    noise = contrast * sd * np.sqrt(TEMPER)
    model = MaskModel(t, ground + contrast * value, noise, contrast, blur, curve)
    fits = _with_corners(model, model.start(width - taken_out, ring))
    theta, state = min((fit for _, fit in fits), key=lambda fit: fit[1][0])
    chi2 = TEMPER * state[3] / max(t.size - theta.size, 1)
    parts = [_Part.of(model, corner, fit, max(1.0, chi2)) for corner, fit in fits]
    weight = np.exp([part.log_weight - max(p.log_weight for p in parts) for part in parts])
    weight /= weight.sum()

    def pooled(key):
        """Mean and standard deviation over all corners."""
        mean, sd = np.array([getattr(part, key) for part in parts]).T
        middle = weight @ mean
        return float(middle), float(np.sqrt(weight @ (sd**2 + (mean - middle) ** 2)))

    (width, u_px), (amount, amount_u) = pooled("width"), pooled("amount")
    radius = float(np.exp(theta[RADIUS]))
    return Sharpened(taken_out + width, u_px, amount, radius, amount_u, chi2)


def _with_corners(model, theta):
    """The fit with sharp corners and with rounder ones, until these are too unlikely."""
    fits: list[tuple] = []
    for corner in CORNERS:
        fit = replace(model, corner=corner).fitted(theta)
        fits.append((corner, fit))
        theta, cost = fit[0], fit[1][0]
        if cost > min(other[1][0] for _, other in fits) + COUNTS:
            break
    return fits


@dataclass(frozen=True)
class _Part:
    """Width and amount of the mask with corners of one size: means and standard deviations."""

    log_weight: float
    width: tuple[float, float]
    amount: tuple[float, float]

    @classmethod
    def of(cls, model, corner, fit, worse):
        """Averaged over masks (Laplace's approximation); noise `worse` times the one told."""
        theta, state = fit
        misses, stiff = model.prior(theta)
        normal = state[5] / worse + stiff
        covariance = np.linalg.pinv(normal)
        pull = state[4] / worse + np.sqrt(np.diag(stiff)) * misses
        # Where the fit stands at a bound, the normal law's middle lies beyond it.
        middle = theta - covariance @ pull
        cost = state[3] / worse + misses @ misses - pull @ covariance @ pull
        spread = float(np.sqrt(covariance[AMOUNT, AMOUNT]))
        share, mean, variance = _masks(middle[AMOUNT], spread)
        owes = covariance[WIDTH, AMOUNT] / spread**2
        rest = max(covariance[WIDTH, WIDTH] - owes**2 * spread**2, 0)
        log_weight = np.log(_corner_odds(corner) * share) - 0.5 * cost
        return cls(
            float(log_weight - np.linalg.slogdet(normal)[1] / 2),
            (float(middle[WIDTH] + owes * (mean - middle[AMOUNT])),
             float(np.sqrt(rest + owes**2 * variance))),
            (mean, float(np.sqrt(variance))),
        )  # fmt: skip


def _masks(middle, spread):
    """Likelihood of all masks and none, mean and variance of the amount, from a normal law of it.

    The law takes negative amounts for possible; there is none of them.
    """
    step = (max(middle, 0) + REACH_SD * spread) / NODES
    amount = np.append(0.0, (np.arange(NODES) + 0.5) * step)
    density = 2 / (np.sqrt(2 * np.pi) * AMOUNT_PRIOR[1])  # at nothing; the law has the rest
    share = np.append(ODDS, np.full(NODES, step * density)) / spread
    share *= np.exp(-0.5 * ((amount - middle) / spread) ** 2)
    mean = float(share @ amount / share.sum())
    return float(share.sum()), mean, float(share @ (amount - mean) ** 2 / share.sum())


def _corner_odds(corner):
    """Of corners of one size, before the picture is seen."""
    if corner == 0:
        return CORNER_ODDS
    density = 2 / (np.sqrt(2 * np.pi) * CORNER_PRIOR)
    return float(CORNERS[1] * density * np.exp(-0.5 * (corner / CORNER_PRIOR) ** 2))


def _without_middle(profile, width, near):
    """The profile near both borders, what lies between them taken out, and how much that was."""
    t, value, sd = profile
    out = max(0.0, width - 2 * near) / 2
    keep = (np.abs(t) > out) & (np.abs(t) < width / 2 + near)
    return (t[keep] - np.sign(t[keep]) * out, value[keep], sd[keep]), 2 * out
