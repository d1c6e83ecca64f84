"""Which blades, microscopes and cameras stand on benches? Seeded draws, each within its range.

The ranges are common practice of a bench, no source; lengths that a picture is drawn in are pixels,
lengths of the blade micrometres.
"""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.pictures.camera import Camera
from tests.benchmarks.pictures.grain import Ground
from tests.benchmarks.pictures.lamps import Lighting
from tests.benchmarks.pictures.lens import Lens
from tests.benchmarks.pictures.surface import Apex, Damage, Edge

# Radius of an Airy pattern's first dark ring times the aperture, for light of 0.55 um.
AIRY_UM = 0.61 * 0.55
# Standard deviation of a Gaussian that an Airy pattern is like, over the radius of its first ring
# (0.42 wavelengths over 1.22, by the focal ratio).
AIRY_SD = 0.345
PIXEL_SD = 12**-0.5
# A single scratch is no wider than this in the picture, however large it is shown.
WIDEST_SCRATCH = 5.0
SIZES = ((480, 640), (600, 800), (720, 960), (960, 1280))
SIZE_ODDS = (0.4, 0.3, 0.2, 0.1)


def between(rng, low, high):
    """A number, every ratio as likely as another: a draw even in the logarithm."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def either(rng, share):
    """True in that share of the draws."""
    return bool(rng.random() < share)


@dataclass(frozen=True)
class Bench:
    """What a picture is taken with: sizes, pixels, samples, aperture, best focus of the lens."""

    rows: int
    cols: int
    um_per_px: float
    ss: int
    na_lens: float
    lens: Lens


def bench(rng, blur=(0.6, 2.2), size=None):
    """A microscope in good focus: total blur `blur` px, pixels that its aperture asks for."""
    rows, cols = size or SIZES[rng.choice(len(SIZES), p=SIZE_ODDS)]
    total = between(rng, *blur)
    optics = np.sqrt(max(total**2 - PIXEL_SD**2, 0.25))
    share = 1.0 if either(rng, 0.35) else rng.uniform(0.4, 1.0)  # diffraction alone, or defocus too
    airy = float(np.clip(optics * share / AIRY_SD, 1.5, 6.0))
    disc = 2 * np.sqrt(max(optics**2 - (AIRY_SD * airy) ** 2, 0.0))
    na = float(np.clip(between(rng, 0.03, 0.28), AIRY_UM / (3.0 * airy), 0.28))
    lens = Lens(
        airy_px=airy,
        disc_px=float(disc * rng.choice([-1, 1])),
        vignetting=float(rng.uniform(0, 0.1)),
        glare=float(rng.uniform(0, 0.02)),
    )
    ss = 3 if rows <= 600 else 2
    return Bench(rows, cols, AIRY_UM / (na * airy), ss, na, lens)


def on_axis(rng, place):
    """Light through the objective."""
    return Lighting(
        kind="on-axis",
        na_lamp=float(place.na_lens * rng.uniform(0.4, 1.2)),
        na_lens=place.na_lens,
        alpha=between(rng, 0.03, 0.20),
        diffuse=float(rng.uniform(0.02, 0.10)),
    )


def ring_light(rng, place, low=40.0, high=75.0):
    """A ring of lamps about the lens, closed or of eight."""
    return Lighting(
        kind="ring",
        na_lamp=float(rng.uniform(0.06, 0.15)),
        na_lens=place.na_lens,
        alpha=between(rng, 0.05, 0.20),
        theta_deg=float(rng.uniform(low, high)),
        lamps=8 if either(rng, 0.5) else 0,
        diffuse=float(rng.uniform(0.02, 0.10)),
    )


def dome_light(rng, place):
    """Light from everywhere between two angles."""
    near = float(rng.uniform(15, 45))
    return Lighting(
        kind="dome",
        na_lens=place.na_lens,
        alpha=between(rng, 0.05, 0.20),
        theta_deg=near,
        theta_far_deg=float(rng.uniform(near + 20, 80)),
        diffuse=float(rng.uniform(0.02, 0.10)),
    )


def sectors(rng, place):
    """Two lamps across the edge, now and then turned, uneven or with one of them off."""
    return Lighting(
        kind="sectors",
        na_lamp=float(rng.uniform(0.06, 0.12)),
        na_lens=place.na_lens,
        alpha=between(rng, 0.03, 0.15),
        theta_deg=float(rng.uniform(50, 75)),
        sector_turn_deg=float(rng.uniform(-25, 25)) if either(rng, 0.3) else 0.0,
        sector_ratio=between(rng, 0.6, 1.7),
        diffuse=float(rng.uniform(0.02, 0.06)),
    )


def leans(rng, low=60.0, high=80.0):
    """Leans of the two bevels; a blade is ground alike on both sides, or nearly."""
    first = rng.uniform(low, high)
    return float(first), float(np.clip(first + rng.normal(0, 2), low, high))


def flat_apex(rng, width_um):
    """A flat land; its corners sharp, or rounded by at most 10 % of it."""
    radius = 0.0 if either(rng, 0.4) else float(width_um * rng.uniform(0.01, 0.10))
    form = "corners" if radius else "flat"
    return Apex(form, width_um, radius, leans(rng, 45.0 if either(rng, 0.25) else 60.0))


def edge(rng, place, tilt=6.0, bow_px=4.0, recurve_px=0.0, land_px=30.0):
    """A line that stays in the picture."""
    pitch = place.um_per_px
    room = place.rows / 2 - land_px / 2 - bow_px - recurve_px - 30
    steepest = np.degrees(np.arctan(max(room, 5) * 0.8 / (place.cols / 2)))
    tilt_deg = float(rng.uniform(-1, 1) * min(tilt, steepest))
    free = max(room - abs(np.tan(np.radians(tilt_deg))) * place.cols / 2, 0)
    return Edge(
        tilt_deg=tilt_deg,
        offset_um=float(rng.uniform(-0.6, 0.6) * free * pitch),
        bow_um=float(rng.uniform(-1, 1) * bow_px * pitch),
        recurve_um=float(rng.uniform(-1, 1) * recurve_px * pitch),
        wander_um=float(rng.uniform(0, 0.02) * min(land_px, 40) * pitch),
        wander_length_um=between(rng, 60, 300),
        width_wander=float(rng.uniform(0, 0.06)),
        width_wander_length_um=between(rng, 30, 200),
    )


def ground(
    rng, pitch, land_sd=(0.02, 0.06), bevel_sd=(0.05, 0.20), falloff=0.1, dust=2, scratches=3
):
    """How the land and its bevels were ground, and what lies on them; `pitch` um to a pixel."""
    if either(rng, 0.75):  # across the edge, as on most benches, or along it
        angle = float(rng.uniform(50, 90))
        grains = (angle, -angle if either(rng, 0.6) else angle)
    else:
        grains = (float(rng.uniform(-10, 10)), float(rng.uniform(-10, 10)))
    return Ground(
        land_sd=float(rng.uniform(*land_sd)),
        bevel_sd=float(rng.uniform(*bevel_sd)),
        land_grain_deg=float(rng.uniform(-8, 8) if either(rng, 0.7) else rng.uniform(-90, 90)),
        bevel_grain_deg=grains,
        land_grain_um=(between(rng, 20, 200), between(rng, 1, 5)),
        bevel_grain_um=(between(rng, 20, 200), between(rng, 1, 5)),
        scratches=int(rng.integers(0, scratches + 1)),
        scratch_um=(min(1.0, WIDEST_SCRATCH / 3 * pitch), min(3.0, WIDEST_SCRATCH * pitch)),
        dust=int(rng.integers(0, dust + 1)),
        falloff=float(rng.uniform(0, falloff)),
        falloff_deg=float(rng.uniform(0, 360)),
    )


def hard_ground(rng, pitch):
    """Everything of a bench at once."""
    made = ground(rng, pitch, (0.05, 0.15), (0.10, 0.50), falloff=0.4, dust=25, scratches=25)
    return replace(made, oil=float(rng.uniform(0, 0.3)))


def damages(rng, place, land_px, count):
    """Notches, lips, rolls and chips along the edge, each with room beside it."""
    made, taken = [], []
    for _ in range(20 * count):
        if len(made) == count:
            break
        length = between(rng, 8, 80)
        at = float(rng.uniform(0.06, 0.94) * place.cols)
        if any(abs(at - x) < 0.6 * (length + other) + 10 for x, other in taken):
            continue
        taken.append((at, length))
        kind = str(rng.choice(["notch", "lip", "roll", "chip"], p=[0.35, 0.25, 0.2, 0.2]))
        deepest = {"notch": min(25.0, 0.85 * land_px), "chip": 25.0}.get(kind, min(25.0, land_px))
        depth = between(rng, 2, max(deepest, 2.5))
        if kind == "chip":
            depth = max(depth, min(1.1 * land_px, 25.0))
        inwards = -1 if kind in ("notch", "chip") else 1
        made.append(
            Damage(
                kind=kind,
                side=int(rng.choice([-1, 1])),
                x_um=at * place.um_per_px,
                length_um=length * place.um_per_px,
                depth_um=inwards * depth * place.um_per_px,
                shape=str(rng.choice(["bump", "v", "box"])),
                asymmetry=float(rng.uniform(-0.7, 0.7)),
                glinting=either(rng, 0.4),
                shine=float(rng.uniform(0.6, 1.0)),
            )
        )
    return tuple(made)


def camera(rng, quality=(85, 95), **told):
    """A camera that writes sRGB, with hardly any processing."""
    colour = either(rng, 0.75)
    words = {
        "exposure": float(rng.uniform(0.45, 0.9)),
        "colour": colour,
        "response": (float(rng.uniform(0.4, 0.8)), 1.0, float(rng.uniform(0.4, 0.85))),
        "full_well": between(rng, 5000, 20000),
        "read_noise": float(rng.uniform(5, 15)),
        "black": float(rng.choice([0.0, 0.005])),
        "demosaic": str(rng.choice(["bilinear", "edge-aware"])),
        "cast": (float(rng.normal(1, 0.03)), 1.0, float(rng.normal(1, 0.03))),
        "file": "png" if either(rng, 0.2) else "png16" if either(rng, 0.08) else "jpeg",
        "quality": int(rng.integers(quality[0], quality[1] + 1)),
        "subsampling": str(rng.choice(["4:4:4", "4:2:0"])),
    }
    return Camera(**{**words, **told})


def hard_camera(rng):
    """A camera that smooths, sharpens and presses its files together."""
    return camera(
        rng,
        (60, 95),
        exposure=float(rng.uniform(0.3, 1.0)),
        subsampling="4:2:0",
        file="jpeg",
        denoise=str(rng.choice(["", "median", "bilateral"])),
        denoise_strength=float(rng.uniform(2, 6)),
        sharpen=float(rng.uniform(0.3, 1.2)) if either(rng, 0.5) else 0.0,
        sharpen_px=float(rng.uniform(0.7, 2.0)),
        saturation=float(rng.uniform(0.5, 1.4)),
        resize=1.0 if either(rng, 0.6) else float(rng.uniform(0.6, 1.0)),
    )
