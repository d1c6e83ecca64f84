import pytest
from numpy.testing import assert_allclose

from edgetest.chop.beam import bending_modes
from edgetest.chop.tool_outline import Part
from edgetest.errors import UnusableInput
from tests.chop.tools import camp_knife


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
