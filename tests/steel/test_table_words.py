"""Every number of the tables has words of its own, and no code stands in them."""

import pytest

from edgetest.steel.steel_titles import EXPLANATION_TITLES
from edgetest.steel.table_words import number_said
from edgetest.study.steel.steel_tables_file import load_steel_tables

PLACES = load_steel_tables().places()
# Codes that are no words of the language by themselves.
CODES = {code.replace("_", " ") for code in EXPLANATION_TITLES} - {
    "cast iron", "wrought iron", "something else",
}  # fmt: skip


def test_no_number_is_told_by_its_code():
    assert len(PLACES) > 400
    for place in PLACES:
        said = number_said(*place)
        assert "_" not in said, place
        assert not [code for code in CODES if code in said], place


@pytest.mark.parametrize(
    ("place", "said"),
    [
        (("sparks", "plain_high", "like_high"),
         "the chance of sparks like high from plain steel, much carbon"),
        (("prior", "leaf_spring", "low_alloy_high"),
         "the chance that leaf spring is low-alloy steel, much carbon"),
        (("prior", "unknown", "other"), "the chance that any piece is any other steel"),
        (("heat", "lets_go", "above_c"), "the heat that the magnet letting go tells"),
        (("break", "from_57", "snapped_clean"),
         "the chance of a break (snapped clean) at 57 and more HRC"),
        (("tough", "cast_iron", "hedging_tool"),
         "the chance that cast iron bears use as a hedging tool"),
    ],
)  # fmt: skip
def test_in_words(place, said):
    assert number_said(*place) == said
