"""How bright is a steel element that leans so and so, for a lamp and a lens of given pupils?

Microfacet reflection (Torrance and Sparrow 1967) with Gaussian slopes (Beckmann and Spizzichino
1963) and a weak Lambertian part. Lens and lamp are areas on the sphere of directions; every pair of
directions asks for one half vector, and the light of an element is the density of its facets
there. Axes: u along the edge (columns), v across it (rows, downwards), z towards the lens. Normal
with lean a across and b along: n = (sin b, cos b sin a, cos b cos a). Shadows that bevels throw on
each other, and masking of facet by facet, are left out; an element turned from a lamp gets none of
it.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

STEEPEST = np.radians(83.0)  # leans across beyond this are not tabulated (read as this lean)
STEEPEST_ALONG = 0.5  # rad; leans along the edge, of scratches and scars
LENS_POINTS = 61  # directions of the lens pupil
DISC_POINTS = 151  # directions of a round lamp
FAINTEST = 1e-5  # of the brightest: stray light of a room, on what no lamp reaches
WINDOW = 5.5  # standard deviations of facet slope beyond which no facet is counted


@dataclass(frozen=True)
class Lighting:
    """Light and lens.

    kind: 'on-axis' (disc of `na_lamp` about the axis), 'ring' (closed, or `lamps` separate lamps),
    'dome' (all directions from `theta_deg` to `theta_far_deg` off the axis) or 'sectors' (two parts
    of the ring, across the edge). `na_lamp` is the sine of the half angle that one lamp (or the
    band of the ring) spans. `alpha` is the rms slope across the grain, `along_grain` its share
    along it. `diffuse`: light of an element that faces the lamps by its Lambertian part alone,
    relative to the brightest element by its facets.
    """

    kind: str = "on-axis"
    na_lamp: float = 0.10
    na_lens: float = 0.10
    alpha: float = 0.10
    theta_deg: float = 60.0
    theta_far_deg: float = 75.0
    lamps: int = 0  # separate lamps of a ring; 0: closed
    sector_half_deg: float = 20.0
    sector_turn_deg: float = 0.0  # both sectors turned about the axis
    sector_ratio: float = 1.0  # brightness of the sector at -v over that at +v
    sector_closed: int = 0  # +1 or -1: that side gives no light
    pitch_deg: float = 0.0  # the edge runs uphill by so much: all of it leans along
    diffuse: float = 0.05
    along_grain: float = 0.3


def disc(count, radius):
    """Points evenly spread over a disc (sunflower spiral, Vogel 1979), shape (count, 2)."""
    k = np.arange(count) + 0.5
    turn = k * np.pi * (3 - np.sqrt(5))
    r = radius * np.sqrt(k / count)
    return np.column_stack([r * np.cos(turn), r * np.sin(turn)])


def cap_directions(count, aperture):
    """Directions and solid angles of a pupil of numerical `aperture` about the axis."""
    flat = disc(count, aperture)
    z = np.sqrt(1 - (flat**2).sum(axis=1))
    return np.column_stack([flat, z]), np.pi * aperture**2 / count / z


def polar(theta, phi):
    """Directions at `theta` off the axis and azimuth `phi` from +u towards +v, all rad."""
    s = np.sin(theta)
    return np.column_stack([s * np.cos(phi), s * np.sin(phi), np.cos(theta)])


def _band(lighting, phi, step):
    """A band of the ring: directions and solid angles, thick in the middle as a round lamp is."""
    half = np.arcsin(lighting.na_lamp)
    x = np.linspace(-1, 1, 9)[1:-1]
    theta = np.radians(lighting.theta_deg) + half * x
    weight = np.sin(theta) * np.sqrt(1 - x**2) * half * (x[1] - x[0]) * step
    t, p = np.meshgrid(theta, phi)
    return polar(t.ravel(), p.ravel()), np.tile(weight, len(phi))


def _ring(lighting):
    if not lighting.lamps:
        step = np.radians(1.5)
        return _band(lighting, np.arange(0, 2 * np.pi, step), step)
    theta = np.radians(lighting.theta_deg)
    spot, weight = cap_directions(41, lighting.na_lamp)
    tilt = np.array(
        [[np.cos(theta), 0, np.sin(theta)], [0, 1, 0], [-np.sin(theta), 0, np.cos(theta)]]
    )
    spot = spot @ tilt.T
    found = []
    for phi in 2 * np.pi * np.arange(lighting.lamps) / lighting.lamps:
        c, s = np.cos(phi), np.sin(phi)
        found.append(spot @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]))
    return np.concatenate(found), np.tile(weight, lighting.lamps)


def _sectors(lighting):
    half = np.radians(lighting.sector_half_deg)
    step = 2 * half / 41
    found, weights = [], []
    for side, bright in ((1, 1.0), (-1, lighting.sector_ratio)):
        if side == lighting.sector_closed:
            continue
        middle = side * np.pi / 2 + np.radians(lighting.sector_turn_deg)
        phi = middle - half + step * (np.arange(41) + 0.5)
        directions, weight = _band(lighting, phi, step)
        found.append(directions)
        weights.append(bright * weight)
    return np.concatenate(found), np.concatenate(weights)


def _dome(lighting):
    near, far = np.radians([lighting.theta_deg, lighting.theta_far_deg])
    theta = np.linspace(near, far, 33)
    theta = (theta[1:] + theta[:-1]) / 2
    step = np.radians(3)
    t, p = np.meshgrid(theta, np.arange(0, 2 * np.pi, step))
    directions = polar(t.ravel(), p.ravel())
    return directions, np.sin(t.ravel()) * (far - near) / len(theta) * step


def lamp_directions(lighting, turn_deg=0.0):
    """Directions of the lamps, shape (n, 3), and their solid angles times brightness, shape (n,).

    `turn_deg` turns the axes from the picture's to those of an edge that is turned by so much.
    """
    if lighting.kind == "on-axis":
        return cap_directions(DISC_POINTS, lighting.na_lamp)
    made = {"ring": _ring, "sectors": _sectors, "dome": _dome}[lighting.kind]
    directions, weight = made(lighting)
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    return directions @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]), weight


@dataclass(frozen=True)
class Reflectance:
    """Table of radiance over the lean along, b (nb,), and across, a (na,), evenly spaced, rad."""

    b: np.ndarray
    a: np.ndarray
    radiance: np.ndarray  # (nb, na) float32

    def at(self, a, b=0.0):
        """Radiance at leans `a`, `b` (rad, any shapes that go together), bilinear."""
        a, b = np.broadcast_arrays(np.asarray(a, np.float32), np.asarray(b, np.float32))
        i = np.clip((a - self.a[0]) / (self.a[1] - self.a[0]), 0, len(self.a) - 1.001)
        j = np.clip((b - self.b[0]) / (self.b[1] - self.b[0]), 0, len(self.b) - 1.001)
        i0, j0 = i.astype(np.int32), j.astype(np.int32)
        fi, fj = i - i0, j - j0
        flat, k = self.radiance.ravel(), j0 * len(self.a) + i0
        low = flat[k] * (1 - fi) + flat[k + 1] * fi
        k += len(self.a)
        return low * (1 - fj) + (flat[k] * (1 - fi) + flat[k + 1] * fi) * fj

    @property
    def brightest(self):
        """Radiance of the brightest element that leans across by less than 60 degrees."""
        return float(self.radiance[:, np.abs(self.a) < np.radians(60)].max())


def half_vectors(directions, weight, aperture, steps):
    """Light that asks for a facet of each lean: grid over leans of the half vector.

    Returns the leans along (nb,), across (na,) and the grid (nb, na): solid angle of lamps, mean
    over the lens pupil, shared out over the four neighbours in the grid.
    """
    lens = cap_directions(LENS_POINTS, aperture)[0]
    h = directions[:, None, :] + lens[None, :, :]
    h /= np.linalg.norm(h, axis=2, keepdims=True)
    b, a = np.arcsin(h[..., 0]).ravel(), np.arctan2(h[..., 1], h[..., 2]).ravel()
    w = np.repeat(weight / LENS_POINTS, LENS_POINTS)
    db, da = steps
    reach_b, reach_a = (int(np.ceil(np.abs(x).max() / d)) + 1 for x, d in ((b, db), (a, da)))
    i, j = a / da + reach_a, b / db + reach_b
    i0, j0 = i.astype(int), j.astype(int)
    fi, fj = i - i0, j - j0
    shape = (2 * reach_b + 2, 2 * reach_a + 2)
    grid = np.zeros(shape[0] * shape[1])
    for dj, wj in ((0, 1 - fj), (1, fj)):
        for di, wi in ((0, 1 - fi), (1, fi)):
            grid += np.bincount((j0 + dj) * shape[1] + i0 + di, w * wi * wj, len(grid))
    leans_b = db * (np.arange(shape[0]) - reach_b)
    leans_a = da * (np.arange(shape[1]) - reach_a)
    return leans_b, leans_a, grid.reshape(shape)


def facet_density(lean_b, half_b, half_a, alpha, grain_deg):
    """Facets of an element, per solid angle, that face a half vector (Beckmann's law).

    lean_b of the element, which does not lean across; half_b and half_a of the half vector, rad;
    alpha: rms slopes across and along the grain; grain_deg from +u towards +v.
    """
    cb, sb, ch, sh = np.cos(lean_b), np.sin(lean_b), np.cos(half_b), np.sin(half_b)
    ca = np.cos(half_a)
    facing = np.maximum(sb * sh + cb * ch * ca, 1e-3)
    u, v = (cb * sh - sb * ch * ca) / facing, ch * np.sin(half_a) / facing
    c, s = np.cos(np.radians(grain_deg)), np.sin(np.radians(grain_deg))
    across, along = alpha
    power = ((c * u + s * v) / along) ** 2 + ((c * v - s * u) / across) ** 2
    return np.exp(-power / 2) / (2 * np.pi * across * along * facing**4)


def _steps(lighting, grain_deg):
    """Steps of the table: (half vectors along, element's lean along, lean across)."""
    c, s = np.cos(np.radians(grain_deg)), np.sin(np.radians(grain_deg))
    along = lighting.along_grain * lighting.alpha
    along_u, across_v = (
        np.hypot(along * c, lighting.alpha * s),
        np.hypot(lighting.alpha * c, along * s),
    )
    # Half a deviation apart the sharing-out over neighbours widens a facet lobe by 2 percent.
    half_b = np.clip(0.5 * min(along, along_u), 0.004, 0.02)
    pupil = lighting.na_lens / 4
    lean_b = np.clip(0.4 * np.hypot(along_u, pupil), 0.012, 0.05)
    lean_a = np.clip(0.3 * min(np.hypot(across_v, pupil), lighting.alpha), 0.003, 0.01)
    return half_b, lean_b, lean_a, along_u


def tabulate(lighting, grain_deg, turn_deg):
    """Table of radiance of steel ground at `grain_deg` to the edge under `lighting`."""
    directions, weight = lamp_directions(lighting, turn_deg)
    step_h, step_b, step_a, slope_b = _steps(lighting, grain_deg)
    half_b, half_a, asked = half_vectors(directions, weight, lighting.na_lens, (step_h, step_a))
    nb, na = int(STEEPEST_ALONG / step_b), int(STEEPEST / step_a)
    b, a = step_b * np.arange(-nb, nb + 1), step_a * np.arange(-na, na + 1)
    reach = na + len(half_a)  # linear, not circular, convolution across
    size = 1 << int(np.ceil(np.log2(2 * reach + 1)))
    offsets = step_a * (np.arange(size) - size // 2)
    offsets_in = np.abs(offsets) < 1.5
    asked_f = np.fft.rfft(asked, size, axis=1)
    alpha = (lighting.alpha, lighting.alpha * lighting.along_grain)
    first = round(half_a[0] / step_a)
    window = np.arctan(WINDOW * slope_b)
    facets = np.zeros((len(b), len(a)))
    for k, lean in enumerate(b):
        near = np.flatnonzero(np.abs(half_b - lean) < window)
        if not len(near):
            continue
        kernel = np.zeros((len(near), size))
        kernel[:, offsets_in] = facet_density(
            lean, half_b[near, None], -offsets[None, offsets_in], alpha, grain_deg
        )
        light = np.fft.irfft((asked_f[near] * np.fft.rfft(kernel, axis=1)).sum(axis=0), size)
        where = np.arange(-na, na + 1) - first + size // 2
        facets[k] = light[where % size]
    facing = np.cos(b)[:, None] * np.cos(a)[None, :]
    facets /= 4 * facing
    lambert = _lambert(directions, weight, b, a)
    peak = facets[:, np.abs(a) < np.radians(60)].max()
    radiance = facets + lighting.diffuse * peak * lambert / lambert.max()
    return Reflectance(b, a, np.maximum(radiance, FAINTEST * peak).astype(np.float32))


def _lambert(directions, weight, b, a):
    """Irradiance of an element, shape (nb, na): cosine law, nothing from lamps behind it."""
    some = slice(None, None, max(1, len(weight) // 300))
    coarse = np.linspace(b[0], b[-1], 5)
    n = np.stack(
        [
            np.broadcast_to(np.sin(coarse)[:, None], (5, len(a))),
            np.cos(coarse)[:, None] * np.sin(a),
            np.cos(coarse)[:, None] * np.cos(a),
        ],
        axis=-1,
    )
    light = np.maximum(n.astype(np.float32) @ directions[some].T.astype(np.float32), 0)
    light = light @ weight[some].astype(np.float32)
    k = np.interp(b, coarse, np.arange(5))
    low = np.minimum(k.astype(int), 3)
    share = (k - low)[:, None]
    return light[low] * (1 - share) + light[low + 1] * share


@lru_cache(maxsize=256)
def _kept(lighting, grain_deg, turn_deg):
    table = tabulate(lighting, grain_deg, turn_deg)
    return replace(table, b=table.b - np.float32(np.radians(lighting.pitch_deg)))


def reflectance(lighting, grain_deg=0.0, turn_deg=0.0):
    """Table for steel ground at `grain_deg` to an edge turned by `turn_deg`; kept once made."""
    even = lighting.kind in ("on-axis", "dome") or (lighting.kind == "ring" and not lighting.lamps)
    if even:
        turn_deg = 0.0
    return _kept(lighting, float(round(grain_deg, 1)), float(round(turn_deg, 1)))
