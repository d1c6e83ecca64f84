"""How long does a workspace of very many studies take to list, to search, and to add one to?

    python -m tests.benchmarks.many_studies [COUNT]

Invented studies of two heat treatments, most without a cut yet. Times are of one process without
a browser: the list as a program that starts has it, again, after one study was added; what
changed since the shop book read them; a search by words.
"""

import os
import sys
import tempfile
import time
from pathlib import Path

from edgetest.store import study_list
from edgetest.store.shop_index import changed_studies, facts_found, indexed_studies
from edgetest.store.study_list import list_studies

STUDY = """title = "Temper test {number:05d}"
protocol = "sisal_rope"
maker = "{maker}"
date = "20{year:02d}-0{month}-1{day}"

[[heat_treatments]]
id = "low"
steps = [{{kind = "temper", temperature_c = {low}, time_min = 60}}]

[[heat_treatments]]
id = "high"
steps = [{{kind = "temper", temperature_c = {high}, time_min = 60}}]

[[blades]]
id = "L1"
kind = "{kind}"
steel = "{steel}"
heat_treatment = "low"

[[blades]]
id = "H1"
kind = "{kind}"
steel = "{steel}"
heat_treatment = "high"
"""


def make(root, number):
    """One study's folder."""
    folder = root / f"study_{number:05d}"
    folder.mkdir(parents=True)
    words = {
        "number": number, "maker": f"smith {number % 7}", "year": 10 + number % 16,
        "month": 1 + number % 9, "day": number % 10, "low": 180 + 10 * (number % 5),
        "high": 240 + 10 * (number % 6), "kind": ("hatchet", "billhook", "knife")[number % 3],
        "steel": ("plough disc", "harrow tine", "leaf spring")[number % 3],
    }  # fmt: skip
    (folder / "study.toml").write_text(STUDY.format(**words), encoding="utf-8")
    (folder / "log.csv").write_text("blade,cuts,edge_width_um\n", encoding="utf-8")
    return folder


def plainly(folder):
    """What the shop book would read of a study without a cut, by its words alone."""
    text = (folder / "study.toml").read_text(encoding="utf-8")
    words = " ".join(text.replace('"', " ").split())
    return {"name": folder.name, "title": folder.name, "date": "2020-01-01", "maker": "a smith",
            "protocol": "sisal_rope", "fault": "", "words": words}  # fmt: skip


def timed(what, call, *arguments):
    """Print how long a call takes, the shortest of three."""
    took = []
    for _ in range(3):
        begun = time.perf_counter()
        call(*arguments)
        took.append(time.perf_counter() - begun)
    print(f"| {what} | {min(took):.3f} | {max(took):.3f} |")


def main():
    """Make the studies and print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as folder:
        os.environ["EDGETEST_CACHE"] = f"{folder}/cache"
        root = Path(folder) / "shop"
        for number in range(count):
            make(root, number)
        print(f"| {count} studies | shortest, s | longest, s |\n| --- | --- | --- |")

        def started():
            study_list._read.clear()
            list_studies(root)

        begun = time.perf_counter()
        started()
        print(f"| list, never seen before | {time.perf_counter() - begun:.3f} | – |")
        timed("list, at a program's start", started)
        timed("list, again", list_studies, root)
        make(root, count)
        begun = time.perf_counter()
        list_studies(root)
        print(f"| list, one study added | {time.perf_counter() - begun:.3f} | – |")
        indexed_studies(root, plainly)
        timed("what changed since the shop book read them", changed_studies, root)
        make(root, count + 1)
        begun = time.perf_counter()
        indexed_studies(root, plainly)
        print(f"| the book's index, one study added | {time.perf_counter() - begun:.3f} | – |")
        for words in ("plough", "hatchet 2017-", "smith 3", "nothing has this"):
            timed(f"search: {words}", facts_found, root, words.split())


if __name__ == "__main__":
    main()
