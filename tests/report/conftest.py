"""Fixtures for documents of which the words are read."""

from tests.report.undrawn import framed, framed_here, untypeset  # noqa: F401
