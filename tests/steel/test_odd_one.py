"""The one piece of a lot that came out apart from the many is named, softer or harder."""

from dataclasses import replace

import pytest

from edgetest.steel.contradictions import contradictions
from edgetest.steel.odd_one import odd_is_harder, odd_made_again, odd_of_several
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from tests.steel.seen_steel import files, heat

MANY, ODD = files(55, 60, "below"), files(65, None, "below")


def lot(odd=ODD, *more, many=MANY, names="ABCD"):
    """Pieces of one lot quenched alike, of which the last came out otherwise."""
    heats = [heat(many, piece=name, coupon=name, heat_c=830.0) for name in names[:-1]]
    heats.append(heat(odd, piece=names[-1], coupon=names[-1], heat_c=830.0))
    return SteelSeen(None, tuple(PieceSeen(name, lot="L") for name in names), (*heats, *more))


@pytest.mark.parametrize(("odd", "many"), [(ODD, MANY), (MANY, ODD)])
def test_the_one_in_every_pair_is_the_odd_one_of_three_or_more(odd, many):
    assert odd_of_several(lot(odd, many=many), "A") == "D"
    assert odd_of_several(lot(odd, many=many, names="AD"), "A") is None
    assert odd_of_several(lot(odd, many=odd), "A") is None


def test_the_cure_names_the_harder_one_and_parts_none_of_the_many():
    cures = [one.cure for one in contradictions(lot())]
    assert len(cures) == 3
    for cure in cures:
        assert cure.startswith("Harden a coupon of D once more as its sisters were")
        assert "pieces id=D --replace lot=D`." in cure
        assert "coupon of A" not in cure


def test_sisters_that_did_not_harden_are_made_once_more_themselves():
    cures = [one.cure for one in contradictions(lot(many=files(None, 40, "below")))]
    for name, cure in zip("ABC", cures, strict=True):
        assert cure.startswith(f"Harden a coupon of {name} once more as the harder one was")
        assert "pieces id=D --replace lot=D`." in cure


def test_made_again_and_as_hard_it_is_sorted():
    again = heat(ODD, piece="D", coupon="D2", heat_c=830.0)
    first = contradictions(lot(ODD, again))[0]
    assert first.cure.startswith("Where they still differ sort each piece by itself")
    assert "pieces id=D --replace lot=D`." in first.cure
    soft, hard = lot().heats[0], lot().heats[-1]
    assert odd_is_harder(lot(), "A", (soft, hard))
    assert not odd_made_again(lot(), "A", (soft, hard))
    assert odd_made_again(lot(MANY, many=ODD), "D", (hard, soft))


def test_the_softer_odd_one_is_made_again_as_the_harder_were():
    cures = [one.cure for one in contradictions(lot(MANY, many=ODD))]
    assert {cure[:34] for cure in cures} == {"Harden a coupon of D once more as "}
    assert "pieces id=D --replace lot=D`." in cures[0]
    past = heat(ODD, piece="D", coupon="D2", heat_c=830.0)
    made = lot(MANY, past, many=ODD)
    assert odd_of_several(made, "A") is None
    other = replace(made, pieces=tuple(replace(one, lot=None) for one in made.pieces))
    assert odd_of_several(other, "A") is None
