"""Does a test die of a mutant?

The mutant stands in a copy of the repository, never in the working tree. A fork of a process that
holds the libraries imports the copy afresh and runs the tests that execute the changed line, the
nearest file first, the quickest first, up to the first that fails.
"""

import difflib
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.mutants.forks import PYTEST, forked, within
from tests.mutants.places import ROOT, Mutant

LEFT_BEHIND = (".git", ".venv", ".mypy_cache", ".ruff_cache", ".pytest_cache", "artefacts")
# A test that loops for ever is stopped after so many times its own time, and a few seconds more
# for what the first test imports.
TIMES = 10.0
FEW_S = 10.0
MOST_S = 25.0  # a mutant that outlives so many seconds of tests has survived
# How pytest ends, or the fork: 1 is a test that failed, 2 a module that cannot be imported.
ENDS = {0: "survived", 1: "killed", 2: "killed", "too long": "timed out", "crashed": "killed"}
NEAREST = 40  # so many tests are looked at before the files of all others are imported


@dataclass(frozen=True)
class Trial:
    """What became of a mutant: killed, survived, timed out or not covered."""

    mutant: Mutant
    outcome: str
    tests: int
    of: int
    diff: str


class Chosen:
    """A pytest plugin: these tests alone, in this order, each within its time."""

    def __init__(self, seconds):
        self.seconds = seconds

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items):
        place = {name: at for at, name in enumerate(self.seconds)}
        items[:] = sorted(
            (item for item in items if item.nodeid in place), key=lambda item: place[item.nodeid]
        )

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_protocol(self, item):
        within(FEW_S + TIMES * self.seconds[item.nodeid])


def run_tests(batches):
    """In a fork: 0 when every test passes."""
    for batch in batches:
        within(FEW_S + 60.0)  # to collect them
        files = list(dict.fromkeys(name.split("::")[0] for name in batch))
        code = pytest.main([*PYTEST, "-x", *files], plugins=[Chosen(batch)])
        if code:
            return code
    return 0


def batches_of(tests, module):
    """The tests in two parts, the nearest and quickest first, within `MOST_S`."""
    nearest = f"tests/{module.removeprefix('edgetest/').removesuffix('.py')}"
    room, _, stem = nearest.rpartition("/")
    mine = f"{room}/test_{stem}"
    ordered = sorted(tests, key=lambda name: (not name.startswith(mine), tests[name]))
    taken, spent = {}, 0.0
    for name in ordered:
        if spent <= MOST_S:
            taken[name] = tests[name]
            spent += tests[name]
    names = list(taken)
    first = sum(name.startswith(mine) for name in names) or NEAREST
    parts = [{name: taken[name] for name in part} for part in (names[:first], names[first:])]
    return [part for part in parts if part]


class Copy:
    """A copy of the repository that mutants may stand in."""

    def __enter__(self):
        self._holder = tempfile.TemporaryDirectory(prefix="mutants_")
        self.root = Path(self._holder.name) / ROOT.name
        shutil.copytree(ROOT, self.root, ignore=shutil.ignore_patterns(*LEFT_BEHIND), symlinks=True)
        return self

    def __exit__(self, *_):
        self._holder.cleanup()

    def trial(self, mutant, tests):
        """Try one mutant on {test: seconds}."""
        original = (ROOT / mutant.module).read_text(encoding="utf-8")
        changed = mutant.text()
        diff = "\n".join(
            line
            for line in difflib.unified_diff(
                original.split("\n"), changed.split("\n"), n=0, lineterm=""
            )
            if not line.startswith(("---", "+++", "@@"))
        )
        if not tests:
            return Trial(mutant, "not covered", 0, 0, diff)
        batches = batches_of(tests, mutant.module)
        total = sum(sum(batch.values()) for batch in batches)
        place = self.root / mutant.module
        for stale in place.parent.glob(f"__pycache__/{place.stem}.*.pyc"):
            stale.unlink()
        place.write_text(changed, encoding="utf-8")
        try:
            code = forked(lambda: run_tests(batches), self.root, 100.0, 200.0 + 20 * total)
        finally:
            place.write_text(original, encoding="utf-8")
        if code not in ENDS:
            raise RuntimeError(f"{mutant}: the tests could not be run (pytest ended with {code})")
        return Trial(mutant, ENDS[code], sum(map(len, batches)), len(tests), diff)
