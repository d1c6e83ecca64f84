"""Scale and outline held against ways of scikit-image and NumPy, and against its photographs.

Photographs: scikit-image's own `skimage.data` (in its wheel since 0.18); none shows a ruling
or a blade, so all must be refused.
"""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.scale.ruling_scale import scale_from_ruling
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

data = pytest.importorskip("skimage.data")
measure = pytest.importorskip("skimage.measure")
ORDINARY = ("brick", "grass", "gravel", "coins", "page", "text", "moon", "camera", "coffee",
            "chelsea", "astronaut", "cell")  # fmt: skip


def ordinary(name):
    picture = getattr(data, name)()
    picture = picture[..., :3].mean(axis=-1) if picture.ndim == 3 else picture
    return srgb_decode(picture / np.float32(255))


@pytest.mark.parametrize("name", ORDINARY)
def test_ordinary_photographs_are_neither_ruling_nor_blade(name):
    grey = ordinary(name)
    with pytest.raises(UnusableInput, match="no ruling"):
        scale_from_ruling(linear(grey), 10.0)
    assert measure_profile(linear(grey), 1.0).status == "refused"


def test_spacing_agrees_with_the_phase_of_the_spectrum():
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
    assert scale_from_ruling(linear(grey), 10.0).um_per_px == pytest.approx(by_spectrum, rel=2e-4)


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
