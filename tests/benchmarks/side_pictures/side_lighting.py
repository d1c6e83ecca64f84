"""How bright are the ground and the blade? Maps of light at the picture's pixels, ground about 1.

Invented from how such pictures look: a lit sheet falls off to one side, paper has a grain, shadows
lie in bands; a bevel lit from the front shows its scratches as streaks and its facets as patches.
"""

from dataclasses import dataclass

import cv2
import numpy as np


@dataclass(frozen=True)
class Glint:
    """A bright spot on the bevel: its middle and half widths (µm, along and across), its light."""

    at_um: float
    height_um: float
    along_um: float
    across_um: float
    light: float


@dataclass(frozen=True)
class Light:
    """How a scene is lit; light is told as a share of the ground's.

    Parameters
    ----------
    blade : float
        Mean light of the blade's bevel.
    texture : float
        Deviation of the bevel's streaks and patches, as a share of its light.
    slope : float
        Fall of the ground's light from one side to the other, as a share.
    mottle : float
        Deviation of the ground's own grain.
    bands : int
        Shadow bands on the ground.
    glints : tuple of Glint
        Bright spots on the bevel.
    """

    blade: float = 0.03
    texture: float = 0.25
    slope: float = 0.1
    mottle: float = 0.004
    bands: int = 0
    glints: tuple[Glint, ...] = ()


def ground_light(rng, rows, cols, light):
    """Light of the ground, (rows, cols)."""
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    y, x = y / rows - 0.5, x / cols - 0.5
    way = rng.uniform(0, 2 * np.pi)
    found = 1 + light.slope * (np.cos(way) * x + np.sin(way) * y)
    bright = rng.uniform(-0.3, 0.3, 2)  # the lamp's own hill
    found *= 1 - light.slope * ((x - bright[0]) ** 2 + (y - bright[1]) ** 2)
    for _ in range(light.bands):
        found *= _band(rng, x, y * rows / cols)
    found *= 1 + light.mottle * _grain(rng, rows, cols, rng.uniform(2.0, 12.0))
    return np.maximum(found, 0.02)


def _band(rng, x, y):
    """A band of shadow: what it leaves of the light."""
    way = rng.uniform(0, np.pi)
    away = x * np.cos(way) + y * np.sin(way) - rng.uniform(-0.4, 0.4)
    half, soft = rng.uniform(0.03, 0.2), np.exp(rng.uniform(np.log(0.004), np.log(0.08)))
    inside = 1 / (1 + np.exp(np.clip((np.abs(away) - half) / soft, -40, 40)))
    return 1 - rng.uniform(0.12, 0.45) * inside


def _grain(rng, rows, cols, size):
    """Random light of a given size in pixels, deviation 1."""
    small = rng.standard_normal((int(rows / size) + 4, int(cols / size) + 4)).astype(np.float32)
    wide = cv2.resize(small, None, fx=size, fy=size, interpolation=cv2.INTER_CUBIC)
    found = wide[:rows, :cols]
    return found / found.std()


def blade_light(rng, view, light):
    """Light of the bevel, (rows, cols): scratches, facets, the bright small bevel, glints."""
    y, x = np.mgrid[0 : view.rows, 0 : view.cols].astype(np.float32) + 0.5
    along, high = view.of_px(x, y)
    u = view.um_per_px
    lean = rng.uniform(-0.5, 0.5)
    # Streaks of scratches: alike along their own direction, new every few pixels across it.
    across = (along + lean * high) / u
    streaks = sum(
        share * np.interp(across, np.arange(-2 * view.cols, 3 * view.cols) * pitch
                          + view.middle_um / u, rng.standard_normal(5 * view.cols))
        for share, pitch in ((0.6, rng.uniform(1.5, 4.0)), (0.6, rng.uniform(8.0, 40.0)))
    )  # fmt: skip
    # Patches of the hand's pressure: long along the scratches, short across them.
    patches = _grain(rng, 40 + view.rows // 8, 3 * view.cols // 4, rng.uniform(12.0, 30.0))
    patches = cv2.remap(
        patches.astype(np.float32),
        ((across - across.min()) / 4).astype(np.float32),
        (20 - high / u / 14).astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REFLECT,
    )
    seen = light.blade * np.exp(light.texture * (0.7 * streaks + 0.6 * patches))
    # The small bevel ends in a line that wavers as the hand did.
    small = rng.uniform(20.0, 90.0) * u
    knots = np.arange(-view.cols, 2 * view.cols, 60.0) + view.middle_um / u
    waver = np.interp(across, knots, rng.standard_normal(len(knots)))
    inside = 1 / (1 + np.exp(np.clip(-(high / u + small / u + 1.2 * waver) / 0.8, -40, 40)))
    seen = seen * (1 + (rng.uniform(0.5, 1.6) - 1) * inside)
    for glint in light.glints:
        reach = ((along - glint.at_um) / glint.along_um) ** 2
        reach += ((high - glint.height_um) / glint.across_um) ** 2
        spot = 1 / (1 + np.exp(np.clip(6 * (np.sqrt(reach) - 1), -40, 40)))
        seen = seen + (glint.light - seen) * spot
    return seen.astype(np.float32)


def fold_light(view, seen, harms):
    """The bevel's light with the bright line behind each fold that has one."""
    y, x = np.mgrid[0 : view.rows, 0 : view.cols].astype(np.float32) + 0.5
    for harm in harms:
        if not harm.bright:
            continue
        rng = np.random.default_rng(harm.seed + 2)
        along, high = view.of_px(x, y)
        place = 2 * (along - harm.at_um) / harm.reach_um
        # The crease of the fold: an arc behind it. Where the fold lies open at its sides the
        # lamp shines through and the line runs out into the ground; else it fades.
        bow = np.clip(1 - place**2, 0, 1)
        if rng.random() < 0.5:
            bow = np.minimum(6 * bow, 1.0)
        middle = -(rng.uniform(0.0, 0.3) + rng.uniform(0.1, 0.6) * bow) * harm.deep_um
        middle = middle + 0.6 * view.um_per_px * np.sin(9 * place + rng.uniform(0, 6))
        half = rng.uniform(1.0, 3.5) * view.um_per_px * (0.4 + 0.6 * bow)
        line = np.exp(-(((high - middle) / half) ** 2)) * np.sqrt(bow)
        line = line * (0.8 + 0.2 * np.sin(23 * place + rng.uniform(0, 6)))
        seen = seen + (harm.bright - seen) * line
    return seen.astype(np.float32)
