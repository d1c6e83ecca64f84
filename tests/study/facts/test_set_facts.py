"""Facts reach study.toml as typed, whole or not at all, and can be taken back."""

import shutil
from pathlib import Path

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.store.study_zip import import_study
from edgetest.study.chop.handling import handling_of
from edgetest.study.facts.facts_told import facts_in_words
from edgetest.study.facts.set_facts import (
    add_entry,
    facts_at,
    last_facts,
    set_facts,
    take_entry,
    undo_facts,
)
from tests.store.zipped_study import zip_of

HATCHET = Path(__file__).parents[3] / "sample_runs" / "camp_hatchet_study"
H1 = ("blades", "H1")


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(HATCHET, tmp_path / "hatchet"))


def as_written(folder):
    return load_study(folder).to_toml_dict()


def put(folder, card, **wishes):
    set_facts(folder, card, facts_at(folder, card), wishes)


def test_a_fact_stands_as_typed_and_all_else_stays(folder):
    before = (folder / "study.toml").read_text()
    put(folder, H1, spine_mm="1/4 in")
    after = (folder / "study.toml").read_text()
    assert after == before.replace("spine_mm = 6.4", 'spine_mm = "1/4 in"', 1)
    assert load_study(folder).blade("H1").spine_mm == pytest.approx(6.35)


def test_undo_takes_back_change_by_change(folder):
    before = (folder / "study.toml").read_text()
    put(folder, H1, edge_length_mm=None)
    put(folder, ("handling", "H1"), seconds=[19.6, 19.7])
    assert facts_in_words(last_facts(folder)) == (
        "handling, H1, seconds: [19.68, 19.73, 19.58] → [19.6, 19.7]"
    )
    for _ in range(2):
        undo_facts(folder, last_facts(folder))
    assert as_written(folder) == as_written(HATCHET)
    assert before.count("\n") == (folder / "study.toml").read_text().count("\n")
    assert last_facts(folder) is None


def test_a_day_is_changed_and_taken_back(folder):
    put(folder, (), date="2026-11-01")
    assert str(load_study(folder).date) == "2026-11-01"
    assert last_facts(folder).before == {"date": "2026-10-31"}  # which is no text in the file
    undo_facts(folder, last_facts(folder))
    assert as_written(folder) == as_written(HATCHET)


def test_undo_of_what_was_changed_by_hand_since_is_refused(folder):
    put(folder, H1, spine_mm=6.5)
    path = folder / "study.toml"
    path.write_text(path.read_text().replace("spine_mm = 6.5", "spine_mm = 7", 1))
    with pytest.raises(UnusableInput, match="changed to 7 since"):
        undo_facts(folder, last_facts(folder))
    put(folder, H1, mass_g=700)
    shown = last_facts(folder)
    put(folder, H1, mass_g=710)
    with pytest.raises(UnusableInput, match="another change came after it"):
        undo_facts(folder, shown)


def test_two_who_change_one_fact_are_told_both_versions(folder):
    seen = facts_at(folder, H1)
    put(folder, H1, mass_g=760, title="hatchet")
    with pytest.raises(UnusableInput, match="mass_g is now 760, not 750"):
        set_facts(folder, H1, seen, {"mass_g": 750})
    set_facts(folder, H1, seen, {"spine_mm": 6.5})  # another fact: both stay
    blade = load_study(folder).blade("H1")
    assert (blade.mass_g, blade.spine_mm, blade.title) == (760, 6.5, "hatchet")


@pytest.mark.parametrize(
    ("card", "wishes", "match"),
    [
        (H1, {"spine_mm": "thick"}, "spine_mm"),
        (H1, {"included_angle_deg": 40}, "angle"),
        (H1, {"heat_treatment": "none such"}, "none such"),
        (("handling", "H1"), {"grip_mm": None}, "grip_mm"),
        (("handling", "H1"), {"strike_mm": 20}, "not beyond the grip"),
        (("heat_treatments", "spring_temper", "steps", 1), {"temperature_c": "hot"}, "hot"),
        ((), {"title": None}, "title"),
        ((), {"control": "H9"}, "H9"),
    ],
)
def test_what_would_be_a_fault_changes_nothing(folder, card, wishes, match):
    before = (folder / "study.toml").read_bytes()
    with pytest.raises(UnusableInput, match=match):
        put(folder, card, **wishes)
    assert (folder / "study.toml").read_bytes() == before
    assert last_facts(folder) is None


def test_entries_are_added_and_taken_away(folder):
    steps = ("heat_treatments", "spring_temper", "steps")
    add_entry(folder, ("blades",), {"id": "H2"})
    add_entry(folder, steps, {"kind": "cold"})
    put(folder, (*steps, 4), temperature_c="-320 °F")
    study = load_study(folder)
    assert [blade.id for blade in study.blades] == ["H1", "C1", "H2"]
    assert study.heat_treatments[0].words().endswith("cold -320 °F")
    take_entry(folder, steps, 4)
    take_entry(folder, ("blades",), 2)
    assert as_written(folder) == as_written(HATCHET)
    with pytest.raises(UnusableInput, match="stands twice"):
        add_entry(folder, ("blades",), {"id": "H1"})
    for _ in range(2):
        undo_facts(folder, last_facts(folder))
    assert [blade.id for blade in load_study(folder).blades] == ["H1", "C1", "H2"]


def test_a_first_handling_and_a_first_heat_treatment_make_their_tables(folder):
    text = (folder / "study.toml").read_text()
    (folder / "study.toml").write_text(text[: text.index("# All places in mm from the butt")])
    put(folder, ("handling", "H1"), grip_mm="2 1/2 in", strike_mm=302)
    assert handling_of(load_study(folder))["H1"].grip_mm == pytest.approx(63.5)
    add_entry(folder, ("heat_treatments",), {"id": "soft", "title": "soft"})
    assert load_study(folder).heat_treatment("soft").title == "soft"
    put(folder, ("document",), care=["Oil it."])
    assert load_study(folder).document == {"care": ["Oil it."]}


def test_history_of_facts_travels_with_the_study(folder, tmp_path):
    put(folder, H1, note="ash handle, wedged")
    again = import_study(zip_of(folder), tmp_path, name="again")
    assert last_facts(again) == last_facts(folder)
