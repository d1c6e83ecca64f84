"""What is made of lands and lenses unlike the model: a row a case, four pictures each.

    python -m tests.benchmarks.other_optics

Rendered edges (noise 0.01, blur 1.3 px where none is told) on the camera's true curve; prints the
table of edgetest/guide/tables. One case a land's form, a lens, a movement, a camera.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture

SEEDS = (1, 3, 5, 7)
ACROSS, ALONG = {"motion_deg": 90.0}, {"motion_deg": 0.0}
CASES = (
    ("flat land, Gaussian lens", (8, 16, 40), {}),
    ("rounded land, 30 % darker at its sides", (16, 40), {"round_land": 0.3}),
    ("rounded, 50 %", (8, 16, 40), {"round_land": 0.5}),
    ("rounded, 90 %", (8, 16, 40), {"round_land": 0.9}),
    ("bevels brighter by 0.3 per 100 px outward", (14, 50), {"bevel_slope": 0.3}),
    ("defocus disc, blur 2.5 px", (16, 40), {"disc": True, "blur_px": 2.5}),
    ("defocus disc, blur 5 px", (16, 40), {"disc": True, "blur_px": 5.0}),
    ("defocus disc, blur 9 px", (16, 40, 80), {"disc": True, "blur_px": 9.0}),
    ("camera moved 6 px across", (10, 20), ACROSS | {"motion_px": 6.0}),
    ("camera moved 12 px across", (10, 20, 40, 80), ACROSS | {"motion_px": 12.0}),
    ("camera moved 25 px across", (10, 20, 40), ACROSS | {"motion_px": 25.0}),
    ("camera moved 25 px along", (20,), ALONG | {"motion_px": 25.0}),
    ("sharpening 0.3", (14,), {"sharpen": 0.3}),
    ("sharpening 0.5", (14,), {"sharpen": 0.5}),
    ("sharpening 1.5 (a phone)", (14,), {"sharpen": 1.5}),
)


def looked_at(width_px, settings, seed):
    """Error and half-interval (pixels; None where refused), and the codes that are told."""
    picture, truth = render_apex(
        width_um=float(width_px), bevel_grain=0.1, rng=np.random.default_rng(seed), **settings
    )
    data = cv2.imencode(".png", picture)[1].tobytes()
    result = measure_apex(read_picture(data, tone="srgb"), 1.0)
    codes = [one.code for one in (*result.reasons, *result.doubts)]
    if result.width_um is None:
        return None, codes
    width = result.width_um
    return (width.mean - truth["width_um"], (width.high - width.low) / 2), codes


def line_of(what, width_px, settings):
    """One row of the table."""
    rows = [looked_at(width_px, settings, seed) for seed in SEEDS]
    told = [numbers for numbers, _ in rows if numbers is not None]
    codes = sorted({code for _, found in rows for code in found})
    line = f"| {what} | {width_px} | {len(told)} / {len(rows) - len(told)} | "
    if told:
        off, half = np.array(told).T
        held = int(np.sum(np.abs(off) <= half))
        line += f"{off.mean():+.2f} | {np.abs(off).max():.2f} | {np.median(half):.2f} | {held} | "
    else:
        line += "| | | | "
    return line + (", ".join(f"`{code}`" for code in codes) or "nothing") + " |"


def main():
    """Print the table."""
    cv2.setNumThreads(1)
    heads = "what", "width, px", "measured / refused", "off, mean", "off, most", "half-interval"
    for cells in ((*heads, "held", "said"), ["---"] * 8):
        print("| " + " | ".join(cells) + " |")
    for what, widths, settings in CASES:
        for width_px in widths:
            print(line_of(what, width_px, settings), flush=True)


if __name__ == "__main__":
    main()
