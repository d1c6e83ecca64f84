"""One blade goes by its own id; several by their heat treatment, or as the blades they are."""

import pytest

from edgetest.wear.compare.side_names import life_names, ratio_name, side_names

BLADES = {"soft": ("A1",), "hard": ("B1", "B2", "B3")}
GROUPS = [{"treatment": name, "blades": list(ids)} for name, ids in BLADES.items()]


def test_one_blade_is_named_and_several_are_blades_where_the_ratio_is_of_blades():
    assert side_names(BLADES, "blades") == {"soft": "A1", "hard": "the 3 blades of hard"}
    assert side_names(BLADES, "heat_treatments") == {"soft": "A1", "hard": "hard"}
    assert side_names({"soft": ()}, "blades") == {"soft": "soft"}


def test_a_life_of_one_blade_is_the_blade_s():
    assert life_names(GROUPS) == {"soft": "A1", "hard": "hard"}
    assert life_names([{"treatment": "soft"}]) == {"soft": "soft"}


@pytest.mark.parametrize(
    ("scope", "said"),
    [("blades", "the 3 blades of hard : A1"), ("heat_treatments", "hard : soft"),
     ("batches", "hard : soft")],
)  # fmt: skip
def test_a_ratio_of_blades_names_the_blades(scope, said):
    assert ratio_name({"first": "soft", "second": "hard", "scope": scope}, GROUPS) == said


def test_each_name_is_made_short_enough_for_its_place():
    pair = {"first": "soft", "second": "hard", "scope": "heat_treatments"}
    assert ratio_name(pair, GROUPS, lambda name: name[:2]) == "ha : so"
