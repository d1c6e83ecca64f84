"""What a camera's sharpening adds to the width: an unsharp mask on the stored values, undone.

Cameras sharpen the stored values, not the light: on a bright land between dark bevels the same
halo is larger in light on the land's side, and the half level moves outward by a tenth of a pixel
or more. The mean profile is fitted with lens, band and mask together (nonlinear least squares;
priors say what masks cameras use), so what the profile leaves open about the mask widens the
interval of the width.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import convolve1d
from scipy.special import log_ndtr

from edgetest.photo.apex.lens_edges import edge_of
from edgetest.photo.descent import Damping, descend
from edgetest.photo.linear_light import srgb_decode, srgb_encode

GRID_PX = 0.25
DESCENT = Damping(turns=12, ease=5, press=8, most=1e4)
# Middle, width, logarithms of Gaussian blur and of the radius of the first dark ring, amount and
# logarithm of the radius of the mask, then the levels below, on and above the land.
# What straightening does after the camera: linear interpolation between pixels, a triangle.
STRAIGHTENED = np.maximum(1 - np.abs(np.arange(-3, 4)) * GRID_PX, 0) * GRID_PX
BLUR, RING, AMOUNT, RADIUS = 2, 3, 4, 5
# What masks cameras use, mean and standard deviation (common practice, no source): the amount,
# and the logarithm of the radius, 1.2 px within a factor of 1.6.
AMOUNT_PRIOR = (0.0, 0.7)
RADIUS_PRIOR = (np.log(1.2), 0.45)
RING_PRIOR = (np.log(2.2), 1.0)  # over the blur
MOST_AMOUNT = 2.5
NEAR_BLURS, NEAR_PX = 6.0, 6.0  # about either border: so far a mask of 4 px reaches
# Neighbouring bins share what no model explains: so many count as one. Of 60 hard and 40 plain
# pictures of the second world (even seeds) 88 and 95 % of the intervals hold the width with 5,
# 95 and 97 % with 10.
TEMPER = 9.0
ODDS = 4.0  # of a camera that does not sharpen, before the picture is seen
SURE_SD, LEAST_SURE = 1.5, 0.25
# Amounts and radii of the first dark ring (shares of what was found) to start from.
STARTS = ((0.1, 1.0), (1.0, 1.0), (1.0, 0.2))


@dataclass(frozen=True)
class Sharpened:
    """The mean profile with the mask undone.

    Attributes
    ----------
    width_px : float
        Of the band before lens and mask.
    u_px : float
        Standard uncertainty of it, the mask and the lens being free.
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


@dataclass(frozen=True)
class StoredCurve:
    """The camera's curve: stored values of light, and light of stored values."""

    encode: object
    decode: object


def curve_of(tone):
    """The curve that a `Light` names; one of its own is taken for sRGB, which it is like."""
    if tone == "linear":
        return StoredCurve(lambda v: v, lambda v: v)
    if tone.startswith("gamma "):
        gamma = float(tone.split()[1])
        return StoredCurve(
            lambda v: np.clip(v, 0, 1) ** (1 / gamma), lambda v: np.clip(v, 0, 1) ** gamma
        )
    return StoredCurve(lambda v: np.asarray(srgb_encode(v)), lambda v: np.asarray(srgb_decode(v)))


