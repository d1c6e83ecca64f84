"""Facts at their places: entries by id or number, tables that go when empty, changes in words."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.history import Change
from edgetest.study.facts.facts_told import facts_in_words
from edgetest.study.facts.set_facts import (
    add_entry,
    facts_at,
    last_facts,
    set_facts,
    take_entry,
    undo_facts,
)

TEXT = """title = "Rope"
protocol = "sisal_rope"
[[heat_treatments]]
id = "hard"
steps = [{ kind = "quench", medium = "oil" }, { kind = "temper", temperature_c = 200 }]
[[blades]]
id = "1"
[[blades]]
id = "A"
hardness_files = { skates = 55, bites = 60 }
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "study.toml").write_text(TEXT, "utf-8")
    return tmp_path


def test_entries_are_reached_by_id_before_number(folder):
    assert facts_at(folder, ("blades", "A")) == {
        "id": "A", "hardness_files.skates": 55, "hardness_files.bites": 60,
    }  # fmt: skip
    assert facts_at(folder, ("blades", 1))["id"] == "1"
    assert facts_at(folder, ("blades", 0))["id"] == "1"
    steps = ("heat_treatments", "hard", "steps")
    assert facts_at(folder, (*steps, 1))["temperature_c"] == 200
    for nowhere in (("blades", 2), ("blades", "Z"), ("handling", "A"), ("title", "x"), (*steps, 9)):
        assert facts_at(folder, nowhere) == {}


def test_a_table_that_is_empty_then_goes_with_its_last_fact(folder):
    card = ("blades", "A")
    was = facts_at(folder, card)
    set_facts(folder, card, was, {"hardness_files.skates": None})
    assert facts_at(folder, card) == {"id": "A", "hardness_files.bites": 60}
    with pytest.raises(UnusableInput, match=r"hardness_files\.bites is now 60, not blank"):
        set_facts(folder, card, {"hardness_files.bites": 61}, {"hardness_files.bites": None})
    set_facts(folder, card, facts_at(folder, card), {"hardness_files.bites": None})
    assert facts_at(folder, card) == {"id": "A"}
    assert "hardness_files" not in (folder / "study.toml").read_text("utf-8")


def test_what_stands_already_is_no_change(folder):
    assert set_facts(folder, ("blades", "A"), {}, {"hardness_files.skates": 55}) is None
    assert last_facts(folder) is None


def test_a_wish_that_both_versions_differ_from_names_them(folder):
    with pytest.raises(UnusableInput, match=r'title is now "Rope", not "Other"') as met:
        set_facts(folder, (), {"title": "Old"}, {"title": "Other"})
    assert met.value.where == "study.toml, "
    steps = ("heat_treatments", "hard", "steps", 1)
    with pytest.raises(UnusableInput, match="steps 2"):
        set_facts(folder, steps, {"temperature_c": 190}, {"temperature_c": 210})


def test_entries_are_added_behind_and_taken_by_their_number(folder):
    steps = ("heat_treatments", "hard", "steps")
    change = add_entry(folder, steps, {"kind": "temper", "temperature_c": 180})
    assert facts_in_words(change) == (
        "heat_treatments, hard, steps: new: kind temper, temperature_c 180"
    )
    assert facts_at(folder, (*steps, 2))["temperature_c"] == 180
    take_entry(folder, steps, 0)
    assert facts_at(folder, (*steps, 0))["temperature_c"] == 200
    assert facts_in_words(last_facts(folder)).endswith("gone: kind quench, medium oil")
    undo_facts(folder, last_facts(folder))
    assert facts_at(folder, (*steps, 0))["medium"] == "oil"
    undo_facts(folder, last_facts(folder))
    assert facts_at(folder, (*steps, 2)) == {}
    assert (folder / "study.toml").read_text("utf-8").count("temper") == TEXT.count("temper")


def test_a_first_entry_makes_its_list_and_the_last_takes_it_away(folder):
    tempers = ("evidence", "tempers")
    add_entry(folder, tempers, {"temperature_c": 200})
    assert facts_at(folder, (*tempers, 0)) == {"temperature_c": 200}
    take_entry(folder, tempers, 0)
    assert "evidence" not in (folder / "study.toml").read_text("utf-8")


def test_a_check_that_refuses_leaves_the_file_alone(folder):
    def refuse(_):
        raise UnusableInput("no", "here", "mend")

    with pytest.raises(UnusableInput, match="here: no"):
        add_entry(folder, ("blades",), {"id": "B"}, check=refuse)
    assert (folder / "study.toml").read_text("utf-8") == TEXT
    assert last_facts(folder) is None


def test_an_undo_takes_back_one_change_each(folder):
    card = ("blades", "A")
    for note in ("one", "two"):
        set_facts(folder, card, facts_at(folder, card), {"note": note})
    undo_facts(folder, last_facts(folder))
    assert facts_at(folder, card)["note"] == "one"
    assert last_facts(folder).after == {"blades, A, note": "one"}
    undo_facts(folder, last_facts(folder))
    assert last_facts(folder) is None
    with pytest.raises(UnusableInput, match="another change came after it"):
        undo_facts(folder, Change("facts", "study", 0, {}, {}, ""))
