"""Care follows from what was typed of a tool, and says nothing of what was not."""

import pytest

from edgetest.report.documents.care_words import care_lines
from edgetest.store.blades import Blade

ON_STONE = "Touch it up on a fine stone"


def blade(**facts):
    return Blade(id="K1", **facts)


def test_of_a_blade_without_facts_nothing_is_said():
    assert care_lines(blade()) == []


@pytest.mark.parametrize(
    ("facts", "parts", "line"),
    [
        ({"steel": "lorry leaf spring"}, (), "Wipe off sap, dry it after use and oil the steel."),
        ({"steel": "Stainless, 0.6 % carbon"}, (),
         "Rinse and dry it after use: stainless steel stains too."),
        ({"edge_finish": "400 grit belt"}, (), f"{ON_STONE}."),
        ({"angle_per_side_deg": 20}, (), f"{ON_STONE} at 20° per side."),
        ({"included_angle_deg": 35, "edge_finish": "convex, stropped"}, (),
         f"{ON_STONE} at 35° included, keeping it convex; then strop it."),
        ({}, ("ash scales", "pins"), "Oil the wood of its handle once a year."),
        ({"hardness_hrc": [59.5, 61]}, (), "Do not twist or lever with the edge: it is hard."),
    ],
)  # fmt: skip
def test_each_fact_has_its_line(facts, parts, line):
    assert care_lines(blade(**facts), parts) == [line]


def test_a_wish_for_hardness_is_no_measurement():
    assert (
        care_lines(blade(hardness_target_hrc="61-63", hardness_hrc=[55]), ("brass washers",)) == []
    )
