"""A piece unlike those it was bought with is told, before its coupon and after it has a lot."""

import pytest

from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen
from edgetest.study.steel.bought_together import unlike_their_lot
from tests.steel.seen_steel import HARD, SOFT, files

BOUGHT = {"origin": "plough_disc", "lot": "L"}


def discs(odd, *, heats=(), lot="L", sisters="ABC"):
    known = [PieceSeen(name, sparks="like_high", **BOUGHT) for name in sisters]
    last = PieceSeen("F", sparks=odd, origin="plough_disc", lot=lot)
    return list(unlike_their_lot(SteelSeen("chopper", (*known, last), tuple(heats), ())))


def read(piece, hardness, **of):
    return HeatSeen(piece=piece, hardness=(hardness,), medium="oil", heat_c=820.0, **of)


@pytest.mark.parametrize("odd", ["like_low", "fewer_than_low"])
def test_one_that_sparks_as_the_low_steel_is_not_to_be_mixed_in(odd):
    (found,) = discs(odd)
    assert (found.code, found.where.blade) == ("sparks_apart", "piece F")
    assert "A, B and C spark like the known high one, and all are lot L: do not mix them" in (
        found.text
    )
    assert "quench a coupon of F" in found.text


@pytest.mark.parametrize("odd", ["between", "like_high", "more_than_high", None])
def test_near_sparks_and_none_are_nothing(odd):
    assert discs(odd) == []


@pytest.mark.parametrize("more", ["between", "more_than_low"])
def test_one_grade_apart_is_noted_and_parts_nothing(more):
    def told(*heats, first="like_low"):
        kinds = (("A", more), ("B", more), ("C", first))
        pieces = tuple(PieceSeen(name, sparks=grade, **BOUGHT) for name, grade in kinds)
        return list(unlike_their_lot(SteelSeen("chopper", pieces, heats, ())))

    (one,) = told()
    assert (one.code, one.gravity, one.where.blade) == ("sparks_one_apart", "notes", "piece C")
    said = "C sparks like the known low steel or less, A and B more, and all are lot L: one grade"
    assert one.text.startswith(said)
    assert told(first=None) == told(read("A", HARD), read("C", HARD)) == []


def streams(*told, heats=()):
    pieces = [PieceSeen(name, sparks="between", stream=stream, **BOUGHT)
              for name, stream in zip("ABCDE", told, strict=False)]  # fmt: skip
    return list(unlike_their_lot(SteelSeen("chopper", tuple(pieces), tuple(heats), ())))


def test_a_short_red_stream_beside_forked_ones_is_told_till_coupons_of_both_were_read():
    many = ["bright_forked"] * 3
    (found,) = streams(*many, "short_red")
    assert (found.code, found.gravity, found.where.blade) == ("streams_apart", "limits", "piece D")
    assert found.text.startswith("D throws a short red stream, A, B and C a bright forked one, and")
    assert "quench a coupon of D" in found.text
    (two,) = streams(*many, "short_red", "almost_none")
    assert two.text.startswith("D and E throw a short red stream or almost no stream, A, B and C a")
    assert "coupon of A" in streams(*many, "short_red", heats=[read("D", HARD)])[0].text
    assert streams(*many, "short_red", heats=[read("D", HARD), read("A", HARD)]) == []
    assert streams(*many, "straw_no_forks") == streams(*many, None) == streams(*many) == []


def test_one_that_its_bursts_part_is_told_once():
    pieces = (PieceSeen("A", sparks="like_high", stream="bright_forked", **BOUGHT),
              PieceSeen("B", sparks="like_low", stream="short_red", **BOUGHT))  # fmt: skip
    (found,) = unlike_their_lot(SteelSeen("chopper", pieces, (), ()))
    assert found.code == "sparks_apart"


def test_of_another_lot_its_sparks_say_nothing():
    assert discs("like_low", lot="M") == []


