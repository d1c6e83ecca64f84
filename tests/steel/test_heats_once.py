"""Records of one heat laid together: what is open is taken, what contradicts is not."""

from edgetest.steel.heats_once import merged
from tests.steel.seen_steel import files, heat, number


def test_a_second_record_fills_what_the_first_left_open():
    one, other = heat(files(60, 65), heat_c=800), heat(number(62), heat_c=900, grain="fine")
    (found,) = merged([one, other])
    assert found.heat_c == 800
    assert found.grain == "fine"
    assert found.hardness == (files(60, 65), number(62))
    (same,) = merged([one, one])
    assert same == one


def test_another_medium_is_another_story_and_the_first_holds():
    one, other = heat(medium="oil"), heat(number(62), medium="water")
    assert merged([one, other]) == [one]
    (open_one,) = merged([heat(medium=None), other])
    assert open_one.medium == "water"
    assert open_one.hardness == (number(62),)


def test_other_coupons_heats_and_pieces_stay_apart():
    heats = [heat(), heat(coupon="2"), heat(heat=2), heat(piece="B")]
    assert merged(heats) == heats
