"""Rows of looks: which old pictures stand among the new ones, and what is kept of each look."""

import json
from types import SimpleNamespace

import pytest

from edgetest.study.photos.sort_looks import (
    LOOKS_FILE,
    LookRow,
    Shown,
    keep_look,
    note_written,
    open_names,
    read_looks,
    row_of_looks,
    undo_look,
)

NEW = [f"n{k:02d}" for k in range(21)]


def test_one_of_eight_is_an_old_one():
    row = row_of_looks(NEW, ["o1", "o2", "o3", "o4"], seed=1)
    again = [n for n, (_, old) in enumerate(row) if old]
    assert again == [7, 15, 23]
    assert len(row) == 24
    assert {name for name, old in row if not old} == set(NEW)
    assert {row[n][0] for n in again} <= {"o1", "o2", "o3", "o4"}
    assert row == row_of_looks(NEW, ["o4", "o3", "o2", "o1"], seed=1)
    assert row != row_of_looks(NEW, ["o1", "o2", "o3", "o4"], seed=2)


def test_without_old_ones_a_picture_of_this_row_comes_again_five_back_and_once():
    for seed in range(20):
        row = row_of_looks(NEW, [], seed=seed)
        shown = [name for name, _ in row]
        again = [(n, name) for n, (name, old) in enumerate(row) if old]
        assert [n for n, _ in again] == [7, 15, 23]
        assert all(n - shown.index(name) > 5 for n, name in again)
        assert len({name for _, name in again}) == 3


def test_few_new_pictures_are_not_shown_again():
    assert len(row_of_looks(NEW[:6], [], seed=1)) == 6
    assert [old for _, old in row_of_looks(NEW[:7], [], seed=1)] == [False] * 7 + [True]
    assert sum(old for _, old in row_of_looks(NEW[:4], [], seed=1, every=3)) == 0


@pytest.mark.parametrize(("count", "shown"), [(3, 3), (6, 6), (48, 6), (49, 7), (80, 10)])
def test_without_new_ones_an_eighth_of_the_old_are_shown_six_at_the_least(count, shown):
    row = row_of_looks([], [f"o{k}" for k in range(count)], seed=1)
    assert len(row) == shown
    assert all(old for _, old in row)


def begin(folder, name="r", photos=("a", "b", "a"), *, blind=True):
    line = {"what": "row", "row": name, "photos": list(photos), "again": [False, False, True],
            "who": "me", "blind": blind}  # fmt: skip
    with (folder / LOOKS_FILE).open("a", encoding="utf-8") as file:
        file.write(json.dumps(line) + "\n")
    return read_looks(folder).rows[-1]


def now(folder):
    return read_looks(folder).rows[-1]


def test_a_look_is_kept_once_and_taken_back(tmp_path):
    row = begin(tmp_path)
    assert row.due == "a"
    keep_look(tmp_path, row, 8.0)
    keep_look(tmp_path, row, 9.0)  # sent twice
    assert [(look.photo, look.width_um, look.number) for look in now(tmp_path).looks] == [
        ("a", 8.0, 1)
    ]
    keep_look(tmp_path, now(tmp_path), None)
    assert now(tmp_path).due == "a"
    undo_look(tmp_path, now(tmp_path))
    assert now(tmp_path).due == "b"
    keep_look(tmp_path, now(tmp_path), 4.0)
    keep_look(tmp_path, now(tmp_path), 8.2)
    assert now(tmp_path).due is None
    assert read_looks(tmp_path).open_row is None
    assert [look.number for look in read_looks(tmp_path).every] == [1, 3, 4]
    assert {look.who for look in read_looks(tmp_path).every} == {"me"}


def test_the_open_row_is_the_last_that_is_not_done_nor_opened(tmp_path):
    assert read_looks(tmp_path).open_row is None
    first = begin(tmp_path, "one")
    assert read_looks(tmp_path).open_row == first
    begin(tmp_path, "two")
    assert read_looks(tmp_path).open_row.name == "two"
    open_names(tmp_path, read_looks(tmp_path).open_row)
    assert read_looks(tmp_path).open_row is None
    assert now(tmp_path).opened


def test_looks_of_a_row_that_was_never_drawn_and_what_the_log_was_told(tmp_path):
    keep_look(tmp_path, LookRow("gone", ("a",), (False,), "me", True), 8.0)
    note_written(tmp_path, "a", "8.00")
    found = read_looks(tmp_path)
    assert (found.rows, found.every) == ((), ())
    assert found.written == {"a": "8.00"}


def test_a_width_is_the_distance_across_the_enlarged_edge():
    shown = Shown(SimpleNamespace(times=4.0), 0.5)
    assert shown.width_um([(26, 100), (90, 164)]) == 8.0
    assert shown.width_um([(90, 164), (26, 100)]) == 8.0
