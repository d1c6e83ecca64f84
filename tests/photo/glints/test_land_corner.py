"""Flat and corner from two pictures: lines of known edges, solved back."""

import numpy as np
import pytest

from edgetest.photo.apex.apex_light import (
    SLOPES,
    WORST,
    FacingWidth,
    Lighting,
    leaning_sine,
    least_sine,
)
from edgetest.photo.glints.land_corner import STEEPEST, land_and_corner

ON_AXIS = Lighting("on-axis", 0.05)
SINE = np.sin(np.deg2rad(20))
LEAST = least_sine(ON_AXIS)
MOST = min((1 + WORST) * leaning_sine(0.05, SLOPES[1]), STEEPEST * SINE)


def exact(value):
    return FacingWidth(value, value, value)


def seen(flat, radius, reach):
    """Both lines of an edge whose crest shines up to a lean with this sine."""
    return exact(flat + 2 * radius * SINE), exact(flat + 2 * radius * reach)


@pytest.mark.parametrize(("flat", "radius"), [(12.0, 3.0), (30.0, 1.5), (25.0, 6.0)])
def test_an_edge_of_usual_roughness_is_the_value(flat, radius):
    lines, bright = seen(flat, radius, np.sqrt(LEAST * MOST))
    found = land_and_corner(lines, SINE, bright, ON_AXIS)
    assert found.land_um.value == pytest.approx(flat)
    assert found.corner_um.value == pytest.approx(radius)
    assert found.w30_um.value == pytest.approx(flat + radius)


@pytest.mark.parametrize("reach", [LEAST, MOST])
def test_the_ends_are_those_of_the_smoothest_and_the_roughest_apex(reach):
    lines, bright = seen(20.0, 4.0, reach)
    found = land_and_corner(lines, SINE, bright, ON_AXIS)
    smooth = reach == LEAST
    assert (found.land_um.high if smooth else found.land_um.low) == pytest.approx(20.0)
    assert (found.corner_um.low if smooth else found.corner_um.high) == pytest.approx(4.0)


def test_the_interval_of_each_line_widens_all_three():
    lines, bright = seen(20.0, 4.0, 0.1)
    sure = land_and_corner(lines, SINE, bright, ON_AXIS)
    wide = land_and_corner(
        FacingWidth(lines.low - 1, lines.high + 1, lines.value), SINE,
        FacingWidth(bright.low - 0.5, bright.high + 0.5, bright.value), ON_AXIS,
    )  # fmt: skip
    assert wide.corner_um.value == sure.corner_um.value
    # The corner is (lines - bright) / 2 (sin - reach): its end moves by 1.5 of that.
    assert wide.corner_um.high - sure.corner_um.high == pytest.approx(1.5 / (2 * (SINE - MOST)))
    assert wide.corner_um.low - sure.corner_um.low == pytest.approx(-1.5 / (2 * (SINE - LEAST)))
    assert wide.land_um.low < sure.land_um.low < sure.land_um.high < wide.land_um.high
    assert wide.w30_um.low < sure.w30_um.low < sure.w30_um.high < wide.w30_um.high


def test_without_a_flat_the_two_lines_alone_tell_the_radius():
    found = land_and_corner(exact(10.0), SINE, exact(0.2), ON_AXIS)
    assert found.land_um.value == 0
    assert found.corner_um.value == pytest.approx(10 / (2 * SINE))
    assert found.w30_um.value == pytest.approx(10 / (2 * SINE))
    square = land_and_corner(exact(10.0), SINE, exact(11.0), ON_AXIS)
    assert square.corner_um.value == 0
    assert square.land_um.value == pytest.approx(10)


def test_an_aperture_that_is_not_noted_tells_nothing_and_the_larger_one_counts():
    assert land_and_corner(exact(10.0), SINE, exact(5.0), Lighting("on-axis")) is None
    with_lamp = Lighting("on-axis", 0.05, 0.15)
    assert least_sine(with_lamp) > LEAST
    lines, bright = seen(20.0, 4.0, least_sine(with_lamp))
    assert land_and_corner(lines, SINE, bright, with_lamp).land_um.high == pytest.approx(20.0)
