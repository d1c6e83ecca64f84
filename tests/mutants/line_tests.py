"""Which tests execute a line, and how long does each take?

Made once for each file of tests with `coverage`, kept in the user's cache, made again when that
file changes; where a module was changed since, its unchanged lines are found again by their text.
"""

import ast
import gc
import hashlib
import json
import os
import sys
from collections import defaultdict
from functools import _lru_cache_wrapper, cache
from pathlib import Path

import pytest

from tests.mutants.forks import PYTEST, forked
from tests.mutants.places import ROOT, moved_line, statement_of

# Beside tests/<room>, folders whose tests ask this room for numbers.
ALSO = {
    "stats": ("wear", "chop", "reference"),
    "wear": ("study/wear", "reference"),
    "photo": ("study/photos", "reference"),
    "chop": ("study/chop", "reference"),
    "steel": ("study/steel", "reference"),
    "study": ("reference", "cli", "verbs"),
}
# A file of tests that takes more of the processor's time under coverage is left out, and told.
LONGEST_FILE_S = 600.0
BUSY_TIMES = 8.0  # so many times longer by the clock, on a machine that others use too


def folder():
    """Where the map of this checkout is kept."""
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    place = hashlib.sha256(str(ROOT).encode()).hexdigest()[:12]
    kept = Path(base) / "edgetest_mutants" / place
    kept.mkdir(parents=True, exist_ok=True)
    return kept


class Watch:
    """A pytest plugin: each test its own context of coverage, from memory that is empty."""

    def __init__(self, coverage):
        self.coverage = coverage
        self.seconds = {}
        self.failed = set()

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item):
        # What was kept from an earlier test would hide that this one asks for it too.
        for kept in gc.get_objects():
            if isinstance(kept, _lru_cache_wrapper) and kept.__module__.startswith(
                ("edgetest", "tests")
            ):
                kept.cache_clear()
        self.coverage.switch_context("for all tests of the file")

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_call(self, item):
        self.coverage.switch_context(item.nodeid)

    def pytest_runtest_logreport(self, report):
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0.0) + report.duration
        if report.outcome != "passed":
            self.failed.add(report.nodeid)


def watch_file(test_file, kept):
    """In a fork: run one file of tests, write which lines each test executes."""
    from coverage import Coverage

    coverage = Coverage(
        data_file=None, source=[str(ROOT / "edgetest")], config_file=False, messages=False
    )
    watch = Watch(coverage)
    coverage.start()
    pytest.main([*PYTEST, str(ROOT / test_file)], plugins=[watch])
    coverage.stop()
    data = coverage.get_data()
    covers = {}
    for path in data.measured_files():
        by_line = data.contexts_by_lineno(path)
        module = Path(path).relative_to(ROOT).as_posix()
        covers[module] = {
            line: [name for name in names if name] for line, names in by_line.items() if any(names)
        }
    tests = {name: t for name, t in watch.seconds.items() if name not in watch.failed}
    text = json.dumps({"tests": tests, "covers": covers})
    kept.write_text(text, encoding="utf-8")


def files_of_tests(place):
    """Files of tests in a folder, or the one that is named."""
    return [place] if place.suffix == ".py" else sorted(place.rglob("test_*.py"))


def digest(text):
    return hashlib.sha256(text.encode()).hexdigest()[:16]


class LineTests:
    """The map of the tests of a room."""

    def __init__(self, room, folders=None, fresh=False):
        self.files = {}
        self.room = room.split("/")[1] if room.endswith(".py") else room
        names = folders or (self.room, *ALSO[self.room])
        paths = [path for name in names for path in files_of_tests(ROOT / "tests" / name)]
        for number, path in enumerate(dict.fromkeys(paths), 1):
            name = path.relative_to(ROOT).as_posix()
            text = path.read_text(encoding="utf-8")
            kept = folder() / f"{name.replace('/', '.')}.{digest(text)}.json"
            if fresh or not kept.exists():
                outcome = self._make(name, kept)
                print(f"[{number}/{len(paths)}] {name} {outcome or ''}", file=sys.stderr)
            self.files[name] = self._read(kept)

    def _make(self, name, kept):
        for old in folder().glob(f"{name.replace('/', '.')}.*.json"):
            old.unlink()
        raw = kept.with_suffix(".raw")
        outcome = forked(
            lambda: watch_file(name, raw) or 0, ROOT, LONGEST_FILE_S, BUSY_TIMES * LONGEST_FILE_S
        )
        found = {"tests": {}, "covers": {}, "outcome": outcome}
        if raw.exists():
            found |= json.loads(raw.read_text(encoding="utf-8"))
            raw.unlink()
        found["texts"] = {}
        for module in found["covers"]:
            text = (ROOT / module).read_text(encoding="utf-8")
            found["texts"][module] = digest(text)
            (folder() / f"{digest(text)}.text").write_text(text, encoding="utf-8")
        kept.write_text(json.dumps(found), encoding="utf-8")
        return outcome

    def _read(self, kept):
        found = json.loads(kept.read_text(encoding="utf-8"))
        whole = list(found["tests"])
        covers = {}
        for module, by_line in found["covers"].items():
            place = line_mover(module, found["texts"][module])
            lines = covers.setdefault(module, {})
            for line, names in by_line.items():
                now = place(int(line))
                if now is None:
                    continue
                tests = whole if "for all tests of the file" in names else names
                lines[now] = [name for name in tests if name in found["tests"]]
        return {"tests": found["tests"], "covers": covers}

    def of_line(self, module, line):
        """{test: seconds} of the tests that execute a line, or that use what it sets on import."""
        held, imported = statement_of(module, line)
        if imported:
            return self.of_module(module)
        return self._tests(module, lambda at: at in held)

    def of_module(self, module, seen=()):
        """{test: seconds} of the tests that execute a function of a module.

        Of a module that holds nothing but values: of those who import it.
        """
        inner = function_lines(module)
        found = self._tests(module, lambda at: at in inner)
        for other in importers(module) if not found else ():
            if other not in seen:
                found |= self.of_module(other, (*seen, module))
        return found

    def _tests(self, module, wanted):
        found = {}
        for held in self.files.values():
            for line, names in held["covers"].get(module, {}).items():
                if wanted(line):
                    found |= {name: held["tests"][name] for name in names}
        return found


@cache
def line_mover(module, then):
    """From a line of a module as it was to that line as it is."""
    path = ROOT / module
    if not path.exists():
        return lambda line: None
    text = path.read_text(encoding="utf-8")
    if digest(text) == then:
        return lambda line: line
    old = (folder() / f"{then}.text").read_text(encoding="utf-8").splitlines()
    new = text.splitlines()
    return cache(lambda line: moved_line(old, new, line))


@cache
def function_lines(module):
    """Lines within functions."""
    tree = ast.parse((ROOT / module).read_text(encoding="utf-8"))
    return {
        line
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        for line in range(node.body[0].lineno, node.end_lineno + 1)
    }


@cache
def imports():
    """{module: modules that import it}, by their paths."""
    found = defaultdict(set)
    for path in (ROOT / "edgetest").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                base = node.module.replace(".", "/")
                for name in (base, *(f"{base}/{alias.name}" for alias in node.names)):
                    found[f"{name}.py"].add(path.relative_to(ROOT).as_posix())
    return found


def importers(module):
    return sorted(imports()[module])
