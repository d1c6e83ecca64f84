"""What do chips, lips, rolled places and a burr do to an edge, and to the light that comes from it?

Material broken out leaves a scar: a sharp new border and steel in its own shade beyond it, rough,
leaning outwards. A lip widens the land; a roll moves it sideways. Depths count from the clean
border at half height.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.surface import depth_shape, smooth_noise

SCAR_GRAIN_UM = 1.5  # facets of broken steel
SCAR_ROUGHNESS = {False: 0.22, True: 0.45}  # rad, spread of their leans; glinting scars more
SCAR_REACH = {"notch": (0.2, 0.9), "chip": (0.7, 1.5)}  # down the bevel, shares of the depth


@dataclass(frozen=True)
class Place:
    """Pixels of the band about the line: where they lie. All (2k+1, columns), lengths um."""

    frame: Frame
    rows: np.ndarray
    inside: np.ndarray
    x: np.ndarray  # from the picture's middle
    y: np.ndarray
    u: np.ndarray  # along the edge
    v: np.ndarray  # across it, from its line
    widening: np.ndarray


@dataclass(frozen=True)
class Broken:
    """A damage as it stands in the picture.

    `col`, `row`: its middle on the clean border, pixels; `deepest_col`: column of its deepest
    point. Depth outwards positive, inwards negative; of a roll positive towards `side`.
    """

    kind: str
    side: int
    shape: str
    col: float
    row: float
    deepest_col: float
    u_um: float
    length_um: float
    length_px: float
    depth_um: float
    depth_px: float


@dataclass(frozen=True)
class Scar:
    """Broken steel over some columns: how much of each pixel it covers, and its light."""

    columns: slice
    cover: np.ndarray
    lean: np.ndarray  # of its facets across, rad
    along: np.ndarray
    shade: np.ndarray


@dataclass(frozen=True)
class Changed:
    """Band after damage: where across the clean section each pixel reads its light, and scars."""

    v: np.ndarray
    shine: np.ndarray
    scars: tuple[Scar, ...]
    told: tuple[Broken, ...]

    def scarred(self, light, table, profile):
        """`light` with the scars over it."""
        for scar in self.scars:
            part = light[:, scar.columns]
            steel = table.at(scar.lean, scar.along) / profile.scale * scar.shade
            part += scar.cover * (steel - part)
        return light


def _below(limit, t, pitch):
    """Share of each pixel that lies at less than `limit` outwards."""
    return np.clip((limit - t) / pitch + 0.5, 0, 1)


def _facets(shape, pitch, rng):
    """Leans of broken facets, unit spread, smooth over SCAR_GRAIN_UM."""
    noise = rng.standard_normal(shape, dtype=np.float32)
    noise = cv2.GaussianBlur(noise, (0, 0), float(np.clip(SCAR_GRAIN_UM / pitch, 0.7, 6)))
    return noise / max(noise.std(), 1e-6)


def _scar(damage, depth, t, border, place, rng):
    """Cover and facets of what broke out; `depth`, `t`, `border` over the damage's columns."""
    pitch = place.frame.pitch
    reach = rng.uniform(*SCAR_REACH[damage.kind])
    cover = _below(border + reach * depth, t, pitch) - _below(border - depth, t, pitch)
    spread = SCAR_ROUGHNESS[damage.glinting]
    mean = damage.side * rng.uniform(0.65, 1.1)
    lean = mean + spread * _facets(depth.shape, pitch, rng)
    along = spread * _facets(depth.shape, pitch, rng)
    shade = rng.uniform(0.5, 1.0) * np.clip(1 + 0.2 * _facets(depth.shape, pitch, rng), 0.3, 2)
    return cover, lean, along, shade


