"""Is a measured photograph on disk before it is told, at any moment, whoever else writes?"""

import csv
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from edgetest.doubts import doubt
from edgetest.study.photos.measure_photos import refused_numbers
from edgetest.study.photos.measured_table import (
    MEASURED_FILE,
    append_measured,
    read_measured,
    read_rows,
    tidy_measured,
)
from edgetest.study.photos.photo_result import PhotoResult

WRITER = """
import sys
from tests.study.photos.test_measured_table import kept
from edgetest.study.photos.measured_table import append_measured, tidy_measured
for i in range(int(sys.argv[3])):
    append_measured(sys.argv[1], [kept(f"{sys.argv[2]}_{i:04}.jpg")])
    print(i, flush=True)
tidy_measured(sys.argv[1])
"""


def kept(name, key="k", corrected=False):
    """A result as it is kept, with quotes and a semicolon in it."""
    numbers = refused_numbers(doubt("no_scale"))
    return PhotoResult(name, Path(name), numbers, "0" * 64, 0.1, None), key, corrected


def test_a_row_cut_short_at_any_byte_spoils_only_itself(tmp_path):
    path = tmp_path / MEASURED_FILE
    append_measured(tmp_path, [kept("a.jpg"), kept("b.jpg")])
    whole = path.read_bytes()
    last = whole.index(b"\nb.jpg") + 1
    for end in range(last, len(whole) - 1, 7):
        path.write_bytes(whole[:end])
        append_measured(tmp_path, [kept("c.jpg")])
        assert set(read_measured(tmp_path)) == {"a.jpg", "c.jpg"}
    tidy_measured(tmp_path)
    with open(path, encoding="utf-8", newline="") as file:
        assert [row["photo"] for row in csv.DictReader(file)] == ["a.jpg", "c.jpg"]


def test_the_last_row_of_a_photograph_holds_and_nothing_before_it_is_written_again(tmp_path):
    path = tmp_path / MEASURED_FILE
    append_measured(tmp_path, [kept("b.jpg"), kept("a.jpg", "old")])
    before, place = path.read_bytes(), path.stat().st_ino
    append_measured(tmp_path, [kept("a.jpg", "new"), kept("b.jpg", "by hand", corrected=True)])
    assert path.read_bytes().startswith(before)
    assert path.stat().st_ino == place
    told = {"a.jpg": "new", "b.jpg": "by hand"}
    assert {name: row["key"] for name, row in read_measured(tmp_path).items()} == told
    tidy_measured(tmp_path)
    assert list(read_rows(tmp_path)) == [("a.jpg", False), ("b.jpg", False), ("b.jpg", True)]
    assert {name: row["key"] for name, row in read_measured(tmp_path).items()} == told
    tidy_measured(tmp_path, withdrawn=["b.jpg"])
    assert read_measured(tmp_path)["b.jpg"]["key"] == "k"


def test_a_table_in_order_is_left_alone_and_one_that_another_program_saved_is_put_in_order(
    tmp_path,
):
    path = tmp_path / MEASURED_FILE
    append_measured(tmp_path, [kept("b.jpg"), kept("a.jpg"), kept("b.jpg", "new")])
    tidy_measured(tmp_path)
    in_order, place = path.read_bytes(), path.stat().st_ino
    assert [line[:5] for line in in_order.split(b"\n")[1:3]] == [b"a.jpg", b"b.jpg"]
    tidy_measured(tmp_path)
    assert path.stat().st_ino == place
    path.write_bytes(b"\xef\xbb\xbf" + in_order.replace(b"\n", b"\r\n"))
    assert {name: row["key"] for name, row in read_measured(tmp_path).items()} == {
        "a.jpg": "k",
        "b.jpg": "new",
    }
    tidy_measured(tmp_path)
    assert path.read_bytes() == in_order


def test_a_file_of_another_version_is_begun_anew(tmp_path):
    (tmp_path / MEASURED_FILE).write_text("photo,width\na.jpg,5\n")
    append_measured(tmp_path, [kept("b.jpg")])
    assert set(read_measured(tmp_path)) == {"b.jpg"}
    with open(tmp_path / MEASURED_FILE, encoding="utf-8", newline="") as file:
        assert [row["photo"] for row in csv.DictReader(file)] == ["b.jpg"]


def test_two_programs_measuring_at_once_lose_nothing(tmp_path):
    words = [sys.executable, "-c", WRITER, str(tmp_path)]
    workers = [
        subprocess.Popen([*words, name, "40"], stdout=subprocess.DEVNULL) for name in ("a", "b")
    ]
    assert [worker.wait() for worker in workers] == [0, 0]
    assert list(read_measured(tmp_path)) == [f"{w}_{i:04}.jpg" for w in "ab" for i in range(40)]


@pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")
def test_a_killed_measuring_loses_no_photograph_that_it_told(tmp_path):
    words = [sys.executable, "-c", WRITER, str(tmp_path), "a", "10000"]
    writer = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    assert writer.stdout.readline() == "0\n"
    time.sleep(0.05)
    writer.send_signal(signal.SIGKILL)
    told = [0, *(int(line) for line in writer.stdout.read().split())]
    writer.stdout.close()
    writer.wait()
    met = list(read_measured(tmp_path))
    assert met == [f"a_{i:04}.jpg" for i in range(len(met))]
    assert len(met) - len(told) in (0, 1)  # the one that was being written may be there, whole
