import cv2
import numpy as np
import pytest

from tests.benchmarks.side_pictures.edges import Edge, depth_um, draw_edge, outline_um
from tests.benchmarks.side_pictures.harm import FORMS, Harm, departure
from tests.benchmarks.side_pictures.painting import coverage
from tests.benchmarks.side_pictures.pair_kinds import pair
from tests.benchmarks.side_pictures.single_kinds import single
from tests.benchmarks.side_pictures.view import View


def test_coverage_of_a_leaning_square_has_its_area_and_of_a_hook_no_more_than_one():
    square = np.array([[3.2, 4.1], [13.7, 6.0], [11.8, 16.5], [1.3, 14.6]])
    x, y = square.T
    area = abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2
    found = coverage(square * 8, 160, 160)
    assert found.sum() / 64 == pytest.approx(area, rel=2e-3)
    twice = coverage(np.concatenate([square, square]) * 8, 160, 160)
    assert twice.max() == 1.0


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_form_reaches_its_depth_and_ends_at_its_reach(form, seed):
    harm = Harm("chip", form, 100.0, 80.0, 20.0, seed)
    at = np.linspace(40, 160, 4001)
    low = departure(harm, at)
    assert low.min() == pytest.approx(-20.0, rel=0.01)
    assert low.max() <= 0
    assert np.all(low[np.abs(at - 100) > 40.01] == 0)


def test_the_outline_of_a_smooth_edge_is_its_line_and_its_chip():
    still = Edge(np.zeros(2001), np.zeros(2001), (Harm("chip", "vee", 500.0, 100.0, 30.0, 4),))
    assert depth_um(still, still.harms[0]) == pytest.approx(30.0, rel=0.2)
    outline = outline_um(still, 0.0, 400.0, 1.0)
    assert np.all(outline[:, 1] == 0)


def test_roughness_has_the_deviation_that_was_asked_for_on_the_average():
    rng = np.random.default_rng(5)
    spread = [draw_edge(rng, 8000.0, 2.0, 0.0)[0].sigma_um for _ in range(12)]
    assert 1.5 < np.mean(spread) < 2.6


def test_a_view_leads_to_the_picture_and_back():
    view = View(800, 600, 5.0, 3000.0, 0.45, 12.0, (3.0, 1.0))
    points = np.array([[2000.0, 0.0], [3000.0, -200.0], [4000.0, 100.0]])
    x, y = view.to_px(points).T
    along, high = view.of_px(x, y)
    assert np.stack([along, high], 1) == pytest.approx(points, abs=6.0)


def test_a_picture_shows_its_chip_where_its_truth_says():
    view = single("plain", 0)
    picture = cv2.imdecode(np.frombuffer(view.data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert picture.size == pytest.approx(1e6 * view.megapixels)
    assert view.harms
    assert all(0 < harm.position_um < view.length_um for harm in view.harms if harm.whole)
    # Columns in which the bright ground reaches further: the deepest chip stands out of the line.
    bright = (picture > picture.mean()).sum(axis=0).astype(float)
    columns = np.arange(len(bright))
    smooth = np.polyval(np.polyfit(columns, bright, 2), columns)
    deepest = max(view.harms, key=lambda harm: harm.depth_um)
    at = round(deepest.position_um / view.um_per_px)
    reach = round(0.3 * deepest.length_um / view.um_per_px) + 2
    moved = (bright - smooth)[at - reach : at + reach] * (-1 if deepest.out else 1)
    assert moved.max() == pytest.approx(deepest.depth_um / view.um_per_px, rel=0.35)


def test_the_same_seed_makes_the_same_picture_and_another_seed_another():
    first = single("dust", 2).data
    assert single("dust", 2).data == first
    assert single("dust", 4).data != first


def test_a_pair_tells_where_the_same_place_lies_on_both():
    made = pair("same", 0)
    px = made.before.um_per_px
    for harm in made.before.harms:
        later = [one for one in made.after.harms if one.at_um == harm.at_um]
        if later:
            told = later[0].position_um * made.after.told_um_per_px / made.after.um_per_px
            assert abs(told - harm.position_um - made.shift_um) < made.tolerance_um + 6 * px


def test_unrelated_edges_have_nothing_in_common():
    made = pair("unrelated", 0)
    assert not made.related
    assert made.fates == ()
    assert made.overlap == 0
