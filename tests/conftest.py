"""Settings and fixtures that every test may use."""

import shutil

import pytest
from hypothesis import settings

from edgetest.store.places import shipped

# Machines differ in speed, and a timed test is a benchmark: no deadline on an example.
settings.register_profile("edgetest", deadline=None)
settings.load_profile("edgetest")


@pytest.fixture(scope="module")
def sample_run(tmp_path_factory):
    """Copy a sample run to a folder that the tests of one module may write into."""

    def copy(name):
        folder = tmp_path_factory.mktemp("runs") / name
        shutil.copytree(shipped("sample_runs") / name, folder)
        return folder

    return copy
