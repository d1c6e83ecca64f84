"""Does the stake of a piece count no blade of sisters that are known not to serve?"""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.study.steel import judge_steel
from edgetest.study.steel.stake_left import without_unfit_sisters

SEEN = SteelSeen(
    pieces=(
        PieceSeen("A", lot="L", makes_blades=3.0),
        PieceSeen("B", lot="L", makes_blades=3.0),
        PieceSeen("C", lot="M", makes_blades=3.0),
    )
)


def verdict(piece, action):
    decision = SimpleNamespace(action=action, contradictions=(), doubts=())
    return SimpleNamespace(piece=piece, decision=decision)


def makes(seen):
    return [one.makes_blades for one in seen.pieces]


@pytest.mark.parametrize("action", ["light_use", "leave"])
def test_a_sister_that_serves_no_more_is_not_counted(action):
    told = [verdict("A", "buy_known"), verdict("B", action), verdict("C", "leave")]
    assert makes(without_unfit_sisters(told, SEEN, "A")) == [3.0, 0.0, 3.0]
    assert without_unfit_sisters(told, SEEN, "C") is None


def test_a_sister_in_question_is_counted():
    told = [verdict("A", "buy_known"), verdict("B", "go_on")]
    assert without_unfit_sisters(told, SEEN, "A") is None


@pytest.mark.parametrize(("comes", "told"), [("buy_known", "anew"), ("go_on", "A")])
def test_a_piece_to_buy_for_is_judged_again_without_them(comes, told, monkeypatch):
    judged = []

    def anew(seen, tables, losses, piece):
        judged.append((piece, makes(seen)))
        return verdict("anew", comes)

    monkeypatch.setattr(judge_steel, "verdict_on", anew)
    monkeypatch.setattr(judge_steel, "at_its_path", lambda one, folder: one)
    before = [verdict("A", "buy_known"), verdict("B", "light_use"), verdict("C", "buy_known")]
    found = judge_steel._at_its_stake(before, SEEN, None, SteelLosses(), "st")
    assert [one.piece for one in found] == [told, "B", "C"]
    assert judged == [("A", [3.0, 0.0, 3.0])]


def test_blades_still_wanted_leave_out_a_second_blade_that_is_asked_for(monkeypatch):
    told = []

    def anew(seen, tables, losses, piece):
        told.append((piece, losses.reused))
        return verdict(piece, "buy_known")

    monkeypatch.setattr(judge_steel, "verdict_on", anew)
    monkeypatch.setattr(judge_steel, "at_its_path", lambda one, folder: one)
    before = [verdict("A", "reuse_trial"), verdict("B", "reuse"), verdict("C", "buy_known")]
    tried = replace(SEEN, trials=(TrialSeen("A", "chop", "same", heat=("blade1", 1)),))
    judge_steel._at_its_stake(before, tried, None, SteelLosses(), "st")
    assert told == [("C", {"B"})]
