"""Does the work of checking a log grow with its rows alone, and is a log too long named?"""

import os
import sys

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.journal import append_reading
from edgetest.store.logs import read_log
from edgetest.store.table_faults import MOST_ROWS
from edgetest.store.workspace import new_study
from edgetest.study.overview import overview
from edgetest.study.sources import open_source


def study_of(folder, blades, *, noted=5):
    """A study of so many blades, each read at a few stages and places."""
    names = [f"K{i}" for i in range(blades)]
    new_study(folder, "sisal_rope", "Large", blades=names)
    rows = [
        f"{name},{cuts},{place},2.5,roll {k % 7}"
        for k, name in enumerate(names)
        for cuts in range(0, 10 * noted, 10)
        for place in (20, 40)
    ]
    text = "blade,cuts,station_mm,edge_width_um,block\n" + "\n".join(rows) + "\n"
    (folder / "log.csv").write_text(text, encoding="utf-8")
    (folder / ".known_log.csv").write_text(text, encoding="utf-8")
    return folder


def steps_of(work):
    """Lines of Python that some work takes: alike on every machine, whatever its load."""
    steps = 0

    def count(_frame, event, _):
        nonlocal steps
        steps += event == "line"
        return count

    before = sys.gettrace()
    sys.settrace(count)
    try:
        work()
    finally:
        sys.settrace(before)
    return steps


def test_eight_times_the_blades_and_rows_take_eight_times_the_steps(tmp_path):
    small, large = study_of(tmp_path / "a", 12), study_of(tmp_path / "b", 96)
    overview(open_source(small))  # what is imported and kept once
    once, eight = (steps_of(lambda f=f: overview(open_source(f))) for f in (small, large))
    assert eight < 8.5 * once


def test_a_row_takes_few_steps(tmp_path):
    folder = study_of(tmp_path / "a", 24)
    overview(open_source(study_of(tmp_path / "b", 2)))  # what is imported and kept once
    rows = len(open_source(folder).log.rows)
    assert steps_of(lambda: overview(open_source(folder))) < 480 * rows


def test_a_log_with_too_many_rows_is_named_with_what_to_do():
    text = b"blade,cuts,edge_width_um\n" + b"K1,0,1\n" * (MOST_ROWS + 1)
    with pytest.raises(UnusableInput, match="over 200,000 rows; make several studies of it"):
        read_log(text, name="log.csv")


def test_every_row_changed_outside_is_noticed_in_one_write(tmp_path, monkeypatch):
    folder = study_of(tmp_path / "a", 100)
    path = folder / "log.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",2.5,", ",2.6,"), encoding="utf-8")
    syncs = []
    monkeypatch.setattr(os, "fsync", lambda handle, real=os.fsync: (syncs.append(1), real(handle)))
    open_source(folder)
    lines = (folder / "history.jsonl").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 1000
    assert len(syncs) < 6


def test_rows_that_stand_many_times_are_not_held_against_each_other(tmp_path):
    folder = new_study(tmp_path / "s", "sisal_rope", "T", blades=["K1"]).folder
    heading = "blade,cuts,edge_width_um\n"
    (folder / ".known_log.csv").write_text(heading + "K1,0,1\n" * 1_500, encoding="utf-8")
    (folder / "log.csv").write_text(heading + "K1,0,1\n" * 1_499 + "K1,5,2\n", encoding="utf-8")
    assert steps_of(lambda: open_source(folder)) < 300 * 1_500  # else some each with each
    lines = (folder / "history.jsonl").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 1
    append_reading(folder, {"blade": "K1", "cuts": 9, "edge_width_um": 3})
