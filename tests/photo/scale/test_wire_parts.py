"""Parts of the scale from a wire: lines, sides and their doubt in closed form."""

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.scale import wire
from edgetest.photo.scale.wire import _alike, _fit_sides, _robust_line, _two_sides, scale_from_wire
from tests.photo.light import linear


def test_a_line_is_robust_to_what_lies_off_it():
    x = np.arange(12.0)
    y = 2 * x - 7
    assert _robust_line(x, y) == pytest.approx((2, -7))
    y[[2, 9]] += [40, -25]
    assert _robust_line(x, y) == pytest.approx((2, -7))


def test_values_within_a_tenth_count_however_small_their_scatter():
    x = np.arange(9.0)
    y = np.r_[0.09, np.zeros(8)]
    assert _robust_line(x, y) == pytest.approx(tuple(np.polyfit(x, y, 1)))
    y[0] = 0.11
    assert _robust_line(x, y) == pytest.approx((0, 0), abs=1e-12)


@pytest.mark.parametrize(
    ("values", "factor"),
    [
        (np.tile([1.0, -1.0], 10), 1.0),  # neighbours that err the other way do not help
        (np.repeat([1.0, -1.0], 10), 3.0),  # at most 0.8 is shared
        (np.tile([1.0, 1, -1, -1], 5), np.sqrt(1.1 / 0.9)),  # 1 of 20 in pairs, 1 by the mean
        (np.tile([1.0, 1, -1, -1], 5) + 70, np.sqrt(1.1 / 0.9)),
        (np.repeat([1.0, -1.0, 1.0, -1.0], 5), np.sqrt(1.7 / 0.3)),  # 13 of 20 and 1
    ],
)
def test_neighbours_that_err_alike_widen_the_doubt(values, factor):
    assert _alike(values) == pytest.approx(factor)


def row_of(first, second, *, blur=1.5, low=0.2, high=0.7, slope=0.0, count=120):
    x = np.arange(float(count))
    inside = ndtr((x - first) / blur) - ndtr((x - second) / blur)
    return low + (high - low) * inside + slope * (x - 60) * (1 - inside)


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("cut", [0, 7])
def test_both_sides_of_a_body_are_found_in_a_strip(dark, cut):
    row = row_of(30.3, 71.8)
    row = 1 - row if dark else row
    row[:cut] = np.nan
    row[120 - cut :] = np.nan
    first, second, blur, noise = _two_sides(row)
    assert (first, second) == pytest.approx((30.3, 71.8), abs=1e-3)
    assert blur == pytest.approx(1.5, rel=1e-3)
    assert noise < 1e-3


def test_the_doubt_of_both_sides_is_that_of_least_squares():
    """Sides found in noise scatter by what is told of them."""
    rng = np.random.default_rng(1)
    found = np.array(
        [_two_sides(row_of(30.3, 71.8) + 0.01 * rng.standard_normal(120)) for _ in range(40)]
    )
    width = found[:, 1] - found[:, 0]
    assert np.mean(width) == pytest.approx(41.5, abs=0.03)
    assert np.std(width) == pytest.approx(np.mean(found[:, 3]), rel=0.3)


@pytest.mark.parametrize(
    ("row", "seen"),
    [
        (row_of(30, 70), True),
        (row_of(30, 70, low=0.30, high=0.351), True),
        (row_of(30, 70, low=0.30, high=0.349), False),  # less than 0.05 of full scale
        (row_of(8, 16, count=24), True),
        (np.r_[np.nan, row_of(8, 16, count=24)[1:]], False),  # 23 pixels
        (row_of(30, 70) + row_of(80, 95) - 0.2, False),  # two bodies
        (row_of(30, 300), False),  # one side
        (row_of(2.6, 70), False),  # three pixels before it
        (row_of(4.6, 70), True),
        (row_of(40, 115.4), True),
        (row_of(40, 116.4), False),
    ],
)
def test_a_strip_shows_one_body_with_ground_on_both_sides(row, seen):
    assert (_two_sides(row) is not None) == seen


def test_sides_that_no_blurred_step_fits_are_none():
    """A ripple of an eighth of the step, and one of a twentieth."""
    x = np.arange(120.0)
    cross = np.array([30, 71])
    for share, seen in ((0.05, True), (0.14, False)):
        rippled = row_of(30.5, 71.5) + share * 0.5 * np.sin(x * 1.7) * np.sqrt(2)
        assert (_fit_sides(rippled, cross, 1.0, 0) is not None) == seen


