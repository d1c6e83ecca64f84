"""Pages under test wait for what they work out, so that one run shows the whole page."""

import pytest

from edgetest.app import long_work


@pytest.fixture(autouse=True)
def patient(monkeypatch):
    """A page waits a minute instead of the fraction of a second after which it shows a count."""
    monkeypatch.setattr(long_work, "PATIENCE_S", 60.0)
