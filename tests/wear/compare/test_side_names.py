"""One blade goes by its own id; several by their heat treatment, or as the blades they are."""

import numpy as np
import pytest

from edgetest.wear.compare.side_names import life_names, part_names, ratio_name, side_names
from tests.wear.columns import compare_lives

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


def test_where_one_batch_stands_for_one_side_the_other_is_named_by_its_several():
    batch = ["x", "x", "x", "p", "q", "r"]
    found = compare_lives(
        ["a1", "a2", "a3", "b1", "b2", "b3"], ["a"] * 3 + ["b"] * 3,
        np.log([200.0, 260.0, 310.0, 330.0, 410.0, 350.0]), batch=batch,
    )  # fmt: skip
    assert found.scope == "batches"
    assert part_names(found, "a", "b") == ["the batch of a", "b in its 3 batches"]
    first, verdict = found.sentences()[:2]
    assert first.startswith("b in its 3 batches lasts ")
    assert "times as long as the batch of a (" in first
    assert "which of b in its 3 batches and the batch of a holds" in verdict


def test_several_batches_of_both_are_no_part_of_a_name():
    found = compare_lives(
        ["a1", "a2", "b1", "b2"], ["a", "a", "b", "b"], np.log([200.0, 260.0, 330.0, 410.0]),
        batch=["x", "y", "p", "q"],
    )  # fmt: skip
    assert part_names(found, "b", "a") == ["b", "a"]
