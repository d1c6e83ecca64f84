"""Which damaged file ends a command with a fault of the program, a hang, or too much memory?

    python -m tests.benchmarks.input_fuzz [--cases 500] [--seed 1] [--kind log] [--first 0]

A small study of which one file was changed (log, workbook, study.toml, protocol or steel tables
of one's own, history, bench, corrections, measured.csv, repeatability) or all of whose files
were, or its zip — bytes, lines, cells, and things that people and programs write by mistake —
goes through the commands that read it. An answer is well, and so is the one error that a user
meets. A traceback, exit 1, a case of over 10 s on the processor and a process of over 1 GiB are
told, each with the seed and case that repeat it: `--seed SEED --first CASE --cases 1`. Pictures
go through `photo_fuzz`, as files.
"""

import argparse
import io
import resource
import tempfile
import time
import tomllib
import zipfile
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout, suppress
from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import openpyxl

from edgetest.cli import main as command
from edgetest.errors import UnusableInput
from edgetest.store.places import shipped
from edgetest.store.study_zip import import_study
from edgetest.study.bench.next_action import next_action
from edgetest.study.photos.sort_tray import read_tray
from edgetest.study.sources import open_source
from tests.benchmarks import photo_fuzz
from tests.benchmarks.input_damage import changed, damaged

LONGEST_S = 10.0
MOST_BYTES = 1 << 30
PACKINGS = (zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA)
TABLE = Path(__file__).parent.parent / "cli" / "mistakes.toml"
HISTORY = (
    '{"what": "enter", "table": "log", "row": 26, "before": null, "after": {"blade": "H1"}, '
    '"when": "2026-05-04T10:00:00+00:00"}\n'
)
CORRECTIONS = (
    '{"photo": "a.jpg", "kind": "region", "before": null, "after": [60, 0, 260, 240], '
    '"who": "maker", "when": "2026-05-04"}\n'
    '{"photo": "a.jpg", "kind": "um_per_px", "before": null, "after": 0.8, "who": "maker", '
    '"when": "2026-05-04"}\n'
)
RUN = '"block": "roll 1", "blade": "H1"'
BENCH = (
    f'{{{RUN}, "what": "cuts", "tap": "a", "cuts": 5, "met": 0, "when": "2026-05-04T10:00:00"}}\n'
    f'{{{RUN}, "what": "undo", "cuts": 5, "met": 0, "when": "2026-05-04T10:00:05"}}\n'
    f'{{{RUN}, "what": "left_out", "stage": 50, "is": true, "when": "2026-05-04T10:00:09"}}\n'
    f'{{{RUN}, "what": "fact", "column": "operator", "says": "A", "when": "2026-05-04T10:01"}}\n'
    f'{{{RUN}, "what": "ended", "is": true, "when": "2026-05-04T10:02:00"}}\n'
)
TRAY = (
    f'{{"what": "in", "sha256": "{"ab" * 32}", "name": "a.jpg", "pixels": "cd34", "taken": "", '
    '"when": "2026-05-04T10:00:00"}\n'
    f'{{"what": "put", "sha256": "{"ab" * 32}", "photo": "b.jpg", "act": "1"}}\n'
)
REPEATS = "[edge_width_um]\nsd_repeat = 0.03\nsd_reproduce = 0.05\nrelative = true\n"
REPEATS += "mean = 5.3\nreadings = 6\npeople = 2\ndf = 4\n"


@cache
def studies():
    """The files of the small studies that the mistakes of makers are made in."""
    return tomllib.loads(TABLE.read_text(encoding="utf-8"))["studies"]


def a_zip(rng, file):
    """A zip to write into, packed in one of the ways that a zip may be."""
    return zipfile.ZipFile(file, "w", rng.choice(PACKINGS))


def repacked(rng, data):
    """A zip with the text of one of its XML files changed, packed anew."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, a_zip(rng, made) as new:
        names = old.namelist()
        chosen = rng.choice([name for name in names if "sheet" in name] + names)
        for name in names:
            text = old.read(name)
            if name == chosen:
                text = changed(rng, text.decode("utf-8")).encode("utf-8", "replace")
            new.writestr(name, text)
    return made.getvalue()


@cache
def workbook():
    """The wear log as a workbook."""
    book = openpyxl.Workbook()
    for line in studies()["wear"]["log.csv"].strip().splitlines():
        book.active.append([float(c) if c[:1].isdigit() else c or None for c in line.split(",")])
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def lay_out(folder, name, **more):
    """Write a study's files, some of them replaced, as bytes."""
    folder.mkdir()
    texts = {file: text.encode("utf-8") for file, text in studies()[name].items()}
    for file, data in (texts | more).items():
        if data is not None:
            (folder / file).write_bytes(data)
    return folder


