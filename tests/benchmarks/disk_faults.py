"""What is left of a study where the disk fails, or the program dies, at any one of its steps?

    python -m tests.benchmarks.disk_faults [--actions WORD ...] [--ways WAY ...]

Every action that writes (`disk_actions`) is done once while its steps on the disk are counted:
each file opened for writing, each sync, rename, removal, folder made and change of rights. Then
it is done again for every step and every way in which that step can go wrong:

    error  the step fails once (EIO)
    full   the file gets seven bytes more, then the disk takes nothing any more
    torn   the file gets seven bytes more, then the program dies
    dead   the program dies before the step

After each: every file is whole, old or new; nothing that was told as done is lost; the study
opens without a fault; the action can be done again; and what the user met was one line.
"""

import argparse
import io
import json
import shutil
import sys
import tempfile
import time
import tomllib
import zipfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from edgetest.errors import UnusableInput
from edgetest.store.files import disk_fault
from edgetest.study.overview import overview
from edgetest.study.photos.measured_table import read_rows
from edgetest.study.sources import open_source
from tests.benchmarks import photo_fuzz
from tests.benchmarks.faulty_disk import Died, Disk

WAYS = ("error", "full", "torn", "dead")
SECOND_S = 1.05
SKIPPED = (".lock", ".tmp")


@dataclass(frozen=True)
class Action:
    """Something that a user does: what must be there before, and the call that does it.

    `again`: whether doing it again leaves what doing it once leaves (else it goes one further).
    """

    name: str
    prepare: object
    act: object
    again: bool = True


def outcome_of(action, root, disk):
    """How an action ended: "done", "told", "died", or the fault of the program."""
    try:
        with disk:
            action.act(root)
    except Died:
        return "died"
    except UnusableInput:
        return "told"
    except OSError as fault:
        told = disk_fault(fault)
        return "told" if told else f"no file named: {photo_fuzz.place_of(fault)}"
    except Exception as fault:
        return photo_fuzz.place_of(fault)
    return "died" if disk.gone else "done"


def bytes_of(root):
    """Every file that stands for something, by its path."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and not path.name.endswith(SKIPPED)
    }


def is_whole(name, data):
    """Whether a file of its kind is whole by itself."""
    kind = Path(name).suffix.lower()
    try:
        if kind == ".toml":
            tomllib.loads(data.decode())
        elif kind == ".json":
            json.loads(data)
        elif kind in (".png", ".jpg", ".jpeg"):
            Image.open(io.BytesIO(data)).load()
        elif kind in (".zip", ".xlsx"):
            return zipfile.ZipFile(io.BytesIO(data)).testzip() is None
        elif kind == ".pdf":
            return data.startswith(b"%PDF") and data.rstrip().endswith(b"%%EOF")
        elif kind in (".svg", ".html"):
            return data.rstrip().endswith(f"</{kind[1:]}>".encode())
        elif kind in (".jsonl", ".csv"):
            return kind == ".jsonl" or data.endswith(b"\n")  # a torn line of entries is skipped
    except Exception:
        return False
    return True


@dataclass(frozen=True)
class Reference:
    """An action done without a fault: files before and after, and those alike at every doing."""

    master: Path
    before: dict
    after: dict
    alike: frozenset
    steps: list
    faults: int


def reference(action, place):
    """Do an action twice without a fault."""
    master = place / "master"
    master.mkdir()
    action.prepare(master)
    done = []
    for number in "ab":
        if done:
            time.sleep(SECOND_S)  # what holds the second in which it was made is not alike
        root = place / number
        shutil.copytree(master, root)
        disk = Disk(root)
        outcome = outcome_of(action, root, disk)
        if outcome != "done":
            raise AssertionError(f"without a fault: {outcome}")
        done.append(bytes_of(root))
    alike = {
        name
        for name in done[0]
        if done[1].get(name) == done[0][name] and not name.endswith(".jsonl")
    }
    return Reference(
        master, bytes_of(master), done[0], frozenset(alike), disk.steps, faults_of(place / "b")
    )


def faults_of(root):
    """How many faults the studies of a folder have; raises where one cannot be opened."""
    found = 0
    for toml in sorted(root.glob("*/study.toml")):
        if not toml.parent.name.startswith("."):
            found += len(overview(open_source(toml.parent)).faults)
    return found


def wrong_after(action, ref, root, outcome):
    """What is not as it must be after a fault; none is well."""
    now = bytes_of(root)
    if outcome not in ("done", "told", "died"):
        yield outcome
    kept = set(now.values())
    for name, data in ref.before.items():
        if name not in now and name in ref.after and data not in kept:
            yield f"{name} is gone"
    for name, data in now.items():
        old, new = ref.before.get(name), ref.after.get(name)
        if name.endswith("measured.csv"):
            continue
        if data in (old, new):
            continue
        if name.endswith(".jsonl"):
            yield from _lines_lost(ref, now, name)
        elif name in ref.alike or not is_whole(name, data):
            yield f"{name} is neither old nor new"
    if outcome == "done":
        yield from (f"{name} is not there, and it was told as done" for name in ref.alike
                    if now.get(name) != ref.after[name] and "known_" not in name)  # fmt: skip
    yield from _wrong_in_use(action, ref, root)


def _lines_lost(ref, now, name):
    """Lines of a history that are gone; sealing takes some away, after the study's own file."""
    old, new = (set(files.get(name, b"").splitlines()) for files in (ref.before, ref.after))
    lost = old - set(now[name].splitlines())
    if lost & new:
        yield f"{name} lost a line"
    study = f"{name.rpartition('/')[0]}/study.toml"
    if lost and now.get(study) == ref.before.get(study):
        yield f"{name} lost a line that the study is not done with"


