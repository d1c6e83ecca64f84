"""What the tests of a steel's verdict share."""

from functools import partial

import pytest

from edgetest.steel.carburised_case import solve_case
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.study.steel import judge_steel, steel_pack


@pytest.fixture
def numbers_tried():
    """Asked for by a test of what the trial of every number tells: it is made, in seconds."""


@pytest.fixture
def few_samples(monkeypatch, tmp_path):
    """What a pack makes is reckoned from a tenth of the samples, which shifts its ends a little."""
    monkeypatch.setattr(steel_pack, "solve_case", partial(solve_case, samples=100))
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "kept"))


@pytest.fixture(autouse=True)
def _numbers_untried(request, monkeypatch):
    """Sentences that do not hang on the trial of every number are read without it."""
    if "numbers_tried" not in request.fixturenames:
        monkeypatch.setattr(judge_steel, "with_numbers_tried", lambda result, progress=None: result)
