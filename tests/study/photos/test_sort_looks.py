"""Rows of looks: random, old ones among the new, each look on disk, once."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.photos.sort_assign import assign_all
from edgetest.study.photos.sort_looks import (
    APART,
    EVERY,
    LOOKS_FILE,
    begin_row,
    keep_look,
    open_names,
    read_looks,
    row_of_looks,
    shown_for_look,
    to_look_at,
    undo_look,
)
from edgetest.study.photos.sort_places import as_planned, places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from tests.browser.studies import STATION, UM_PER_PX, bench_study
from tests.study.photos.row_of_pictures import row

NEW = [f"K{i:02d}.jpg" for i in range(40)]


@pytest.fixture
def folder(tmp_path):
    folder = bench_study(tmp_path, readings=[STATION])
    take_in(open_source(folder), row(4, width_um=8.0))
    source = open_source(folder)
    waiting = read_tray(source).waiting
    assign_all(folder, list(zip(waiting, as_planned(places_of(source), 4), strict=True)))
    return folder


def begun(folder, **more):
    begin_row(open_source(folder), seed=5, **more)
    return read_looks(folder).open_row


def test_every_eighth_is_an_old_one_and_none_comes_twice():
    old = [f"old{i}.jpg" for i in range(10)]
    drawn = row_of_looks(NEW, old, seed=1)
    assert sorted(photo for photo, again in drawn if not again) == NEW
    again = [at for at, (_, seen) in enumerate(drawn) if seen]
    assert again == [EVERY - 1 + EVERY * i for i in range(5)]
    assert len({drawn[at][0] for at in again}) == 5
    assert {drawn[at][0] for at in again} <= set(old)


def test_a_first_row_shows_its_own_again_but_not_soon():
    drawn = row_of_looks(NEW, [], seed=4)
    for at, (photo, again) in enumerate(drawn):
        if again:
            assert at - [name for name, _ in drawn].index(photo) >= APART
    assert sum(again for _, again in drawn) == 5


def test_a_seed_repeats_the_row_and_another_one_does_not():
    assert row_of_looks(NEW, [], seed=4) == row_of_looks(NEW[::-1], [], seed=4)
    assert row_of_looks(NEW, [], seed=4) != row_of_looks(NEW, [], seed=5)
    assert [photo for photo, _ in row_of_looks(NEW, [], seed=4)][:40] != NEW


def test_without_new_ones_six_old_ones_are_shown_again():
    drawn = row_of_looks([], NEW[:20], seed=1)
    assert len(drawn) == 6
    assert all(again for _, again in drawn)


def test_a_look_is_on_disk_and_goes_on_after_a_crash(folder):
    first = begun(folder, who="A")
    keep_look(folder, first, 7.5)
    keep_look(folder, first, 9.9)  # the same tap, sent twice
    with (folder / LOOKS_FILE).open("a") as file:
        file.write('{"what": "look", "row"')
    again = read_looks(folder).open_row
    assert [(look.photo, look.width_um, look.blind) for look in again.looks] == [
        (first.due, 7.5, True)
    ]
    keep_look(folder, again, None)
    undo_look(folder, read_looks(folder).open_row)
    assert read_looks(folder).open_row.due == again.due


def test_opened_names_end_the_row_and_the_next_takes_what_is_left(folder):
    first = begun(folder)
    keep_look(folder, first, 7.5)
    open_names(folder, read_looks(folder).open_row)
    assert read_looks(folder).open_row is None
    new, old = to_look_at(open_source(folder))
    assert (len(new), old) == (3, (first.due,))


def test_the_width_between_two_points_is_that_across_the_edge(folder):
    source = open_source(folder)
    shown = shown_for_look(source, to_look_at(source)[0][0])
    rows = 8.0 / UM_PER_PX * shown.cut.times
    assert shown.width_um([[100.0, 10.0], [100.0 + rows, 400.0]]) == pytest.approx(8.0)
    # The land of 8 µm is as high in the cut.
    profile = shown.cut.grey.mean(axis=1)
    bright = (profile > (profile.min() + profile.max()) / 2).sum()
    assert shown.width_um([[0.0, 0.0], [float(bright), 0.0]]) == pytest.approx(8.0, rel=0.05)


def test_a_study_without_sorted_pictures_says_what_to_do_first(tmp_path):
    empty = bench_study(tmp_path, name="none", readings=[STATION])
    with pytest.raises(UnusableInput, match="sort the pictures first"):
        begin_row(open_source(empty), seed=1)
