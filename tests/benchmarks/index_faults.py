"""What does the shop book say where the disk fails under its index at any one step?

    python -m tests.benchmarks.index_faults

SQLite writes the index below Python, so the steps are counted and made to fail by the system's own
tracer, `strace` (a Debian package): every opening, reading, writing, sync and removal of the index
and of its journal. The command is run once for every step and every way in which it can fail (an
error, a full disk from there on, the program killed there), where the index is new, and where one
study has changed since. Wrong is an answer that differs from that of a sound disk, an end that is
not one line, or another answer when the command is run again.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped
from edgetest.store.shop_index import index_file
from tests.benchmarks.disk_studies import filled

STEPS = ("openat", "pread64", "pwrite64", "fdatasync", "fsync", "ftruncate", "unlink")
FULL = ("openat", "pwrite64")  # a full disk says so here
COMMAND = ("-m", "edgetest", "shop-book", "--invented", "--json")


def run(root, cache, fault=None, log=os.devnull):
    """The command below the tracer: its exit code, what it printed, and what it said."""
    os.environ[FOLDER_VARIABLE] = str(cache)
    file = index_file(root)
    traced = ["strace", "-f", "-qq", "-o", str(log), "-e", f"trace={','.join(STEPS)}"]
    traced += ["-P", str(file), "-P", f"{file}-journal"]
    traced += ["-e", f"inject={fault}"] if fault else []
    ended = subprocess.run(
        [*traced, sys.executable, *COMMAND, str(root)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    return ended.returncode, ended.stdout, ended.stderr


def counted(log):
    """How often each step was done."""
    words = (line.split(None, 1)[1] for line in Path(log).read_text().splitlines())
    return Counter(word.partition("(")[0] for word in words)


def faults(steps):
    """Every way in which every step can fail, as the tracer wants it said."""
    for step, count in sorted(steps.items()):
        for at in range(1, count + 1):
            yield step, "error", f"{step}:error=EIO:when={at}"
            yield step, "killed", f"{step}:signal=KILL:when={at}"
            if step in FULL:
                yield step, "full", f"{step}:error=ENOSPC:when={at}+"


def wrong(due, ended, again):
    """What is not as it must be."""
    code, out, said = ended
    if code == 0 and json.loads(out) != due:
        yield "another answer"
    if code not in (0, -9, 137) or "Traceback" in said or "fault of the program" in said:
        yield f"ended with {code}: {said[:200]}"
    if again[0] != 0 or json.loads(again[1]) != due:
        yield f"run again: {again[0]}, {again[2][:200]}"


def main():
    """Print a row for each place and step."""
    if shutil.which("strace") is None:
        sys.exit("strace is not there: install the Debian package strace")
    with tempfile.TemporaryDirectory() as place:
        root, before, cache = (Path(place) / name for name in ("shop", "before", "cache"))
        root.mkdir()
        filled(root)
        shutil.copytree(shipped("sample_runs") / "harrow_tine_study", root / "tines")
        total = Counter()
        for situation in ("new", "one study changed"):
            if situation != "new":
                run(root, before)
                log = root / "s" / "log.csv"
                log.write_text(log.read_text().replace("K1,150,", "K1,160,"))
            else:
                before.mkdir()

            def fresh():
                shutil.rmtree(cache, ignore_errors=True)
                shutil.copytree(before, cache)

            fresh()
            code, out, said = run(root, cache, log=Path(place) / "steps")
            assert code == 0, said
            due, found = json.loads(out), Counter()
            for step, way, fault in faults(counted(Path(place) / "steps")):
                fresh()
                ended = run(root, cache, fault)
                bad = list(wrong(due, ended, run(root, cache)))
                for each in bad:
                    print(f"{situation}, {fault}: {each}", file=sys.stderr, flush=True)
                found[step, "faults"] += 1
                found[step, "answered" if ended[0] == 0 else "killed"] += 1
                found[step, "wrong"] += bool(bad)
                total[way] += 1
            for step in sorted({step for step, _ in found}):
                row = (found[step, what] for what in ("faults", "answered", "killed", "wrong"))
                print(f"| {situation} | {step} | {' | '.join(map(str, row))} |", flush=True)
        print(dict(total), file=sys.stderr)


if __name__ == "__main__":
    main()
