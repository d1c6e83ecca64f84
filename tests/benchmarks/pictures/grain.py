"""What lies over the bare shape of the surface: scratches of grinding, dust, oil, uneven light?

Fields of scratches are noise drawn on a grid that runs along the grind and laid over the picture.
"""

from dataclasses import dataclass

import cv2
import numpy as np

LARGEST_GRID = 4000  # nodes across the grain; a larger picture has its scratches repeat (mirrored)
FADING_UM = 12.0  # single scratches fade and break over so much of their length
DEEPEST = 3.5  # a scratch is no deeper than so many deviations


@dataclass(frozen=True)
class Ground:
    """Texture. SDs are of radiance, relative; grain angles from +u to +v; lengths as seen, um.

    `bevel_grain_deg`: (side of negative v, of positive v). `scratches`: single glinting ones, on
    the bevels. `falloff`: share of light lost from the brightest place to the darkest. `oil`:
    share of light that a film swallows where it is thickest.
    """

    land_sd: float = 0.04
    bevel_sd: float = 0.20
    land_grain_deg: float = 0.0
    bevel_grain_deg: tuple[float, float] = (80.0, -80.0)
    land_grain_um: tuple[float, float] = (80.0, 2.0)  # along, across
    bevel_grain_um: tuple[float, float] = (60.0, 3.0)
    scratches: int = 0
    scratch_um: tuple[float, float] = (1.0, 3.0)
    dust: int = 0
    dust_px: tuple[float, float] = (2.0, 15.0)
    dust_bright: float = 0.3  # share of bright specks
    oil: float = 0.0
    falloff: float = 0.1
    falloff_deg: float = 0.0


@dataclass(frozen=True)
class Grain:
    """Scratches on their own grid: axes along (columns) and across (rows) the grain."""

    values: np.ndarray  # float32, mean 0, SD 1
    steps: tuple[float, float]  # um along, across
    turn: float  # rad, of the grain in the picture

    def places(self, x, y):
        """Grid columns and rows of picture places `x`, `y` (um from its middle), float32."""
        c, s = np.cos(self.turn), np.sin(self.turn)
        along = (c * x + s * y) / self.steps[0] + self.values.shape[1] / 2
        across = (c * y - s * x) / self.steps[1] + self.values.shape[0] / 2
        return along.astype(np.float32), across.astype(np.float32)

    def lay(self, values, shape, pitch, rows=(0, None)):
        """Lay `values` on this grid over rows of a picture of `shape` with pixels of `pitch`."""
        first, last = rows[0], shape[0] if rows[1] is None else rows[1]
        c, s = np.cos(self.turn) * pitch, np.sin(self.turn) * pitch
        x0, y0 = -(shape[1] - 1) / 2, first - (shape[0] - 1) / 2
        p, q = self.steps
        to_grid = np.array(
            [
                [c / p, s / p, (c * x0 + s * y0) / p + self.values.shape[1] / 2],
                [-s / q, c / q, (c * y0 - s * x0) / q + self.values.shape[0] / 2],
            ]
        )
        return cv2.warpAffine(
            values,
            to_grid,
            (shape[1], last - first),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REFLECT_101,
        )


def draw_grain(diagonal, lengths, turn_deg, pitch, rng, slopes=False):
    """Scratches over a disc of `diagonal` um: finer ones and wider ones, some of them deep.

    With `slopes` the field is the slope of such scratches across the grain: what leans one way on
    one wall leans back on the other, so that scratches bend no crest.
    """
    steps, nodes = [], []
    for length, finest in zip(lengths, (3 * pitch, 0.8 * pitch), strict=True):
        step = max(length / 3.5, finest)
        nodes.append(int(min(diagonal / step + 8, LARGEST_GRID)))
        steps.append(step)
    noise = rng.standard_normal((nodes[1], nodes[0]), dtype=np.float32)
    spread = [max(length / 2 / step, 0.3) for length, step in zip(lengths, steps, strict=True)]
    fine = cv2.GaussianBlur(noise, (0, 0), spread[0], sigmaY=spread[1])
    wide = cv2.GaussianBlur(fine, (0, 0), spread[0], sigmaY=3 * spread[1])
    field = fine / fine.std() + 0.6 * wide / max(wide.std(), 1e-9)
    field = np.sign(field) * np.abs(field) ** 1.3  # few deep ones among many shallow
    if slopes:
        field = np.gradient(field, axis=0)
    field -= field.mean()
    field = np.clip(field / field.std(), -DEEPEST, DEEPEST)
    return Grain(field / field.std(), tuple(steps), np.radians(turn_deg))


