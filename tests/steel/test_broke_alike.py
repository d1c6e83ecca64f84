"""A blade that stood, treated like a sister's that broke, is no measure of the next."""

from dataclasses import replace

import pytest

from edgetest.steel.blades_left import blades_stood
from edgetest.steel.broke_alike import as_it_stood, broke_alike, broke_like, past_break_c
from edgetest.steel.steel_seen import PieceSeen, SteelSeen, TrialSeen
from tests.steel.seen_steel import files, heat, temper


def blade(piece, name, at_c, **of):
    tempers = (temper(files(55, 60), at_c, for_use=True),)
    of = {"colour": "cherry", "cycles": 2, **of}
    return heat(files(60, 65, "below"), piece=piece, coupon=name, tempers=tempers, **of)


def run(piece, name, edge):
    return TrialSeen(piece, "chop", None if edge == "broke" else "same", edge, heat=(name, 1))


def lot(*more, runs=(), broke=None):
    heats = (blade("A", "b1", 230), broke or blade("B", "b2", 230, cycles=3), *more)
    trials = (run("A", "b1", "sound"), run("B", "b2", "broke"), *runs)
    return SteelSeen("chopper", (PieceSeen("A", lot="L"), PieceSeen("B", lot="L")), heats, trials)


def test_a_sister_s_break_holds_back_what_was_treated_alike_whatever_the_cycles():
    (one,) = broke_alike(lot())
    assert (one.blade, one.like, one.take_c) == ("b2", (("A", "b1"),), 245)
    assert blades_stood(lot(), "A") == 0
    assert as_it_stood(lot(), "A", "b1").endswith("but tempered at 245 °C")
    assert past_break_c(lot(), "A", 230) == 245
    assert "hotter by a step of about 15 °C" in one.instead()


def test_the_temper_at_which_a_later_blade_of_the_sister_stood_is_taken():
    seen = lot(blade("B", "b3", 250), runs=(run("B", "b3", "sound"),))
    assert past_break_c(seen, "A", 230) == 250
    assert "A later blade of B stood at 250 °C: take it." in broke_like(seen, "A").instead()


def test_a_step_past_one_break_is_no_temper_where_a_sister_broke_at_that_one_too():
    more = blade("A", "b4", 245), blade("B", "b3", 245, cycles=3)
    seen = lot(*more, runs=(run("A", "b4", "sound"), run("B", "b3", "broke")))
    assert past_break_c(seen, "A", 230) == past_break_c(seen, "A", 245) == 260
    assert broke_like(seen, "A", "b4").take_c == 260
    assert past_break_c(seen, "A", 270) == 270


@pytest.mark.parametrize(
    "broke",
    [
        blade("B", "b2", 215), blade("B", "b2", 230, medium="warm_water"),
        blade("B", "b2", 230, grain="coarse"), blade("B", "b2", 230, colour="orange"),
    ],
)  # fmt: skip
def test_one_treated_otherwise_or_coarse_from_its_own_fire_holds_nothing_back(broke):
    assert broke_alike(lot(broke=broke)) == []
    apart = replace(lot(), pieces=(PieceSeen("A"), PieceSeen("B")))
    assert broke_alike(apart) == []
