"""Each part of the reasons for a refusal: counted by hand, at its limit from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.doubts import doubt
from edgetest.photo.apex import refusal_reasons
from edgetest.photo.apex.band_sides import CLIPPED
from edgetest.photo.apex.refusal_reasons import (
    Sight,
    _clipped_share,
    _dip,
    _leaves,
    _noisy,
    _unfocused,
    line_beside,
    plainer_reason,
    short_stretch,
)


def band_of(path, **known):
    """A path with what a test needs to know of it."""
    strength = np.ones(len(path))
    usual = {"strength": strength, "sigma_px": 4.0, "reward": 0.7, "upright": False, "reduction": 1}
    return SimpleNamespace(centre_rc=np.asarray(path, dtype=float), **(usual | known))


def level_path(row, cols):
    return np.stack([np.full(cols, float(row)), np.arange(float(cols))], axis=1)


def context_of(**known):
    usual = {"left": -10.0, "right": 10.0, "land": 0.6, "below": 0.2, "above": 0.1,
             "certain": True, "beside": 0.0}  # fmt: skip
    return SimpleNamespace(**(usual | known))


def sight_of(small, band=None, context=None, grey=None):
    grey = small if grey is None else grey
    return Sight(grey, small, [], [], [], band or band_of(level_path(5, 9)), context)


@pytest.mark.parametrize("turned", [False, True])
def test_the_dip_is_the_fall_below_the_lower_border_over_the_higher_one(turned):
    """Borders of 0.6 and 0.5, 0.35 between them, the darker ground 0.1: 0.15 of 0.5.

    What lies two samples beyond the borders, and shines more, is not of the land.
    """
    x = np.arange(-100, 101) * 0.5
    profile = np.full(x.size, 0.2)
    profile[np.abs(x) <= 10.5] = 0.35
    profile[x == -10.5], profile[x == 10.5] = 0.6, 0.5
    profile[np.abs(x) == 11.0] = 3.0
    if turned:
        profile = profile[::-1]
    assert _dip(context_of(x=x, profile=profile)) == pytest.approx(0.3)
    flat = np.where(np.abs(x) <= 10.5, 0.6, 0.2)
    assert _dip(context_of(x=x, profile=flat)) == 0


def test_the_clipped_share_is_counted_where_the_line_answers():
    """Ten of thirty places that answer are full; ten more answer less than half as much."""
    small = np.full((20, 40), 0.5, np.float32)
    small[7, :10], small[7, 30:] = CLIPPED, 1.0
    small[6, :], small[8, :] = 0.2, 0.2
    strength = np.r_[np.ones(20), np.full(10, 0.5), np.full(10, 0.49)]
    path = (level_path(7, 40) + 0.5) * 3 - 0.5
    band = band_of(path, strength=strength, reduction=3)
    assert _clipped_share(sight_of(small, band)) == pytest.approx(10 / 30)
    small[7, :10] = np.nextafter(np.float32(CLIPPED), np.float32(0))
    assert _clipped_share(sight_of(small, band)) == 0


@pytest.mark.parametrize(
    ("noise", "light", "noisy"),
    [(0.03, 0.39, True), (0.03, 0.41, False), (0.025, 0.06, True), (0.025, 0.065, False),
     (0.008, 0.019, True), (0.008, 0.021, False)],
)  # fmt: skip
@pytest.mark.parametrize("of", ["land", "light", "mean"])
def test_noise_drowns_the_brightest_of_band_and_picture(monkeypatch, noise, light, noisy, of):
    """A fortieth of full scale and less: 0.4 of the light; more of it: 0.075."""
    monkeypatch.setattr(refusal_reasons, "pixel_noise", lambda grey: noise)
    land = light if of == "land" else 0.001
    small = np.full((8, 8), light if of == "mean" else 0.001)
    context = context_of(land=0.2 + land, below=0.2, above=0.3)
    sight = sight_of(small, context=context)
    assert _noisy(sight, light if of == "light" else 0.001) == noisy


def fading(blur):
    """Light that rises from column to column as a step behind a Gaussian."""
    return np.tile(0.1 + 0.8 * ndtr((np.arange(600) - 330) / blur), (200, 1)).astype(np.float32)


def body(first, last, *, low=60, extra=0):
    """Dark, with one bright body from a row down to the border, between two columns."""
    small = np.full((100, 150), 0.1, np.float32)
    small[low:, first:last] = 0.9
    small[5:15, 60 : 60 + extra] = 0.9
    return small


@pytest.mark.parametrize(
    ("small", "leaves"),
    [
        (body(20, 100), True),  # 80 of 150 columns of the border: more than half of it
        (body(20, 90), False),
        (body(0, 70), True),  # it leaves on its way, by 0.47 and by 0.05 of the border
        (body(0, 9), True),
        (body(0, 6), False),
        (body(20, 140, low=45), True),
        (body(0, 150, low=45), False),  # more than half of the picture
        (body(20, 100, extra=30), True),  # 300 px beside 3200: 0.91 is one body
        (body(20, 100, extra=40), False),  # 400: 0.89
        (fading(29.0), True),
        (fading(31.0), False),  # no body: its light fades, over more than 30 px
    ],
)
@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("flipped", [False, True])
def test_a_body_that_reaches_the_border_leaves_the_picture(small, leaves, upright, flipped):
    small = small[::-1, ::-1] if flipped else small
    small = np.ascontiguousarray(small.T if upright else small)
    assert _leaves(sight_of(small, band_of(level_path(5, 9), upright=upright)), 0.1) == leaves


def test_even_light_leaves_nowhere():
    assert not _leaves(sight_of(np.full((50, 60), 0.4, np.float32)), 0.4)


def lines_at(rows, strengths, shape=(160, 200)):
    response = np.zeros(shape, np.float32)
    for row, strength in zip(rows, strengths, strict=True):
        response[row] = strength
    return response


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("away", [-1, 1])
@pytest.mark.parametrize(
    ("bounds", "reach"),
    [((-10.0, 10.0), 36), ((None, 10.0), 18), ((-8.0, None), 18)],
)
def test_a_line_beside_lies_a_land_and_a_half_away(upright, away, bounds, reach):
    """And 6 px; of a band without sides two of its scales are the width."""
    rows = 80 + away * np.array([0, reach - 1, reach, reach + 1])
    response = lines_at(rows, [3.0, 2.0, 1.0, 0.5])
    path = level_path(80, 200)
    context = context_of(left=bounds[0], right=bounds[1])
    if upright:
        response, path = np.ascontiguousarray(response.T), path[:, ::-1]
    found = line_beside([response], band_of(path, upright=upright), [1.1], context)
    assert found.upright == upright
    np.testing.assert_allclose(found.centre_rc[:, 1 if upright else 0], rows[3], atol=1e-6)
    assert found.strength.max() == pytest.approx(0.5)


def test_a_line_beside_is_sought_on_the_reduced_picture():
    """A land of 60 px on a picture reduced to a third: 30 px and 6 px, of the reduced one."""
    response = lines_at([80, 80 + 36, 80 + 37], [3.0, 2.0, 0.5])
    path = (level_path(80, 200) + 0.5) * 3 - 0.5
    context = context_of(left=-30.0, right=30.0)
    found = line_beside([response], band_of(path, reduction=3), [1.1], context)
    np.testing.assert_allclose((found.centre_rc[:, 0] + 0.5) / 3 - 0.5, 117, atol=1e-6)


@pytest.mark.parametrize(
    ("factor", "blur", "width", "soft"),
    [(1, 6.49, 10.0, False), (1, 6.51, 10.0, True), (1, 7.0, 62.9, True), (1, 7.0, 63.1, False),
     (4, 11.6, 10.0, False), (4, 11.7, 10.0, True)],
)  # fmt: skip
def test_a_soft_step_is_out_of_focus(monkeypatch, factor, blur, width, soft):
    """Softer than 6 px and 2.5 of the reduced picture's, and than a ninth of the land."""
    monkeypatch.setattr(refusal_reasons, "steepest_step", lambda small, times: blur)
    context = context_of(left=-width / 2, right=width / 2)
    band = band_of(level_path(5, 9), reduction=factor)
    found = _unfocused(sight_of(np.zeros((9, 9)), band, context))
    assert (found is not None) == soft
    if soft:
        assert found.code == "out_of_focus"
        assert found.where.value == blur
    for unknown in ({"left": None}, {"right": None}, {"certain": False}):
        other = context_of(**({"left": -width / 2, "right": width / 2} | unknown))
        assert _unfocused(sight_of(np.zeros((9, 9)), band, other)) is None


