"""What band, round corners, lens and a camera's mask make of the mean profile: a least-squares fit.

The band of light on grounds that may brighten away from it, its corners rounded, goes through a
diffracting lens and a Gaussian, is stored on the camera's curve, sharpened there by an unsharp
mask and brought back to light. Levenberg-Marquardt with priors on mask, lens and corners.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import convolve1d, correlate1d
from scipy.special import erfc

from edgetest.photo.apex.lens_edges import HALF_FALL, edge_of
from edgetest.photo.descent import Damping, descend
from edgetest.photo.linear_light import srgb_decode, srgb_encode

GRID_PX = 0.25
DESCENT = Damping(turns=12, ease=5, press=8, most=1e4, still=0.02)
MEAN_FALL = np.sqrt(np.pi / 2)  # of Rayleigh's law
# Middle, width, logarithms of Gaussian blur and of the radius of the first dark ring, amount and
# logarithm of the radius of the mask, levels below, on and above the land, by how much the grounds
# brighten away from it (light in `SLOPE_PX`).
WIDTH, BLUR, RING, AMOUNT, RADIUS, BELOW, LAND, ABOVE, SLOPED = range(1, 10)
SIZE = 11
SLOPE_PX = 20.0
MOST_SLOPE = 0.5
# What straightening does after the camera: linear interpolation between pixels, a triangle.
STRAIGHTENED = np.maximum(1 - np.abs(np.arange(-3, 4)) * GRID_PX, 0) * GRID_PX
# What masks cameras use, mean and standard deviation (common practice, no source): the amount,
# and the logarithm of the radius, 1.2 px within a factor of 1.6.
AMOUNT_PRIOR = (0.0, 0.7)
RADIUS_PRIOR = (np.log(1.2), 0.45)
RING_PRIOR = (np.log(2.2), 1.0)  # over the blur
MOST_AMOUNT, FIRST_AMOUNT = 2.5, 0.1
FAR_OUT_PX = 6.0  # beyond the profile: so far a mask of 4 px reaches


@dataclass(frozen=True)
class StoredCurve:
    """The camera's curve: stored values of light, and light of stored values."""

    encode: Callable
    decode: Callable


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


