"""The page says how many blades are to be had of which pieces, and what known steel would cost."""

from types import SimpleNamespace

from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.study.steel.blades_to_make import blades_words

STEPS = {
    "A": "Reuse it (piece A)", "C": "Make one trial blade; its toughness was not tried",
    "B": "Make one trial blade", "F": "Buy known steel",
}  # fmt: skip


def result(*, hours=1.5, many=(2.0, 2.0, 3.0, 2.0), names="ABCF", begun=True):
    pieces = tuple(
        PieceSeen(name, makes_blades=each) for name, each in zip(names, many, strict=True)
    )
    asked, *others = (
        SimpleNamespace(piece=name, decision=SimpleNamespace(title=STEPS[name]))
        for name in reversed(names)
    )
    return SimpleNamespace(
        seen=SteelSeen("chopper", pieces, (), ()), asked=asked, others=others, begun=begun,
        wishes=SimpleNamespace(known_steel_hours=hours),
    )  # fmt: skip


def test_blades_are_told_by_what_is_next_in_the_order_of_the_pieces():
    assert blades_words(result()) == (
        "Blades by what is next: Reuse it: 2 of A; Make one trial blade: 5 of B and C; "
        "Buy known steel: 2 of F. Known steel for all 9 would cost 13.5 h, at your 1.5 h a blade."
    )


def test_what_nobody_wrote_is_said_to_be_so():
    told = blades_words(result(hours=None, many=(2.0, None, None, 2.0)))
    assert "Of B and C nobody wrote how many they make." in told
    assert told.endswith("What known steel for one costs is not noted.")


def test_nothing_is_said_of_one_piece_of_none_that_is_counted_or_before_the_first_row():
    assert blades_words(result(many=(2.0,), names="A")) == ""
    assert blades_words(result(many=(None,) * 4)) == ""
    assert blades_words(result(begun=False)) == ""
