"""The wood of a piece to reckon for: as the log spells it, at the water of its own pieces."""

from types import SimpleNamespace

import pytest

from edgetest.chop.wood import wood_by_weight, wood_of_species
from edgetest.errors import UnusableInput
from edgetest.study.chop.wished_wood import wished_wood


def ash(water):
    return "European ash", wood_of_species("European ash", moisture_pct=water)


def pine(density, water="air-dry"):
    wood = wood_by_weight(density, 1000.0, "softwood", moisture_pct=water, name="pine")
    return "pine (softwood)", wood


def chopped(*woods):
    rows = [SimpleNamespace(line=n, species=typed) for n, (typed, _) in enumerate(woods)]
    pieces = [SimpleNamespace(row=n, wood=wood) for n, (_, wood) in enumerate(woods)]
    return SimpleNamespace(study=None, pieces=pieces, log=SimpleNamespace(rows=rows))


BOTH = chopped(ash("green"), ash("green"), pine(480.0), pine(520.0))


@pytest.mark.parametrize(
    ("woods", "name", "water", "pct", "water_from"),
    [
        (BOTH, "European ash", None, 30, "own_pieces"),
        (BOTH, "pine (softwood)", None, 14, "own_pieces"),
        (BOTH, "European ash", "air-dry", 14, "asked"),
        (BOTH, "Scots pine", 16.0, 16, "asked"),
        (chopped(ash(12), ash(14)), "European ash", None, 13, "own_pieces_mean"),
        (chopped(ash(12), ash(14)), "", None, 13, "own_pieces_mean"),
        (chopped(ash(12), ash(None)), "European ash", None, 12, "own_pieces"),
        (chopped(ash(None)), "European ash", None, 12, "assumed"),
        (chopped(ash("green")), "Scots pine", None, 30, "other_pieces"),
        (chopped(ash(12), ash(16)), "Scots pine", None, 14, "other_pieces_mean"),
        (chopped(("", None)), "Scots pine", None, 12, "assumed"),
    ],
)
def test_water_that_is_not_written_is_that_of_its_own_pieces(woods, name, water, pct, water_from):
    found = wished_wood(woods, name, water)
    assert (found.wood.moisture_pct, found.water_from) == (pct, water_from)


@pytest.mark.parametrize("name", ["pine (softwood)", "Pine (Softwood)", "pine"])
def test_a_wood_spelt_with_its_kind_has_the_density_that_was_weighed(name):
    wood = wished_wood(BOTH, name, None).wood
    like = wood_by_weight(500.0, 1000.0, "softwood", moisture_pct=14.0)
    assert wood.name == "pine"
    assert wood.density_kg_m3 == pytest.approx(500.0, rel=1e-3)
    assert wood.side_hardness_n.value == pytest.approx(like.side_hardness_n.value, rel=0.01)


@pytest.mark.parametrize(
    ("woods", "name", "fault"),
    [
        (BOTH, "Scots pine", 'both green and dry; write .* "14 % Scots pine"'),
        (
            chopped(ash("green"), ash(12)),
            "European ash",
            "pieces of European ash were chopped both",
        ),
        (BOTH, "elm (hardwood)", 'no row of the log has "elm \\(hardwood\\)".*under \\[\\[woods'),
        (
            chopped(ash(12)),
            "pine",
            "several woods.*; if none is it, weigh it and write its density",
        ),
        (BOTH, "", "several woods were chopped"),
    ],
)
def test_what_is_left_open_is_asked_and_its_mend_can_be_followed(woods, name, fault):
    with pytest.raises(UnusableInput, match=fault) as met:
        wished_wood(woods, name, None)
    assert "of the piece" not in met.value.mend
