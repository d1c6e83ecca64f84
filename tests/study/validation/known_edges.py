"""A validation set of rendered photographs, their widths known; the data are invented."""

import cv2
import numpy as np

from edgetest.photo.render.apex_scene import render_apex

WIDTHS_UM = (6.0, 8.0, 10.0, 12.0, 15.0, 18.0)
SCALES = {"stand": 0.5, "toy": 0.8}  # µm per pixel, as the pictures were made


def rendered(folder, name, width_um, um_per_px, seed):
    """One photograph; its true width, µm."""
    picture, truth = render_apex(
        shape=(200, 320), width_um=width_um, um_per_px=um_per_px, tilt_deg=2.0 + seed % 5,
        land_grain=0.05, rng=np.random.default_rng(seed),
    )  # fmt: skip
    cv2.imwrite(str(folder / name), picture)
    return truth["width_um"]


def validation_set(folder, *, said=SCALES, title="Rendered edges"):
    """Six edges, each under two microscopes, with the scales that somebody says."""
    folder.mkdir(parents=True, exist_ok=True)
    lines = [f'title = "{title}"', "invented = true"]
    for number, width in enumerate(WIDTHS_UM):
        for place, (setup, scale) in enumerate(SCALES.items()):
            name = f"{setup}_{number}.png"
            true = rendered(folder, name, width, scale, 100 * place + number)
            lines += [
                "[[widths]]", f'photo = "{name}"', f'edge = "edge {number}, {setup}"',
                f"um_per_px = {said[setup]}", "relative_u = 0.005", f'microscope = "{setup}"',
                'tone = "srgb"', f"reference_um = {true}", f"reference_u_um = {0.01 * true}",
                'how = "as rendered"',
            ]  # fmt: skip
        looks = [
            f'{{photo = "{setup}_{number}.png", um_per_px = {said[setup]}, relative_u = 0.005, '
            f'microscope = "{setup}", tone = "srgb"}}'
            for setup in SCALES
        ]
        lines += ["[[pairs]]", f'edge = "edge {number}"', f"first = {looks[0]}"]
        lines += [f"second = {looks[1]}"]
    (folder / "validation.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder
