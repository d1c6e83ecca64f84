"""The hours that known steel is weighed by are tried as all other numbers are."""

from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import PieceSeen, SteelSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.steel.survives import HOURS, survives, variants
from edgetest.steel.table_words import number_said
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.study.steel.steel_tables_file import load_steel_tables

TABLES = load_steel_tables()
DISC = {"origin": "plough_disc", "lot": "discs", "coating": "none", "lead": "no"}
DISCS = SteelSeen(
    "hedging_tool",
    tuple(PieceSeen(name, makes_blades=4.0, magnet="strong", **DISC) for name in "AB"),
)
LOSSES = SteelLosses(blade_hours=12.0)


def tried(seen, losses=LOSSES):
    """The decision under each of the hours: by name and factor."""
    found = {}
    for (section, name, _), factor, decision in variants(seen, TABLES, losses, "A"):
        if section != HOURS:
            break
        found[name, factor > 1] = decision
    return found


def test_hours_of_known_steel_that_turn_the_step_are_named_whether_typed_or_not():
    """A step that hangs on 2 h of known steel and not on 1.33 h, as none but the program wrote."""
    first = decide(DISCS, weigh_steel(DISCS, TABLES, piece="A"), TABLES, LOSSES)
    found = tried(DISCS)
    assert first.action == "go_on"
    assert found["known_steel_hours", False].action == "buy_known"
    assert found["known_steel_hours", True].action == "go_on"
    assert found["blade_hours", True].action == "buy_known"
    typed = SteelLosses(12.0, 2.0, stated=("blade_hours", "known_steel_hours"))
    mine = tried(DISCS, typed)
    assert {at: one.action for at, one in mine.items()} == {at: found[at].action for at in found}


def test_the_sentence_counts_the_hours_and_names_them():
    found = survives(DISCS, TABLES, LOSSES, "A")
    assert (HOURS, "known_steel_hours", "") in found.by
    assert "the hours of the known steel of one blade" in found.summary()
    assert "chances, figures and hours that it is reckoned from" in found.summary()
    assert "hours known steel hours" in found.to_dict()["by"]


def test_the_hours_of_each_test_ahead_are_tried_and_of_no_other():
    named = {name for name, _ in tried(DISCS)}
    assert {"known_steel_hours", "blade_hours", "temper_ladder", "brass_rod", "sparks"} <= named
    assert "laboratory" not in named
    assert tried(DISCS)["temper_ladder", True].action == "buy_known"


def test_where_nobody_told_how_many_blades_no_hours_count():
    bare = SteelSeen("hedging_tool", (PieceSeen("A", magnet="strong", **DISC),))
    assert tried(bare) == {}


def test_hours_of_one_name_are_changed_alone():
    other = LOSSES.with_hours("sparks", 9.0)
    assert other.hours_of("sparks", 1.0) == 9.0
    assert other.hours_of("brass_rod", 1.0) == 1.0
    assert other.blade_hours == 12.0
    assert LOSSES.with_hours("blade_hours", 3.0).blade_hours == 3.0
    assert LOSSES.with_hours("known_steel_hours", 3.0).known_steel_hours == 3.0


def test_hours_have_words_of_their_own():
    names = ("known_steel_hours", "blade_hours", "heat_again", "cutting", *TESTS_BY_CODE)
    names = [name for name in names if name != "trial_blade"]  # told as blade_hours
    said = [number_said(HOURS, name, "") for name in names]
    assert len(set(said)) == len(said)
    assert not any("_" in one or len(one) > 80 for one in said)
