"""Where a study stands, its log cell by cell, and the protocols it may use."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.heat_treatments import HeatTreatment
from edgetest.store.journal import correct_reading
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from edgetest.store.workspace import change_study, copy_protocol, new_study
from edgetest.study.bench.log_cells import log_cells, told_history
from edgetest.study.own_protocols import free_name, known_protocols, use_protocol
from edgetest.study.sources import open_source
from edgetest.study.study_state import state_of
from edgetest.study.wear.planning import usual_blocks

HEAD = "blade,cuts,station_mm,edge_width_um,photo,note\n"


@pytest.fixture
def folder(tmp_path):
    new_study(
        tmp_path / "study", "sisal_rope", "Two tempers", blades=("A1", "B1", "C1"), control="C1"
    )
    return tmp_path / "study"


def treat(folder):
    """Name a heat treatment for each blade but the control."""
    study = load_study(folder)
    of = {"A1": "soft", "B1": "hard"}
    blades = tuple(
        blade.model_copy(update={"heat_treatment": of.get(blade.id)}) for blade in study.blades
    )
    kinds = tuple(HeatTreatment(id=name) for name in of.values())
    change_study(
        folder, lambda _: study.model_copy(update={"blades": blades, "heat_treatments": kinds})
    )


def write(folder, *rows):
    (folder / "log.csv").write_text(HEAD + "".join(f"{row}\n" for row in rows), encoding="utf-8")


def test_a_study_says_what_it_waits_for(folder):
    assert state_of(folder).next == "cut"
    write(folder, "A1,0,20,wide,,", "B1,0,20,2.5,,")
    state = state_of(folder)
    assert (state.next, state.faults, state.rows) == ("mend", 1, 1)
    assert state.summary() == "3 blades, 1 row, 1 fault"
    write(folder, "A1,0,20,2.4,,", "B1,0,20,2.5,,", "A1,10,20,,,")
    assert state_of(folder).next == "treatments"
    assert state_of(folder).rows == 2  # a row of the template waits, and is not counted
    treat(folder)
    assert state_of(folder).next == "answer"


def test_photographs_are_counted_as_they_lie_there(folder):
    treat(folder)
    write(folder, "A1,0,20,,one.jpg,", "B1,0,20,,two.jpg,")
    (folder / "photos" / "one.jpg").write_bytes(b"not a picture")
    state = state_of(folder)
    assert (state.photos, state.missing, state.to_measure, state.next) == (2, 1, 1, "measure")
    assert state.summary().endswith("0 of 2 photographs measured, 1 missing")


def test_the_cells_of_a_log_stand_with_their_faults(folder):
    write(folder, "A1,0,20,wide,,", "", "B1,0,20,2.5,,first,one too many", "B1,10,20,0,,")
    source = open_source(folder)
    cells = log_cells(source, source.log.faults)
    assert [line for line, _ in cells.rows] == [2, 4, 5]  # the blank row keeps its number
    assert cells.cell(2, "edge_width_um") == "wide"
    assert cells.cell(99, "edge_width_um") == ""
    assert [line for line, _ in cells.with_fault()] == [2, 4, 5]
    assert cells.fault_words(2) == 'edge_width_um: "wide" is not a number'
    assert cells.fault_words(4).startswith("row: the row has")
    assert cells.editable


def test_a_study_without_a_log_has_no_cells(folder):
    assert log_cells(open_source(folder), (), table="chops") is None


def test_the_history_tells_what_changed_newest_first(folder):
    write(folder, "A1,0,20,2.4,,", "B1,0,20,2.5,,")
    correct_reading(folder, 2, "edge_width_um", "2.6", was="2.4")
    correct_reading(folder, 3, "note", "wire edge", was="")
    first, last, *before = told_history(folder)
    assert (first.row, first.before, first.after) == (3, "", "note wire edge")
    assert (last.row, last.before, last.after) == (2, "edge_width_um 2.4", "edge_width_um 2.6")
    assert all(each.what == "log: in the file" for each in before)  # rows written by the test
    assert len(told_history(folder, last=1)) == 1


def test_protocols_of_ones_own_come_first_and_a_broken_one_is_told(folder):
    copy_protocol("manila_rope", folder, free_name(folder, "manila_rope"))
    (folder / "broken.toml").write_text("id = 3", encoding="utf-8")
    known = known_protocols(folder)
    assert list(known)[:2] == ["broken.toml", "manila_rope_own.toml"]
    assert isinstance(known["broken.toml"], UnusableInput)
    assert known["sisal_rope"] == load_protocol("sisal_rope")
    assert free_name(folder, "manila_rope") == "manila_rope_own_2"


def test_a_protocol_that_does_not_go_with_the_study_leaves_it_as_it_was(folder):
    copy_protocol("manila_rope", folder, "manila_own")
    use_protocol(folder, "manila_own.toml")
    assert load_study(folder).protocol == "manila_own.toml"
    path = folder / "study.toml"
    path.write_text('reading = "edge_width_um"\n' + path.read_text(encoding="utf-8"), "utf-8")
    with pytest.raises(UnusableInput, match="is not read by the protocol"):
        use_protocol(folder, "billet_chop")
    assert load_study(folder).protocol == "manila_own.toml"


def test_as_many_rolls_as_each_heat_treatment_has_blades(folder):
    treat(folder)
    assert usual_blocks(open_source(folder)) == ("roll 1",)
