"""Grey steps of known light give back the curve on which a camera stored them."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import linear_light, srgb_encode
from edgetest.photo.tone_steps import even_level, patches_in, tone_of_steps

LIGHT = 0.95 * 0.62 ** np.arange(12)


def bent(light):
    """A toe and a shoulder before the sRGB curve (log-logistic)."""
    return srgb_encode((1 + 0.3) * light**1.4 / (light**1.4 + 0.3))


CAMERAS = {
    "sRGB": srgb_encode,
    "gamma 1.8": lambda light: light ** (1 / 1.8),
    "light itself": lambda light: light,
    "toe and shoulder": bent,
}


def wedge(camera, light=LIGHT, *, upright=False, seed=3):
    """Stored grey of patches in a row, with noise and rounding to 8 bits."""
    rng = np.random.default_rng(seed)
    patches = np.repeat(np.repeat(camera(light)[None, :], 40, axis=1), 200, axis=0)
    stored = np.rint(255 * patches + rng.normal(0, 1.2, patches.shape)).clip(0, 255) / 255
    return np.ascontiguousarray(stored.T if upright else stored, dtype=np.float32)


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_the_curve_that_stored_the_steps_is_found(camera):
    found = tone_of_steps(patches_in(wedge(camera), LIGHT.size), LIGHT)
    light = np.linspace(0.02, 0.9, 200)
    undone = np.interp(camera(light), np.linspace(0, 1, len(found.curve)), found.curve)
    ratio = undone / light
    assert np.ptp(ratio) < 0.03 * ratio.mean()
    assert found.off_percent < 2
    assert found.doubts == ()


def test_patches_of_an_upright_row_and_of_a_row_from_dark_to_light_are_found():
    told = patches_in(wedge(srgb_encode), LIGHT.size)
    np.testing.assert_allclose(told, srgb_encode(LIGHT), atol=0.002)
    upright = patches_in(wedge(srgb_encode, upright=True), LIGHT.size)
    np.testing.assert_allclose(upright, told, atol=1e-3)
    np.testing.assert_allclose(patches_in(wedge(srgb_encode)[:, ::-1], 12), told[::-1], atol=1e-3)


def test_what_is_no_row_of_patches_is_refused():
    rng = np.random.default_rng(1)
    noise = rng.uniform(0, 1, (200, 480)).astype(np.float32)
    slope = np.tile(np.linspace(0, 1, 480, dtype=np.float32), (200, 1))
    flat = np.full((200, 480), 0.5, dtype=np.float32)
    for picture in (noise, slope, flat, wedge(srgb_encode)[:, :20]):
        with pytest.raises(UnusableInput, match="crop the picture to the row of patches"):
            patches_in(picture, 12)
    with pytest.raises(UnusableInput, match="crop the picture"):
        patches_in(wedge(srgb_encode), 9)  # there are twelve


def test_steps_that_do_not_rise_are_refused_and_few_or_dark_ones_told():
    stored = srgb_encode(LIGHT)
    with pytest.raises(UnusableInput, match="do not rise"):
        tone_of_steps(np.roll(stored, 3), LIGHT)
    with pytest.raises(UnusableInput, match="neither black nor white"):
        tone_of_steps(np.ones(6), LIGHT[:6])
    few = tone_of_steps(stored[4:9], LIGHT[4:9])
    assert [one.code for one in few.doubts] == ["few_tone_steps", "tone_steps_dark"]
    wrong = LIGHT * np.where(np.arange(12) % 2, 1.1, 1.0)
    assert "tone_steps_off" in [one.code for one in tone_of_steps(stored, wrong).doubts]


def test_the_curve_is_a_tone_that_a_picture_is_read_with():
    found = tone_of_steps(bent(LIGHT), LIGHT)
    read = linear_light(bent(np.tile(np.linspace(0.05, 0.9, 50), (30, 1))), found.curve)
    assert read.tone_known
    shown = read.grey[0] / read.grey[0, -1]
    np.testing.assert_allclose(shown, np.linspace(0.05, 0.9, 50) / 0.9, atol=0.012)


def test_a_sheet_has_one_level_and_an_edge_has_none():
    assert even_level(np.full((90, 120), 0.4, dtype=np.float32)) == pytest.approx(0.4)
    with pytest.raises(UnusableInput, match="one even surface"):
        even_level(wedge(srgb_encode))


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize(("off", "seen"), [(0.0, True), (0.007, True), (0.008, False)])
def test_a_patch_is_as_even_as_its_nearer_neighbour_is_far(backwards, off, seen):
    """Halves may differ by 0.15 of the lesser step beside them, here 0.05 of full scale."""
    values = np.array([0.1, 0.15, 0.5, 0.7, 0.9])
    row = np.repeat(values, 60)
    row[60:90] -= off / 2
    row[90:120] += off / 2
    row = row[::-1] if backwards else row
    picture = np.tile(row, (100, 1)).astype(np.float32)
    expected = values[::-1] if backwards else values
    for turned in (picture, picture.T):
        if seen:
            np.testing.assert_allclose(patches_in(turned, 5), expected, atol=1e-5)
        else:
            with pytest.raises(UnusableInput, match="no row of 5 even patches"):
                patches_in(turned, 5)


def test_patches_are_read_from_the_middle_of_the_row():
    """Four tenths of its height: what lies above and below them is not the wedge's."""
    values = np.array([0.1, 0.3, 0.5, 0.7, 0.9])
    picture = np.tile(np.repeat(values, 60), (100, 1)).astype(np.float32)
    rng = np.random.default_rng(1)
    picture[:30], picture[70:] = rng.random((30, 300)), rng.random((30, 300))
    np.testing.assert_allclose(patches_in(picture, 5), values, atol=1e-5)
    picture[30:34] = 1 - picture[30:34]
    with pytest.raises(UnusableInput, match="no row of 5 even patches"):
        patches_in(picture, 5)
