"""Lens and camera of the made pictures keep the closed forms of optics and of photon counting."""

import pytest

from tests.benchmarks.pictures import lens_checks

pytestmark = pytest.mark.slow  # of the made-up world alone: .ci/deep runs them


@pytest.mark.parametrize("group", lens_checks.GROUPS, ids=lambda group: group.__name__)
def test_nothing_lies_outside_its_closed_form(group):
    rows = list(group())
    assert len(rows) >= 3
    outside = [row for row in rows if not abs(row[1] - row[2]) <= row[3]]
    assert outside == []
