"""`edgetest scale` and `edgetest profile` held against scikit-image, NumPy and photographs.

Photographs: scikit-image's own `skimage.data` (in its wheel since 0.18); none shows a ruling
or a blade, so all must be refused.
"""

import cv2
import numpy as np
import pytest

from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

data = pytest.importorskip("skimage.data")
measure = pytest.importorskip("skimage.measure")
ORDINARY = ("brick", "grass", "gravel", "coins", "page", "text", "moon", "camera", "coffee",
            "chelsea", "astronaut", "cell")  # fmt: skip


def written(picture, path):
    """A picture as a file that a command can read."""
    cv2.imwrite(str(path), picture[..., ::-1] if picture.ndim == 3 else picture)
    return path


@pytest.mark.slow
def test_ordinary_photographs_are_neither_ruling_nor_blade(tmp_path, run, answer):
    paths = [written(getattr(data, name)(), tmp_path / f"{name}.png") for name in ORDINARY]
    for path in paths:
        code, _, err = run("scale", path, "--pitch-um", 10)
        assert code == 2, path.name
        assert "no ruling" in err
    found = answer("profile", *paths, "--um-per-px", 1)
    assert [each["photo"] for each in found if each["status"] != "refused"] == []


def test_spacing_agrees_with_the_phase_of_the_spectrum(tmp_path, answer):
    """Upright ruling: the spectrum's peak, zoomed by a direct Fourier sum over fine steps."""
    picture, _ = render_ruling(
        shape=(400, 900), um_per_px=0.43, rng=np.random.default_rng(5), noise=0.005, lines=201
    )
    grey = srgb_decode(picture / np.float32(255))
    row = grey.mean(axis=0) - grey.mean()
    row = row * np.hanning(row.size)
    x = np.arange(row.size)
    pitch = np.linspace(23.0, 23.5, 5001)
    power = np.abs(np.exp(-2j * np.pi * x[None, :] / pitch[:, None]) @ row)
    by_spectrum = 10.0 / pitch[np.argmax(power)]
    # The window's peak is good to about 1e-4 of the pitch at this noise.
    found = answer("scale", written(picture, tmp_path / "ruling.png"), "--pitch-um", 10)
    assert found["um_per_px"] == pytest.approx(by_spectrum, rel=2e-4)


def test_outline_agrees_with_marching_squares_at_half_light():
    picture, _ = render_profile(
        shape=(300, 500), noise=0.002, roughness_px=0.3, dark=0.05, bright=0.85, tilt_deg=4,
        rng=np.random.default_rng(2),
    )  # fmt: skip
    grey = srgb_decode(picture / np.float32(255))
    contour = max(measure.find_contours(grey, 0.45), key=len)
    contour = contour[np.argsort(contour[:, 1])]
    ours = measure_profile(linear(grey), 1.0).contour_rc
    at = np.linspace(30, 470, 200)
    apart = np.interp(at, ours[:, 1], ours[:, 0]) - np.interp(at, contour[:, 1], contour[:, 0])
    assert abs(apart.mean()) < 0.01
    assert np.sqrt(np.mean(apart**2)) < 0.04
