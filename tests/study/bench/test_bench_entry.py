"""Entries and changes of the bench in words; the names of photographs."""

from types import SimpleNamespace

import pytest

from edgetest.store.history import IN_THE_FILE, Change
from edgetest.study.bench import bench_entry as module
from edgetest.study.bench.bench_entry import (
    Entry,
    cell_words,
    change_words,
    entries,
    save_new_photo,
)

RULES = SimpleNamespace(
    readings=[
        SimpleNamespace(name="edge_width_um", title="edge width", unit="µm"),
        SimpleNamespace(name="grade", title="sharpness grade", unit=""),
    ]
)
NAMES = {"A": "K7"}


def test_a_cell_is_said_in_the_protocol_s_words():
    assert cell_words("edge_width_um", "7.1", RULES) == "edge width 7.1 µm"
    assert cell_words("grade", "shaves", RULES) == "sharpness grade shaves"
    assert cell_words("near_misses", "2", RULES) == "near misses 2"


@pytest.mark.parametrize(
    ("keys", "excluded", "said"),
    [
        ({"blade": "A", "block": "roll 1", "cuts": "10", "station_mm": "20", "check_no": "2"}, "",
         "K7, roll 1, 10 cuts, station 20 mm, check 2: edge width 7.1 µm"),
        ({"blade": "B", "block": "", "cuts": "0", "station_mm": "", "check_no": ""}, "slip",
         "B, 0 cuts: edge width 7.1 µm (left out)"),
    ],
)  # fmt: skip
def test_an_entry_is_picked_out_by_its_place(keys, excluded, said):
    assert Entry(2, "edge_width_um", "7.1", keys, excluded).label(NAMES, RULES) == said


def test_entries_of_one_run_stand_behind_those_of_another(monkeypatch):
    cells = {2: {"blade": "A", "cuts": "0", "grade": "a"}, 3: {"blade": "B", "cuts": "0",
             "grade": "b"}, 4: {"blade": "B", "cuts": "10", "photo": "b.png"}}  # fmt: skip
    rows = [SimpleNamespace(line=n, block="", blade=one["blade"], exclude="")
            for n, one in cells.items()]  # fmt: skip
    changed = [Change("append", "log", 4, None, cells[4], ""),
               Change("correct", "log", 3, {"grade": "x"}, {"grade": "b"}, "")]  # fmt: skip
    monkeypatch.setattr(module, "open_sheet", lambda *_: SimpleNamespace(cells=cells.get))
    monkeypatch.setattr(module, "read_history", lambda _: changed)
    source = SimpleNamespace(path="x", protocol=RULES, log=SimpleNamespace(rows=rows))
    found = entries(source, ("", "B"))
    assert [(one.row, one.column, one.text) for one in found] == [
        (3, "grade", "b"), (4, "photo", "b.png"),
    ]  # fmt: skip
    assert [one.row for one in entries(source)] == [3, 4, 2]  # what was never changed comes last
    assert found[0].keys == {
        "blade": "B", "block": "", "cuts": "0", "station_mm": "", "check_no": "",
    }  # fmt: skip


def change(what, before, after, table="log"):
    return Change(what, table, 2, before, after, "")


HERE = {"blade": "A", "block": "roll 1", "cuts": "10", "station_mm": "20"}


@pytest.mark.parametrize(
    ("what", "before", "after", "said"),
    [
        ("append", None, {**HERE, "edge_width_um": "7.1"},
         "K7, roll 1, 10 cuts, station 20 mm: saved edge width 7.1 µm"),
        ("correct", {**HERE, "edge_width_um": "71"}, {**HERE, "edge_width_um": "7.1"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected edge width 71 → 7.1 µm"),
        ("undo", {**HERE, "edge_width_um": "7.1"}, None,
         "K7, roll 1, 10 cuts, station 20 mm: undone edge width 7.1 µm removed"),
        ("correct", {**HERE, "note": "x"}, {**HERE, "note": "x", "exclude": "slip"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected exclude slip"),
        (IN_THE_FILE, {**HERE, "cuts": "52"}, {**HERE, "cuts": "25"},
         "K7, roll 1, 25 cuts, station 20 mm: changed in the file: cuts 52 → 25"),
        ("correct", {**HERE, "edge_width_um": "9.6 microns"}, {**HERE, "edge_width_um": "9.6"},
         "K7, roll 1, 10 cuts, station 20 mm: corrected edge width 9.6 microns → 9.6 µm"),
        (IN_THE_FILE, {"blade": "B"}, {"blade": "B", "grade": "shaves"},
         "B: changed in the file: sharpness grade shaves"),
        ("append", None, {"blade": "A", "kind": "billet", "order": "2", "chops": "12"},
         "K7, billet 2: saved chops 12"),
        ("fill", {"blade": "A"}, {"blade": "A", "kind": "shave", "result": "pass"},
         "K7, shave: fill result pass"),
    ],
)  # fmt: skip
def test_a_change_is_told_with_its_place_and_what_became_of_it(what, before, after, said):
    table = "chops" if "kind" in (after or {}) else "log"
    assert change_words(change(what, before, after, table), NAMES, RULES) == said


@pytest.mark.parametrize(
    ("due", "block", "filename", "name"),
    [
        ({"station_mm": 20.0}, "", "DSC1.PNG", "K7_0010_020.png"),
        ({"station_mm": None}, "roll 1", "DSC1", "K7_roll1_0010.jpg"),
        ({"station_mm": 5.0, "name": "w30_um"}, "", "a.b.tif", "K7_0010_005_lamps.tif"),
    ],
)
def test_a_photograph_is_named_by_what_it_shows(tmp_path, due, block, filename, name):
    action = SimpleNamespace(name="K7", block=block, stage=10)
    due = SimpleNamespace(**{"name": "edge_width_um", **due})
    assert save_new_photo(tmp_path, action, due, b"one", filename) == name
    assert save_new_photo(tmp_path, action, due, b"one", filename) == name
    stem, _, ending = name.rpartition(".")
    assert save_new_photo(tmp_path, action, due, b"two", filename) == f"{stem}_2.{ending}"
    assert save_new_photo(tmp_path, action, due, b"three", filename) == f"{stem}_3.{ending}"
