"""What photographs of known truth does the first world hold: kinds to measure, and to refuse?

Settings of `edgetest.photo.render.apex_scene.render_apex` with how the file is written.
"""

import itertools

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_decode, srgb_encode
from edgetest.photo.render.apex_scene import render_apex

SIZES = [(240, 320), (480, 640), (600, 800), (720, 1280), (960, 1280)]


def encode(picture, *, jpeg=None, cast=None):
    """File bytes of a 16-bit grey picture: PNG or JPEG of 8 bits, tinted where asked."""
    picture = picture / 65535.0
    if cast is not None:
        light = srgb_decode(picture)
        picture = srgb_encode(np.stack([light * c for c in cast], axis=2))
    picture = np.rint(255 * picture).astype(np.uint8)
    if jpeg:
        return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, int(jpeg)])[1].tobytes()
    return cv2.imencode(".png", picture)[1].tobytes()


def size_of(rng, width_px):
    """Picture size that leaves bevel on both sides of the land."""
    fit = [size for size in SIZES if size[0] > 3.2 * width_px + 80]
    return fit[rng.integers(len(fit))]


def base(rng, width_px):
    """Settings that every kind shares."""
    land = rng.uniform(0.35, 0.8)
    return {
        "shape": size_of(rng, width_px),
        "width_um": width_px,
        "land": land,
        "bevels": tuple(land * rng.uniform(0.03, 0.3, 2)),
        "blur_px": rng.uniform(0.8, 2.2),
        "noise": rng.uniform(0.003, 0.015),
        "supersample": 2,
    }


def plain(rng):
    """Straight or tilted edge, even light, white noise."""
    case = base(rng, np.exp(rng.uniform(np.log(4), np.log(60))))
    case |= {"tilt_deg": rng.uniform(-30, 30), "bow_px": rng.uniform(-8, 8)}
    return case, {}


def hard(rng):
    """Everything a bench photograph suffers from at once."""
    case = base(rng, np.exp(rng.uniform(np.log(8), np.log(50))))
    rows = case["shape"][0]
    case |= {
        "tilt_deg": rng.uniform(-30, 30),
        "bow_px": rng.uniform(-0.06, 0.06) * rows,
        "recurve_px": rng.uniform(-0.05, 0.05) * rows,
        "offset_px": rng.uniform(-0.1, 0.1) * rows,
        "width_sd": rng.uniform(0, 0.06),
        "width_grain_um": rng.uniform(30, 120),
        "land_grain": rng.uniform(0.02, 0.15),
        "land_grain_um": rng.uniform(10, 80),
        "bevel_grain": rng.uniform(0.05, 0.4),
        "uneven_light": rng.uniform(-0.4, 0.4),
        "dust": int(rng.integers(0, 15)),
        "scratches": int(rng.integers(0, 7)),
        "label": "x50  100 um" if rng.uniform() < 0.5 else "",
    }
    return case, {"jpeg": rng.choice([75, 85, 95]), "cast": _cast(rng)}


def _cast(rng):
    """Colour of the light (blue, green, red), or none."""
    return tuple(rng.uniform(0.6, 1.0, 3)) if rng.uniform() < 0.4 else None


def wide(rng):
    """Lands of 50 to 200 pixels."""
    case = base(rng, rng.uniform(50, 200))
    case |= {"tilt_deg": rng.uniform(-20, 20)}
    return case, {}


def narrow(rng):
    """Lands of 0.8 to 3 pixels."""
    case = base(rng, rng.uniform(0.8, 3.0))
    case |= {"tilt_deg": rng.uniform(-30, 30), "noise": rng.uniform(0.003, 0.01)}
    return case, {}


def narrow_known(rng):
    """As narrow, with the blur known from elsewhere to 2 %."""
    case, file = narrow(rng)
    total = np.sqrt(case["blur_px"] ** 2 + 1 / 12)
    return case, file | {"blur_px": total * (1 + 0.02 * rng.standard_normal())}


def saturated(rng):
    """Overexposed up to 1.7 times full scale."""
    case = base(rng, np.exp(rng.uniform(np.log(6), np.log(60))))
    land = rng.uniform(1.05, 1.7)
    case |= {
        "land": land,
        "bevels": tuple(land * rng.uniform(0.03, 0.2, 2)),
        "tilt_deg": rng.uniform(-30, 30),
        "land_grain": rng.uniform(0.0, 0.05),
    }
    return case, {}


def blown(rng):
    """Overexposed 1.7 to 4 times: never a confident wrong number."""
    case, file = saturated(rng)
    land = rng.uniform(1.7, 4.0)
    case |= {"land": land, "bevels": tuple(land * rng.uniform(0.03, 0.15, 2))}
    return case, file


def defocus(rng):
    """Soft, and softer at one end than at the other."""
    case = base(rng, np.exp(rng.uniform(np.log(15), np.log(80))))
    blur = rng.uniform(2, case["width_um"] / 4)
    blur = min(blur, 9)
    case |= {"tilt_deg": rng.uniform(-30, 30), "blur_px": blur}
    if rng.uniform() < 0.6:
        case["blur_px"] = (blur, blur * rng.uniform(0.3, 0.9))
    return case, {}


