"""Stock that somebody else hardened tells nothing of the maker's own quench."""

import pytest

from edgetest.doubts import codes
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.blade_heats import medium_in_words
from edgetest.study.steel.evidence_words import heats_in_words
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes
from edgetest.study.steel.steel_tables_file import load_steel_tables

HARD = {"coupon": "c1", "medium": "oil", "heat_c": 830, "hardness_below": "60-65"}
BLADE = {"coupon": "blade1", "hardness_below": "50-55"}
ROLLED = {"coupon": "blade1", "test": "chop", "edge": "rolled", "result": "worse", "strokes": 60}


def of(*heats, trials=()):
    return steel_seen_of(SteelRows(heats=heats, trials=trials), VerdictWishes(use="chopper"))


@pytest.mark.parametrize("typed", ["factory", "as bought", "Factory hard"])
def test_a_blade_hardened_before_counts_neither_way_and_is_told(typed):
    found = of(HARD, {**BLADE, "medium": typed}, trials=(ROLLED,))
    alone = of(HARD)
    assert found.seen == alone.seen
    assert len(found.noted.heats) == 2
    assert len(found.noted.trials) == 1
    (told,) = found.doubts
    assert codes((told,)) == ("hardened_before",)
    assert "blade1, heat 1, was hardened before you had it" in told.text


def test_a_medium_that_nobody_knows_is_a_quench_all_the_same():
    found = of(HARD, {**BLADE, "medium": "unknown"}, trials=(ROLLED,))
    assert found.seen == found.noted
    both = of(HARD), found
    moved = [weigh_steel(each.seen, load_steel_tables()).chance_fit for each in both]
    assert moved[1] < moved[0] - 0.05


def test_the_page_says_who_hardened_it():
    (_, words), *_ = heats_in_words(of({**BLADE, "medium": "factory"}).noted)
    assert words.startswith("hardened before you had it; 50 to 55 HRC")
    assert medium_in_words("factory hard") == ("factory", None)
