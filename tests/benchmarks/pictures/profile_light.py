"""How does the light run across a clean edge before the lens, and how wide is it there?

Leans of the section looked up in the reflectance table, node by node; pixels get the exact mean of
that over their own height (difference of its running integral).
"""

from dataclasses import dataclass

import numpy as np

from tests.benchmarks.pictures.grain import quantiles
from tests.benchmarks.pictures.surface import SHADED_LEAN, section

LEAST_RISE = 1.05  # an apex no brighter than this times its bevel has no half height
NEAR_SUMMIT = 0.85  # the light that a summit is found by, over its own
BRIGHTEST_GRAIN = 4.0  # no grain is brighter than this times its mean
WIDEST_SLOPE = 0.6  # scratches lean by at most this share of the rms slope of all facets


@dataclass(frozen=True)
class Frame:
    """Picture: pixels, micrometres per pixel, and sub-pixels each way per pixel."""

    rows: int = 480
    cols: int = 640
    um_per_px: float = 0.5
    supersample: int = 2

    @property
    def shape(self):
        """Sub-pixels (rows, columns)."""
        return self.rows * self.supersample, self.cols * self.supersample

    @property
    def pitch(self):
        """Micrometres per sub-pixel."""
        return self.um_per_px / self.supersample


@dataclass(frozen=True)
class LightProfile:
    """Light across the clean edge; 1 is the brightest place of the apex."""

    v: np.ndarray  # (n,) um, nodes of the apex
    lean: np.ndarray  # (n,) rad
    light: np.ndarray  # (n,)
    integral: np.ndarray  # (n,)
    bevels: tuple[float, float]  # levels at negative and positive v
    borders: tuple[float, float]  # v of half height (of W30 where there is none), um
    width_um: float  # NaN: no half height, the bevels are as bright
    scale: float  # radiance of the table that is 1 here

    def apex(self, v, height):
        """Mean light of the apex alone over `height` um about `v`."""
        top, low = (np.interp(v + k * height / 2, self.v, self.integral) for k in (1, -1))
        return (top - low) / height

    def lean_at(self, v):
        """Lean at `v` of the apex; beyond its foot, that of its foot."""
        # Nodes of a corner lie at one place: a hair between them keeps their order.
        return np.interp(v, self.v + 1e-7 * np.arange(len(self.v)), self.lean)

    def bevel_cover(self, v, height):
        """Share of `height` um about `v` that lies on the bevels (negative, positive v)."""
        minus = np.clip((self.v[0] - v) / height + 0.5, 0, 1)
        return minus, np.clip((v - self.v[-1]) / height + 0.5, 0, 1)


def _half_height(v, light, dark):
    """Outermost places where light falls through half height above `dark` of either side."""
    peak, found = light.max(), []
    for side, level in zip((-1, 1), dark, strict=True):
        if peak < LEAST_RISE * level:
            return None
        half = (peak + level) / 2
        above = np.flatnonzero(light >= half)
        k = above[-1] if side > 0 else above[0]
        beyond = k + side
        if not 0 <= beyond < len(v):
            found.append(v[k])
            continue
        share = (light[k] - half) / (light[k] - light[beyond])
        found.append(v[k] + share * (v[beyond] - v[k]))
    return tuple(found)


def profile_of(apex, table):
    """Light across `apex` whose steel has the reflectance `table`."""
    cut = section(apex)
    light = table.at(cut.lean).astype(float)
    part = cut.land
    scale = light[part].max()
    light /= scale
    bevels = tuple(float(table.at(lean) / scale) for lean in cut.bevels)
    dark = [light[end] if apex.micro_um[k] else bevels[k] for k, end in ((0, 0), (1, -1))]
    borders = _half_height(cut.v[part], light[part], dark)
    width = borders[1] - borders[0] if borders else float("nan")
    if not borders:
        borders = tuple(
            float(np.interp(side * SHADED_LEAN, cut.lean[part], cut.v[part])) for side in (-1, 1)
        )
    steps = np.diff(cut.v) * (light[1:] + light[:-1]) / 2
    integral = np.concatenate([[0], np.cumsum(steps)])
    return LightProfile(cut.v, cut.lean, light, integral, bevels, borders, float(width), scale)


def summit(v, light):
    """Place of the brightest light: vertex of the parabola through the logarithm near it."""
    k = int(np.argmax(light))
    low, high = k, k
    while low > 0 and light[low - 1] > NEAR_SUMMIT * light[k]:
        low -= 1
    while high < len(v) - 1 and light[high + 1] > NEAR_SUMMIT * light[k]:
        high += 1
    near = slice(low, high + 1)
    if high - low < 4 or np.ptp(v[near]) == 0:
        return float(v[k])
    bend, slope, _ = np.polyfit(v[near] - v[k], np.log(light[near]), 2)
    return float(np.clip(v[k] - slope / (2 * bend), v[low], v[high]) if bend < 0 else v[k])


def glint_spacing(profile):
    """Distance between the brightest places at negative and at positive v, um; NaN if not two."""
    minus, plus = profile.v < 0, profile.v > 0
    if not (minus.any() and plus.any()):
        return float("nan")
    places = [summit(profile.v[half], profile.light[half]) for half in (minus, plus)]
    middle = np.interp(0, profile.v, profile.light)
    least = min(profile.light[half].max() for half in (minus, plus))
    return float(places[1] - places[0]) if least > LEAST_RISE * middle else float("nan")


@dataclass(frozen=True)
class Scratching:
    """What scratches do to the light: factor over lean across and depth of scratch, mean 1."""

    leans: np.ndarray  # (na,) rad
    depths: np.ndarray  # (ng,) SDs of the field
    factor: np.ndarray  # (na, ng) float32
    gain_sd: float  # what patchy roughness adds, relative SD


def scratching(table, grain_deg, leans, target, alpha, field):
    """Slopes of scratches that make half the variance of radiance over `leans`, and its effect.

    The scratches' slopes lie across the grain. Mean 1 at every lean: `alpha` counts all the
    slopes, scratches too. `field`: the grain that will be laid, for its distribution.
    """
    deep = quantiles(field)
    c, s = np.cos(np.radians(grain_deg)), np.sin(np.radians(grain_deg))

    def relative(slope, leans, depths):
        a = leans[:, None] + slope * c * depths[None, :]
        return table.at(a, np.broadcast_to(-slope * s * depths[None, :], a.shape))

    leans = np.atleast_1d(leans)

    def unevenness(slope):
        light = relative(slope, leans, deep)
        return np.sqrt(np.mean(light.var(axis=1) / light.mean(axis=1) ** 2))

    low, high = 0.0, WIDEST_SLOPE * alpha
    for _ in range(18):
        slope = (low + high) / 2
        if unevenness(slope) > target / np.sqrt(2):
            high = slope
        else:
            low = slope
    rest = np.sqrt(max(target**2 - unevenness(low) ** 2, 0.0))
    depths = np.linspace(-4, 4, 49)
    mean = relative(low, table.a, deep).mean(axis=1, keepdims=True)
    factor = np.clip(relative(low, table.a, depths) / mean, 0, BRIGHTEST_GRAIN)
    return Scratching(table.a, depths, factor.astype(np.float32), float(rest))