def of_text(name, file, *commands):
    """A kind of case: one text file of a study changed, then read by one of the commands."""

    def case(rng, folder):
        extra = {
            "history.jsonl": HISTORY * 3,
            "repeatability.toml": REPEATS,
            "corrections.jsonl": CORRECTIONS,
            "bench.jsonl": BENCH,
            "sorting.jsonl": TRAY,
        }
        text = changed(rng, studies()[name].get(file) or extra[file])
        study = lay_out(folder / "s", name, **{file: text.encode("utf-8", "surrogatepass")})
        return run(*rng.choice(commands), str(study))

    return case


def at_bench(rng, folder):
    """What was counted at the bench and what lies in the tray, changed, as the pages read it."""
    file, text = rng.choice((("bench.jsonl", BENCH), ("sorting.jsonl", TRAY)))
    text = changed(rng, text * 2)
    study = lay_out(folder / "s", "wear", **{file: text.encode("utf-8", "surrogatepass")})
    try:
        source = open_source(study)
        next_action(source)
        read_tray(source)
    except UnusableInput:
        return 2, ""
    return 0, ""


def own_protocol(rng, folder):
    """A protocol of one's own, changed, in a study that names it."""
    text = (shipped("protocols") / "sisal_rope.toml").read_text(encoding="utf-8")
    text = changed(rng, text.replace('id = "sisal_rope"', 'id = "own"', 1))
    study = studies()["wear"]["study.toml"].replace('"sisal_rope"', '"own.toml"')
    files = {"own.toml": text.encode("utf-8", "surrogatepass"), "study.toml": study.encode()}
    return run(*rng.choice((("check",), ("compare",))), str(lay_out(folder / "s", "wear", **files)))


def own_tables(rng, folder):
    """The maker's own tables behind a verdict, changed."""
    tables = (shipped("edgetest") / "study" / "steel" / "steel_tables.toml").read_text("utf-8")
    tables += OWN_PIECES
    text = studies()["steel"]["study.toml"]
    at = "[verdict]\n"
    text = text.replace(at, f'{at}tables = "own.toml"\n') if at in text else OWN_VERDICT + text
    files = {"own.toml": changed(rng, tables).encode("utf-8", "surrogatepass")}
    study = lay_out(folder / "s", "steel", **files, **{"study.toml": text.encode()})
    return run("verdict", str(study))


def whole_study(rng, folder):
    """Every file of a study changed, or some of them, read by any command."""
    name = rng.choice(("wear", "chop", "steel"))
    extra = {"history.jsonl": HISTORY, "repeatability.toml": REPEATS, "bench.jsonl": BENCH}
    texts = {**studies()[name], **extra, "corrections.jsonl": CORRECTIONS}
    files = {
        file: (changed(rng, text) if rng.random() < 0.4 else text).encode("utf-8", "surrogatepass")
        for file, text in texts.items()
    }
    study = lay_out(folder / "s", name, **files)
    words = rng.choice(WHOLE[name])
    return run(words[0], str(study), *words[1:])


def study_zip(rng, folder):
    """A study's zip of which some files were changed before it was packed, then checked."""
    made = io.BytesIO()
    name = rng.choice(("wear", "chop", "steel"))
    with a_zip(rng, made) as archive:
        for file, text in studies()[name].items():
            text = changed(rng, text) if rng.random() < 0.5 else text
            archive.writestr(f"s/{file}", text.encode("utf-8", "surrogatepass"))
    try:
        study = import_study(made.getvalue(), folder / "w")
    except UnusableInput:
        return 2, ""
    return run("check", str(study))


def xlsx(rng, folder):
    """A workbook changed in its bytes or in the text of one of its parts."""
    data = damaged(rng, workbook()) if rng.random() < 0.3 else repacked(rng, workbook())
    study = lay_out(folder / "s", "wear", **{"log.csv": None, "log.xlsx": data})
    return run("check", str(study))


def zipped(rng, folder):
    """A study's zip with bytes changed, or with names that are not what they seem."""
    made = io.BytesIO()
    with a_zip(rng, made) as archive:
        for file, text in studies()["wear"].items():
            archive.writestr(f"s/{file}", text)
        for _ in range(rng.choice((0, 1, 2))):
            name = changed(rng, rng.choice(("s/photos/a.jpg", "s/x", "s/photos")))
            with suppress(ValueError, IndexError):  # zipfile writes no such name
                archive.writestr(name.encode("utf-8", "replace").decode(), "x")
    data = made.getvalue() if rng.random() < 0.4 else damaged(rng, made.getvalue())
    try:
        import_study(data, folder / "w")
    except UnusableInput:
        return 2, ""
    return 0, ""