@pytest.mark.parametrize(
    ("diameter_u", "u", "df", "expected"),
    [
        (0.0, 0.1, 9, 0.002 * 2.2622 / 1.96),  # Student's t of nine degrees of freedom
        (5.0, 0.1, 9, np.hypot(0.002, 0.01)),  # the gauge's own doubt leads: no t
        (0.5, 0.1, 9, np.hypot(0.002, 0.001) * 2.2622 / 1.96),
    ],
)
def test_few_strips_widen_their_own_part_alone(monkeypatch, diameter_u, u, df, expected):
    body = (33.0, 50.0, u, 10, 1.4, df)
    monkeypatch.setattr(wire, "_find_body", lambda grey: body)
    scale = scale_from_wire(linear(np.full((60, 70), 0.5)), 500.0, diameter_u)
    assert scale.um_per_px == pytest.approx(10.0)
    assert scale.relative_u == pytest.approx(expected, rel=1e-3)
    assert (scale.rotation_deg, scale.lines_used, scale.blur_px) == (33.0, 10, 1.4)


def strips_with(rows, along=None):
    """Strips one below the other that hold such rows."""
    rows = np.array(rows)
    along = np.arange(len(rows)) * 20.0 - 100 if along is None else along
    return rows, np.arange(rows.shape[1]) - 59.5, along, np.zeros(len(rows))


def measured(monkeypatch, rows, angle=0.0, along=None):
    monkeypatch.setattr(wire, "strips", lambda grey, at, count: strips_with(rows, along))
    return wire._measure(np.zeros((9, 9)), angle)


def test_a_body_s_width_is_the_mean_over_its_strips(monkeypatch):
    offsets = [0.0, 0.1, -0.1, 0.1, -0.1, 0.0, 0.1, -0.1, 0.1, -0.1]
    rows = [row_of(30 - off / 2, 70 + off / 2) for off in offsets]
    angle, width, u, count, blur, df = measured(monkeypatch, rows)
    assert (angle, width, blur) == pytest.approx((0.0, 40.0, 1.5), abs=1e-3)
    assert (count, df) == (10, 9)
    # Standard deviation 0.2 * sqrt(0.5 * 8 / 9) / 2 of ten; neighbours err the other way.
    assert u == pytest.approx(0.1 * np.sqrt(8 / 9) / np.sqrt(10), rel=0.01)
    rows[4] = row_of(30, 73)
    again = measured(monkeypatch, rows)
    assert again[1] == pytest.approx(40.0, abs=0.02)
    assert again[3] == 9


@pytest.mark.parametrize("slope", [-0.05, 0.02])
def test_a_body_that_leans_is_measured_across_itself(monkeypatch, slope):
    """Its strips are turned by its lean, and what is left of it shortens the width."""
    turns = []

    def strips(grey, angle, count):
        turns.append(angle)
        rows = [row_of(30 + slope * k * 20, 70 + slope * k * 20) for k in range(-5, 6)]
        return strips_with(rows, 20.0 * np.arange(-5, 6))

    monkeypatch.setattr(wire, "strips", strips)
    angle, width, *_ = wire._measure(np.zeros((9, 9)), 10.0)
    lean = np.rad2deg(np.arctan(slope))
    assert turns == pytest.approx([10, 10 - lean, 10 - 2 * lean])
    assert angle == pytest.approx(10 - 3 * lean)
    assert width == pytest.approx(40 * np.cos(np.deg2rad(lean)), abs=1e-3)


@pytest.mark.parametrize(("count", "seen"), [(5, True), (4, False)])
def test_five_strips_are_needed(monkeypatch, count, seen):
    rows = [row_of(30, 70)] * count + [np.full(120, 0.5)] * 3
    assert (measured(monkeypatch, rows) is not None) == seen


@pytest.mark.parametrize(("width", "seen"), [(7.0, False), (8.0, True)])
def test_a_body_of_less_than_eight_pixels_is_none(monkeypatch, width, seen):
    rows = [row_of(50.5, 50.5 + width, blur=0.6)] * 8
    assert (measured(monkeypatch, rows) is not None) == seen


@pytest.mark.parametrize(
    ("held", "step", "seen"), [(6, 11.0, False), (6, 13.0, True), (12, 4.0, True)]
)
def test_a_body_is_longer_than_wide_or_runs_through(monkeypatch, held, step, seen):
    """Strips of a 40 px body over 1.5 widths of its length, or more than half of them."""
    rows = [row_of(30, 70)] * held + [np.full(120, 0.5)] * (20 - held)
    found = measured(monkeypatch, rows, along=step * np.arange(20))
    assert (found is not None) == seen
