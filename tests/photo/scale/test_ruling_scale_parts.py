"""What a scale's interval and doubts are made of: by hand, at the limits."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.scale import ruling_scale
from edgetest.photo.scale.ruling_scale import (
    _half_turn,
    _is_ruling,
    _join,
    _pitch_doubts,
    _square,
    checked,
    line_families,
    scale_from_bar,
    scale_from_marks,
    scale_from_number,
    scale_of,
)


@pytest.mark.parametrize(
    ("degrees", "turned"), [(0, 0), (90, 90), (-90, 90), (91, -89), (180, 0), (269, 89), (-91, 89)]
)
def test_a_line_s_direction_lies_within_a_half_turn(degrees, turned):
    assert _half_turn(degrees) == turned


@pytest.mark.parametrize(
    ("one", "other", "square"),
    [(0, 90, True), (0, 87.1, True), (0, 86.9, False), (-87.1, 0, True), (80, -10, True),
     (80, -12.9, True), (80, -13.1, False), (45, 45, False)],
)  # fmt: skip
def test_directions_stand_square_to_three_degrees(one, other, square):
    assert _square(one, other) == square
    assert _square(other, one) == square


def test_an_interval_is_of_standard_uncertainties():
    found = scale_of(2.0, 0.01, "number")
    assert (found.low, found.high) == pytest.approx((2 - 0.0392, 2 + 0.0392))
    wider = scale_of(2.0, 0.01, "number", factor=3.0)
    assert (wider.low, wider.high) == pytest.approx((1.94, 2.06))
    assert scale_from_number(2.0, 0.49).relative_u == 0.49
    for relative in (0.5, -0.01):
        with pytest.raises(UnusableInput, match="is not between"):
            scale_from_number(2.0, relative)
    for number in (0.0, -1.0, np.inf, np.nan):
        with pytest.raises(UnusableInput, match="not above zero"):
            checked(number, "here", "µm")


def test_marks_and_bars_carry_their_placing():
    """Two marks of 0.5 px over 50 px; the bar's own length to 0.5 px besides."""
    marks = scale_from_marks((10, 20), (40, 60), 100.0)
    assert marks.um_per_px == pytest.approx(2.0)
    assert marks.relative_u == pytest.approx(np.sqrt(2) * 0.01)
    assert marks.rotation_deg == pytest.approx(np.rad2deg(np.arctan2(30, 40)))
    known = scale_from_marks((10, 20), (40, 60), 100.0, mark_sd_px=1.0, distance_u_um=3.0)
    assert known.relative_u == pytest.approx(np.hypot(np.sqrt(2) * 0.02, 0.03))
    bar = scale_from_bar((10, 20), (40, 60), 100.0)
    assert bar.relative_u == pytest.approx(np.hypot(np.sqrt(2) * 0.01, 0.01))
    assert bar.rotation_deg == marks.rotation_deg
    assert scale_from_marks((0, 0), (3, 4), 10.0).um_per_px == 2.0
    with pytest.raises(UnusableInput, match="apart"):
        scale_from_marks((0, 0), (3, 3.99), 10.0)


def lines_of(index, across, **known):
    usual = {"pitch_px": 20.0, "filled": 1.0, "misfit": 0.01, "stubs": False, "evenness": 0.9,
             "sections": False, "blur_px": 1.2, "angle_deg": 0.0, "weight": 1.0}  # fmt: skip
    return SimpleNamespace(index=np.asarray(index), across=np.asarray(across, dtype=float),
                           **(usual | known))  # fmt: skip


@pytest.mark.parametrize(("count", "ruling"), [(3, False), (4, True)])
def test_a_ruling_has_four_lines(count, ruling):
    index = np.repeat(np.arange(count), 3)
    assert _is_ruling(lines_of(index, 20.0 * index + 7)) == ruling


@pytest.mark.parametrize(("spacing", "ruling"), [(21.1, True), (21.3, False), (18.9, True),
                                                 (18.7, False)])  # fmt: skip
def test_spacing_by_the_ends_agrees_with_the_lattice(spacing, ruling):
    index = np.repeat(np.arange(-9, 11), 3)
    order = np.random.default_rng(1).permutation(index.size)
    lines = lines_of(index[order], spacing * index[order] - 5)
    assert _is_ruling(lines) == ruling
    lines.misfit = 0.5
    assert not _is_ruling(lines)


def fit_of(pitch=20.0, *, u=1e-4, lines=30, df=1e9, angle=0.0, distortion=0.0, marks=None):
    return SimpleNamespace(pitch_px=pitch, relative_u=u, df=df, rotation_deg=angle,
                           lines_used=lines, distortion=distortion, mark_every=marks)  # fmt: skip


def joined(*fits, pitch=10.0, in_file=None, **known):
    families = [lines_of([0], [0], **known)] * len(fits)
    found = _join(list(fits), families, pitch, in_file)
    return found, {one.code: one.where.value for one in found.doubts}