def test_coupons_of_both_kinds_tell_more_than_sparks():
    (one,) = discs("like_low", heats=[read("F", SOFT)])
    assert "quench a coupon of A before you count it to the lot" in one.text
    assert "quench a coupon of F" in discs("like_low", heats=[read("A", HARD)])[0].text
    assert discs("like_low", heats=[read("F", HARD), read("A", HARD)]) == []


def test_a_coupon_that_was_read_is_not_asked_for_again_whatever_its_sister_sparked():
    kinds = (("A", "between"), ("B", "like_high"), ("C", "like_low"))
    pieces = tuple(PieceSeen(name, sparks=grade, **BOUGHT) for name, grade in kinds)
    for heats, left in (((), 1), ((read("A", HARD),), 1), ((read("A", HARD), read("C", SOFT)), 0)):
        assert len(list(unlike_their_lot(SteelSeen("chopper", pieces, heats, ())))) == left


def test_one_parted_from_its_lot_is_not_forgotten():
    heats = [read("A", HARD), read("B", HARD), read("F", SOFT)]
    (found,) = discs("like_low", heats=heats, lot="F")
    assert found.code == "parted_from_lot"
    assert "F (coupon 1, heat 1) came out softer than A of lot L (coupon 1, heat 1)" in found.text
    assert found.text.endswith("Nobody has read a coupon of C of that lot yet.")
    (hard,) = discs("like_low", heats=[read("A", SOFT), read("F", HARD)], lot="F")
    assert "F (coupon 1, heat 1) came out harder than A of lot L" in hard.text


@pytest.mark.parametrize(("lot", "told"), [("F", ["F", "G"]), ("G", ["F", "G"]), ("bars", [])])
def test_two_parted_from_their_lot_are_not_forgotten_where_one_gives_them_its_name(lot, told):
    pieces = [PieceSeen(name, **BOUGHT) for name in "ABC"]
    pieces += [PieceSeen(name, origin="plough_disc", lot=lot) for name in "FG"]
    heats = [read("A", HARD), read("B", HARD), read("F", SOFT), read("G", SOFT)]
    found = list(unlike_their_lot(SteelSeen("chopper", tuple(pieces), tuple(heats), ())))
    assert [one.where.blade for one in found] == [f"piece {name}" for name in told]
    assert all("Nobody has read a coupon of C" in one.text for one in found)


@pytest.mark.parametrize(
    "heats",
    [
        [read("A", HARD), read("F", HARD)],
        [read("A", HARD), HeatSeen(piece="F", hardness=(SOFT,), medium="air", heat_c=820.0)],
    ],
)
def test_alike_or_treated_otherwise_says_nothing(heats):
    assert discs("like_low", heats=heats, lot="F") == []


def test_the_pair_that_is_told_was_as_hot():
    hotter = [HeatSeen(piece=name, hardness=(grade,), medium="oil", coupon="b", heat_c=850.0)
              for name, grade in (("A", files(55, 60)), ("F", files(65, None)))]  # fmt: skip
    (found,) = discs("between", heats=[read("A", SOFT), read("F", SOFT), *hotter], lot="F")
    assert "F (coupon b, heat 1) came out harder than A of lot L (coupon b, heat 1)" in found.text
    assert discs("between", heats=[read("A", SOFT), hotter[1]], lot="F") == []


def test_two_single_finds_were_not_bought_together():
    assert discs("like_low", heats=[read("A", HARD), read("F", SOFT)], lot="F", sisters="A") == []


@pytest.mark.parametrize(("again", "told"), [(HARD, 0), (files(59, 62), 0), (SOFT, 1)])
def test_one_hardened_again_since_and_as_hard_as_its_like_was_no_other_steel(again, told):
    later = read("F", again, coupon="1", heat=2)
    for first in ([read("A", HARD), read("F", SOFT)], [read("F", SOFT), read("A", HARD)]):
        assert len(discs("like_high", heats=[*first, later], lot="F")) == told
    later = read("A", again, coupon="2")  # the one that stayed in the lot, likewise
    heats = [read("A", SOFT), read("F", HARD), later]
    assert len(discs("like_high", heats=heats, lot="F")) == told
