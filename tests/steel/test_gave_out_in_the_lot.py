"""A blade of another piece of the lot that gave out: one lot is taken for one steel."""

import pytest

from edgetest.steel.gave_out import sisters_failed
from edgetest.steel.hardened_rules import ready, reuse_step
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, heat, temper
from tests.steel.stands import stands, step

TABLES, LOSSES = load_steel_tables(), SteelLosses()
HARD, USED = files(60, 65, "below"), files(55, 60, "below")


def blade(name, piece, **of):
    tempers = (temper(USED, 220.0, for_use=True),)
    return heat(HARD, coupon=name, piece=piece, tempers=tempers, heat_c=830.0, **of)


def trial(name, piece, edge="sound", result="same"):
    return TrialSeen(piece, "chop", result, edge, heat=(name, 1))


STOOD, BROKE = trial("blade1", "A"), trial("other1", "B", "broke", "worse")
MORE = trial("blade2", "A")
ALL = (blade("blade1", "A", grain="fine"), blade("blade2", "A"), blade("other1", "B"))


def lot(*trials, heats=ALL, other="harrow", **of):
    sister = PieceSeen("B", origin="plough_disc", lot=other)
    of = {"use": "hedging_tool", "fit": 0.95, "origin": "plough_disc", "lot": "harrow", **of}
    return stands(*heats, pieces=(sister,), trials=trials, **of)


def test_it_asks_for_one_more_and_names_the_blade_and_its_piece():
    at = lot(STOOD, BROKE)
    asked = ready(at, LOSSES)
    assert step(asked) == ("reuse_trial", "trial_blade")
    assert asked.reason.startswith("Of the same lot: other1, heat 1, broke (B).")


def test_once_more_stood_than_failed_this_piece_alone_is_used():
    asked = ready(lot(STOOD, BROKE, MORE), LOSSES)
    assert step(asked) == ("reuse", None)
    assert "of this piece alone. Of the same lot: other1, heat 1, broke (B)." in asked.reason


def test_no_other_lot_no_spoilt_blade_and_none_that_stood_later_counts():
    coarse = (*ALL[:2], blade("other1", "B", grain="coarse"))
    later = heat(HARD, coupon="other1", piece="B", heat=2, heat_c=830.0)
    since = TrialSeen("B", "chop", "same", "sound", heat=("other1", 2))
    assert sisters_failed(lot(STOOD, BROKE, other="other farm")) == []
    assert sisters_failed(lot(STOOD, BROKE, heats=coarse)) == []
    assert sisters_failed(lot(STOOD, BROKE, since, heats=(*ALL, later))) == []
    mixed = lot(STOOD, BROKE, chances={"mixed_lot": 0.9})
    assert ready(mixed, LOSSES).action == "reuse"
    assert "Of the same lot" not in reuse_step(mixed, LOSSES).reason


def weighed(*trials, other="harrow"):
    bare = {"coating": "none", "lead": "no", "origin": "plough_disc", "sparks": "between"}
    pieces = tuple(PieceSeen(n, lot=of, **bare) for n, of in (("A", "harrow"), ("B", other)))
    seen = SteelSeen("hedging_tool", pieces, ALL, trials)
    return seen, weigh_steel(seen, TABLES, piece="A")


def test_the_chance_follows_the_blades_of_the_lot():
    alone = weighed(STOOD)[1].chance_fit
    assert weighed(STOOD, BROKE)[1].chance_fit < alone - 0.005
    assert weighed(STOOD, trial("other1", "B"))[1].chance_fit > alone
    apart = weighed(STOOD, other="other farm")[1].chance_fit
    assert weighed(STOOD, BROKE, other="other farm")[1].chance_fit == pytest.approx(apart)


def test_the_headline_speaks_of_the_piece_where_another_of_the_lot_failed():
    seen, belief = weighed(STOOD, BROKE, MORE)
    found = decide(seen, belief, TABLES, LOSSES)
    assert (found.action, found.about) == ("reuse_trial", "piece A")  # one treated so broke
    seen, belief = weighed(STOOD, MORE)
    assert decide(seen, belief, TABLES, LOSSES).about == "lot harrow"