def test_one_family_s_scale_is_its_pitch():
    found, doubts = joined(fit_of(angle=12.0))
    assert found.um_per_px == 0.5
    assert found.relative_u == pytest.approx(1e-4, rel=1e-3)
    assert (found.rotation_deg, found.lines_used, found.axes) == (12.0, 30, ())
    assert doubts == {}
    few, _ = joined(fit_of(df=5))
    assert few.relative_u == pytest.approx(1e-4 * 2.5706 / 1.96, rel=1e-3)  # Student's t
    soft, doubts = joined(fit_of(), evenness=0.59)
    assert soft.relative_u == pytest.approx(2e-4, rel=1e-3)
    assert list(doubts) == ["partly_out_of_focus"]
    assert joined(fit_of(), evenness=0.6)[1] == {}


def test_two_families_are_averaged_unless_they_differ():
    found, doubts = joined(fit_of(20.0, u=1e-3), fit_of(20.08, u=1e-3, lines=40))
    mean = (10 / 20 + 10 / 20.08) / 2
    assert found.um_per_px == pytest.approx(mean)
    assert found.relative_u == pytest.approx(1e-3 / np.sqrt(2), rel=1e-3)
    assert found.lines_used == 40
    assert len(found.axes) == 2
    assert doubts == {}  # 0.4 % apart, three times 0.14 % are 0.42 %
    apart = abs(10 / 20 - 10 / 20.09) / ((10 / 20 + 10 / 20.09) / 2)
    found, doubts = joined(fit_of(20.0, u=1e-3), fit_of(20.09, u=1e-3))
    assert doubts == {"axes_differ": pytest.approx(apart)}
    assert found.relative_u == pytest.approx(np.hypot(1e-3 / np.sqrt(2), apart / 2), rel=1e-3)
    assert joined(fit_of(20.0), fit_of(20.039))[1] == {}
    assert "axes_differ" in joined(fit_of(20.0), fit_of(20.041))[1]


def test_doubts_of_a_ruling_begin_at_their_limits():
    assert joined(fit_of(lines=10))[1] == {}
    assert joined(fit_of(lines=9))[1] == {"few_lines": 9}
    assert joined(fit_of(distortion=0.002))[1] == {}
    assert joined(fit_of(distortion=-0.0021))[1] == {"lens_distortion": -0.0021}
    assert list(joined(fit_of(), sections=True)[1]) == ["two_pitches"]


@pytest.mark.parametrize(
    ("um_per_px", "relative", "marks", "in_file", "codes"),
    [
        (0.5, 1e-4, None, None, []),
        (0.5, 1e-4, 5, None, []),
        (0.5, 1e-4, 10, None, []),
        (0.5, 1e-4, 4, None, ["wrong_pitch"]),
        (0.5, 1e-4, None, 0.5 / 1.019, []),
        (0.5, 1e-4, None, 0.5 / 1.021, ["file_scale_differs"]),
        (0.5, 0.01, None, 0.5 / 1.029, []),
        (0.5, 0.01, None, 0.5 / 1.031, ["file_scale_differs"]),
        (0.5, 1e-4, None, 0.05, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 5.2, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 0.26, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 0.096, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 2.5, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 1.0, ["file_scale_differs", "wrong_pitch"]),
        (0.5, 1e-4, None, 0.3, ["file_scale_differs"]),
    ],
)
def test_the_pitch_is_doubted_by_marks_and_by_the_file(um_per_px, relative, marks, in_file, codes):
    found = _pitch_doubts(um_per_px, relative, [fit_of(marks=marks)], in_file)
    assert [one.code for one in found] == codes


def test_a_grid_s_second_family_stands_square_and_weighs_a_fifth(monkeypatch):
    """Families at 10, 100 and 30 degrees; the last is not square to the first."""
    grey = np.zeros((120, 120), np.float32)
    index = np.repeat(np.arange(-9, 11), 3)
    asked = []

    def families(weight, angles):
        asked.clear()
        monkeypatch.setattr(ruling_scale, "levels", lambda grey: iter([[grey]]))
        monkeypatch.setattr(ruling_scale, "line_directions", lambda level: angles)
        monkeypatch.setattr(ruling_scale, "_seen_through", lambda grey, found: found)

        def find(grey, angle):
            asked.append(angle)
            own = 1.0 if angle == 10 else weight
            return lines_of(index, 20.0 * index, angle_deg=angle, weight=own)

        monkeypatch.setattr(ruling_scale, "find_lines", find)
        return [one.angle_deg for one in line_families(grey)]

    assert families(0.21, [10, 30, -80]) == [10, -80]
    assert asked == [10, -80]
    assert families(0.2, [10, 30, -80]) == [10]
    assert families(0.9, [10, 30]) == [10]


def test_diagonals_of_a_grid_are_seen_through(monkeypatch):
    """Spaced by 20 px; its own lines, at 45 degrees to them, by root 2 of it."""
    index = np.repeat(np.arange(-9, 11), 3)
    first = lines_of(index, 20.0 * index, angle_deg=80.0)

    def seen(pitch):
        asked = []

        def find(grey, angle):
            asked.append(angle)
            return lines_of(index, pitch * index, pitch_px=pitch, angle_deg=angle)

        monkeypatch.setattr(ruling_scale, "find_lines", find)
        found = ruling_scale._seen_through(None, [first])
        assert asked == [-55, 35]
        return [one.angle_deg for one in found]

    assert seen(28.28) == [-55, 35]
    assert seen(28.28 * 1.019) == [-55, 35]
    assert seen(28.28 * 1.021) == [80]
    assert seen(20.0) == [80]
