"""Chips and rolls in rendered back-lit photographs: found, falsely found, depth, length, time.

    python -m tests.benchmarks.profile_accuracy [pictures per set] [seeds]

Every set is pooled over the seeds. A departure counts as found where a measured one of the
same kind, or an unsure one, lies within half its length (at least 4 px) of it; `unsure` counts
the latter, precision is of those that are said to be chips or rolls.
"""

import platform
import sys
import time

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.side_scene import SHAPES, render_profile
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

SIZES = [(480, 640), (600, 800), (768, 1024), (960, 1280), (1200, 1600)]


def departures(rng, length_px, *, count, touching, least_px):
    """Random damage that keeps apart, but for pairs that touch."""
    items, place = [], 0.06 * length_px
    while len(items) < count:
        length = float(np.exp(rng.uniform(np.log(8), np.log(0.12 * length_px))))
        depth = float(np.clip(length * rng.uniform(0.12, 0.8), least_px, 0.06 * length_px))
        place += rng.uniform(0.35, 2.0) * length_px / (count + 1) * 0.5 + length / 2
        if place + length / 2 > 0.94 * length_px:
            break
        sign = 1 if rng.uniform() < 0.7 else -1
        item = {"position": place / length_px, "length_px": length, "depth_px": sign * depth}
        item["shape"] = str(rng.choice(SHAPES))
        items.append(item)
        place += length / 2
        if touching and rng.uniform() < 0.4:
            other = length * rng.uniform(0.7, 1.3)
            twin = {"position": (place + 0.45 * other) / length_px, "length_px": other}
            twin |= {"depth_px": item["depth_px"] * rng.uniform(0.7, 1.3), "shape": item["shape"]}
            items.append(twin)
            place += 0.95 * other
        place += max(6.0, 0.02 * length_px)
    return items


def picture(rng, kind):
    """One rendered photograph: linear grey, truth, options for the measurement."""
    hard = kind != "plain"
    shape = (3000, 4000) if kind == "large" else SIZES[rng.integers(len(SIZES))]
    side = str(rng.choice(["bottom", "top", "left", "right"]))
    # Rows and columns are of the turned picture: the edge runs along its own columns.
    run = shape[0] if side in ("left", "right") else shape[1]
    count = int(rng.integers(0, 7))
    damage = departures(rng, run, count=count, touching=kind == "touching", least_px=1.5)
    blur = {"soft": (2.0, 4.0), "plain": (0.8, 1.6)}.get(kind, (0.7, 2.2))
    options = {
        "shape": shape, "side": side, "damage": damage, "blur_px": rng.uniform(*blur),
        "tilt_deg": rng.uniform(-25, 25) if hard else rng.uniform(-5, 5),
        "curve": rng.uniform(-0.1, 0.1) if hard else 0.0,
        "recurve": rng.uniform(-0.04, 0.04) if hard else 0.0,
        "tip": kind == "tip", "noise": rng.uniform(0.002, 0.03) if hard else 0.005,
        "roughness_px": rng.uniform(0.02, 0.3) if hard else 0.05,
        "rough_length_px": rng.uniform(4, 30), "uneven": 0.4 if hard else 0.0,
        "dust": int(rng.integers(0, 25)) if hard else 0, "dark": rng.uniform(0.01, 0.12),
        "inverse": kind == "inverse", "rng": rng,
    }  # fmt: skip
    if kind == "tip":
        options |= {"tilt_deg": rng.uniform(-8, 8), "curve": rng.uniform(-0.04, 0.04), "recurve": 0}
    if kind == "optics":  # what the method does not assume: disc, sharpening, another tone curve
        options |= {"disc": True, "sharpen": rng.uniform(0, 0.5), "vignette": rng.uniform(0, 0.4),
                    "tone": float(rng.uniform(2.0, 2.4))}  # fmt: skip
    grey, truth = render_profile(**options)
    if hard and rng.uniform() < 0.7:
        quality = int(rng.choice([75, 85, 95]))
        grey = cv2.imdecode(cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, quality])[1], 0)
    linear = srgb_decode(grey / np.float32(255))
    return linear, truth, options, {"blade": "bright" if kind == "inverse" else "dark"}