def picture(rng, folder):
    """A damaged photograph, as `photo_fuzz` makes them."""
    with suppress(UnusableInput):
        photo_fuzz.files(np.random.default_rng(rng.randrange(2**32)), folder)
    return 0, ""


WHOLE = {
    "wear": (("check",), ("compare",), ("fit",), ("plan", "--dry-run"), ("history",), ("undo",)),
    "chop": (("check",), ("chop",), ("history",), ("undo",)),
    "steel": (("check",), ("verdict",), ("history",), ("undo",)),
}
OWN_PIECES = """
[[own_pieces]]
origin = "leaf_spring"
turned_out = "fit"
count = 3
"""
OWN_VERDICT = '[verdict]\ntables = "own.toml"\n'
KINDS = {
    "log": of_text("wear", "log.csv", ("check",), ("compare",), ("fit",)),
    "chops": of_text("chop", "chops.csv", ("check",), ("chop",)),
    "study": of_text("wear", "study.toml", ("check",), ("compare",), ("plan", "--dry-run")),
    "steel": of_text("steel", "study.toml", ("check",), ("verdict",)),
    "tool": of_text("chop", "study.toml", ("check",), ("chop",)),
    "history": of_text("wear", "history.jsonl", ("history",), ("undo", "--dry-run")),
    "corrections": of_text("wear", "corrections.jsonl", ("measure",), ("check",)),
    "bench": at_bench,
    "protocol": own_protocol,
    "tables": own_tables,
    "whole": whole_study,
    "study zip": study_zip,
    "repeats": of_text("wear", "repeatability.toml", ("check",), ("fit",)),
    "xlsx": xlsx,
    "zip": zipped,
    "picture": picture,
}


def run(*words):
    """Run a command as a user does: exit code, and what it said where that is 1."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            command(list(words))
        except SystemExit as end:
            code = end.code
    return code, err.getvalue() if code == 1 else ""


def one_case(seed, number, kind=None):
    """Run one case: (kind, code or error, what was said, seconds of the processor)."""
    rng = Random(f"{seed}/{number}")
    drawn = rng.choice(list(KINDS))
    kind = kind or drawn
    start = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        try:
            code, said = KINDS[kind](rng, Path(folder))
        except Exception as fault:
            code, said = photo_fuzz.place_of(fault), ""
    return kind, code, said, time.process_time() - start


def peak_bytes():
    """The most memory that this process has held."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=500, help="how many (default 500)")
    parser.add_argument("--seed", default="1", help="of the cases (default 1)")
    parser.add_argument("--first", type=int, default=0, help="number of the first case")
    parser.add_argument("--kind", choices=KINDS, help="only this kind")
    words = parser.parse_args()
    cases, seed, first, kind = words.cases, words.seed, words.first, words.kind
    most = MOST_BYTES
    met, bad, wrong = Counter(), Counter(), Counter()
    slowest, start = (0.0, ""), time.perf_counter()
    for number in range(first, first + cases):
        what, code, said, seconds = one_case(seed, number, kind)
        ended = code if code in (0, 2) else "raised"
        met[what, ended] += 1
        slowest = max(slowest, (seconds, f"{what} --seed {seed} --first {number}"))
        if peak_bytes() > most:
            code, most = f"{peak_bytes() >> 20} MiB", peak_bytes()
        if code not in (0, 2) or seconds > LONGEST_S:
            told = said.strip()[:300] or f"{code}, {seconds:.1f} s"
            wrong[told] += 1
            bad[what, ended] += 1
            if wrong[told] == 1:
                print(f"{what} --seed {seed} --first {number}: {told}", flush=True)
    print(f"{cases} cases, seed {seed}, {time.perf_counter() - start:.0f} s\n")
    print("| changed | answered | one error told | traceback, exit 1, over 10 s or 1 GiB |")
    print("| --- | ---: | ---: | ---: |")
    for name in KINDS:
        told = sum(count for (what, _), count in met.items() if what == name)
        ends = [met[name, code] - bad[name, code] for code in (0, 2)]
        print(f"| {name} | {ends[0]} | {ends[1]} | {told - sum(ends)} |")
    print()
    print(f"slowest {slowest[0]:.1f} s ({slowest[1]}); most memory {peak_bytes() / 2**20:.0f} MiB")
    print(f"wrong: {sum(wrong.values())} at {len(wrong)} places")


if __name__ == "__main__":
    main()