def quantiles(field, count=48):
    """Values that stand for a field's distribution, equally likely, shape (count,)."""
    return np.quantile(
        field.ravel()[:: max(1, field.size // 20000)], (np.arange(count) + 0.5) / count
    )


def lognormal(field, sd):
    """Positive gains of mean 1 and relative SD near `sd` from a field of unit SD."""
    if sd <= 0:
        return np.ones_like(field)
    gain = np.exp(np.float32(np.sqrt(np.log1p(sd**2))) * field)
    return gain / gain.mean()


def glints(shape, pitch, ground, tilt_deg, brightness, rng):
    """Single scratches on both bevels: their light, float32 of `shape`, 0 elsewhere.

    Lines along the grain of either bevel, give or take ten degrees; each is as bright at its best
    as `brightness(rng)` says (1: the land), and fades and breaks along itself.
    """
    canvas = np.zeros(shape, np.uint8)
    for _ in range(ground.scratches):
        side = int(rng.integers(2))
        angle = np.radians(tilt_deg + ground.bevel_grain_deg[side] + rng.normal(0, 10))
        length = rng.uniform(20, 200) / pitch
        middle = rng.uniform(0, 1, 2) * np.array([shape[1], shape[0]])
        thick = max(1, round(rng.uniform(*ground.scratch_um) / pitch))
        light = int(255 * min(1.0, brightness(rng)))
        along = length / 2 * np.array([np.cos(angle), np.sin(angle)])
        ends = [tuple(int(16 * c) for c in middle + k * along) for k in (-1, 1)]
        if light:
            cv2.line(canvas, *ends, light, thick, cv2.LINE_AA, 4)
    nodes = [max(4, int(size * pitch / FADING_UM)) for size in shape]
    fading = np.clip(rng.normal(0.6, 0.4, nodes), 0, 1).astype(np.float32)
    marks = cv2.resize(fading, (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR)
    marks *= canvas
    marks *= np.float32(1 / 255)
    return marks


def falling_light(shape, ground, rng):
    """Share of the light that arrives (float32, of `shape`), its greatest value 1."""
    y, x = np.mgrid[-1:1:24j, -1:1:32j]
    turn = np.radians(ground.falloff_deg)
    slant = (x * np.cos(turn) + y * np.sin(turn)) / (abs(np.cos(turn)) + abs(np.sin(turn)))
    hollow = (x**2 + y**2) / 2
    mix = rng.uniform(0.3, 1.0)
    loss = mix * (slant + 1) / 2 + (1 - mix) * hollow
    light = 1 - ground.falloff * (loss - loss.min()) / np.ptp(loss)
    if ground.oil:
        film = cv2.GaussianBlur(rng.standard_normal((24, 32)), (0, 0), 4)
        light *= 1 - ground.oil / (1 + np.exp(-2.5 * film / film.std()))
    light = (light / light.max()).astype(np.float32)
    return cv2.resize(light, (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR)


def scatter_dust(light, ground, supersample, rng):
    """Lay specks and a few fibres on `light`, in place; sizes in pixels of the picture."""
    rows, cols = light.shape
    for _ in range(ground.dust):
        radius = supersample * np.exp(rng.uniform(*np.log(ground.dust_px))) / 2
        y0, x0 = rng.uniform(0, rows), rng.uniform(0, cols)
        reach = int(2 * radius) + 3
        top, left = max(int(y0) - reach, 0), max(int(x0) - reach, 0)
        patch = light[top : int(y0) + reach, left : int(x0) + reach]
        if not patch.size:
            continue
        y = np.arange(top, top + patch.shape[0])[:, None] - y0
        x = np.arange(left, left + patch.shape[1])[None, :] - x0
        phi, turn = np.arctan2(y, x), rng.uniform(0, 2 * np.pi, 4)
        waves = rng.normal(0, 0.2, 4) / np.arange(1, 5)
        edge = 1 + sum(
            w * np.cos((k + 2) * phi + t) for k, (w, t) in enumerate(zip(waves, turn, strict=True))
        )
        soft = max(0.5 * supersample, 0.12 * radius)
        cover = np.clip((radius * edge - np.hypot(x, y)) / soft + 0.5, 0, 1).astype(np.float32)
        if rng.uniform() < ground.dust_bright:
            patch += cover * (rng.uniform(0.3, 1.3) - patch)
        else:
            patch *= 1 - cover * rng.uniform(0.6, 0.97)
