"""Does the headline stand when one number of the tables is another?"""

from dataclasses import replace
from itertools import count

import pytest

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import HardnessSeen, PieceSeen, SteelSeen, TemperSeen, TrialSeen
from edgetest.steel.survives import is_reversed, survives, variants
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import HARD, SOFT, heat, seen

TABLES, LOSSES = load_steel_tables(), SteelLosses()
LOW = seen(heat(SOFT, medium="water", heat_c=900.0), sparks="like_low", magnet="strong")


def test_a_plain_case_stands_under_every_number(work_in_full):
    found = survives(seen(heat(HARD, grain="fine"), sparks="like_high"), TABLES, LOSSES)
    assert found.reversed_ == 0
    assert found.of > 300
    assert "stands" in found.summary() or found.turned


def some_weighed(patch, every=None):
    """Of the trials the first of every so many is weighed, else none; the others get a belief."""
    at, first = count(), []

    def weighed(*asked, **more):
        number = next(at)
        if not number:
            first.append(weigh_steel(*asked, **more))
        if not number or every is None or number % every != 1:
            return first[0]
        return weigh_steel(*asked, **more)

    patch.setattr("edgetest.steel.survives.weigh_steel", weighed)


def test_each_number_is_tried_twice_and_only_where_it_bears(monkeypatch):
    some_weighed(monkeypatch)
    tried = [place for place, _, _ in variants(LOW, TABLES, LOSSES)]
    assert len(tried) == 2 * len(set(tried))
    sections = {section for section, _, _ in tried}
    assert "sparks" in sections
    assert not {"stream", "life", "tough", "edge"} & sections
    some_weighed(monkeypatch)
    blades = replace(LOW, pieces=(replace(LOW.pieces[0], makes_blades=9),))
    assert {"life", "tough"} < {place[0] for place, _, _ in variants(blades, TABLES, LOSSES)}
    origins = {row for section, row, _ in tried if section == "prior"}
    assert origins == {"unknown"}


TEMPERED = replace(
    heat(HARD, grain="fine"), tempers=(TemperSeen(200, 60, 2, (HardnessSeen(59, 59, "below"),)),)
)
LOT = SteelSeen(
    "knife",
    tuple(
        PieceSeen(name, "leaf_spring", "L", 4.0, coating="none", sparks="between", magnet="strong")
        for name in "AB"
    ),
    (TEMPERED, heat(SOFT, medium="oil", heat_c=800.0, piece="B", coupon="2")),
    (TrialSeen("A", "rope", "same", "sound"),),
)


@pytest.mark.parametrize("what", [
    pytest.param(LOW, id="one coupon"),
    pytest.param(LOT, id="a lot with a trial", marks=pytest.mark.slow),
])  # fmt: skip
def test_what_is_kept_from_trial_to_trial_changes_no_number(what, monkeypatch):
    some_weighed(monkeypatch, every=5)
    asked = replace(TABLES, kept={})
    weigh_steel(what, asked)
    tried = [(place, factor, found) for place, factor, found in variants(what, TABLES, LOSSES)]
    for place, factor, found in tried[::5]:
        section, row, word = place
        value = TABLES.numbers[section][row][word] * factor
        value = min(value, 0.99) if word == "chance" else value
        anew, kept = (tables.with_number(*place, value) for tables in (TABLES, asked))
        belief = weigh_steel(what, anew)
        assert repr(weigh_steel(what, kept)) == repr(belief), place  # to the last bit
        assert found == decide(what, belief, anew, LOSSES), place


def test_rows_that_a_kept_part_asked_for_are_told_again():
    asked = replace(TABLES, kept={})
    weigh_steel(LOT, asked)
    first = set(asked.used)
    asked.used.clear()
    weigh_steel(LOT, asked)
    assert asked.used == first
    plain = replace(TABLES)
    weigh_steel(LOT, plain)
    assert plain.used <= first


def test_a_number_on_the_edge_is_named(work_in_full):
    """Tables on the edge of calling a coupon cold: more heat turns the step."""
    close = seen(heat(SOFT, medium="water", heat_c=768.0), sparks="like_low", magnet="strong")
    rows = TABLES.numbers["heat"]["instrument"]
    edgy = TABLES.with_number("heat", "instrument", "spread_c", rows["spread_c"] * 0.5)
    found = survives(close, edgy, LOSSES)
    assert found.turned > 0
    assert found.by
    assert found.by[0][0] == "heat"
    assert found.to_dict()["by"][0].startswith("heat instrument")
    assert "the heat that a thermometer tells" in found.summary()
    assert "half as large again, then a third smaller" in found.summary()
    assert f"{found.turned} of {found.of} tries" in found.summary()


def test_reuse_and_leave_are_a_reversal_and_two_ways_on_are_none():
    assert is_reversed("reuse_trial", "leave")
    assert is_reversed("leave", "reuse")
    assert not is_reversed("go_on", "leave")


def test_the_tables_stay_as_they_are():
    before = replace(TABLES)
    survives(LOW, TABLES, LOSSES)
    assert TABLES.numbers == before.numbers
