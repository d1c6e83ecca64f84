"""Two outlines laid together, or refused."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from edgetest.photo.departures import Departure
from edgetest.photo.side.laid_together import LEAST_LEAD, LEAST_ODDS, lay_together
from edgetest.photo.side.side_view import ProfileMeasurement

UM = 2.0
SIZE = 1000


def grinding(edge, size=3000):
    rough = gaussian_filter1d(np.random.default_rng([5, edge]).standard_normal(size), 1.5)
    return rough / rough.std()


def chip(at_um, length_um, depth_um, kind="chip"):
    u = 0.03 * depth_um
    return Departure(at_um, length_um, depth_um, 0.6 * length_um * depth_um, u, u, u * length_um,
                     depth_um - 2 * u, depth_um + 2 * u, kind)  # fmt: skip


def outline(start, chips=(), *, edge=1, seed=0, noise=0.2, size=SIZE):
    """`size` pixels of an edge from `start` on, with chips at places of the picture, µm."""
    place = UM * np.arange(size)
    own = np.random.default_rng([9, seed, start]).standard_normal(size)
    height = grinding(edge)[start : start + size] + noise * own
    for one in chips:
        inside = 1 - (2 * (place - one.position_um) / one.length_um) ** 2
        height = height - one.depth_um * np.clip(inside, 0, None)
    return ProfileMeasurement(
        "measured", chips=tuple(chips), um_per_px=UM, roughness_um=1.0, position_um=place,
        departure_um=height, sound=np.ones(size, bool), valid=np.ones(size, bool),
    )  # fmt: skip


@pytest.mark.parametrize("by_px", [-240, 0, 313])
def test_one_edge_is_laid_on_itself_and_damage_does_not_draw_it_aside(by_px):
    before = outline(800, [chip(600.0, 90.0, 40.0)])
    after = outline(800 - by_px, [chip(1500.0, 120.0, 60.0)], seed=1)
    found = lay_together(before, after)
    assert found.by == "roughness"
    assert found.shift_um == pytest.approx(by_px * UM, abs=1.0)
    assert found.on_first(found.on_second(1000.0)) == pytest.approx(1000.0)
    assert found.odds > LEAST_ODDS
    assert found.lead > LEAST_LEAD
    assert found.chance < 1e-6
    assert found.words().startswith(f"likeness {found.likeness:.2f}, elsewhere 0.")


def test_other_edges_are_not_laid_together_however_alike_their_chips():
    for edge in range(2, 6):
        same = [chip(600.0, 90.0, 40.0), chip(1300.0, 60.0, 25.0)]
        found = lay_together(outline(800, same), outline(800, same, edge=edge, seed=edge))
        assert not found.accepted
        assert found.to_dict()["shift_um"] is None
        assert found.to_dict()["stretch"] is None


def test_little_grinding_is_helped_by_the_old_chips_and_not_by_others():
    old = [chip(at, 60.0, 25.0) for at in (300.0, 700.0, 1250.0, 1600.0)]
    other = [chip(at, 60.0, 25.0) for at in (200.0, 900.0, 1100.0, 1800.0)]
    helped, by_others = 0, 0
    for seed in (1, 3, 4):
        faint = {"noise": 1.6, "seed": seed}
        assert not lay_together(outline(800, noise=1.6), outline(800, **faint)).accepted
        first = outline(800, old, noise=1.6)
        again = lay_together(first, outline(800, old, **faint))
        helped += again.by == "roughness_and_chips" and abs(again.shift_um) < 4
        by_others += lay_together(first, outline(800, other, **faint)).accepted
    assert (helped, by_others) == (2, 0)


def test_noise_without_grinding_is_refused():
    found = lay_together(outline(800, noise=20.0), outline(800, seed=1, noise=20.0))
    assert not found.accepted


def test_an_edge_too_short_cannot_be_tried():
    short = outline(800, size=50)
    found = lay_together(short, outline(800, seed=1))
    assert (found.by, found.likeness) == ("nothing", None)
    assert found.words() == "too little undamaged edge on both"


def test_the_overlap_is_what_both_show():
    found = lay_together(outline(800), outline(900, seed=1))
    low, high = found.overlap((0.0, UM * SIZE), (0.0, UM * SIZE))
    assert (low, high) == pytest.approx((100 * UM, UM * SIZE), abs=2)


def test_outlines_that_stand_apart_widen_a_growth():
    calm = lay_together(outline(800), outline(800, seed=1))
    loud = lay_together(outline(800), outline(800, seed=1, noise=0.6))
    assert loud.depth_u_um(4.0, 10.0) > 1.5 * calm.depth_u_um(4.0, 10.0)
    assert calm.depth_u_um(4.0, 10.0) == pytest.approx(0.2 * np.sqrt(2), rel=0.5)


def test_a_shift_given_stands_and_is_said_to_be_given():
    before, after = outline(800), outline(750, seed=1)
    right = lay_together(before, after, shift_um=50 * UM)
    assert (right.by, right.contradicted, right.shift_um) == ("maker", False, 100.0)
    wrong = lay_together(before, after, shift_um=0.0)
    assert wrong.contradicted
    assert wrong.found_um == pytest.approx(50 * UM, abs=2)
    assert wrong.words() == "by the shift given, 0 µm"
    unsaid = lay_together(before, outline(800, edge=3), shift_um=0.0)
    assert not unsaid.contradicted
