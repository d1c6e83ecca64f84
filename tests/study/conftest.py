"""What the tests of what a study answers share."""

import pytest

from tests.study.blank_figures import leave_blank


@pytest.fixture
def blank_figures(monkeypatch):
    """Figures stay blank, for tests that read the words of documents."""
    leave_blank(monkeypatch)
