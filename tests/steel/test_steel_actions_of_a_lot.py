"""What is done with the pieces of a lot that differ: which is odd, and what is quenched next."""

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, heat

TABLES = load_steel_tables()
FREE = {"magnet": "strong", "sparks": "between", "coating": "none", "lead": "no",
        "makes_blades": 20}  # fmt: skip


def test_a_third_piece_of_a_lot_that_differs_is_called_a_further_one():
    sparked = {"A": "like_high", "B": "like_low", "C": None}
    pieces = tuple(
        PieceSeen(name, lot="L", **FREE | {"sparks": sparks}) for name, sparks in sparked.items()
    )
    hot = {"heat_c": 830.0, "magnet": "lets_go", "soak_min": 5, "grain": "fine", "section_mm": 5}
    both = heat(HARD, **hot), heat(SOFT, piece="B", **hot)
    what = SteelSeen("chopper", pieces, both, ())
    found = decide(what, weigh_steel(what, TABLES, piece="A"), TABLES, SteelLosses())
    assert found.next_test.title == "the same coupon from a further piece of the lot"
    assert found.next_test.why == "Where the pieces differ, each tells of itself alone."


@pytest.mark.parametrize("every", [True, False])
def test_a_lot_whose_pieces_were_all_quenched_has_no_further_one_and_is_sorted(every):
    sparked = {"A": "like_high", "B": "like_low"}
    pieces = tuple(PieceSeen(n, lot="L", **FREE | {"sparks": of}) for n, of in sparked.items())
    pieces += () if every else (PieceSeen("C", lot="L", **FREE),)
    hot = {"heat_c": 830.0, "magnet": "lets_go", "soak_min": 5, "grain": "fine", "section_mm": 5}
    both = heat(HARD, **hot), heat(SOFT, piece="B", **hot)
    what = SteelSeen("chopper", pieces, both, ())
    found = decide(what, weigh_steel(what, TABLES, piece="A"), TABLES, SteelLosses())
    assert ("further piece" in found.title) is not every
    assert found.next_test.code == ("sort_lot" if every else "second_piece")


@pytest.mark.parametrize(
    ("pieces", "soft", "said"),
    [("AB", SOFT, "are likely not"), ("ABCDEF", SOFT, "may not be"), ("ABCDEF", HARD, None)],
)
def test_a_lot_that_came_out_hard_and_soft_is_told_in_the_headline(pieces, soft, said):
    """Of six, one soft is likelier a cold heat than another steel: it may be one all the same."""
    looks = {"coating": "none", "lead": "no"} if len(pieces) == 2 else FREE
    found = [PieceSeen(n, lot="L", **looks) for n in pieces]
    heats = [heat(HARD, piece=n, heat_c=820.0, soak_min=5.0) for n in pieces[:-1]]
    heats += [heat(soft, piece=pieces[-1], heat_c=820.0, soak_min=5.0)]
    what = SteelSeen("chopper", tuple(found), tuple(heats), ())
    for name in (pieces[0], pieces[-1]):
        words = decide(what, weigh_steel(what, TABLES, piece=name), TABLES, SteelLosses()).summary()
        assert ("disagree" in words) is (said is not None)
        assert said is None or f"The pieces of lot L disagree: they {said} one steel" in words


@pytest.mark.parametrize(
    ("sparks", "odd"),
    [
        (("between", "between", "like_high"), "C"), (("like_high", "between", "between"), None),
        (("like_low", "between", "between"), None),
        (("between", "like_high"), None), (("between", "like_low", "like_high"), None),
        (("between", "between", None), None), (("between",) * 3, None),
    ],
)  # fmt: skip
def test_the_piece_that_sparks_unlike_the_others_is_named_where_no_coupon_outranks_it(sparks, odd):
    found = [PieceSeen(n, lot="L", sparks=word) for n, word in zip("ABC", sparks, strict=False)]
    heats = [heat(HARD, piece=one.id, heat_c=820.0, soak_min=5.0) for one in found[:-1]]
    heats += [heat(SOFT, piece=found[-1].id, heat_c=820.0, soak_min=5.0)]
    what = SteelSeen("chopper", tuple(found), tuple(heats), ())
    words = decide(what, weigh_steel(what, TABLES, piece="A"), TABLES, SteelLosses()).summary()
    named = (
        f"Of their sparks, those of {odd} alone are unlike: where its coupon still differs once "
        "that is made again, alike or hotter, give it a lot of its own."
    )
    assert (named in words) if odd else ("Of their sparks" not in words)
