"""`edgetest measure` and its fit against ways and pictures that are not ours.

- scikit-image: `measure.profile_line` across a rendered edge, half-level width of the mean
  profile (sub-pixel by linear interpolation): for a band several blurs wide the half level
  lies on the true side whatever the blur.
- Closed forms: the error function for a Gaussian-blurred step; the Cramér-Rao bound of its
  place, 1.88279 (noise / contrast) sqrt(blur) pixels (Fisher information of a sampled
  Gaussian-blurred step, unit pixels, both levels known).
- The ordinary pictures of scikit-image's wheel: none shows an edge, none may be measured.
"""

import cv2
import numpy as np
import pytest
from scipy.special import erf

from edgetest.photo.apex.profile_fit import fit_profiles, step_model
from edgetest.photo.linear_light import srgb_decode, srgb_encode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.camera import expose

skimage_measure = pytest.importorskip("skimage.measure")
skimage_data = pytest.importorskip("skimage.data")
ORDINARY = (
    "brick", "grass", "gravel", "coins", "page", "text", "moon", "camera", "coffee",
    "chelsea", "astronaut", "cell",
)  # fmt: skip


def half_level_width(profile):
    """Distance between the half-level crossings of a profile, by linear interpolation."""
    ground = (profile[:6].mean() + profile[-6:].mean()) / 2
    middle = profile.size // 2
    level = (profile[middle - 3 : middle + 4].mean() + ground) / 2
    up, down = np.flatnonzero(np.diff((profile > level).astype(int)) != 0)[[0, -1]]
    first = up + (level - profile[up]) / (profile[up + 1] - profile[up])
    last = down + (level - profile[down]) / (profile[down + 1] - profile[down])
    return last - first


@pytest.mark.parametrize(("width_um", "tilt_deg"), [(15.3, 0.0), (24.6, 14.0), (33.1, -22.0)])
def test_width_agrees_with_scikit_image_profiles(tmp_path, answer, width_um, tilt_deg):
    picture, truth = render_apex(
        width_um=width_um, tilt_deg=tilt_deg, noise=0.004, rng=np.random.default_rng(8)
    )
    light = np.asarray(srgb_decode(picture / 255.0), dtype=np.float32)
    along = np.array([np.sin(np.deg2rad(tilt_deg)), np.cos(np.deg2rad(tilt_deg))])
    across = np.array([along[1], -along[0]])
    middle = np.array([239.5, 319.5])
    widths = []
    for step in range(-150, 151, 25):
        centre = middle + step * along
        profile = skimage_measure.profile_line(
            light, centre - 40 * across, centre + 40 * across, linewidth=21, order=1
        )
        # Its samples are 80 pixels over a whole number of steps apart.
        widths.append(half_level_width(profile) * 80 / (profile.size - 1))
    cv2.imwrite(str(tmp_path / "edge.png"), picture)
    (found,) = answer("measure", tmp_path / "edge.png", "--um-per-px", 1, "--workers", 1)
    ours = found["width_um"]["mean"]
    # Thirteen profiles of 21 averaged lines: linear interpolation errs by a few hundredths.
    assert ours == pytest.approx(np.mean(widths), abs=0.05)
    assert ours == pytest.approx(truth["width_um"], abs=0.02)


def test_camera_blurs_a_step_to_the_error_function():
    scene = np.zeros((9, 400), dtype=np.float32)
    scene[:, 200:] = 1.0
    stored = expose(scene, blur_px=3.0, noise=0.0, tone="linear", bits=16)[4] / 65535
    x = np.arange(400) - 199.5
    np.testing.assert_allclose(stored, 0.5 * (1 + erf(x / (3.0 * np.sqrt(2)))), atol=2e-3)


def test_srgb_curve_at_published_points():
    # IEC 61966-2-1: linear 0.0031308 <-> 0.04045, 0.2140 <-> 0.5, ends fixed.
    np.testing.assert_allclose(srgb_encode([0.0, 0.0031308, 1.0]), [0, 0.04045, 1], atol=1e-5)
    assert float(srgb_decode(0.5)) == pytest.approx(0.21404, abs=1e-5)
    values = np.linspace(0, 1, 101)
    np.testing.assert_allclose(srgb_encode(srgb_decode(values)), values, atol=1e-5)


@pytest.mark.parametrize("blur", [1.0, 2.0])
def test_place_of_a_step_reaches_the_cramer_rao_bound(blur):
    rng = np.random.default_rng(3)
    repeats, contrast, noise = 2000, 0.5, 0.01
    x = np.broadcast_to(np.arange(-100.0, 101.0), (repeats, 201))
    truth = np.stack(
        [rng.uniform(-0.5, 0.5, repeats), np.full(repeats, 0.1), np.full(repeats, 0.6)], axis=1
    )
    y, _, _ = step_model(x, truth, np.full(repeats, blur))
    y = y + noise * rng.standard_normal(y.shape)
    fit = fit_profiles(step_model, x, y, np.ones_like(y), truth, blur)
    scatter = np.std(fit.params[:, 0] - truth[:, 0])
    bound = 1.88279 * noise / contrast * np.sqrt(blur)
    # 2000 repeats tell it to 1.6 %; the levels are fitted too, which over 201 samples costs
    # sqrt(pi) * blur / 201, up to 2 %.
    assert scatter == pytest.approx(bound, rel=0.06)


@pytest.mark.parametrize(
    ("names", "turned"),
    [
        (ORDINARY[::3], False),
        pytest.param(ORDINARY, False, marks=pytest.mark.slow),
        pytest.param(ORDINARY, True, marks=pytest.mark.slow),
    ],
)
def test_ordinary_pictures_are_refused(tmp_path, answer, names, turned):
    for name in names:
        picture = getattr(skimage_data, name)()
        stored = picture[..., ::-1] if picture.ndim == 3 else picture
        stored = np.swapaxes(stored, 0, 1) if turned else stored
        cv2.imwrite(str(tmp_path / f"{name}.png"), stored)
    found = answer("measure", *sorted(tmp_path.iterdir()), "--um-per-px", 1, "--workers", 1)
    assert len(found) == len(names)
    assert [each["photo"] for each in found if each["status"] != "refused"] == []
    assert min(len(each["reasons"][0]["text"]) for each in found) > 40
