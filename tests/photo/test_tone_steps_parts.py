"""Grey steps, part by part: both sides of every limit, curves and patches by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.photo.tone_steps import (
    _cuts,
    _halves,
    _light_at,
    _row_along,
    _scatter,
    even_level,
    known_light,
    patches_in,
    tone_of_steps,
)

LIGHT = 0.95 * 0.62 ** np.arange(12)


def test_a_power_law_is_its_own_curve_within_and_beyond_the_steps():
    stored = np.array([0.2, 0.3, 0.5, 0.7, 0.9])
    found = _light_at(np.array([0.05, 0.2, 0.4, 0.9, 1.0]), stored, 3 * stored**2.2)
    assert_allclose(found, 3 * np.array([0.05, 0.2, 0.4, 0.9, 1.0]) ** 2.2, rtol=1e-9)


@pytest.mark.parametrize(("power", "held"), [(0.2, 0.3), (0.5, 0.5), (7.0, 7.0), (10.0, 8.0)])
def test_beyond_the_steps_a_curve_is_neither_too_shallow_nor_too_steep(power, held):
    stored = np.array([0.2, 0.3, 0.5, 0.7, 0.8])
    low, high = _light_at(np.array([0.1, 1.0]), stored, stored**power)
    assert low == pytest.approx(0.2**power * 0.5**held)
    assert high == pytest.approx(0.8**power * 1.25**held)


def test_a_curve_runs_from_nothing_to_full_scale_in_64_even_parts():
    found = tone_of_steps(LIGHT ** (1 / 2.0), LIGHT)
    places = np.linspace(0, 1, 65)
    assert_allclose(found.curve, places**2, atol=1e-6)
    assert_allclose(found.stored, np.sqrt(LIGHT[::-1]), atol=1e-6)
    assert_allclose(found.light, LIGHT[::-1], atol=1e-6)
    assert found.off_percent == pytest.approx(0, abs=1e-6)
    told = found.to_dict()
    assert told["steps"][0] == {"stored": found.stored[0], "light": found.light[0]}
    assert told["curve"] == list(found.curve)
    assert "tone curve from 12 steps, stored 7 to 97 % of full scale" in found.summary()


def test_light_of_any_unit_is_told_of_full_scale():
    one, other = (tone_of_steps(np.sqrt(LIGHT), LIGHT * unit) for unit in (1, 400.0))
    assert_allclose(one.light, other.light, atol=1e-7)
    assert_allclose(one.curve, other.curve, atol=1e-6)


def test_how_far_a_step_lies_off_the_others():
    """One step 6 % too light on a straight line: it is off by 6 %, its neighbours by some."""
    stored = np.geomspace(0.1, 0.9, 9)
    light = stored.copy()
    light[4] *= 1.06
    found = tone_of_steps(stored, light)
    others = [
        _light_at(stored[k], np.delete(stored, k), np.delete(light, k)) / light[k] - 1
        for k in range(1, 8)
    ]
    assert others[3] == pytest.approx(1 / 1.06 - 1, abs=1e-3)
    assert found.off_percent == pytest.approx(100 * np.sqrt(np.mean(np.square(others))))
    assert 100 * 0.06 / np.sqrt(7) < found.off_percent < 4


def test_steps_are_put_in_order_by_their_light():
    order = np.random.default_rng(1).permutation(12)
    assert tone_of_steps(np.sqrt(LIGHT)[order], LIGHT[order]) == tone_of_steps(
        np.sqrt(LIGHT), LIGHT
    )


@pytest.mark.parametrize(
    ("darkest", "lightest", "left"),
    [
        (0.5 / 255, 0.9, 7),
        (0.51 / 255, 0.9, 8),
        (0.1, 0.998, 7),
        (0.1, 0.9979, 8),
    ],
)
def test_black_and_white_steps_are_left_out(darkest, lightest, left):
    stored = np.r_[darkest, np.linspace(0.2, 0.8, 6), lightest]
    found = tone_of_steps(stored, stored)
    assert len(found.stored) == left
    few = ["few_tone_steps"] if left < 8 else []
    assert [one.code for one in found.doubts if one.code == "few_tone_steps"] == few


def test_four_steps_are_the_fewest():
    stored = np.array([0.2, 0.4, 0.6, 0.8])
    assert len(tone_of_steps(stored, stored).stored) == 4
    with pytest.raises(UnusableInput, match="3 steps lie between black and full scale, 4"):
        tone_of_steps(np.r_[stored[:3], 1.0], stored)
    with pytest.raises(UnusableInput, match="steps look alike"):
        tone_of_steps(np.array([0.2, 0.2, 0.2, 0.4, 0.6]), np.arange(1.0, 6))
    alike = tone_of_steps(np.array([0.2, 0.2, 0.4, 0.6, 0.8]), np.arange(1.0, 6))
    assert len(alike.stored) == 4
    assert alike.light[0] / alike.light[1] == pytest.approx(1 / 3)  # the first of two alike


@pytest.mark.parametrize(("lightest", "dark"), [(0.699, True), (0.7, False)])
def test_steps_that_do_not_reach_seven_tenths_are_dark(lightest, dark):
    stored = np.linspace(0.1, lightest, 9)
    found = tone_of_steps(stored, stored)
    assert ["tone_steps_dark" in one.code for one in found.doubts] == [True] * dark
    if dark:
        assert found.doubts[0].where.value == pytest.approx(0.699)


def test_a_value_may_fall_by_a_third_of_a_step():
    """Eight steps over 0.7: a step is 0.0875 by that count, 0.35 of it is 0.0306; two share it."""
    stored = np.linspace(0.1, 0.8, 8)
    swapped = stored.copy()
    swapped[3:5] = 0.45 + 0.030, 0.45 - 0.030
    assert len(tone_of_steps(swapped, stored).stored) == 7
    swapped[3:5] = 0.45 + 0.0313, 0.45 - 0.0313
    with pytest.raises(UnusableInput, match="do not rise"):
        tone_of_steps(swapped, stored)


def test_light_must_be_above_nothing_and_of_every_step():
    assert known_light([0.5, 1e-9]).tolist() == [0.5, 1e-9]
    for bad in ([0.5, 0.0], [0.5, -1], [np.nan], [np.inf]):
        with pytest.raises(UnusableInput, match="not above zero"):
            known_light(bad)
    with pytest.raises(UnusableInput, match="3 lights for 4 steps"):
        tone_of_steps([0.1, 0.2, 0.3, 0.4], [1, 2, 3])


def test_scatter_is_that_of_rows_or_columns_beyond_noise():
    rows = np.repeat([[0.4], [0.6]], 50, axis=0) + np.zeros(80)
    noise = 0.01 / 80  # the variance of the pixels, as if it were noise, on a mean of 80
    assert _scatter(rows) == pytest.approx(np.sqrt(0.01 - noise))
    assert _scatter(rows.T) == pytest.approx(np.sqrt(0.01 - noise))
    assert _scatter(np.full((5, 6), 0.3)) == 0
    assert _scatter(0.1 * np.random.default_rng(1).standard_normal((90, 70))) < 0.006


def test_halves_differ_along_or_across():
    part = np.zeros((4, 6))
    part[:2] = 0.2
    assert _halves(part) == pytest.approx(0.2)
    assert _halves(part.T) == pytest.approx(0.2)
    assert _halves(-part) == pytest.approx(0.2)
    assert _halves(np.array([[0.0, 0.0, 0.9]])) == pytest.approx(0.45)  # one row has no halves
    assert _halves(np.array([[0.0], [0.0], [0.9]])) == pytest.approx(0.45)
    assert _halves(np.array([[0.5]])) == 0


def test_a_profile_is_cut_where_it_steps():
    profile = np.repeat([0.0, 2.0, 1.0, 5.0], [9, 11, 12, 8])
    assert _cuts(profile, 4).tolist() == [0, 9, 20, 32, 40]
    assert _cuts(profile[::-1], 4).tolist() == [0, 8, 20, 31, 40]
    # A stretch is no shorter than seven tenths of the usual one.
    assert _cuts(np.repeat([0.0, 9.0, 1.0], [13, 7, 10]), 3).tolist() == [0, 13, 20, 30]
    assert _cuts(np.repeat([0.0, 9.0, 1.0], [14, 6, 10]), 3).tolist() != [0, 14, 20, 30]
    assert _cuts(np.zeros(3), 4).size == 0


def test_a_patch_has_four_columns_at_least_and_its_inner_part_tells():
    values = np.array([0.1, 0.3, 0.5, 0.7])
    picture = np.tile(np.repeat(values, 4), (20, 1)).astype(np.float32)
    found, uneven = _row_along(picture, 4)
    assert_allclose(found, values, atol=1e-6)
    assert uneven == pytest.approx(0, abs=1e-4)
    found, uneven = _row_along(picture[:, 1:], 4)
    assert uneven == np.inf
    assert not found.any()


def test_a_border_between_patches_does_not_count():
    """Two tenths of a patch at each side are left out."""
    values = np.array([0.1, 0.3, 0.5, 0.7])
    row = np.repeat(values, 100)
    for cut in (100, 200, 300):
        row[cut - 15 : cut + 15] = np.linspace(row[cut - 20], row[cut + 20], 30)
    found, uneven = _row_along(np.tile(row, (50, 1)).astype(np.float32), 4)
    assert_allclose(found, values, atol=1e-6)
    assert uneven < 1e-3


def test_patches_rise_or_fall_throughout_but_for_white_ones():
    def row(*values):
        return np.tile(np.repeat(values, 50), (60, 1)).astype(np.float32)

    assert_allclose(patches_in(row(0.1, 0.3, 0.6, 0.9), 4), [0.1, 0.3, 0.6, 0.9], atol=1e-6)
    assert_allclose(patches_in(row(0.9, 0.6, 0.3, 0.1), 4), [0.9, 0.6, 0.3, 0.1], atol=1e-6)
    with pytest.raises(UnusableInput, match="no row of 4 even patches"):
        patches_in(row(0.1, 0.6, 0.3, 0.9), 4)
    assert_allclose(patches_in(row(0.1, 0.5, 0.999, 1.0), 4), [0.1, 0.5, 0.999, 1.0], atol=1e-6)
    with pytest.raises(UnusableInput, match="3 steps are too few"):
        patches_in(row(0.1, 0.5, 0.9), 3)


@pytest.mark.parametrize(("off", "even"), [(0.0135, True), (0.0145, False)])
def test_a_sheet_is_even_to_three_percent_and_half_a_level(off, even):
    """Of 0.4: 0.012 and 0.002; in the middle four tenths alone."""
    sheet = np.random.default_rng(1).random((100, 200))
    sheet[30:70, 60:100] = 0.4 - off / 2
    sheet[30:70, 100:140] = 0.4 + off / 2
    for turned in (sheet, sheet.T):
        if even:
            assert even_level(turned) == pytest.approx(0.4)
        else:
            with pytest.raises(UnusableInput, match="one even surface"):
                even_level(turned)