def _wrong_in_use(action, ref, root):
    """What is wrong where the studies are opened, and the action is done again."""
    try:
        for toml in root.glob("*/study.toml"):
            before = read_rows(ref.master / toml.parent.name)
            if set(before) - set(read_rows(toml.parent)):
                yield "a measured photograph is lost"
        faults_of(root)
    except Exception as fault:
        yield f"does not open: {photo_fuzz.place_of(fault)}: {fault}"
        return
    outcome = outcome_of(action, root, Disk(root))
    if outcome not in ("done", "told"):
        yield f"again: {outcome}"
    now = bytes_of(root)
    if action.again:
        yield from (f"{name} is not as after one doing, done again" for name in sorted(ref.alike)
                    if now.get(name) != ref.after[name] and "known_" not in name)  # fmt: skip
    if (faults := faults_of(root)) != ref.faults and action.again:
        yield f"{faults} faults in the study, done again"


def tried(action, ref, place, way, at):
    """One fault: what was wrong after it."""
    root = place / "tried"
    shutil.copytree(ref.master, root)
    try:
        disk = Disk(root, way, at)
        outcome = outcome_of(action, root, disk)
        return outcome, list(wrong_after(action, ref, root, outcome))
    finally:
        shutil.rmtree(root, ignore_errors=True)


def cases_of(ref, ways=WAYS):
    """Every step of an action with every way in which it can go wrong."""
    for at, (what, _) in enumerate(ref.steps):
        for way in ways:
            if way in ("error", "dead") or what == "write" or (way, what) == ("full", "make"):
                yield way, at


def all_faults(action, ways=WAYS):
    """Every fault of an action: (way, step, outcome, what was wrong)."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder).resolve()
        ref = reference(action, place)
        for way, at in cases_of(ref, ways):
            yield way, ref.steps[at], *tried(action, ref, place, way, at)


def main():
    from tests.benchmarks.disk_actions import ACTIONS

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--actions", nargs="*", default=[], help="words of their names")
    parser.add_argument("--ways", nargs="*", default=WAYS, choices=WAYS)
    words = parser.parse_args()
    sums, told = Counter(), Counter()
    print("| action | faults | done | told | died | wrong |")
    print("|---|---:|---:|---:|---:|---:|")
    for action in ACTIONS:
        if words.actions and not any(word in action.name for word in words.actions):
            continue
        met, start = Counter(), time.perf_counter()
        try:
            found = list(all_faults(action, words.ways))
        except (AssertionError, UnusableInput) as fault:
            print(f"{action.name}: not to be done at all: {fault}", flush=True)
            continue
        for way, step, outcome, wrong in found:
            met["faults"] += 1
            met[outcome] += 1
            met["wrong"] += bool(wrong)
            for what in wrong:
                line = f"{action.name}: {way} at {step[0]} {step[1]}: {outcome}: {what}"
                told[line] += 1
        sums += met
        keys = ("faults", "done", "told", "died", "wrong")
        print(f"| {action.name} |", " | ".join(str(met[key]) for key in keys), "|", flush=True)
        print(f"{action.name}: {time.perf_counter() - start:.0f} s", file=sys.stderr, flush=True)
        for line in list(told)[-met["wrong"] :] if met["wrong"] else []:
            print("   ", line, file=sys.stderr, flush=True)
    print("| all |", " | ".join(str(sums[key]) for key in keys), "|")
    for line in told:
        print(line)


if __name__ == "__main__":
    main()
