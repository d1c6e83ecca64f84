"""Settled pieces in a line and as the file holds them; the piece that was tested most."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.own_pieces import FIT, UNFIT, OwnPieces
from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen, TemperSeen, TrialSeen
from edgetest.study.steel import judge_steel
from edgetest.study.steel.settled_pieces import SettledPieces, offered_words


def settled(count, outcome=FIT, pieces=("A", "B", "C")):
    return SettledPieces("Disc", pieces, OwnPieces("plough_disc", outcome, count=count, lot="x"))


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (settled(3.0), "A, B, C of Disc: plough disc, served as a blade (3 pieces)"),
        (settled(2.0), "A, B, C of Disc: plough disc, served as a blade (3 pieces, 2 of them new)"),
        (settled(1.0, UNFIT, ("A",)),
         "A of Disc: plough disc, made no blade that lived (1 piece)"),
    ],
)  # fmt: skip
def test_settled_pieces_are_told_with_what_is_new(one, said):
    assert one.summary() == said
    assert said in offered_words((one,))


def test_a_whole_count_is_written_whole():
    assert repr(settled(3.0).to_dict()["row"]["count"]) == "3"
    assert settled(2.5).to_dict()["row"]["count"] == 2.5
    assert settled(3.0).to_dict()["row"]["origin"] == "plough disc"
    assert offered_words(()) == ""
    assert offered_words((settled(3.0), settled(1.0))).startswith("4 settled pieces")


def seen(heats=(), trials=()):
    pieces = (PieceSeen("A"), PieceSeen("B"))
    return SteelSeen(pieces=pieces, heats=tuple(heats), trials=tuple(trials))


@pytest.mark.parametrize(
    ("of", "piece"),
    [
        (seen(), "A"),
        (seen([HeatSeen("B")]), "B"),
        (seen([HeatSeen("A")], [TrialSeen("B", "rope"), TrialSeen("B", "bend")]), "B"),
        (seen([HeatSeen("A")], [TrialSeen("B", "rope")]), "A"),
        (seen([HeatSeen("A"), HeatSeen("B", tempers=(TemperSeen(),))]), "B"),
        (seen([HeatSeen("A"), HeatSeen("A")], [TrialSeen("B", "rope")]), "A"),
    ],
)
def test_the_piece_that_was_tested_most_is_asked_about(of, piece):
    assert judge_steel._asked(None, of) == piece
    assert judge_steel._asked("A", of) == "A"
    with pytest.raises(UnusableInput, match='piece "C" is not in the evidence'):
        judge_steel._asked("C", of)


def test_without_a_piece_none_is_asked_about():
    assert judge_steel._asked(None, SteelSeen()) is None
