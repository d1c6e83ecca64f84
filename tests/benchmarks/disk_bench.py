"""What stands at the bench and in its tray before an action, and what is done there."""

import shutil

from edgetest.errors import UnusableInput
from edgetest.study.bench.bench_entry import (
    correct_entry,
    entries,
    leave_entry_out,
    measure_one,
    record,
    save_station_photo,
)
from edgetest.study.bench.bench_undo import last_done, take_back
from edgetest.study.bench.chop_actions import next_chop
from edgetest.study.bench.chop_entries import add_piece, write_cell
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import (
    count_taps,
)
from edgetest.study.photos.sort_tray import note_put, read_tray, take_in
from edgetest.study.sources import open_source
from tests.benchmarks.disk_studies import RUN, shot
from tests.browser.studies import FORCE, STATION, bench_study


def at_bench(root):
    """A study at the bench, by force; its first reading is due."""
    made = bench_study(root, readings=(FORCE | {"repeats": 1},), stages=(0, 10))
    if made != root / "s":
        shutil.move(made, root / "s")


def at_lens(root):
    """A study at the bench, by photograph."""
    made = bench_study(root, blades=("K1",), stations=(10.0,), readings=(STATION,), stages=(0, 10))
    if made != root / "s":
        shutil.move(made, root / "s")


def tapped(root):
    """The same, one reading entered and some cuts counted."""
    at_bench(root)
    source = open_source(root / "s")
    action = next_action(source)
    record(root / "s", action, action.due[0], "150")
    count_taps(root / "s", RUN, [("a", 5)], stage=10)


def due(root):
    """Source, action and first reading due."""
    source = open_source(root / "s")
    action = next_action(source)
    if not action.due:
        raise UnusableInput("nothing is due", "bench", "it is done already")
    return source, action, action.due[0]


def in_tray(root):
    at_lens(root)
    take_in(open_source(root / "s"), [("a.png", shot())])


def recorded(root):
    _, action, first = due(root)
    record(root / "s", action, first, "150")


def station(root):
    source, action, first = due(root)
    save_station_photo(source, action, first, shot(), "a.png")


def measured_station(root):
    source, action, first = due(root)
    name = save_station_photo(source, action, first, shot(), "a.png")
    measure_one(open_source(root / "s"), name)


def corrected(root):
    entry = entries(open_source(root / "s"))[0]
    correct_entry(root / "s", entry, "175")


def left_out(root):
    entry = entries(open_source(root / "s"))[0]
    leave_entry_out(root / "s", entry, "the blade slipped")


def taken_back(root):
    source = open_source(root / "s")
    done = last_done(source, next_action(source))
    if done is None:
        raise UnusableInput("nothing", "bench", "none")
    take_back(root / "s", done)


def back_from_log(root):
    source = open_source(root / "s")
    picture = read_tray(source).pictures[0]
    source, action, first = due(root)
    name = save_station_photo(source, action, first, picture.path.read_bytes(), picture.name)
    note_put(root / "s", picture, name, act="1")


def chop_noted(root):
    """The first row of a chop test, one cell of it."""
    source = open_source(root / "s")
    write_cell(source, next_chop(source), "note", "bark left on")


def piece_added(root):
    add_piece(open_source(root / "s"), "H1", "billet")
