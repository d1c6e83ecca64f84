"""Which way of keeping measured photographs costs least, where each is kept before it is told?

    python -m tests.benchmarks.measured_store [photographs]

Rows of one measured photograph under many names, each synced to the disk by itself, then
measured.csv in order. Beside the way in use: a journal of JSON lines and SQLite (write-ahead
log, full sync), both with measured.csv written at the end; and the file written whole every 20
photographs, of which the last twenty-fold step alone is timed and summed up.
"""

import json
import sqlite3
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from edgetest.store.files import append_json_line, csv_text, locked, write_atomic
from edgetest.store.places import shipped
from edgetest.study.photos import measured_table
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.measured_table import append_measured, read_rows, tidy_measured

PHOTO = "S1_roll1_300_020.jpg"
EVERY = 20


def results_of(count):
    """So many results, with names as they are met."""
    path = shipped("sample_runs") / "billhook_temper_study" / "photos" / PHOTO
    one = replace(measure_photo(Task(path, 0.4)), measurement=None)
    return [(replace(one, photo=f"{i:06}.jpg"), f"{i:016x}", False) for i in range(count)]


def cells_of(each):
    """The cells of a row, as the way in use makes them."""
    return measured_table._cells(*each)


def appended(folder, results):
    for each in results:
        append_measured(folder, [each])
    tidy_measured(folder)


def journalled(folder, results):
    rows = []
    for each in results:
        with locked(folder):
            rows.append(cells_of(each))
            append_json_line(folder / "measured.jsonl", rows[-1])
    written_whole(folder, rows)


def in_sqlite(folder, results):
    base = sqlite3.connect(folder / "measured.sqlite")
    base.execute("pragma journal_mode = wal")
    base.execute("pragma synchronous = full")
    base.execute("create table measured (photo, corrected, cells, primary key (photo, corrected))")
    for each in results:
        cells = cells_of(each)
        row = (cells["photo"], cells["corrected"], json.dumps(cells))
        base.execute("insert or replace into measured values (?, ?, ?)", row)
        base.commit()
    found = base.execute("select cells from measured order by photo, corrected")
    written_whole(folder, [json.loads(cells) for (cells,) in found])
    base.close()


def written_whole(folder, rows):
    write_atomic(
        folder / "measured.csv",
        csv_text([measured_table.COLUMNS, *(list(row.values()) for row in rows)]),
    )


def every_twentieth(folder, results):
    """Seconds of all rewrites together, from one rewrite of the whole."""
    appended(folder, results)
    start = time.perf_counter()
    rows = [cells_of(results[0]) for _ in read_rows(folder)]
    written_whole(folder, rows)
    return (time.perf_counter() - start) * len(results) / EVERY / 2


def timed(work, *words):
    """Seconds by the clock, and of the processor."""
    start, busy = time.perf_counter(), time.process_time()
    work(*words)
    return time.perf_counter() - start, time.process_time() - busy


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    results = results_of(count)
    with tempfile.TemporaryDirectory() as root:
        for name, way in (
            ("a row at the end of measured.csv", appended),
            ("a journal of JSON lines", journalled),
            ("SQLite", in_sqlite),
        ):
            folder = Path(root) / way.__name__
            folder.mkdir()
            seconds, busy = timed(way, folder, results)
            size = sum(file.stat().st_size for file in folder.iterdir()) / 1e6
            print(f"{name:36s}{seconds:8.1f} s ({busy:.1f} s busy), {size:.0f} MB", flush=True)
        folder = Path(root) / "appended"
        print(f"{'the file whole every 20':36s}{every_twentieth(folder, results):8.1f} s")
        print(f"{'reading all back':36s}{timed(read_rows, folder)[1]:8.1f} s")
        print(f"{'one more, and in order':36s}{timed(appended, folder, results[:1])[1]:8.1f} s")


if __name__ == "__main__":
    main()