def _told(damage, u0, depth, border, line, at, pitch_px):
    """The record of a damage that stands at `u0` and is `depth` deep along the line."""
    x, y = at(line.middle + damage.side * border * line.widening / line.cosine)
    deepest = line.u[int(np.argmax(depth))]
    return Broken(
        kind=damage.kind,
        side=damage.side,
        shape=damage.shape,
        col=float(np.interp(u0, line.u, x)),
        row=float(np.interp(u0, line.u, y)),
        deepest_col=float(np.interp(deepest, line.u, x)),
        u_um=float(u0),
        length_um=damage.length_um,
        length_px=damage.length_um / pitch_px,
        depth_um=float(np.sign(damage.depth_um) * depth.max()),
        depth_px=float(np.sign(damage.depth_um) * depth.max() / pitch_px),
    )


def realise(damages, place, profile, line, at, rng):
    """Break, roll and widen the band; `at(v)` gives columns and rows of the line `v` across."""
    um, pitch = place.frame.um_per_px, place.frame.pitch
    v = place.v.copy()
    shine = np.ones_like(v)
    scars, told = [], []
    step = line.u[1] - line.u[0]
    for damage in damages:
        side, nominal = damage.side, damage.side * profile.borders[(damage.side + 1) // 2]
        x, _ = at(line.middle + side * nominal * line.widening / line.cosine)
        u0 = np.interp(damage.x_um / um - 0.5, x, line.u)
        deep = abs(damage.depth_um) * depth_shape(damage, line.u - u0, step, rng)
        told.append(_told(damage, u0, deep, nominal, line, at, um))
        touched = np.flatnonzero((np.abs(place.u - u0) < damage.length_um / 2).any(axis=0))
        if not len(touched):
            continue
        columns = slice(touched[0], touched[-1] + 1)
        depth = np.interp(place.u[:, columns], line.u, deep)
        border = nominal * place.widening[:, columns]
        t = side * place.v[:, columns]
        if damage.kind == "roll":
            v[:, columns] -= side * np.sign(damage.depth_um) * depth
        elif damage.kind == "lip":
            wider = np.where(t < border + depth, t * border / (border + depth), t - depth)
            v[:, columns] = np.where(t <= 0, v[:, columns], side * wider)
            lip = _below(border + depth, t, pitch) - _below(border, t, pitch)
            shine[:, columns] *= 1 - (1 - damage.shine) * lip
        else:
            scars.append(Scar(columns, *_scar(damage, depth, t, border, place, rng)))
    return Changed(v, shine, tuple(scars), tuple(told))


def burr_light(light, burr, place, profile, table, rng):
    """`light` with a burr over it: a half cylinder, leaning, its width uneven along the edge."""
    t = np.linspace(-1, 1, 801)
    lean = burr.side * np.radians(burr.lean_deg) + np.arcsin(t)
    shine = table.at(lean) / profile.scale
    integral = np.concatenate([[0], np.cumsum((shine[1:] + shine[:-1]) / 2 * np.diff(t))])
    u = place.u[place.u.shape[0] // 2]
    step = max(float(np.abs(np.diff(u)).mean()), 1e-6)
    noise = smooth_noise(len(u), step, 25.0, rng)
    width = burr.width_um * np.exp(burr.raggedness * noise)
    x = (np.arange(len(u)) + 0.5) / len(u)
    width = width * np.clip((x - burr.from_) * 60, 0, 1) * np.clip((burr.to - x) * 60, 0, 1)
    width = np.maximum(width, 1e-3)[None, :]
    k = (burr.side + 1) // 2
    middle = profile.borders[k] * place.widening + burr.side * burr.offset_um
    middle = middle + 0.15 * burr.width_um * smooth_noise(len(u), step, 40.0, rng)[None, :]
    ends = [
        np.clip((place.v - middle + sign * place.frame.pitch / 2) / (width / 2), -1, 1)
        for sign in (-1, 1)
    ]
    share = (width / 2) / place.frame.pitch
    cover = (ends[1] - ends[0]) * share
    return light * (1 - cover) + share * (
        np.interp(ends[1], t, integral) - np.interp(ends[0], t, integral)
    )
