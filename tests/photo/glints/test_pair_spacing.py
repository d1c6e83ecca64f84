"""Two bright lines: how far apart, and when there are none."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.glints.pair_spacing import pair_spacing
from edgetest.photo.linear_light import linear_light
from tests.photo.glints.two_lines import two_lines


@pytest.mark.parametrize("spacing_px", [7.0, 12.3, 30.0, 140.0])
def test_two_gaussian_lines_are_as_far_apart_as_they_were_drawn(spacing_px):
    found = pair_spacing(two_lines(spacing_px))
    assert found.found == "two lines"
    assert found.spacing_px == pytest.approx(spacing_px, rel=0.003)
    assert found.low_px - 3 * found.u_px <= spacing_px <= found.high_px + 3 * found.u_px
    assert found.ratio == pytest.approx(1.2, rel=0.05)


def test_light_between_the_lines_widens_the_interval_to_hold_the_distance():
    dark, filled = (pair_spacing(two_lines(9.0, between=share)) for share in (0.0, 0.15))
    assert filled.high_px - filled.low_px > 2 * (dark.high_px - dark.low_px)
    assert filled.low_px - 3 * filled.u_px < 9.0 < filled.high_px + 3 * filled.u_px


def test_lines_upright_are_as_far_apart_as_level_ones():
    light = two_lines(21.0)
    turned = linear_light(np.ascontiguousarray(light.grey.T), "linear")
    assert pair_spacing(turned).spacing_px == pytest.approx(
        pair_spacing(light).spacing_px, abs=0.02
    )


def test_two_lines_that_no_dip_parts_are_one_line_at_most_so_far_apart():
    found = pair_spacing(two_lines(3.0, sd_px=2.0))
    assert (found.found, found.reason) == ("one line", "one_line")
    assert 3.0 < found.at_most_px < 10.0


@pytest.mark.parametrize(
    ("light", "reason"),
    [
        (two_lines(heights=(0.0, 0.0)), "no_lines"),
        (two_lines(heights=(0.8, 0.17)), "uneven_lines"),
        (two_lines(heights=(0.1, 0.1), ground=0.6), "faint_lines"),
        (two_lines(spacing_px=225.0, sd_px=10.0, tilt=0.1), "lines_leave_picture"),
        (two_lines(60.0, heights=(1e9, 1e9)), "saturated_lines"),
        (linear_light(np.zeros((100, 100), dtype=np.float32), "linear"), "too_dark"),
        (linear_light(np.zeros((10, 100), dtype=np.float32), "linear"), "too_small"),
    ],
)
def test_what_is_no_pair_says_why(light, reason):
    found = pair_spacing(light)
    assert (found.found, found.reason) == ("none", reason)
    assert found.spacing_px is None


def test_lines_overexposed_at_their_tops_are_placed_by_their_flanks():
    found = pair_spacing(two_lines(20.0, heights=(1.5, 1.2)))
    assert found.found == "two lines"
    assert found.spacing_px == pytest.approx(20.0, rel=0.003)


def test_noise_alone_is_no_pair():
    noise = np.random.default_rng(3).normal(0.4, 0.1, (200, 300)).clip(0, 1)
    assert pair_spacing(linear_light(noise.astype(np.float32), "linear")).found == "none"


def test_an_array_without_its_tone_is_refused():
    with pytest.raises(UnusableInput, match="tone"):
        pair_spacing(np.zeros((100, 100)))


def test_places_that_dirt_hides_do_not_count():
    light = two_lines(20.0)
    grey = light.grey.copy()
    grey[:, 150:200] = 0.5
    found = pair_spacing(linear_light(grey, "linear"))
    assert found.spacing_px == pytest.approx(20.0, rel=0.005)
    hidden = (found.position_px > 160) & (found.position_px < 190)
    assert hidden.any()
    assert not found.used[hidden].any()
