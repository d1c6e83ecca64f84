"""Does a coarse break lead to the heat that a like coupon of the lot showed fine and hard?"""

from dataclasses import replace

import pytest

from edgetest.steel.after_coarse import JUST_PAST, TOO_HOT, after_coarse, heat_that_was_fine
from edgetest.steel.cure_first import coarse
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.units import Typed
from tests.steel.seen_steel import SOFT, files, heat
from tests.steel.stands import stands

READ = files(60, 65, "below")
COARSE = heat(READ, coupon="3", heat_c=970.0, grain="coarse")
FINE = heat(READ, piece="B", coupon="1", heat_c=835.0, grain="fine")
LOT = (PieceSeen("A", lot="L"), PieceSeen("B", lot="L"))


def test_the_reason_names_the_heat_of_a_sister_that_was_fine():
    at = stands(COARSE, FINE, lot="L", pieces=[PieceSeen("B", lot="L")])
    so = "from 835 °C: coupon 1 of B came hard and fine so."
    assert coarse(at).reason == f"{TOO_HOT}, then harden {so}"
    typed = replace(FINE, heat_c=Typed(835.0, "1535 F"))
    fahrenheit = after_coarse(COARSE, SteelSeen(pieces=LOT, heats=(COARSE, typed)))
    assert "then harden from 1535 °F: " in fahrenheit


def test_without_one_it_says_how_much_cooler():
    assert coarse(stands(COARSE)).reason == (
        f"{TOO_HOT}, then harden about 30 °C cooler, {JUST_PAST}."
    )
    bare = replace(COARSE, heat_c=None)
    assert after_coarse(bare, SteelSeen(heats=(bare,))) == f"{TOO_HOT}, then harden {JUST_PAST}."


@pytest.mark.parametrize(
    "of",
    [{"grain": "medium"}, {"hardness": (SOFT,)}, {"cracked": 1}, {"heat_c": None},
     {"heat_c": 970.0}, {"medium": "air"}, {"carburised": True}, {"piece": "C"}],
)  # fmt: skip
def test_none_but_a_like_heat_that_came_well_is_followed(of):
    seen = SteelSeen(pieces=(*LOT, PieceSeen("C")), heats=(COARSE, FINE))
    assert heat_that_was_fine(COARSE, seen) == FINE
    assert heat_that_was_fine(COARSE, replace(seen, heats=(COARSE, replace(FINE, **of)))) is None
