"""Which rules of PDF/UA-1 does a finished PDF break, by a checker that shares no code with it?"""

import pytest


def broken_rules(path):
    """Rules of PDF/UA-1 (ISO 14289-1) that a file breaks, each with the checker's words."""
    page = pytest.importorskip("page")
    report = page.validate_pdf(path, profile="ua1")
    assert report.rules.total > 100
    return [f"{one.rule_id} {one.message}" for one in report.failures]
