import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.tool_outline import Grind, Part, cross_section, outline, rigid_body, thinned
from edgetest.errors import UnusableInput
from tests.chop.tools import UNGROUND, camp_knife


def test_sections_of_known_shape():
    bar = cross_section(40, 5, ground=0)
    assert_allclose(
        [bar.area_mm2, bar.edge_mm4, bar.flat_mm4], [200, 5 * 40**3 / 12, 40 * 125 / 12]
    )
    wedge = cross_section(40, 5, ground=1)
    assert_allclose(
        [wedge.area_mm2, wedge.edge_mm4, wedge.flat_mm4], [100, 5 * 40**3 / 36, 40 * 125 / 48]
    )


def test_partly_ground_section_by_polygon():
    """Against the shoelace sums of the same pentagon of half sections."""
    w, t, e, g = 36.0, 4.0, 0.6, 0.7
    y = np.array([0, (1 - g) * w, w])
    half = np.array([t / 2, t / 2, e / 2])
    polygon = np.concatenate([np.stack([y, half]), np.stack([y, -half])[:, ::-1]], axis=1)
    a, b = polygon, np.roll(polygon, -1, axis=1)
    cross = a[0] * b[1] - b[0] * a[1]
    area = cross.sum() / 2
    centre = ((a[0] + b[0]) * cross).sum() / (6 * area)
    second = ((a[0] ** 2 + a[0] * b[0] + b[0] ** 2) * cross).sum() / 12 - area * centre**2
    flat = ((a[1] ** 2 + a[1] * b[1] + b[1] ** 2) * cross).sum() / 12
    found = cross_section(w, t, e, g)
    assert_allclose(
        [found.area_mm2, found.edge_mm4, found.flat_mm4], [abs(area), abs(second), abs(flat)]
    )


def test_parts_add_their_mass_where_they_sit():
    bare = rigid_body(camp_knife(parts=()))
    whole = rigid_body(camp_knife())
    assert whole[0] - bare[0] == pytest.approx(0.060)
    assert whole[1] == pytest.approx((bare[0] * bare[1] + 0.060 * 0.060) / whole[0])


def test_a_part_turns_as_a_rod_of_its_length_about_its_middle():
    """kg L²/12 and the parallel axes (Steiner), against the same mass in one place."""

    def about_the_butt(part):
        mass, balance, inertia = rigid_body(camp_knife(parts=(part,)))
        return inertia + mass * balance**2

    rod = about_the_butt(Part("scales", 60.0, 10.0, 110.0))
    point = about_the_butt(Part("scales", 60.0, 60.0, 60.0))
    assert rod - point == pytest.approx(0.060 * 0.1**2 / 12, rel=1e-6)


def test_cone_of_known_mass_and_balance():
    """Width and thickness both run to a point: a pyramid, balance at a quarter of its length."""
    mass, balance, inertia = rigid_body(
        outline([0, 300], [30, 0], [0, 300], [6, 0], grind=UNGROUND)
    )
    assert mass == pytest.approx(7850 * 0.3 * 0.03 * 0.006 / 3)
    assert balance == pytest.approx(0.3 / 4)
    assert inertia == pytest.approx(mass * 0.3**2 * (1 / 10 - 1 / 16))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: outline([0, 10, 5], [1, 2, 3], [0], [5]), "order them from the butt"),
        (lambda: outline([0, 10], [1, -2], [0], [5]), "negative or missing"),
        (lambda: outline([0, 10], [1, 2], [0], [5], grind=Grind(share=1.2)), "share 0 to 1"),
        (lambda: camp_knife(parts=(Part("guard", -1, 0, 5),)), "part guard"),
        (lambda: thinned(camp_knife(), 500, 1), "begin between 0 and 400"),
        (lambda: thinned(camp_knife(), 200, -0.5), "taper from 200 mm to -0.5 mm"),
    ],
)
def test_errors(call, words):
    with pytest.raises(UnusableInput, match=words):
        call()


def test_the_grind_begins_at_its_place_wherever_the_stations_lie():
    """Half flat bar, half full wedge to no edge: the mass of a bar and of half a bar."""
    for stations in ([0, 400], [0, 50, 100, 400]):
        shape = outline(
            stations, [40] * len(stations), [0, 400], [5, 5], grind=Grind(share=1, from_mm=250)
        )
        mass, balance, _ = rigid_body(shape)
        bar, wedge = 7850 * 0.25 * 0.04 * 0.005, 7850 * 0.15 * 0.04 * 0.005 / 2
        assert mass == pytest.approx(bar + wedge, rel=1e-4)
        assert balance == pytest.approx((bar * 0.125 + wedge * 0.325) / (bar + wedge), rel=1e-4)


def test_a_grind_that_begins_at_the_tip_takes_nothing_away():
    shape = outline([0, 200, 400], [40] * 3, [0], [5], grind=Grind(share=1, from_mm=400))
    assert rigid_body(shape)[0] == pytest.approx(7850 * 0.4 * 0.04 * 0.005, rel=1e-4)


def test_a_taper_runs_straight_from_where_it_begins_to_the_tip():
    bar = outline([0, 400], [40, 40], [0, 400], [6, 6], grind=UNGROUND)
    found = thinned(bar, 200, 2)
    at = np.array([0.0, 199.9, 200.0, 300.0, 400.0])
    assert_allclose(np.interp(at, found.x_mm, found.thickness_mm), [6, 6, 6, 4, 2], atol=1e-6)
    assert_allclose(thinned(bar, 0, 2).thickness_mm, [6, 2])
    assert_allclose(thinned(bar, 200, 9).thickness_mm, [6, 6, 6])


def test_a_length_measured_long_stretches_the_tool_about_its_butt():
    """Also of a tool whose outline begins 30 mm from the mark that places are measured from."""
    places, stretched = [30, 200, 430], [30, 30 + 1.1 * 170, 30 + 1.1 * 400]
    parts = [(Part("head", 90.0, at, at),) for at in (200.0, stretched[1])]
    one, other = (
        outline(x, [30, 40, 20], [x[0], x[-1]], [5, 3], grind=UNGROUND, parts=part)
        for x, part in zip((places, stretched), parts, strict=True)
    )
    assert_allclose(rigid_body(one, length_factor=1.1), rigid_body(other), rtol=1e-9)


def test_a_bar_that_begins_past_the_mark_turns_about_its_balance_point_as_a_bar_does():
    """M (L² + B²) / 12 is that of a plate about its middle; along its length alone M L² / 12."""
    bar = outline([30, 430], [40, 40], [30, 430], [5, 5], grind=UNGROUND)
    mass, balance, inertia = rigid_body(bar)
    assert balance == pytest.approx(0.230)
    assert inertia == pytest.approx(mass * 0.4**2 / 12, rel=0.02)
