"""Is what was read as found left out where a heat is meant, and the heat where it is not?"""

from edgetest.steel.contradictions import contradictions
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


def test_two_heats_of_one_coupon_are_one_steel_and_one_coupon():
    hot = {"heat_c": 830.0, "medium": "oil", "magnet": "lets_go"}
    soft = heat(files(40, 45, "below"), coupon="1", heat=1, **hot)
    for other, one in (("1", True), ("2", False)):
        hard = heat(BELOW, coupon=other, heat=2, **hot)
        told = next(c.doubt.text for c in contradictions(seen(soft, hard)) if c.code == CODE)
        assert ("quench that coupon once more" in told) is one
        assert ("both coupons" in told) is not one
        assert ("or two steels" in told) is not one
