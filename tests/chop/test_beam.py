import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.beam import bending_modes
from edgetest.chop.tool_outline import Part, outline
from edgetest.errors import UnusableInput
from tests.chop.tools import UNGROUND, camp_knife


def test_nodes_do_not_depend_on_the_mesh():
    coarse, fine = (bending_modes(camp_knife(), elements=n)[0] for n in (40, 160))
    assert_allclose(coarse.nodes_mm, fine.nodes_mm, atol=0.05)
    assert coarse.frequency_hz == pytest.approx(fine.frequency_hz, rel=1e-4)


def test_point_mass_draws_the_node():
    bare = bending_modes(camp_knife(parts=()))[0].nodes_mm
    pommel = bending_modes(camp_knife(parts=(Part("pommel", 150, 0, 0),)))[0].nodes_mm
    assert pommel[0] < bare[0]


def test_mass_of_parts_is_whole_wherever_they_end():
    """A part off the mesh or past the steel weighs the same as one on it."""
    on, off = (
        bending_modes(camp_knife(parts=(Part("scales", 60, start, stop),)))[0].frequency_hz
        for start, stop in ((5, 115), (5.37, 114.63))
    )
    assert on == pytest.approx(off, rel=2e-3)
    past = bending_modes(camp_knife(parts=(Part("pommel", 150, -30, -1e-6),)))[0]
    end = bending_modes(camp_knife(parts=(Part("pommel", 150, 0, 0),)))[0]
    assert_allclose(past.nodes_mm, end.nodes_mm, rtol=1e-9)


def test_an_unknown_plane_is_refused():
    with pytest.raises(UnusableInput, match='"flat" or "edge"'):
        bending_modes(camp_knife(), plane="side")


def test_what_overhangs_the_steel_acts_at_its_end_by_its_share():
    """A part that stands out past the tip by half is half a part to the tip, half a point there."""
    tip = camp_knife().x_mm[-1]
    out = bending_modes(camp_knife(parts=(Part("ferrule", 40, tip + 1e-6, tip + 20),)))[0]
    point = bending_modes(camp_knife(parts=(Part("ferrule", 40, tip, tip),)))[0]
    assert_allclose(out.nodes_mm, point.nodes_mm, rtol=1e-6)
    assert out.frequency_hz == pytest.approx(point.frequency_hz, rel=1e-6)
    half = bending_modes(camp_knife(parts=(Part("ferrule", 40, tip - 10, tip + 10),)))[0]
    parts = (Part("on", 20, tip - 10, tip), Part("out", 20, tip, tip))
    apart = bending_modes(camp_knife(parts=parts))[0]
    assert half.frequency_hz == pytest.approx(apart.frequency_hz, rel=1e-6)
    assert half.frequency_hz < bending_modes(camp_knife(parts=()))[0].frequency_hz


def test_held_at_one_end_an_even_bar_has_the_textbook_s_frequencies():
    """Euler and Bernoulli: (βL)² / 2π sqrt(EI / m L⁴), βL 1.8751, 4.6941; free 4.7300, 7.8532."""
    bar = outline([0, 400], [30, 30], [0, 400], [4, 4], grind=UNGROUND)
    steel = bar.material
    second, area = 30.0 * 4.0**3 / 12 * 1e-12, 120e-6
    unit = (steel.youngs_gpa * 1e9 * second / (steel.density_kg_m3 * area)) ** 0.5 / 0.4**2
    for ends, roots in (("clamped-free", (1.87510, 4.69409)), ("free-free", (4.73004, 7.85320))):
        found = bending_modes(bar, ends=ends, modes=2)
        expected = [root**2 * unit / (2 * np.pi) for root in roots]
        assert_allclose([mode.frequency_hz for mode in found], expected, rtol=1e-4)
    # A free bar stands still at 22.4 % of its length from either end.
    assert_allclose(found[0].nodes_mm, [0.22416 * 400, 0.77584 * 400], atol=0.1)
    on_edge = bending_modes(bar, plane="edge")[0].frequency_hz
    assert on_edge == pytest.approx(found[0].frequency_hz * 30 / 4, rel=1e-4)


def test_a_point_of_mass_acts_where_it_lies():
    """As a part does that is spread over a fifth of a millimetre about it."""
    for at in (60.0, 200.0):
        point, spread = (
            bending_modes(camp_knife(parts=(Part("bolt", 80, start, stop),)))[0].frequency_hz
            for start, stop in ((at, at), (at - 0.1, at + 0.1))
        )
        assert point == pytest.approx(spread, rel=2e-3)
