"""Entries and changes of the bench in words; the names of photographs."""

from types import SimpleNamespace

import pytest

from edgetest.store.history import Change
from edgetest.study.bench import bench_entry as module
from edgetest.study.bench.bench_entry import (
    Entry,
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
