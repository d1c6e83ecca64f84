"""Which piece was parted from its lot before and came out as another does?"""

import pytest

from edgetest.steel.parted_lots import named_after_one, parted_alike
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from tests.steel.seen_steel import HARD, SOFT, heat

HOT = {"colour": "cherry", "magnet": "lets_go", "soak_min": 5.0, "section_mm": 6.0}


def seen(*, hardness=SOFT, origin="plough_disc", lot="A", medium="oil"):
    """Piece D of lot L; piece A, parted from it, came out soft."""
    pieces = [PieceSeen(name, origin="plough_disc", lot="L") for name in "BCD"]
    pieces.append(PieceSeen("A", origin=origin, lot=lot))
    hot = {**HOT, "medium": medium}
    heats = [heat(SOFT, piece="A", **HOT), heat(hardness, piece="D", **hot)]
    return SteelSeen("chopper", tuple(pieces), tuple(heats), ())


def test_one_that_came_out_the_same_is_found():
    found = parted_alike(seen(), "D")
    assert (found.id, found.lot) == ("A", "A")
    assert parted_alike(seen(), "nobody") is None


@pytest.mark.parametrize(
    "of",
    [{"hardness": HARD}, {"origin": "harrow_tine"}, {"lot": "L"}, {"lot": None}, {"lot": "M"},
     {"medium": "air"}],
)  # fmt: skip
def test_of_another_kind_lot_or_treatment_none_is(of):
    assert parted_alike(seen(**of), "D") is None


def test_a_lot_is_named_after_a_piece_of_it_alone():
    assert named_after_one([PieceSeen("A", lot="A"), PieceSeen("B", lot="A")])
    assert not named_after_one([PieceSeen("B", lot="A")])
    assert not named_after_one([])
