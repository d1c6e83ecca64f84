"""Of very many studies a page looks at few before it goes out, and at all of them after."""

from pathlib import Path

import pytest

from edgetest.app.latest_changes import LATEST, MANY, LatestChanges

FOLDERS = [Path(f"study_{number:04d}") for number in range(MANY + 1)]


class Disk:
    """Times of change that a test sets, and which folders were looked at."""

    def __init__(self):
        self.times = {folder: number for number, folder in enumerate(FOLDERS)}
        self.looked, self.waiting = [], []

    def look(self, folder):
        self.looked.append(folder)
        return self.times[folder]

    def later(self, seconds, what):
        assert seconds > 0
        self.waiting.append(what)

    def looks(self):
        taken, self.looked = self.looked, []
        return set(taken)


@pytest.fixture
def disk():
    return Disk()


@pytest.fixture
def changes(disk):
    found = LatestChanges(disk.look, disk.later)
    assert found.of(FOLDERS) == disk.times
    assert disk.looks() == set(FOLDERS)
    assert not disk.waiting  # all were seen a moment ago
    return found


def test_few_are_looked_at_every_time(disk):
    few = FOLDERS[:MANY]
    changes = LatestChanges(disk.look, disk.later)
    for _ in range(2):
        assert changes.of(few) == {folder: disk.times[folder] for folder in few}
        assert disk.looks() == set(few)
    assert not disk.waiting


def test_of_many_only_the_latest_are_looked_at(disk, changes):
    disk.times[FOLDERS[-3]] = 9999
    assert changes.of(FOLDERS) == disk.times
    assert disk.looks() == set(FOLDERS[-LATEST:])


def test_an_older_one_counts_after_the_page_has_gone_out(disk, changes):
    disk.times[FOLDERS[0]] = 9999
    assert changes.of(FOLDERS)[FOLDERS[0]] == 0
    (again,) = disk.waiting
    again()
    assert changes.of(FOLDERS)[FOLDERS[0]] == 9999


def test_windows_wait_for_one_look(disk, changes):
    for _ in range(3):
        changes.of(FOLDERS)
    assert len(disk.waiting) == 1
    disk.waiting.pop()()
    changes.of(FOLDERS)
    assert len(disk.waiting) == 1


def test_one_that_is_new_is_looked_at_at_once(disk, changes):
    new = Path("study_new")
    disk.times[new] = 5000
    assert changes.of([*FOLDERS, new])[new] == 5000
    assert new in disk.looks()


def test_one_that_a_window_works_on_is_looked_at_every_time(disk, changes):
    changes.watch(FOLDERS[0])
    disk.times[FOLDERS[0]] = 9999
    assert changes.of(FOLDERS)[FOLDERS[0]] == 9999
    assert disk.looks() == {FOLDERS[0], *FOLDERS[-LATEST:]}


def test_a_look_that_cannot_begin_is_tried_again(disk):
    tried = []

    def none_left(seconds, what):
        tried.append(seconds)
        raise RuntimeError("can't start new thread")

    changes = LatestChanges(disk.look, none_left)
    for _ in range(3):  # the first looks at all
        assert changes.of(FOLDERS) == disk.times
    assert len(tried) == 2
