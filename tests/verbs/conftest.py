"""Fixtures for documents of which the words are read."""

from tests.report.undrawn import framed, untypeset  # noqa: F401
