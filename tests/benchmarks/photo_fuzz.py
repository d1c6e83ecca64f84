"""Which pictures, arrays and damaged files end a measurement with a fault of the program?

    python -m tests.benchmarks.photo_fuzz [cases] [seed] [way]

Small random crops of rendered pictures, soft, dim, flat, noisy, stored in any of the usual
types, and files with bytes changed or missing go through every way that a user has: apex view,
side view, micrometer, wire, focus stack, survey, files. A refusal is an answer, and so is the
one error that a user meets (`UnusableInput`); any other error or warning counts as a raise and
is printed once by its place, with the case that repeats it: `photo_fuzz.py 1 SEED/CASE`.
"""

import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from functools import cache
from pathlib import Path

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.scale.wire import scale_from_wire
from edgetest.study.photos.arrays import measure_array, profile_array, scale_of_array
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.side_views import measure_side_view
from edgetest.study.photos.surveys import measure_stack, survey

SMALLEST, LARGEST = 1, 260  # sides of a crop
TONES = ("srgb", "linear", "unknown", 1.8, 2.8)


@cache
def sources():
    """Rendered pictures, uint8, from which crops are taken, by the way that they are meant for."""
    made = []
    for number, width in enumerate((4.0, 9.0, 22.0, 60.0)):
        rng = np.random.default_rng(number)
        made += [
            render_apex(shape=(480, 640), width_um=width, um_per_px=1.0, tilt_deg=15.0 * number,
                        blur_px=0.8 + 2 * number, land_grain=0.1, bevel_grain=0.3, dust=12,
                        scratches=8, uneven_light=0.3, rng=rng, supersample=1)[0],
            render_ruling(shape=(360, 480), pitch_um=8.0 + width, rotation_deg=30.0 * number,
                          blur_px=1.0 + number, line_length_px=200, numerals=True, rng=rng)[0],
            render_profile(shape=(360, 480), tilt_deg=8.0 * number, blur_px=1.0 + number,
                           dust=20, roughness_px=0.3, rng=rng,
                           damage=[{"position": 0.4, "length_px": 30, "depth_px": 8,
                                    "shape": "bowl"}])[0],
        ]  # fmt: skip
        wire = np.full((300, 400), 220, np.uint8)
        cv2.line(wire, (0, 40 * number), (399, 250), 20, 9 + int(width))
        made += [wire, rng.integers(0, 256, (200, 260)).astype(np.uint8)]
    slope = np.tile(np.linspace(0, 255, 320).astype(np.uint8), (240, 1))
    made += [slope, np.full((240, 320), 128, np.uint8)]
    wanted = {"apex": made[0:20:5], "ruling": made[1:20:5], "side": made[2:20:5]}
    return {**wanted, "wire": made[3:20:5], "any": made}


def crop(rng, way="any", *, most=LARGEST):
    """A small piece of a source, made softer, dimmer, coarser or turned as a camera may."""
    pictures = sources()[way if rng.uniform() < 0.7 else "any"]
    picture = pictures[rng.integers(len(pictures))]
    sides = np.exp(rng.uniform(np.log(SMALLEST), np.log(most), 2)).astype(int)
    if rng.uniform() < 0.7:
        sides = sides + rng.integers(0, 160)
    rows, cols = (min(int(side), size) for side, size in zip(sides, picture.shape, strict=True))
    # Most pieces lie about the middle, where the edges run.
    share = np.clip(rng.normal(0.5, 0.15, 2), 0, 1)
    top, left = (
        int(part * (size - side))
        for part, size, side in zip(share, picture.shape, (rows, cols), strict=True)
    )
    piece = np.rot90(picture[top : top + rows, left : left + cols], rng.integers(4)).copy()
    if rng.uniform() < 0.5:
        piece = cv2.GaussianBlur(piece, (0, 0), float(np.exp(rng.uniform(-1, 2.5))))
    kind = rng.uniform() if rng.uniform() < 0.5 else 1.0
    if kind < 0.1:
        piece = 255 - piece
    elif kind < 0.3:
        low, span = rng.uniform(0, 200), np.exp(rng.uniform(-6, 0.5))
        piece = np.clip(low + span * piece.astype(float), 0, 255).astype(np.uint8)
    elif kind < 0.35:
        piece = np.clip(piece.astype(int) * rng.integers(2, 9), 0, 255).astype(np.uint8)
    elif kind < 0.4:
        piece[rng.integers(rows if piece.shape[0] == rows else cols) :] = rng.integers(256)
    return piece


def stored(rng, piece):
    """The crop in one of the types in which arrays come."""
    kind = rng.integers(6)
    if kind == 0:
        return piece.astype(np.uint16) * 257
    if kind == 1:
        return (piece / 255).astype(np.float32)
    if kind == 2:
        return piece / 255
    if kind == 3:
        return np.dstack([piece, piece, np.roll(piece, 1, axis=0)])
    return piece


def apex(rng, _):
    options = {}
    if rng.uniform() < 0.2:
        options["region"] = tuple(rng.uniform(-20, 200, 4))
    if rng.uniform() < 0.2:
        options["blur_px"] = float(np.exp(rng.uniform(-3, 3)))
    if rng.uniform() < 0.2:
        options["struck_out"] = [tuple(np.sort(rng.uniform(-20, 200, 2)))]
    if rng.uniform() < 0.3:
        options["relative_u"] = float(rng.choice([0.0, 0.01, 0.4]))
    tone = TONES[rng.integers(len(TONES))]
    scale = float(rng.choice([0.1, 1.0, 30.0, 0.0, np.nan]))
    found = measure_array(stored(rng, crop(rng, "apex")), scale, tone=tone, **options)
    found.to_dict(), found.summary()
    return found.status


