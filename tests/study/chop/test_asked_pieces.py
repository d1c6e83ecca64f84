"""What the words of a protocol ask of its pieces; words that are not understood are kept."""

from types import SimpleNamespace

import pytest

from edgetest.chop.wood import measured_wood
from edgetest.store.places import shipped
from edgetest.store.protocol import load_protocol, protocol_ids
from edgetest.study.chop.added_pieces import severs
from edgetest.study.chop.asked_pieces import AskedPieces, asked_pieces


def asked(kind="wood", size="square", own=()):
    return asked_pieces(SimpleNamespace(medium=SimpleNamespace(kind=kind, size=size)), own)


@pytest.mark.parametrize(
    ("kind", "found"),
    [
        ("wood", {}),
        ("Seasoned wood, one species, no knots", {"dry": True, "one_species": True, "clear": True}),
        ("construction lumber, softwood, air-dry", {"dry": True, "kinds": ("softwood",)}),
        ("board of softwood without knots", {"kinds": ("softwood",), "clear": True}),
        ("unseasoned wood", {"green": True}),
        ("fresh hardwood or softwood", {"green": True, "kinds": ("hardwood", "softwood")}),
        ("green hazel or blackthorn", {"green": True, "species": ("hazel", "blackthorn")}),
        ("wet oak", {"green": True, "species": ("oak",)}),
        ("moor oak (hardwood), dry", {"dry": True, "species": ("moor oak",)}),
        ("my wood", {"kind_unread": ("my",)}),
        ("hedge hardwood", {"kinds": ("hardwood",), "kind_unread": ("hedge",)}),
        ("dry, below 12 %", {"dry": True, "kind_unread": ("below 12 %",)}),
    ],
)
def test_words_of_the_kind(kind, found):
    assert asked(kind) == AskedPieces(**found)


@pytest.mark.parametrize(
    ("size", "found"),
    [
        ("square billets of 60 mm by 50 mm", {"sides_mm": (50.0, 60.0)}),
        ("50 × 50,5 mm", {"sides_mm": (50.0, 50.5)}),
        ("2x4: 38 mm by 89 mm (1 1/2 in by 3 1/2 in)", {"sides_mm": (38.0, 89.0)}),
        ("Round sticks of 35 mm to 48 mm", {"round": True, "thick_mm": (35.0, 48.0)}),
        ("round, 48-35 mm", {"round": True, "thick_mm": (35.0, 48.0)}),
        ("poles, 40 mm in diameter", {"round": True, "thick_mm": (40.0, 40.0)}),
        ("round", {"round": True}),
        ("sticks of 35 mm to 48 mm", {"size_unread": ("35 mm to 48 mm",)}),
        ("7x99", {"size_unread": ("7x99",)}),
        ("round, knee-high", {"round": True, "size_unread": ("knee-high",)}),
    ],
)
def test_words_of_the_size(size, found):
    assert asked(size=size) == AskedPieces(**found)


def test_a_trade_size_asks_for_its_dressed_sides():
    assert asked(size="2x4").sides_mm == pytest.approx((38.1, 88.9))


def test_a_wood_of_the_maker_s_own_is_understood():
    mine = measured_wood("hedge oak", "hardwood", 700.0, 12.0, None)
    assert asked("hedge oak", own=(mine,)) == AskedPieces(species=("hedge oak",))
    assert asked("hedge oak").kind_unread == ("hedge oak",)


@pytest.mark.parametrize("name", protocol_ids())
def test_every_word_of_the_protocols_that_ship_is_understood(name):
    rules = load_protocol(name, shipped("protocols"))
    if rules.log != "chops":
        return
    found = asked_pieces(rules)
    assert found.kind_unread == ()
    assert found.size_unread == () or not severs(rules)


def test_a_group_of_woods_asks_for_any_of_them():
    oak = asked("oak")
    assert [oak.of_species(name) for name in ("white oak", "", "European ash")] == [
        True, True, False,
    ]  # fmt: skip
    assert asked("blackthorn").of_species("Blackthorn (hardwood)")


def test_one_thickness_is_as_true_as_a_piece_is_sawn_and_a_range_is_its_ends():
    assert [asked(size="round, 40 mm").sized((side,)) for side in (42.0, 42.1, 38.0, 37.9)] == [
        True, False, True, False,
    ]  # fmt: skip
    poles = asked(size="round, 35 mm to 48 mm")
    assert [poles.sized((side,)) for side in (35.0, 48.0, 34.9, 48.1)] == [True, True, False, False]
    assert not poles.sized((40.0, 40.0))
    assert poles.sized(())
