"""What is thought of a pack that nobody has measured?"""

from edgetest.steel.usual_pack import USUAL_PACK


def test_a_pack_that_nobody_has_measured_is_on_mild_steel_and_both_faces():
    assert (USUAL_PACK.core_pct, USUAL_PACK.core_u_pct) == (0.20, 0.02)
    assert USUAL_PACK.thermometer_u_c == 10.0
    assert USUAL_PACK.faces == 2