@pytest.mark.parametrize(("reward", "through"), [(0.66, False), (0.661, True)])
def test_a_line_runs_through_by_its_mean_response(reward, through):
    band = band_of(level_path(5, 9), reward=reward)
    assert sight_of(np.zeros((9, 9)), band).through == through


@pytest.mark.parametrize(
    ("gap", "weak", "expected"),
    [(8, 0.0, (100, 200)), (9, 0.0, (100, 150)), (20, 0.41, (100, 200)), (20, 0.39, (100, 150))],
)
def test_the_short_stretch_bridges_a_fiftieth_of_the_path(gap, weak, expected):
    """Of 400 places 8; and it goes on where it answers by 0.4 of what is usual there."""
    response = np.zeros((60, 400), np.float32)
    response[30, 100:200] = 1.0
    response[30, 150 : 150 + gap] = weak
    response[30, 330:340] = 1.0
    band, first, last = short_stretch(2, [response], [1.1])
    assert (first, last) == expected
    assert band.reduction == 2


def plain(low, high):
    small = np.full((60, 80), low, np.float32)
    small[:, 40:] = high
    return small


@pytest.mark.parametrize(
    ("small", "code"),
    [
        (plain(0.0, 0.0159), "too_dark"),
        (plain(0.0, 0.0161), "inverted"),
        (plain(0.105, 0.2), "no_contrast"),  # varies by 0.475 of what is brightest
        (plain(0.103, 0.2), "inverted"),  # 0.485
    ],
)
def test_light_and_contrast_are_asked_first(small, code):
    dim = context_of(land=0.0, below=0.0, above=0.0)
    assert plainer_reason(doubt("inverted"), sight_of(small, context=dim)).code == code
    other = doubt("land_fills_frame")
    assert plainer_reason(other, sight_of(small, context=dim)) is other
