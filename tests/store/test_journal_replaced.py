"""A reading that stands is corrected or replaced in its row; what it was stays in the history."""

import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import (
    append_reading,
    correct_reading,
    fill_row,
    replace_cells,
    undo_last,
)
from edgetest.store.logs import read_log
from edgetest.store.workspace import new_study
from tests.store import log_text, rope_study


@pytest.fixture
def study(tmp_path):
    return rope_study(tmp_path)


READ = {"blade": "K1", "cuts": 10, "station_mm": 20}


def test_a_correction_keeps_the_old_value_in_the_history(study):
    change = append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    correct_reading(study.folder, change.row, "edge_width_um", 3.5, was="3")
    assert read_log(study.folder / "log.csv").rows[-1].readings["edge_width_um"].value == 3.5
    last = read_history(study.folder)[-1]
    assert (last.before["edge_width_um"], last.after["edge_width_um"]) == ("3", "3.5")
    undo_last(study.folder)
    assert read_log(study.folder / "log.csv").rows[-1].readings["edge_width_um"].value == 3


def test_a_stale_correction_is_refused_with_both_versions(study):
    change = append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    correct_reading(study.folder, change.row, "edge_width_um", 3.5, was="3")
    with pytest.raises(UnusableInput, match=r'says "3\.5" now; it said "3" when the .* to "4"'):
        correct_reading(study.folder, change.row, "edge_width_um", 4, was="3")


def test_a_correction_that_the_log_would_refuse(study):
    change = append_reading(study.folder, {"blade": "K1", "cuts": 12, "edge_width_um": 3})
    with pytest.raises(ManyFaults, match='"-1" is a reading of zero or below'):
        correct_reading(study.folder, change.row, "edge_width_um", -1, was="3")


def test_a_reading_is_replaced_in_its_row_and_an_undo_brings_the_old_one_back(study):
    first = append_reading(study.folder, {**READ, "block": "roll 1", "edge_width_um": 7.1})
    before = log_text(study)
    change = replace_cells(study.folder, {**READ, "edge_width_um": 9.1, "note": "misread"})
    assert (change.what, change.row) == ("correct", first.row)
    assert change.before["edge_width_um"] == "7.1"
    assert (change.after["edge_width_um"], change.after["note"]) == ("9.1", "misread")
    assert len(log_text(study).splitlines()) == len(before.splitlines())
    assert replace_cells(study.folder, {**READ, "edge_width_um": "9.1"}) is None
    undo_last(study.folder, shown=change)
    assert "7.1" in log_text(study)
    assert "9.1" not in log_text(study)
    assert [each.what for each in read_history(study.folder)] == ["append", "correct", "undo"]


def _look(tmp_path, **cells):
    blade = {"id": "H1"}
    folder = new_study(tmp_path / "hatchet", "billet_chop", "hatchet", blades=[blade]).folder
    looked = {"blade": "H1", "kind": "inspection", "order": 0}
    first = append_reading(folder, {**looked, **cells}, table="chops", doubled="refused")
    return folder, looked, first


def test_a_place_typed_for_a_look_that_counts_chips_is_read_beside_them(tmp_path):
    folder, looked, first = _look(tmp_path, chips_count=2, largest_chip_mm="0.5")
    told = {**looked, "damage_at": "tip"}
    change = append_reading(folder, told, table="chops", doubled="refused")
    assert (change.row, change.after["damage_at"]) == (first.row, "tip")
    corrected = correct_reading(folder, first.row, "damage_at", "heel", was="tip", table="chops")
    assert corrected.after["damage_at"] == "heel"
    with pytest.raises(ManyFaults, match="no chip was counted but one has a size"):
        replace_cells(folder, {**looked, "chips_count": "0"}, table="chops")


def test_a_place_of_a_look_without_damage_is_refused_with_the_row_as_it_stands(tmp_path):
    folder, looked, first = _look(tmp_path, chips_count=0)
    with pytest.raises(ManyFaults, match="no chip or roll was counted but one has a place"):
        append_reading(folder, {**looked, "damage_at": "tip"}, table="chops", doubled="refused")
    of = {"blade": "H1"}
    with pytest.raises(ManyFaults, match="no chip or roll was counted but one has a place"):
        fill_row(folder, first.row, {"damage_at": "tip"}, of=of, table="chops")
    filled = {"rolls_count": 1, "damage_at": "tip"}
    assert fill_row(folder, first.row, filled, of=of, table="chops").after["damage_at"] == "tip"


def test_a_decimal_that_stands_does_not_settle_what_a_comma_means(tmp_path):
    folder, _, _ = _look(tmp_path, chips_count=0)
    piece = {"blade": "H1", "kind": "billet", "order": 1}
    append_reading(folder, {**piece, "width_mm": "45.5"}, table="chops", doubled="refused")
    told = {**piece, "thickness_mm": "1,234"}
    with pytest.raises(ManyFaults, match=r"can be read as 1\.234 or as 1234"):
        append_reading(folder, told, table="chops", doubled="refused")
    change = append_reading(folder, {**piece, "thickness_mm": "50,5"}, table="chops")
    assert (change.after["width_mm"], change.after["thickness_mm"]) == ("45.5", "50.5")


def test_a_reading_is_taken_out_and_kept_in_the_history(study):
    append_reading(study.folder, {**READ, "edge_width_um": 7.1})
    change = replace_cells(study.folder, {**READ, "edge_width_um": ""})
    assert "7.1" not in log_text(study)
    assert change.before["edge_width_um"] == "7.1"


