"""Overlay pictures: what is drawn stands where it was measured, at every size."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from edgetest.report.figures.overlay import SIDES, View, draw_overlay
from edgetest.report.figures.picture_canvas import bar_length_um, bar_words
from tests.report.stand_ins import measurement


def grey(shape=(480, 640)):
    return np.full(shape, 0.05, dtype=np.float32)


def near(picture, colour, tolerance=40):
    """Where the picture has about this colour."""
    return (np.abs(picture.astype(int) - np.array(colour)) < tolerance).all(axis=2)


def columns_of_bar(picture):
    """Length in pixels of the longest white run in the lower right quarter."""
    white = (picture[picture.shape[0] // 2 :] == 255).all(axis=2)
    runs = [len(run) for row in white for run in "".join("x" if w else " " for w in row).split()]
    return max(runs)


@pytest.mark.parametrize("shape", [(480, 640), (3000, 4000)])
def test_sides_are_drawn_where_they_were_fitted(shape):
    measured = measurement(shape, 0.05 * shape[0], 1.0, tilt_deg=0, chips=False)
    picture = draw_overlay(grey(shape), measured, sentence="")
    scale = picture.shape[1] / shape[1]
    column = round(0.75 * picture.shape[1])
    rows = np.flatnonzero(near(picture, SIDES)[:, column])
    upper, lower = rows[rows < rows.mean()], rows[rows > rows.mean()]
    centre = (shape[0] / 2 + 0.5) * scale - 0.5
    half = 0.025 * shape[0] * scale
    assert upper.mean() == pytest.approx(centre - half, abs=1.0)
    assert lower.mean() == pytest.approx(centre + half, abs=1.0)


@pytest.mark.parametrize(("shape", "um_per_px"), [((480, 640), 1.0), ((3000, 4000), 0.31)])
def test_scale_bar_has_the_length_it_states(shape, um_per_px):
    picture = draw_overlay(grey(shape), None, um_per_px=um_per_px)
    length_um = bar_length_um(shape[1] * um_per_px)
    wanted = length_um / um_per_px * picture.shape[1] / shape[1]
    assert columns_of_bar(picture) == pytest.approx(wanted, abs=1.5)


def test_no_scale_no_bar():
    picture = draw_overlay(grey())
    assert not (picture == 255).all(axis=2).any()


@pytest.mark.parametrize(
    ("width_um", "length_um"), [(640, 100), (1000, 200), (85, 20), (4.1, 1), (9000, 2000)]
)
def test_bar_is_one_two_or_five(width_um, length_um):
    assert bar_length_um(width_um) == length_um


def test_bar_says_its_unit():
    assert bar_words(50.0) == "50 µm"
    assert bar_words(2000.0) == "2 mm"


def test_refused_picture_carries_its_reason_across_the_middle():
    refused = measurement((480, 640), 12.0, 1.0, refused=True)
    picture = draw_overlay(grey(), refused)
    plain = draw_overlay(grey(), None, um_per_px=1.0)
    middle = slice(picture.shape[0] // 2 - 20, picture.shape[0] // 2 + 20)
    assert picture.shape == plain.shape
    assert (picture[middle] > 200).any()
    assert not (plain[middle] > 200).any()
    assert not near(picture, SIDES).any()


def test_refusal_before_any_measurement_is_written_too():
    plain = draw_overlay(grey())
    refused = draw_overlay(grey(), refusal="No scale is known; name one.")
    assert refused.shape == plain.shape
    assert (refused > 200).any()
    assert not (plain > 200).any()


def test_sentence_stands_on_paper_beneath():
    measured = measurement((480, 640), 12.0, 1.0)
    with_words = draw_overlay(grey(), measured)
    without = draw_overlay(grey(), measured, sentence="")
    assert_array_equal(with_words[: without.shape[0]], without)
    strip = with_words[without.shape[0] :]
    assert (strip[0] == 255).all()
    assert (strip < 100).any()


def test_crop_keeps_the_whole_path_and_the_asked_width():
    measured = measurement((1000, 1000), 10.0, 1.0, tilt_deg=0, chips=False)
    picture = draw_overlay(
        grey((1000, 1000)), measured, view=View(crop=True, width_px=800), sentence=""
    )
    assert picture.shape[1] == 800
    assert picture.shape[0] < 400
    across = np.flatnonzero(near(picture, SIDES).any(axis=0))
    assert across[-1] - across[0] > 0.85 * 800


def test_chips_are_numbered_beside_the_edge():
    shape = (480, 640)
    measured = measurement(shape, 12.0, 1.0, tilt_deg=0)
    with_chip = draw_overlay(grey(shape), measured, sentence="")
    measured.chips = ()
    without = draw_overlay(grey(shape), measured, sentence="")
    changed = np.argwhere((with_chip != without).any(axis=2))
    x = changed[:, 1].mean() / with_chip.shape[1]
    assert x == pytest.approx(0.05 + 0.7 * 0.9, abs=0.02)


def test_number_stands_square_beside_a_steep_edge():
    shape = (640, 480)
    measured = measurement(shape[::-1], 12.0, 1.0, tilt_deg=0)
    for name in ("centre_rc", "left_rc", "right_rc"):
        setattr(measured, name, getattr(measured, name)[:, ::-1])  # the edge stands upright
    with_chip = draw_overlay(grey(shape), measured, sentence="")
    measured.chips = ()
    changed = np.argwhere((with_chip != draw_overlay(grey(shape), measured, sentence="")).any(2))
    scale = with_chip.shape[1] / shape[1]
    across = changed[:, 1] - 240 * scale
    assert abs(across).max() > 30
    assert np.ptp(changed[:, 0]) < 0.7 * np.ptp(changed[:, 1])


def test_profile_shows_outline_and_reference():
    columns = np.linspace(20, 620, 200)
    contour = np.column_stack([np.full(200, 240.0), columns])
    profile = SimpleNamespace(
        status="measured", contour_rc=contour, reference_rc=contour - [6, 0], um_per_px=2.0,
        position_um=(columns - 20) * 2.0, rolls=(), summary=lambda: "one chip",
        chips=(SimpleNamespace(position_um=600.0, depth_um=8.0),),
    )  # fmt: skip
    picture = draw_overlay(grey(), profile, sentence="")
    rows = np.flatnonzero(near(picture, SIDES)[:, 200])
    assert rows.mean() == pytest.approx((240 + 0.5) * 2 - 0.5, abs=1.0)


def test_photograph_itself_is_not_touched():
    photograph = grey()
    draw_overlay(photograph, measurement((480, 640), 12.0, 1.0), view=View(width_px=640))
    assert_array_equal(photograph, grey())