def undo_sharpening(profile, levels, start, curve):
    """Fit band, lens and mask to a mean profile (nonlinear least squares with priors).

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
    light, noise = ground + contrast * value, contrast * sd * np.sqrt(TEMPER)
    width -= taken_out
    reach = float(np.abs(t).max()) + 6
    grid = np.arange(-np.ceil(reach / GRID_PX), np.ceil(reach / GRID_PX) + 1) * GRID_PX
    first = light[: max(3, t.size // 10)].mean(), light[-max(3, t.size // 10) :].mean()
    theta = np.array([0.0, width, np.log(max(0.5 * blur, 0.3)), np.log(max(ring, 0.6)), 0.1,
                      RADIUS_PRIOR[0], first[0], ground + contrast, first[1]])  # fmt: skip
    steps = np.array([0.01, 0.01, 0.02, 0.02, 0.02, 0.05, *(0.002 * contrast,) * 3])
    bounds = (
        np.array([-5, 0.3, np.log(0.2), np.log(0.3), 0.0, np.log(0.4), 0, 0, 0]),
        np.array([5, np.inf, np.log(15), np.log(30), MOST_AMOUNT, np.log(4.0), 1, 4, 1]),
    )
    limit = np.array([0.5, 0.3 * blur + 0.1, 0.3, 0.3, 0.3, 0.3, *(0.3 * contrast,) * 3])

    def state_of(theta):
        trials = theta + np.vstack([0 * theta, np.diag(steps)])
        seen = _seen(trials, grid, t, curve)
        off = (light - seen[0]) / noise
        slope = -((seen[1:] - seen[0]) / noise).T / steps
        prior, by_prior = _prior(theta, blur)
        total = float(off @ off + prior @ prior)
        gradient = slope.T @ off + by_prior.T @ prior
        normal = slope.T @ slope + by_prior.T @ by_prior + 1e-9 * np.eye(theta.size)
        return total, gradient, normal, float(off @ off)

    found = []
    for amount, share in STARTS:
        begun = theta.copy()
        begun[AMOUNT], begun[RING] = amount, np.log(max(share * ring, 0.4))
        begun[BLUR] = np.log(max((0.5 if share == 1 else 0.8) * blur, 0.3))
        found.append(descend(state_of, begun, limit, bounds, DESCENT))
    theta, state = min(found, key=lambda one: one[1][0])
    chi2 = TEMPER * state[3] / max(t.size - theta.size, 1)
    worse = max(1.0, chi2)
    data = state[2] - _prior_normal(theta.size)
    covariance = np.linalg.pinv(data / worse + _prior_normal(theta.size))
    amount, spread = float(theta[AMOUNT]), float(np.sqrt(covariance[AMOUNT, AMOUNT]))
    # A camera that sharpens does so by an amount that is never negative; the odds say how many do.
    cut_mean, cut_variance = _not_negative(amount, spread)
    without = 1 / (1 + np.exp(min((amount / spread) ** 2 / 2, 50)) / ODDS)
    mean = (1 - without) * cut_mean
    variance = (1 - without) * (cut_variance + cut_mean**2) - mean**2
    owes = covariance[1, AMOUNT] / covariance[AMOUNT, AMOUNT]
    rest = covariance[1, 1] - owes**2 * covariance[AMOUNT, AMOUNT]
    return Sharpened(
        float(taken_out + theta[1] + owes * (mean - amount)),
        float(np.sqrt(max(rest, 0) + owes**2 * variance)),
        float(mean),
        float(np.exp(theta[RADIUS])),
        float(np.sqrt(variance)),
        chi2,
    )


def _not_negative(mean, sd):
    """Mean and variance of a normal variable that is known not to be negative."""
    at = mean / sd
    more = np.exp(-0.5 * at**2 - log_ndtr(at)) / np.sqrt(2 * np.pi)
    return mean + sd * more, sd**2 * (1 - at * more - more**2)


def _without_middle(profile, width, near):
    """The profile near both borders, what lies between them taken out, and how much that was."""
    t, value, sd = profile
    out = max(0.0, width - 2 * near) / 2
    keep = (np.abs(t) > out) & (np.abs(t) < width / 2 + near)
    return (t[keep] - np.sign(t[keep]) * out, value[keep], sd[keep]), 2 * out


def _prior_normal(size):
    """Information of the priors."""
    normal = np.zeros(size)
    normal[[AMOUNT, RADIUS, RING]] = [
        1 / sd**2 for _, sd in (AMOUNT_PRIOR, RADIUS_PRIOR, RING_PRIOR)
    ]
    return np.diag(normal)


def _prior(theta, blur):
    """Misses of what is known beforehand, in standard deviations, and their slopes."""
    rows = (
        (AMOUNT, AMOUNT_PRIOR[0], AMOUNT_PRIOR[1]),
        (RADIUS, *RADIUS_PRIOR),
        (RING, RING_PRIOR[0] + np.log(blur), RING_PRIOR[1]),
    )
    misses = np.array([(theta[k] - mean) / sd for k, mean, sd in rows])
    slopes = np.zeros((len(rows), theta.size))
    for row, (k, _, sd) in enumerate(rows):
        slopes[row, k] = 1 / sd
    return misses, slopes


def _seen(trials, grid, t, curve):
    """Light at the places `t` for every set of parameters (rows).

    The first set may differ from the others in one parameter each, as they come.
    """
    column = trials[:, :, None]
    lens = column[: RING + 2]  # the sets after these have the first one's lens
    blur, ring = np.exp(lens[:, BLUR]), np.exp(lens[:, RING])
    left = grid - lens[:, 0] + lens[:, 1] / 2
    right = left - lens[:, 1]
    like = np.minimum(np.arange(len(trials)), RING + 2) % (RING + 2)
    both = edge_of("diffracted", np.concatenate([left, right], axis=1), blur, ring, None)[like]
    rise, fall = both[:, : grid.size], both[:, grid.size :]
    below, land, above = column[:, 6], column[:, 7], column[:, 8]
    light = below * (1 - rise) + land * (rise - fall) + above * fall
    stored = np.asarray(curve.encode(light), dtype=float)
    smooth = _smoothed(stored, trials[0, RADIUS])
    other = RADIUS + 1
    smooth[other] = _smoothed(stored[other : other + 1], trials[other, RADIUS])[0]
    masked = stored + column[:, AMOUNT] * (stored - smooth)
    back = np.asarray(curve.decode(np.clip(masked, 0, 1)), dtype=float)
    back = convolve1d(back, STRAIGHTENED, axis=1, mode="nearest")
    at = (t - grid[0]) / GRID_PX
    first = np.clip(at.astype(int), 0, grid.size - 2)
    part = at - first
    return back[:, first] * (1 - part) + back[:, first + 1] * part


def _smoothed(rows, log_radius):
    """Rows behind a Gaussian of a radius in pixels, given by its logarithm."""
    radius = float(np.exp(log_radius)) / GRID_PX
    half = int(np.ceil(4 * radius))
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / radius) ** 2)
    return convolve1d(rows, kernel / kernel.sum(), axis=1, mode="nearest")
