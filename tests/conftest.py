"""Settings and fixtures that every test may use."""

import gc
import json
import os
import pickle
import shutil
import sys
import time
from collections import Counter
from functools import cache

import pytest
from hypothesis import settings

from edgetest.cli import main
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped
from tests.cli.json_schemas import hold
from tests.nightly import waits
from tests.short_work import cut_short, in_full

# Machines differ in speed, and a timed test is a benchmark: no deadline on an example.
settings.register_profile("edgetest", deadline=None)
settings.load_profile("edgetest")


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """What the search for tests leaves stays to the end: the collector looks through it once."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.collect()
        gc.freeze()
        gc.enable()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """What waits for the night is slow, as if it were marked where it stands."""
    folder, cases = config.rootpath / "tests", Counter()
    for item in items:
        if not item.path.is_relative_to(folder):
            continue
        node = f"{item.path.relative_to(folder).as_posix()}::{item.name}"
        test = node.partition("[")[0]
        if waits(node, cases[test]):
            item.add_marker("slow")
        cases[test] += 1


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """A worker that is done takes from the other: else one runs the browser tests alone."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory):
    """Answers that tests keep lie apart from the user's; workers and servers share them."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    os.environ[FOLDER_VARIABLE] = str(shared / "cache")
    return shared / "cache"


@pytest.fixture(scope="session", autouse=True)
def _work_cut_short(own_cache):
    """Work of seconds is cut short but where a test reads what it tells."""
    with cut_short(own_cache):
        yield


@pytest.fixture
def work_in_full(own_cache):
    """Asked for by a test that reads simulated numbers or trials of them: none is cut short."""
    with in_full(own_cache):
        yield


@pytest.fixture(scope="session", autouse=True)
def _pictures_measured_once(own_cache):
    """The same photograph is measured once, in the process that asks first."""
    from tests.study.photos.measured_before import measured_once

    with measured_once(own_cache.with_name("each_picture_once")):
        yield


@pytest.fixture
def on_cores(monkeypatch):
    """Asked for by a test of the processes that measure: they measure anew, as they do for you."""
    from edgetest.study.photos import many_photos
    from edgetest.study.photos.measure_photos import bare
    from tests.study.photos.measured_before import IN_PROCESSES

    monkeypatch.setattr(many_photos, "bare", bare)
    monkeypatch.setattr(many_photos, "_on_cores", IN_PROCESSES)


@pytest.fixture(scope="session", autouse=True)
def _disk_not_waited_for():
    """No test pulls the plug: files are written, and nobody waits until they are on the disk."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda handle: None)
        yield


@pytest.fixture(scope="session", autouse=True)
def patient():
    """A page under test waits for what is worked out beside it: one run shows the whole page."""
    with pytest.MonkeyPatch.context() as patch:
        if "streamlit" in sys.modules:  # among the tests that were found, one opens a page
            patch.setattr("edgetest.app.long_work.PATIENCE_S", 120.0)
            # Not all of memory is searched after every run of a page under test.
            from streamlit import config
            from streamlit.components.v2 import manifest_scanner

            config.set_option("runner.postScriptGC", False)
            # All that is installed is searched once for components, not for each page under test.
            patch.setattr(manifest_scanner, "scan_component_manifests",
                          cache(manifest_scanner.scan_component_manifests))  # fmt: skip
        yield


@pytest.fixture(scope="module")
def sample_run(tmp_path_factory):
    """Copy a sample run to a folder that the tests of one module may write into."""

    def copy(name):
        folder = tmp_path_factory.mktemp("runs") / name
        shutil.copytree(shipped("sample_runs") / name, folder)
        return folder

    return copy


def _made_once(tmp_path_factory, name, make):
    """The folder that `make` fills; of all workers the first makes it, the others wait for it."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    folder, ready = shared / name, shared / f"{name} ready"
    try:
        folder.mkdir()
    except FileExistsError:
        while not ready.exists():
            time.sleep(0.2)
        return folder
    try:
        make(folder)
    finally:
        ready.touch()
    return folder


@pytest.fixture(scope="session")
def measured_table(tmp_path_factory):
    """measured.csv of the two tempers' sample run: all its photographs, measured once."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.study_photos import measure_study

    def make(folder):
        shutil.copytree(shipped("sample_runs") / "billhook_temper_study", folder / "study")
        measure_study(open_source(folder / "study"))

    return _made_once(tmp_path_factory, "measured", make) / "study" / "measured.csv"


@pytest.fixture(scope="module")
def measured_run(sample_run, measured_table):
    """A copy of the two tempers' sample run with its photographs measured."""
    folder = sample_run("billhook_temper_study")
    shutil.copy(measured_table, folder / "measured.csv")
    return folder


@pytest.fixture(scope="module")
def measured_copies(measured_table):
    """Copies of the two tempers' sample run, however they are made, have it measured."""
    from edgetest.store import workspace

    plain = workspace.copy_sample_run

    def copy(name, folder):
        made = plain(name, folder)
        if name == "billhook_temper_study":
            shutil.copy(measured_table, made / "measured.csv")
        return made

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workspace, "copy_sample_run", copy)
        yield


@pytest.fixture(scope="module")
def brief_run(sample_run):
    """A copy of the two tempers' sample run whose log holds the rows of some photographs."""

    def copy(*photos):
        folder = sample_run("billhook_temper_study")
        head, *rows = (folder / "log.csv").read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [row for row in rows if row.split(",")[4] in photos]
        (folder / "log.csv").write_text("".join([head, *kept]), encoding="utf-8")
        return folder

    return copy


@pytest.fixture(scope="session")
def lamp_series(tmp_path_factory):
    """A study of edges between two lamps, measured, and the truth of each photograph."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.study_photos import measure_study
    from tests.benchmarks.pictures.lamp_series import TWO_TREATMENTS, write_series

    def make(folder):
        truths = write_series(folder / "series", TWO_TREATMENTS)
        measure_study(open_source(folder / "series"), workers=1)
        (folder / "truths").write_bytes(pickle.dumps(truths))

    folder = _made_once(tmp_path_factory, "lamps", make)
    return folder / "series", pickle.loads((folder / "truths").read_bytes())


@pytest.fixture
def run(capsys):
    """Run a command as a user does: (exit code, stdout, stderr).

    What it prints with --json is held against the schema of the command.
    """

    def call(*arguments):
        with pytest.raises(SystemExit) as caught:
            main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        if "--json" in arguments and out:
            hold(arguments[0], out)
        return caught.value.code, out, err

    return call


@pytest.fixture
def answer(run):
    """The JSON document of a command that goes well."""

    def call(*arguments):
        code, out, err = run(*arguments, "--json")
        assert code == 0, err
        return json.loads(out)

    return call
