"""Is what was read as found left out where a heat is meant, and the heat where it is not?"""

from edgetest.steel.rule_cures import cure_left
from tests.steel.seen_steel import files, heat, seen

SKIN, BELOW = files(60, 65, "skin"), files(60, 65, "below")
CODE = "one_heat_hard_and_soft"


def left(about, **piece):
    return cure_left(CODE, seen(*about, **piece), "A", about)


def test_of_a_heat_its_own_readings_count():
    deep, top = (heat(BELOW),), (heat(SKIN),)
    assert left(deep, hardness=(SKIN,)) == left(deep)
    assert left(top, hardness=(BELOW,)) == left(top)
    assert left(deep) != left(top)


def test_of_a_piece_as_found_its_own():
    assert left((), hardness=(SKIN,)) != left((), hardness=(BELOW,))
    assert left((), hardness=(SKIN,)) == left(())
