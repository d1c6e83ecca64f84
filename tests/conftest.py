"""Settings and fixtures that every test may use."""

import json
import os
import shutil
import sys

import pytest
from hypothesis import settings

from edgetest.cli import main
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped
from tests.cli.json_schemas import hold

# Machines differ in speed, and a timed test is a benchmark: no deadline on an example.
settings.register_profile("edgetest", deadline=None)
settings.load_profile("edgetest")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """A worker that is done takes from the other: else one runs the browser tests alone."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory):
    """Answers that tests keep lie apart from the user's; servers started by tests inherit it."""
    os.environ[FOLDER_VARIABLE] = str(tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session", autouse=True)
def patient():
    """A page under test waits for what is worked out beside it: one run shows the whole page."""
    with pytest.MonkeyPatch.context() as patch:
        if "streamlit" in sys.modules:  # among the tests that were found, one opens a page
            patch.setattr("edgetest.app.long_work.PATIENCE_S", 120.0)
            # Not all of memory is searched after every run of a page under test.
            from streamlit import config

            config.set_option("runner.postScriptGC", False)
        yield


@pytest.fixture(scope="module")
def sample_run(tmp_path_factory):
    """Copy a sample run to a folder that the tests of one module may write into."""

    def copy(name):
        folder = tmp_path_factory.mktemp("runs") / name
        shutil.copytree(shipped("sample_runs") / name, folder)
        return folder

    return copy


@pytest.fixture(scope="session")
def lamp_series(tmp_path_factory):
    """A study of edges between two lamps, measured, and the truth of each photograph."""
    from edgetest.study.sources import open_source
    from edgetest.study.wear.study_photos import measure_study
    from tests.benchmarks.pictures.lamp_series import TWO_TREATMENTS, write_series

    folder = tmp_path_factory.mktemp("lamps") / "series"
    truths = write_series(folder, TWO_TREATMENTS)
    measure_study(open_source(folder), workers=1)
    return folder, truths


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
