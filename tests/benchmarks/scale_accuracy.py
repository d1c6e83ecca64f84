"""Scale from rendered stage micrometers: error, rotation, coverage of the interval, time.

    python -m tests.benchmarks.scale_accuracy [pictures per set] [seeds]

Every set is pooled over the seeds. Errors are of µm per pixel, relative; `covers` is the
share of pictures whose 95 % interval holds the truth.
"""

import platform
import sys
import time

import cv2
import numpy as np

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.scale.ruling_scale import scale_from_ruling
from tests.photo.light import linear

SIZES = [(480, 640), (600, 800), (768, 1024), (960, 1280), (1200, 1600)]


def picture(rng, kind):
    """One rendered stage micrometer: linear grey, truth, options."""
    shape = (3000, 4000) if kind == "large" else SIZES[rng.integers(len(SIZES))]
    plain = kind == "plain"
    wanted = int(rng.integers(4, 10) if kind == "few" else rng.integers(11, 90))
    blur_px = rng.uniform(0.8, 1.8)
    pitch_px = max(5.0, 3.5 * blur_px, 0.8 * min(shape) / wanted)  # closer lines run together
    if kind == "close":  # lines that run together; to be refused or read right
        pitch_px = max(2.2, rng.uniform(1.6, 4.5) * blur_px)
    if kind == "divided":
        pitch_px = max(4.0, rng.uniform(4.0, 12.0) * blur_px)
    pitch_um = float(rng.choice([10.0, 100.0]))
    options = {
        "shape": shape, "pitch_um": pitch_um, "um_per_px": pitch_um / pitch_px,
        "rotation_deg": rng.uniform(-89, 90), "lines": 101 if kind != "few" else wanted | 1,
        "line_share": rng.uniform(0.1, 0.4), "blur_px": blur_px,
        "noise": 0.01 if plain else rng.uniform(0.003, 0.04),
        "offset_px": tuple(rng.uniform(-0.5, 0.5, 2) * pitch_px), "rng": rng,
    }  # fmt: skip
    if not plain:
        options |= {
            "line_length_px": rng.uniform(0.3, 0.9) * min(shape), "uneven": rng.uniform(0, 0.6),
            "dust": int(rng.integers(0, 40)), "bright": bool(rng.uniform() < 0.3),
            "numerals": bool(rng.uniform() < 0.5), "contrast": rng.uniform(0.3, 0.9),
            "marks": ((5, 10), (10,), ())[rng.integers(3)], "missing": rng.uniform(0, 0.1),
        }  # fmt: skip
    if kind == "divided":  # a coarse ruling, one part of it in tenths
        first = 10 * int(rng.integers(-3, 1))
        options |= {"lines": 401, "divided": (first, first + 30), "pitch_um": 10.0,
                    "um_per_px": 10.0 / pitch_px}  # fmt: skip
    if kind == "upright":
        options["rotation_deg"] = float(rng.choice([0.0, 90.0]))
    if kind == "focus":
        options["blur_px"] = (rng.uniform(0.8, 1.5), rng.uniform(0.3, 0.5) * pitch_px)
    if kind == "lens":
        options["distortion"] = rng.uniform(-0.02, 0.02)
    if kind == "jitter":
        options["jitter_um"] = 0.02 * pitch_um
    if kind == "grid":
        options |= {"grid": True, "line_length_px": None, "numerals": False, "marks": ()}
    if kind == "optics":  # what the method does not assume: disc, sharpening, another tone curve
        options |= {"disc": True, "sharpen": rng.uniform(0, 0.5), "vignette": rng.uniform(0, 0.4),
                    "tone": float(rng.uniform(2.0, 2.4))}  # fmt: skip
    grey, truth = render_ruling(**options)
    if not plain and rng.uniform() < 0.6:
        quality = int(rng.choice([75, 85, 95]))
        grey = cv2.imdecode(cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, quality])[1], 0)
    return srgb_decode(grey / np.float32(255)), truth, options


def run(kind, pictures, seeds, *, show=False):
    """Pool of one set; prints its line."""
    error, turn, z, width, seconds, pixels, refused = [], [], [], [], 0.0, 0, 0
    blur = []
    for seed in range(seeds):
        rng = np.random.default_rng([seed, *kind.encode()])
        for number in range(pictures):
            grey, truth, options = picture(rng, kind)
            start = time.process_time()
            try:
                scale = scale_from_ruling(linear(grey), truth["pitch_um"])
            except UnusableInput:
                refused += 1
                if show:
                    print("REFUSED", kind, seed, number, truth, brief(options))
                continue
            finally:
                seconds += time.process_time() - start
                pixels += grey.size
            relative = scale.um_per_px / truth["um_per_px"] - 1
            error.append(relative)
            half = (scale.high - scale.low) / 2 / scale.um_per_px
            width.append(half)
            z.append(abs(relative) <= half)
            every = 90 if kind == "grid" else 180
            off = (scale.rotation_deg - truth["rotation_deg"] + every / 2) % every - every / 2
            turn.append(off)
            if scale.blur_px and not np.ndim(options["blur_px"]):
                blur.append(scale.blur_px / options["blur_px"] - 1)
            if show and (abs(relative) > max(5e-4, 3 * half) or abs(off) > 0.05):
                print("ERROR", kind, seed, number, f"{100 * relative:+.4f} % of {100 * half:.4f}",
                      f"{off:+.3f} deg", scale.lines_used, truth, brief(options))  # fmt: skip
    error, turn, z, width = (np.array(x) for x in (error, turn, z, width))
    print(
        f"{kind:8s} {seeds * pictures:4d} {refused:7d} {100 * error.mean():+9.4f} "
        f"{100 * np.sqrt(np.mean(error**2)):8.4f} {100 * np.abs(error).max():8.4f} "
        f"{100 * np.median(width):8.4f} {z.mean():7.3f} {np.sqrt(np.mean(turn**2)):8.4f} "
        f"{np.abs(turn).max():8.4f} {len(blur):5d} {100 * np.median(blur or [np.nan]):+7.1f} "
        f"{1000 * seconds / pixels * 1e6:7.1f}",
        flush=True,
    )


def brief(options):
    """What matters of a picture's options, for the eye."""
    return {k: round(v, 3) if isinstance(v, float) else v for k, v in options.items() if k != "rng"}


def main():
    pictures, seeds = ([int(x) for x in sys.argv[1:3] if x.isdigit()] + [40, 2])[:2]
    cv2.setNumThreads(1)
    print(platform.platform(), "python", platform.python_version(), "cv2", cv2.__version__)
    print(
        "set      pict. refused   bias %    RMS %  worst %  half-w.%  covers  turn RMS   worst"
        "  blur  error %  ms/Mpx"
    )
    kinds = ("plain", "hard", "upright", "few", "focus", "lens", "jitter", "grid", "optics",
             "close", "divided")  # fmt: skip
    for kind in kinds:
        run(kind, pictures, seeds, show="--show" in sys.argv)
    run("large", max(1, pictures // 10), seeds, show="--show" in sys.argv)


if __name__ == "__main__":
    main()
