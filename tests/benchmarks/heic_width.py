"""How far does the width move when a photograph is kept as HEIC or JPEG in place of PNG?

python -m tests.benchmarks.heic_width
"""

import io

import cv2
import numpy as np
import pillow_heif

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture

WIDTHS_UM = (4.0, 8.0, 16.0)
SEEDS = range(8)
QUALITIES = (95, 80, 50)
UM_PER_PX = 0.42


def heic(pixels, quality):
    made = pillow_heif.from_bytes("L", pixels.shape[::-1], pixels.tobytes())
    store = io.BytesIO()
    made.save(store, quality=quality)
    return store.getvalue()


def jpeg(pixels, quality):
    return cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, quality])[1].tobytes()


def width(data):
    found = measure_apex(read_picture(data), UM_PER_PX)
    return found.width_um.mean if found.width_um is not None else None


def main():
    cv2.setNumThreads(1)
    print("| kept as | measured | width moved by at most, % | half of them at most, % | file, kB |")
    print("| --- | ---: | ---: | ---: | ---: |")
    scenes = []
    for width_um in WIDTHS_UM:
        for seed in SEEDS:
            pixels, _ = render_apex(
                shape=(480, 640), width_um=width_um, um_per_px=UM_PER_PX, land_grain=0.05,
                width_sd=0.05, blur_px=1.5, noise=0.02, rng=np.random.default_rng(seed),
            )  # fmt: skip
            scenes.append((pixels, width(cv2.imencode(".png", pixels)[1].tobytes())))
    for name, kept in (("HEIC", heic), ("JPEG", jpeg)):
        for quality in QUALITIES:
            moved, sizes = [], []
            for pixels, true in scenes:
                data = kept(pixels, quality)
                sizes.append(len(data) / 1000)
                found = width(data)
                if found and true:
                    moved.append(100 * abs(found / true - 1))
            told = f"{len(moved)} of {len(scenes)} | {max(moved):.2f} | {np.median(moved):.2f}"
            print(f"| {name}, quality {quality} | {told} | {np.mean(sizes):.0f} |")


if __name__ == "__main__":
    main()
