import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.silhouette import silhouette
from edgetest.chop.tool_outline import outline, rigid_body
from edgetest.errors import UnusableInput
from tests.chop.tools import UNGROUND


def drawn_blade(angle_deg, *, butt_left=True, mm_per_px=0.25, blur=1.0, noise=0.01):
    """Picture of a tapering blade, 300 mm long, 40 mm wide at the butt, 10 mm at the tip."""
    from scipy.ndimage import gaussian_filter

    rows, columns = np.mgrid[0:600, 0:1400] * mm_per_px
    x, y = columns - 175.0, 75.0 - rows
    turn = np.deg2rad(angle_deg)
    along = x * np.cos(turn) + y * np.sin(turn) + 150
    across = -x * np.sin(turn) + y * np.cos(turn)
    along = along if butt_left else 300 - along
    inside = (along >= 0) & (along <= 300) & (np.abs(across) <= (40 - 0.1 * along) / 2)
    picture = gaussian_filter(np.where(inside, 0.1, 0.8), blur)
    return picture + noise * np.random.default_rng(1).standard_normal(picture.shape)


@pytest.mark.parametrize(("angle_deg", "butt"), [(0, "left"), (3, "left"), (-4, "right")])
def test_silhouette_gives_the_drawn_widths_back(angle_deg, butt):
    found = silhouette(drawn_blade(angle_deg, butt_left=butt == "left"), 0.25, butt=butt)
    assert found.length_mm == pytest.approx(300, abs=0.5)
    assert found.area_mm2 == pytest.approx(7500, rel=0.002)
    inside = (found.x_mm > 1) & (found.x_mm < 299)
    assert_allclose(found.width_mm[inside], 40 - 0.1 * found.x_mm[inside], atol=0.2)
    shape = outline(found.x_mm, found.width_mm, [0], [4], grind=UNGROUND, centre_mm=found.centre_mm)
    truth = rigid_body(outline([0, 300], [40, 10], [0], [4], grind=UNGROUND))
    assert_allclose(rigid_body(shape), truth, rtol=3e-3)


def test_silhouette_refuses_what_it_cannot_see():
    with pytest.raises(UnusableInput, match="another tone"):
        silhouette(0.5 + 0.01 * np.random.default_rng(1).standard_normal((200, 300)), 0.25)
    cut = drawn_blade(0)[:, 300:]
    with pytest.raises(UnusableInput, match="runs out of the picture"):
        silhouette(cut, 0.25)
    with pytest.raises(UnusableInput, match='"left" or "right"'):
        silhouette(drawn_blade(0), 0.25, butt="top")


def test_a_crumb_above_the_tool_is_not_taken_for_it():
    picture = drawn_blade(0)
    picture[20:26, 20:26] = 0.1
    found = silhouette(picture, 0.25)
    assert found.length_mm == pytest.approx(300, abs=0.5)
    assert found.area_mm2 == pytest.approx(7500, rel=0.002)


def test_the_middle_line_runs_through_a_part_of_one_pixel_s_width():
    """A bar 20 mm wide, at both of its ends a wire, 4.5 mm above its middle."""
    picture = np.ones((100, 240))
    picture[40:60, 60:180] = 0.0  # the middle between rows 49 and 50
    picture[45, 20:220] = 0.0
    found = silhouette(picture, 1.0, step_mm=1.0)
    bar = np.abs(found.x_mm - 100) < 50
    ends = np.abs(found.x_mm - 100) > 65
    assert_allclose(found.centre_mm[ends] - found.centre_mm[bar].mean(), 4.5, atol=1e-6)