def match(truth, found, least_um):
    """Pairs of true and measured departures, nearest first; each used once."""
    pairs, left = [], list(found)
    for one in truth:
        near = [x for x in left if abs(x.position_um - one["position_um"])
                < max(0.5 * one["length_um"], least_um)]  # fmt: skip
        if near:
            best = min(near, key=lambda x: abs(x.depth_um / one["depth_um"] - 1))
            left.remove(best)
            pairs.append((one, best))
        else:
            pairs.append((one, None))
    return pairs, left


def run(kind, pictures, seeds, *, show=False):
    """Pool of one set; prints its line."""
    total = missed = false = refused = unsure = 0
    depth, deep, length, area, held, seconds, pixels = [], [], [], [], [], 0.0, 0
    for seed in range(seeds):
        rng = np.random.default_rng([seed, *kind.encode()])
        for number in range(pictures):
            grey, truth, options, extra = picture(rng, kind)
            start = time.process_time()
            result = measure_profile(linear(grey), truth["um_per_px"], **extra)
            seconds += time.process_time() - start
            pixels += grey.size
            if result.status == "refused":
                refused += 1
                if show:
                    print("REFUSED", kind, seed, number, result.reasons[0].code, brief(options))
                continue
            for name in ("chips", "rolls"):
                told = [*getattr(result, name), *result.unsure]
                pairs, extra_found = match(truth[name], told, 8.0)
                extra_found = [one for one in extra_found if one.kind != "unsure"]
                unsure += sum(got is not None and got.kind == "unsure" for _, got in pairs)
                false += len(extra_found)
                total += len(pairs)
                if show and extra_found:
                    for item in extra_found:
                        print("FALSE", kind, seed, number, name, item.to_dict(), brief(options))
                for one, got in pairs:
                    if got is None:
                        missed += 1
                        if show:
                            print("MISSED", kind, seed, number, name, one, brief(options))
                        continue
                    error = got.depth_um / one["depth_um"] - 1
                    depth.append(error)
                    deep.append(one["depth_um"] / truth["um_per_px"])
                    length.append(got.length_um / one["length_um"] - 1)
                    area.append(got.area_um2 / one["area_um2"] - 1)
                    held.append(got.depth_low_um <= one["depth_um"] <= got.depth_high_um)
                    if show and abs(error) > 0.15:
                        print("DEPTH", kind, seed, number, name, f"{error:+.3f}", one,
                              got.depth_u_um, brief(options))  # fmt: skip
    depth, deep, length, area, held = (np.array(x) for x in (depth, deep, length, area, held))
    found = total - missed
    print(
        f"{kind:9s} {seeds * pictures:4d} {total:5d} {found / max(total, 1):7.3f} "
        f"{found / max(found + false, 1):9.3f} {unsure:6d} {refused:7d} {100 * depth.mean():+8.2f} "
        f"{rms(depth):7.2f} {rms(depth[deep > 3]):7.2f} {100 * np.median(np.abs(length)):7.1f} "
        f"{100 * np.median(np.abs(area)):7.1f} {np.mean(held):8.3f} "
        f"{1000 * seconds / pixels * 1e6:9.1f}"
    )


def rms(errors):
    """Root mean square in per cent."""
    return 100 * float(np.sqrt(np.mean(errors**2))) if errors.size else float("nan")


def brief(options):
    """What matters of a picture's options, for the eye."""
    return {k: round(v, 3) if isinstance(v, float) else v for k, v in options.items()
            if k not in ("damage", "rng")}  # fmt: skip


def main():
    pictures, seeds = ([int(x) for x in sys.argv[1:3]] + [30, 2][len(sys.argv[1:3]) :])[:2]
    cv2.setNumThreads(1)
    print(platform.platform(), "python", platform.python_version(), "cv2", cv2.__version__)
    print(
        "set       pict. truth  recall precision unsure refused  bias %  RMS %   >3 px  len. %"
        "  area %  covers  ms/Mpx"
    )
    for kind in ("plain", "hard", "touching", "soft", "tip", "inverse", "optics"):
        run(kind, pictures, seeds, show="--show" in sys.argv)
    run("large", max(1, pictures // 15), seeds, show="--show" in sys.argv)


if __name__ == "__main__":
    main()
