"""What the tests of a steel's verdict share."""

import pytest

from edgetest.study.steel import judge_steel


@pytest.fixture
def numbers_tried():
    """Asked for by a test of what the trial of every number tells: it is made, in seconds."""


@pytest.fixture(autouse=True)
def _numbers_untried(request, monkeypatch):
    """Sentences that do not hang on the trial of every number are read without it."""
    if "numbers_tried" not in request.fixturenames:
        monkeypatch.setattr(judge_steel, "with_numbers_tried", lambda result, progress=None: result)