@dataclass(frozen=True)
class MaskModel:
    """A mean profile as the camera showed it.

    Attributes
    ----------
    t, light, noise : ndarray, shape (bins,)
        Distance from the middle (pixels), light there and its standard deviation.
    contrast, blur : float
        Of the land; the Gaussian blur that it is like, pixels.
    curve : StoredCurve
    corner : float
        Over what distance a corner's light falls off (standard deviation, blurs).
    """

    t: np.ndarray
    light: np.ndarray
    noise: np.ndarray
    contrast: float
    blur: float
    curve: StoredCurve
    corner: float = 0.0

    def start(self, width, ring):
        """Parameters to start from."""
        contrast, light, few = self.contrast, self.light, max(3, self.t.size // 10)
        below, above = light[:few].mean(), light[-few:].mean()
        lens = np.log([max(0.5 * self.blur, 0.3), max(ring, 0.6)])
        return np.array([0.0, width, *lens, FIRST_AMOUNT, RADIUS_PRIOR[0], below,
                         (below + above) / 2 + contrast, above, 0.0, 0.0])  # fmt: skip

    def fitted(self, theta):
        """Likeliest parameters from a start, and what `state_of` says of them."""
        steep = 0.3 * self.contrast
        table = np.array([  # least, most, longest step
            (-5, 5, 0.5),
            (0.3, np.inf, 0.3 * self.blur + 0.1),
            (np.log(0.2), np.log(15), 0.3),
            (np.log(0.3), np.log(30), 0.3),
            (0.0, MOST_AMOUNT, 0.3),
            (np.log(0.4), np.log(4.0), 0.3),
            (0, 1, steep),
            (0, 4, steep),
            (0, 1, steep),
            (-MOST_SLOPE, MOST_SLOPE, steep),
            (-MOST_SLOPE, MOST_SLOPE, steep),
        ])  # fmt: skip
        least, most, limit = table.T
        return descend(self.state_of, theta, limit, (least, most), DESCENT)

    def state_of(self, theta):
        """Cost, gradient, normal matrix; misfit, gradient and normal matrix without the priors."""
        nudges = 0.01, 0.01, 0.02, 0.02, 0.02, 0.05, *(0.002 * self.contrast,) * 5
        seen = self._seen(theta + np.vstack([0 * theta, np.diag(nudges)]))
        off = (self.light - seen[0]) / self.noise
        slope = -((seen[1:] - seen[0]) / self.noise).T / nudges
        misses, stiff = self.prior(theta)
        normal = slope.T @ slope + 1e-9 * np.eye(SIZE)
        total, data = float(off @ off), slope.T @ off
        return (total + misses @ misses, data + np.sqrt(np.diag(stiff)) * misses, normal + stiff,
                total, data, normal)  # fmt: skip

    def prior(self, theta):
        """Misses of what is known beforehand, in standard deviations, and its information."""
        misses, stiff = np.zeros(SIZE), np.zeros(SIZE)
        ring = RING_PRIOR[0] + np.log(self.blur), RING_PRIOR[1]
        rows = (AMOUNT, AMOUNT_PRIOR), (RADIUS, RADIUS_PRIOR), (RING, ring)
        for k, (mean, sd) in rows:
            misses[k], stiff[k] = (theta[k] - mean) / sd, 1 / sd**2
        return misses, np.diag(stiff)

    def _seen(self, trials):
        """Light at the places for sets of parameters; all but the first have one changed."""
        reach = np.ceil((float(np.abs(self.t).max()) + FAR_OUT_PX) / GRID_PX)
        grid = np.arange(-reach, reach + 1) * GRID_PX
        column = trials[:, :, None]
        shaped = column[: RING + 2]  # the sets after these have the first one's band and lens
        like = np.minimum(np.arange(len(trials)), RING + 2) % (RING + 2)
        left = grid - shaped[:, 0] + shaped[:, WIDTH] / 2
        right = left - shaped[:, WIDTH]
        blur, ring = np.exp(shaped[:, BLUR]), np.exp(shaped[:, RING])
        both = edge_of("diffracted", np.concatenate([left, right], axis=1), blur, ring, None)
        rise, fall = self._rounded(both[:, : grid.size], both[:, grid.size :], trials[0, WIDTH])
        left, right, rise, fall = (a[like] for a in (left, right, rise, fall))
        below = column[:, BELOW] + column[:, SLOPED] * np.maximum(-left, 0) / SLOPE_PX
        above = column[:, ABOVE] + column[:, SLOPED + 1] * np.maximum(right, 0) / SLOPE_PX
        light = below * (1 - rise) + column[:, LAND] * (rise - fall) + above * fall
        stored = np.asarray(self.curve.encode(light), dtype=float)
        smooth = _smoothed(stored, trials[0, RADIUS])
        other = RADIUS + 1
        smooth[other] = _smoothed(stored[other : other + 1], trials[other, RADIUS])[0]
        masked = stored + column[:, AMOUNT] * (stored - smooth)
        back = np.asarray(self.curve.decode(np.clip(masked, 0, 1)), dtype=float)
        back = convolve1d(back, STRAIGHTENED, axis=1, mode="nearest")
        at = (self.t - grid[0]) / GRID_PX
        first = np.clip(at.astype(int), 0, grid.size - 2)
        part = at - first
        return back[:, first] * (1 - part) + back[:, first + 1] * part

    def _rounded(self, rise, fall, width):
        """Both borders with round corners: steps at distances that follow Rayleigh's law, averaged.

        See `edgetest.photo.apex.lens_edges.round_side`; half of a corner's light lies at 0.
        """
        c = min(self.blur * self.corner, width / 2 / HALF_FALL)
        if c == 0:
            return rise, fall
        half = int(np.ceil(4 * c / GRID_PX)) + 1
        away = np.arange(-half - 1, half + 2) * GRID_PX + HALF_FALL * c
        beyond = MEAN_FALL * c * erfc(np.maximum(away, 0) / (np.sqrt(2) * c))
        kernel = np.diff(np.where(away > 0, beyond, MEAN_FALL * c - away), 2) / GRID_PX
        return (correlate1d(rise, kernel, axis=1, mode="nearest"),
                convolve1d(fall, kernel, axis=1, mode="nearest"))  # fmt: skip


def _smoothed(rows, log_radius):
    """Rows behind a Gaussian of a radius in pixels, given by its logarithm."""
    radius = float(np.exp(log_radius)) / GRID_PX
    half = int(np.ceil(4 * radius))
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / radius) ** 2)
    return convolve1d(rows, kernel / kernel.sum(), axis=1, mode="nearest")
