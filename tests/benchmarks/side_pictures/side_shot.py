"""Which file does a phone or a USB microscope write of a side view? Scene, lens and sensor."""

from dataclasses import dataclass

import cv2
import numpy as np

from tests.benchmarks.pictures.camera import Camera, develop
from tests.benchmarks.side_pictures.painting import coverage
from tests.benchmarks.side_pictures.side_lighting import blade_light, fold_light, ground_light

# Cells a pixel, along both sides: areas are drawn on cells and then blurred.
CELLS = 3


@dataclass(frozen=True, eq=False)
class Body:
    """A thing before the ground: outline in pixels, its light, its opacity, its own blur in px.

    ``core`` is light shining through its middle (a drop); nought for dust.
    """

    outline: np.ndarray
    light: float
    opacity: float = 1.0
    blur_px: float = 0.0
    core: float = 0.0


@dataclass(frozen=True)
class Optics:
    """Blur of lens and focus: a Gaussian's deviation and a disc's radius, px; loss in the corners.

    ``veil`` is the share of the mean light that lies over all.
    """

    sigma_px: float = 0.6
    disc_px: float = 0.0
    vignetting: float = 0.1
    veil: float = 0.01


def draw_camera(rng):
    """A phone behind a loupe or a USB microscope, as its maker set it."""
    phone = rng.random() < 0.6
    tone = str(rng.choice(["sRGB", "filmic", "gamma"], p=[0.6, 0.25, 0.15]))
    return Camera(
        exposure=rng.uniform(0.55, 0.92),
        response=(rng.uniform(0.5, 0.7), 1.0, rng.uniform(0.55, 0.8)),
        full_well=float(np.exp(rng.uniform(np.log(3000), np.log(12000)))),
        read_noise=rng.uniform(4.0, 15.0),
        bits=12 if phone else 10,
        demosaic="edge-aware" if phone else "bilinear",
        cast=(rng.uniform(0.94, 1.06), 1.0, rng.uniform(0.92, 1.06)),
        tone=tone,
        tone_parameter={"filmic": rng.uniform(1.05, 1.3), "gamma": 2.2}.get(tone, 0.0),
        denoise=str(rng.choice(["", "bilateral"])) if phone else "",
        denoise_strength=rng.uniform(2.0, 5.0),
        sharpen=rng.uniform(0.0, 0.6) if phone else rng.uniform(0.0, 0.3),
        sharpen_px=rng.uniform(0.8, 1.6),
        quality=int(rng.integers(86, 96)),
    )


def draw_optics(rng, blur=0.0):
    """A lens in focus, or with about ``blur`` pixels of it."""
    share = rng.uniform(0.0, 1.0) if blur else 0.0
    return Optics(
        sigma_px=float(np.hypot(rng.uniform(0.45, 0.9), blur * np.sqrt(1 - share))),
        disc_px=2 * blur * np.sqrt(share),
        vignetting=rng.uniform(0.0, 0.2),
        veil=rng.uniform(0.0, 0.03),
    )


def compose(rng, view, edge_px, harms, light, bodies):
    """Light of each cell of the scene, (rows CELLS, cols CELLS), float32."""
    rows, cols = view.rows * CELLS, view.cols * CELLS
    seen = _fine(ground_light(rng, view.rows, view.cols, light), rows, cols)
    bevel = fold_light(view, blade_light(rng, view, light), harms)
    steel = coverage(edge_px * CELLS, rows, cols)
    seen += steel * (_fine(bevel, rows, cols) - seen)
    for body in bodies:
        _painted(seen, body)
    return seen


def _painted(seen, body):
    """Paint a body over the light of the cells, in place."""
    margin = int(4 * body.blur_px * CELLS) + 3
    points = body.outline * CELLS
    low = np.maximum(np.floor(points.min(axis=0)).astype(int) - margin, 0)
    high = np.ceil(points.max(axis=0)).astype(int) + margin
    part = seen[low[1] : high[1], low[0] : high[0]]
    if not part.size:
        return
    share = coverage(points - low, *part.shape).astype(np.float32)
    if body.blur_px:
        share = cv2.GaussianBlur(share, (0, 0), body.blur_px * CELLS)
    light = body.light
    if body.core:
        # A drop is a lens: dark at its rim, in its middle what lies behind it.
        width = np.sqrt(max(float(share.sum()), 1.0))
        step = max(width / 24, 1.0)
        small = cv2.resize(share, None, fx=1 / step, fy=1 / step, interpolation=cv2.INTER_AREA)
        small = cv2.copyMakeBorder(small, 4, 4, 4, 4, cv2.BORDER_CONSTANT)
        inner = cv2.GaussianBlur(small, (0, 0), 24 / 9)[4:-4, 4:-4]
        through = np.clip((inner - 0.8) / 0.15, 0, 1)
        through = cv2.resize(through, part.shape[1::-1], interpolation=cv2.INTER_LINEAR)
        light = body.light + through * (body.core * part - body.light)
    part += share * body.opacity * (light - part)


def taken(rng, scene, optics, camera, over=0):
    """The file of a scene; ``over`` = quarter turns of the camera, + 4 if mirrored first."""
    sharp = cv2.GaussianBlur(scene, (0, 0), max(optics.sigma_px * CELLS, 0.3))
    if optics.disc_px * CELLS > 1:
        sharp = cv2.filter2D(sharp, -1, _disc(optics.disc_px * CELLS))
    rows, cols = scene.shape[0] // CELLS, scene.shape[1] // CELLS
    image = cv2.resize(sharp, (cols, rows), interpolation=cv2.INTER_AREA)
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : cols * 1j].astype(np.float32)
    image *= 1 - optics.vignetting * (x**2 + y**2) / 2
    image += optics.veil * image.mean()
    image = np.rot90(image[:, ::-1] if over >= 4 else image, over % 4)
    return develop(np.ascontiguousarray(image, np.float32), camera, rng).data


def placed(points, view, over):
    """Points x, y in the picture's position ``over`` of points in the view, (n, 2)."""
    x, y = np.asarray(points, float).T
    cols, rows = view.cols, view.rows
    if over >= 4:
        x = cols - x
    for _ in range(over % 4):
        x, y, cols, rows = y, cols - x, rows, cols
    return np.stack([x, y], 1)


def _fine(light, rows, cols):
    """A map of light on the cells."""
    return cv2.resize(light.astype(np.float32), (cols, rows), interpolation=cv2.INTER_LINEAR)


def _disc(radius):
    """Point image of defocus: a disc with a soft rim."""
    half = int(np.ceil(radius)) + 1
    y, x = np.mgrid[-half : half + 1, -half : half + 1]
    kernel = np.clip(radius + 0.5 - np.hypot(x, y), 0, 1)
    return (kernel / kernel.sum()).astype(np.float32)
