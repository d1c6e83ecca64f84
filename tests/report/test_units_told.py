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
            "40.57 (40.49 to 40.64) oz, strikes at 12.4 (12.2 to 12.7) in, 155 (147 to 163)"
            " lb in², 3.5 in by 1.5 in, fewer than 3.6 per 3.94 in",
        ),
        (
            "both",
            SAID.replace("88.9 mm", "88.9 mm (3.5 in)").replace("38.1 mm", "38.1 mm (1.5 in)"),
        ),
    ],
)
def test_lengths_and_masses_are_told_in_the_units_asked_for(units, told):
    assert text_in_units(SAID, units) == told


def test_a_blow_and_its_swing_are_told_in_the_units_of_the_inch():
    said = "an arm of 0.07 kg m², with 40 J of work, lands at 10.00 (9.90 to 10.11) m/s"
    told = "an arm of 1.66 lb ft², with 29.5 ft lbf of work, lands at 32.81 (32.48 to 33.17) ft/s"
    assert text_in_units(said, "inch") == told
    assert (
        text_in_units("gives 22.6 (21.2 to 23.8) J", "inch") == "gives 16.7 (15.6 to 17.6) ft lbf"
    )
    assert text_in_units(said, "metric") == said


def test_rates_keep_their_numbers_and_tell_what_they_are_for_in_inches():
    said = "2.4 (0.3 to 8.8) rolls per 100 mm; 49 (37 to 64) chops per 100 cm² of fir"
    told = "2.4 (0.3 to 8.8) rolls per 3.94 in; 49 (37 to 64) chops per 15.5 in² of fir"
    assert text_in_units(said, "inch") == told
    assert text_in_units(said, "both") == said