def side(rng, _):
    region = tuple(rng.integers(-20, 200, 4).tolist()) if rng.uniform() < 0.1 else None
    blade = str(rng.choice(["dark", "bright"]))
    tone = TONES[rng.integers(len(TONES))]
    found = profile_array(
        stored(rng, crop(rng, "side")), 1.0, tone=tone, blade=blade, region=region
    )
    found.to_dict(), found.summary()
    return found.status


def ruling(rng, _):
    return (
        scale_of_array(stored(rng, crop(rng, "ruling")), 10.0, tone="srgb").summary()[:0]
        or "measured"
    )


def wire(rng, _):
    light = linear_light(stored(rng, crop(rng, "wire")), "srgb")
    return scale_from_wire(light, 100.0, 1.0).summary()[:0] or "measured"


def written(rng, folder, count, *, one_size):
    """Crops as files; most of one size where asked."""
    first = crop(rng, "apex", most=200)
    paths = []
    for number in range(count):
        piece = (
            crop(rng, "apex", most=200) if rng.uniform() < 0.3 else np.roll(first, -20 * number, 1)
        )
        if one_size and rng.uniform() < 0.9:
            piece = cv2.resize(piece, first.shape[::-1])
        paths.append(Path(folder) / f"{number}.png")
        cv2.imwrite(str(paths[-1]), piece)
    return paths


def stack(rng, folder):
    paths = written(rng, folder, int(rng.integers(1, 4)), one_size=True)
    result, _ = measure_stack(paths, 1.0)
    result.to_dict(), result.summary()
    return result.numbers["status"]


def strip(rng, folder):
    paths = written(rng, folder, int(rng.integers(1, 4)), one_size=True)
    found = survey(paths, 1.0)
    found.to_dict(), found.summary()
    return "measured"


def files(rng, folder):
    """A file with some of its bytes changed, left out or cut off."""
    kind = str(rng.choice([".jpg", ".png", ".tif", ".bmp", ".webp"]))
    piece = crop(rng, "apex")
    if rng.uniform() < 0.3:
        piece = np.dstack([piece] * 3)
    data = bytearray(cv2.imencode(kind, piece)[1].tobytes())
    change = rng.integers(4)
    if change == 0:
        data = data[: rng.integers(len(data))]
    elif change == 1:
        for place in rng.integers(0, len(data), int(np.exp(rng.uniform(0, 4)))):
            data[place] = rng.integers(256)
    elif change == 2:
        place = rng.integers(len(data))
        del data[place : place + rng.integers(1, 60)]
    path = Path(folder) / f"file{kind}"
    path.write_bytes(bytes(data))
    side_on = rng.uniform() >= 0.7
    result = measure_side_view(path, 1.0) if side_on else measure_photo(Task(path, 1.0))
    result.to_dict(), result.summary()
    if any(one.code == "program_fault" for one in result.doubts):
        raise RuntimeError(result.summary())
    return result.numbers["status"]


WAYS = {"apex": apex, "side": side, "ruling": ruling, "wire": wire,
        "stack": stack, "survey": strip, "files": files}  # fmt: skip
SHARES = (0.4, 0.15, 0.1, 0.05, 0.08, 0.08, 0.14)


def one_case(seed, number, folder, way=None):
    """Run one case: (way, outcome, error or None)."""
    rng = np.random.default_rng([seed, number])
    drawn = str(rng.choice(list(WAYS), p=SHARES))
    way = way or drawn
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            return way, WAYS[way](rng, folder), None
    except UnusableInput:
        return way, "told", None
    except Exception as fault:
        return way, "raised", fault


def place_of(fault):
    """The innermost line of the project at which a fault was met, and what it was."""
    frames = traceback.extract_tb(fault.__traceback__)
    own = [frame for frame in frames if "edgetest" in Path(frame.filename).parts[:-1]]
    inner = own[-1] if own else frames[-1]
    where = f"{Path(inner.filename).name}:{inner.lineno}"
    return f"{where} {type(fault).__name__}: {str(fault).splitlines()[0] if str(fault) else ''}"


def main():
    cv2.setNumThreads(1)
    words = sys.argv[1:]
    cases = int(words[0]) if words else 1000
    seed, _, first = (words[1] if len(words) > 1 else "1").partition("/")
    way = words[2] if len(words) > 2 else None
    outcomes, raised, start = Counter(), Counter(), time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(int(first or 0), int(first or 0) + cases):
            met, outcome, fault = one_case(int(seed), number, folder, way)
            outcomes[met, outcome] += 1
            if fault is not None:
                place = place_of(fault)
                raised[place] += 1
                if raised[place] == 1:
                    print(f"RAISED {met} {seed}/{number} {place}", flush=True)
    print(f"{cases} cases, seed {seed}, {time.perf_counter() - start:.0f} s")
    for name in WAYS:
        told = {what: count for (met, what), count in outcomes.items() if met == name}
        print(f"{name:8s}", ", ".join(f"{what} {count}" for what, count in sorted(told.items())))
    print(f"raised: {sum(raised.values())} at {len(raised)} places")
    for place, count in raised.most_common():
        print(f"{count:6d}  {place}")


if __name__ == "__main__":
    main()