def chips(rng):
    """One to four lips, notches and rolls, 2 to 20 pixels deep."""
    case = base(rng, np.exp(rng.uniform(np.log(8), np.log(40))))
    case["shape"] = [(480, 640), (600, 800), (960, 1280)][rng.integers(3)]
    cols = case["shape"][1]
    count = int(rng.integers(1, 5))
    slots = np.linspace(0.1, 0.9, count + 1) * cols
    found = []
    for first, last in itertools.pairwise(slots):
        length = rng.uniform(15, 60)
        place = rng.uniform(first + length, max(first + length + 1, last - length))
        kind, side = rng.choice(["lip", "notch", "roll"]), rng.choice([-1, 1])
        depth = rng.uniform(2, 20)
        if kind != "lip":
            depth = -min(depth, 0.8 * case["width_um"])
        found.append((place, length, depth, side))
        if kind == "roll":
            found.append((place, length, -depth, -side))
    case |= {
        "tilt_deg": rng.uniform(-20, 20),
        "width_sd": rng.uniform(0, 0.02),
        "land_grain": rng.uniform(0, 0.05),
        "bevel_grain": rng.uniform(0, 0.2),
        "chips": tuple(found),
    }
    return case, {}


def turned(rng):
    """Upright, or any other direction."""
    case = base(rng, np.exp(rng.uniform(np.log(4), np.log(40))))
    case |= {"tilt_deg": 90.0 if rng.uniform() < 0.3 else rng.uniform(-180, 180)}
    return case, {}


def partial(rng):
    """The edge covers only a part of the picture's length."""
    case = base(rng, np.exp(rng.uniform(np.log(6), np.log(40))))
    first = rng.uniform(0, 0.4)
    case |= {"tilt_deg": rng.uniform(-20, 20), "span": (first, first + rng.uniform(0.45, 0.6))}
    case |= {"bevel_grain": rng.uniform(0, 0.2)}
    return case, {}


KINDS = {
    f.__name__: f
    for f in (
        plain, hard, wide, narrow, narrow_known, saturated, blown, defocus, chips, turned, partial,
    )
}  # fmt: skip


def refusals(rng):
    """Name and picture of everything that shows no width (out of focus, a limit at most)."""

    def edge(**more):
        return render_apex(rng=rng, **({"width_um": 14.0, "bevel_grain": 0.2} | more))[0]

    rows, cols = 480, 640
    yield "no edge", edge(land=0.08, bevels=(0.08, 0.08))
    step = np.where(np.arange(rows)[:, None] + 0.1 * np.arange(cols) < 250, 0.1, 0.6)
    step = cv2.GaussianBlur(step.astype(np.float32), (0, 0), 1.3)
    step = np.clip(step + 0.01 * rng.standard_normal(step.shape), 0, 1)
    yield "step only", np.uint8(255 * step ** (1 / 2.2))
    spots = np.full((rows, cols), 0.1, np.float32)
    for _ in range(25):
        centre = int(rng.uniform(0, cols)), int(rng.uniform(0, rows))
        cv2.circle(spots, centre, int(rng.uniform(2, 9)), 0.8, -1)
    yield "glints", np.uint8(255 * cv2.GaussianBlur(spots, (0, 0), 1.3) ** (1 / 2.2))
    yield "noise", rng.integers(0, 256, (rows, cols)).astype(np.uint8)
    yield (
        "smooth noise",
        np.uint8(
            np.clip(
                128 + 400 * cv2.GaussianBlur(rng.standard_normal((rows, cols)), (0, 0), 3), 0, 255
            )
        ),
    )
    yield "out of focus", edge(blur_px=14.0)
    yield "out of focus, disc", edge(blur_px=16.0, disc=True)
    yield "two bands", edge(second_band=(rng.uniform(25, 60), 10.0, 0.5))
    yield "two bands, far", edge(second_band=(rng.uniform(90, 140), 14.0, 0.6))
    yield "no contrast", edge(land=0.3, bevels=(0.3, 0.3), bevel_grain=0.0)
    yield "black", np.zeros((rows, cols), np.uint8)
    yield "white", np.full((rows, cols), 255, np.uint8)
    yield "land fills the frame", edge(width_um=700.0)
    yield "land over one border", edge(width_um=200.0, offset_px=190.0)
    yield "inverted", 255 - edge()
    yield "dark band", edge(land=0.05, bevels=(0.6, 0.6))
    for pitch, wide_lines in ((8, 2), (20, 4), (40, 6)):
        x = (np.arange(cols) + 0.37 * np.arange(rows)[:, None]) % pitch
        ruled = np.where(x < wide_lines, 0.1, 0.7).astype(np.float32)
        light = cv2.GaussianBlur(ruled, (0, 0), 1.3)
        light = light + 0.01 * rng.standard_normal(light.shape)
        yield f"micrometer, pitch {pitch}", np.uint8(255 * np.clip(light, 0, 1) ** (1 / 2.2))
    yield "ramp", np.uint8(np.broadcast_to(np.linspace(20, 230, cols), (rows, cols)))
    yield "1 x 1", np.full((1, 1), 99, np.uint8)
    yield "3 x 2000", np.full((3, 2000), 99, np.uint8)