def test_a_reading_left_out_by_mistake_counts_again(study):
    append_reading(study.folder, {**READ, "edge_width_um": 7.1})
    row = {**READ, "edge_width_um": 7.1}
    out = replace_cells(study.folder, {**row, "exclude": "slipped"})
    change = replace_cells(study.folder, {**row, "exclude": ""})
    assert (change.row, change.before["exclude"]) == (out.row, "slipped")
    assert read_log(study.folder / "log.csv").rows[change.row - 2].exclude == ""
    # Beside one that counts, one that was left out is not meant.
    replace_cells(study.folder, {**row, "exclude": "slipped"})
    again = append_reading(study.folder, row)
    assert replace_cells(study.folder, {**READ, "edge_width_um": 7.4}).row == again.row


def test_a_note_on_a_row_without_a_reading_is_replaced_and_taken_out(study):
    noted = append_reading(study.folder, {**READ, "note": "dropped it"})
    change = replace_cells(study.folder, {**READ, "note": "fell on the anvil"})
    assert (change.row, change.before["note"]) == (noted.row, "dropped it")
    assert replace_cells(study.folder, {**READ, "note": ""}).row == noted.row
    assert "anvil" not in log_text(study)
    with pytest.raises(UnusableInput, match=r"no row of .* holds a reading yet"):
        replace_cells(study.folder, {**READ, "note": "x"})


def test_only_the_one_row_that_holds_the_reading_is_replaced(study):
    before = log_text(study)
    with pytest.raises(UnusableInput, match="no row of blade K1, cuts 10, station_mm 20 holds"):
        replace_cells(study.folder, {**READ, "edge_width_um": 9.1})
    with pytest.raises(UnusableInput, match=r"no row of .* holds a reading yet"):
        replace_cells(study.folder, {**READ, "note": "x"})
    assert log_text(study) == before
    rows = [
        append_reading(study.folder, {**READ, "block": roll, "edge_width_um": 7}).row
        for roll in ("roll 1", "roll 2")
    ]
    with pytest.raises(UnusableInput, match=f"rows {rows[0]}, {rows[1]} of .* name its block"):
        replace_cells(study.folder, {**READ, "edge_width_um": 9.1})
    with pytest.raises(UnusableInput, match=f"rows {rows[0]}, {rows[1]} of .* hold a reading"):
        replace_cells(study.folder, {**READ, "note": "x"})
    of_second = {**READ, "block": "roll 2", "edge_width_um": 9.1}
    assert replace_cells(study.folder, of_second).row == rows[1]
    with pytest.raises(ManyFaults):
        replace_cells(study.folder, {**of_second, "edge_width_um": "many"})


def test_a_piece_that_stands_is_corrected_by_the_strokes_alone(tmp_path):
    folder = new_study(tmp_path / "chop", "billet_chop", "Chop", blades=("H1",)).folder
    wood = {"species": "Scots pine", "moisture_pct": 12, "width_mm": 50, "thickness_mm": 50}
    piece = {"blade": "H1", "kind": "billet", "order": 1}
    first = append_reading(folder, {**piece, "chops": 14, **wood}, table="chops")
    change = replace_cells(folder, {**piece, "chops": 16}, table="chops")
    assert (change.row, change.after["chops"], change.after["width_mm"]) == (first.row, "16", "50")
    wood = replace_cells(folder, {**piece, "species": "Norway spruce"}, table="chops")
    assert (wood.row, wood.after["species"], wood.after["chops"]) == (
        first.row,
        "Norway spruce",
        "16",
    )
    with pytest.raises(ManyFaults, match=f'row {first.row}, chops: "0" is a reading of zero'):
        replace_cells(folder, {**piece, "chops": 0}, table="chops")
    with pytest.raises(ManyFaults, match='the column "chps" is not known'):
        replace_cells(folder, {**piece, "chops": 16, "chps": 3}, table="chops")


def test_an_undo_takes_back_the_columns_that_its_entry_added_and_no_others(tmp_path):
    folder = new_study(tmp_path / "chop", "billet_chop", "Chop", blades=("H1",)).folder
    log = folder / "chops.csv"
    log.write_text("blade,kind,order,chops,diameter_mm,note,operator\nH1,billet,1,9,50,,\n")
    piece = {"blade": "H1", "kind": "billet", "order": 2, "chops": 8, "diameter_mm": 50}
    before = log.read_text(encoding="utf-8")
    append_reading(folder, {**piece, "operator": "R", "length_mm": 400, "mass_g": 500},
                   table="chops")  # fmt: skip
    assert log.read_text(encoding="utf-8").startswith(before.splitlines()[0] + ",length_mm,mass_g")
    undo_last(folder, table="chops")
    assert log.read_text(encoding="utf-8") == before
    added = append_reading(folder, {**piece, "length_mm": 400}, table="chops")
    correct_reading(folder, 2, "length_mm", 410, was="", table="chops")
    undo_last(folder, table="chops")
    undo_last(folder, shown=added, table="chops")
    assert log.read_text(encoding="utf-8") == before
    append_reading(folder, {**piece, "length_mm": 400}, table="chops")
    text = log.read_text(encoding="utf-8")
    log.write_text(text.replace("H1,billet,1,9,50,,,", "H1,billet,1,9,50,,,390"), encoding="utf-8")
    undo_last(folder, table="chops")
    assert log.read_text(encoding="utf-8").splitlines()[1] == "H1,billet,1,9,50,,,390"
