"""Scale from a body of known width."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.camera import expose
from edgetest.photo.scale.wire import scale_from_wire
from tests.photo.light import linear


def wire(width_px, angle_deg, *, seed=0, shape=(400, 560), dark=0.05, bright=0.8, **camera):
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    turn = np.deg2rad(angle_deg)
    across = (x - shape[1] / 2) * np.cos(turn) + (y - shape[0] / 2) * np.sin(turn) + 3.3
    cover = np.clip(0.5 + width_px / 2 - np.abs(across), 0, 1)
    rng = np.random.default_rng(seed)
    picture = expose(bright * (1 - cover) + dark * cover, rng=rng, **camera)
    return srgb_decode(picture / np.float32(255))


@pytest.mark.parametrize("angle", [0.0, 25.0, -60.0, 90.0])
def test_both_sides_are_found_below_a_pixel(angle):
    scale = scale_from_wire(linear(wire(73.4, angle, noise=0.02)), 500.0, 0.0)
    # 0.03 px of 73: four times the RMS over forty rendered wires.
    assert scale.um_per_px == pytest.approx(500 / 73.4, rel=0.03 / 73.4)
    assert (scale.rotation_deg - angle + 90) % 180 - 90 == pytest.approx(0, abs=0.05)
    assert scale.blur_px == pytest.approx(1.3, rel=0.1)


def test_uncertainty_of_the_diameter_is_carried():
    grey = wire(60.0, 10.0)
    scale = scale_from_wire(linear(grey), 500.0, 5.0)
    assert scale.relative_u == pytest.approx(0.01, rel=0.02)
    assert scale_from_wire(linear(grey), 500.0, 0.0).relative_u < 0.001


def test_bright_body_on_dark_ground():
    scale = scale_from_wire(linear(wire(50.0, 30.0, dark=0.8, bright=0.05)), 500.0, 0.0)
    assert scale.um_per_px == pytest.approx(10.0, rel=1e-3)


def test_refuses_a_picture_without_a_body():
    noise = np.random.default_rng(1).uniform(size=(200, 300))
    with pytest.raises(UnusableInput, match="no body with two straight"):
        scale_from_wire(linear(noise), 500.0, 1.0)
    with pytest.raises(UnusableInput, match="uncertainty 200 µm"):
        scale_from_wire(linear(noise), 500.0, 200.0)
