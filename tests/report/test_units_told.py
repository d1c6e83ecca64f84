"""Sentences of a result in inches: plain numbers, intervals and what stays as it is."""

import pytest

from edgetest.report.units_told import text_in_units

SAID = (
    "1150.0 (1148.0 to 1152.0) g, strikes at 316 (310 to 323) mm, 453 (430 to 478) kg cm²,"
    " 88.9 mm by 38.1 mm, fewer than 3.6 per 100 mm"
)


@pytest.mark.parametrize(
    ("units", "told"),
    [
        ("metric", SAID),
        (
            "inch",
            "40.57 (40.49 to 40.64) oz, strikes at 12.4 (12.2 to 12.7) in, 453 (430 to 478)"
            " kg cm², 3.5 in by 1.5 in, fewer than 3.6 per 100 mm",
        ),
        (
            "both",
            SAID.replace("88.9 mm", "88.9 mm (3.5 in)").replace("38.1 mm", "38.1 mm (1.5 in)"),
        ),
    ],
)
def test_lengths_and_masses_are_told_in_the_units_asked_for(units, told):
    assert text_in_units(SAID, units) == told
