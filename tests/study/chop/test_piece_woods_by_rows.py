"""Sections and woods of single rows: 19 % and beyond, names with their kind, faults once."""

from types import SimpleNamespace

import pytest

from edgetest.chop.wood import measured_wood
from edgetest.errors import UnusableInput
from edgetest.store.cells import parse_reading
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_rows import severings
from edgetest.study.chop.piece_woods import (
    board_densities,
    section_of,
    severed_rows,
    wood_faults,
    wood_of_row,
)


def row(line=2, chops="12", **more):
    return ChopRow(line, "A", "lumber", chops=parse_reading(chops, "count"), **more)


@pytest.mark.parametrize(
    ("water", "green"),
    [(None, False), (12.0, False), (19.0, False), (19.1, True), ("green", True),
     ("air-dry", False)],
)  # fmt: skip
def test_lumber_is_dry_up_to_nineteen_per_cent(water, green):
    """2 by 4: 1 1/2 by 3 1/2 inch dry, 1 9/16 by 3 9/16 green (PS 20, from memory)."""
    section = section_of(row(nominal="2x4", moisture_pct=water))
    sides = sorted((section.width_mm, section.thickness_mm))
    inches = (1.5625, 3.5625) if green else (1.5, 3.5)
    assert sides == pytest.approx([25.4 * side for side in inches])


def test_what_was_measured_comes_before_the_name_it_is_sold_by():
    assert section_of(row(nominal="2x4", diameter_mm=40.0)).diameter_mm == 40.0
    flat = section_of(row(nominal="2x4", width_mm=80.0, thickness_mm=30.0, orientation="flat"))
    assert (flat.width_mm, flat.thickness_mm, flat.orientation) == (80.0, 30.0, "flat")


def test_a_wood_that_is_not_named_is_not_known():
    assert wood_of_row(row(density_kg_m3=700.0), ()) is None


@pytest.mark.parametrize(
    ("species", "name"),
    [("bamboo (hardwood)", "bamboo"), ("hardwood", "hardwood"), ("Hardwood bamboo", "bamboo")],
)
def test_a_species_of_no_table_is_weighed_by_its_kind(species, name):
    assert wood_of_row(row(species=species, density_kg_m3=700.0), ()).name == name
    with pytest.raises(UnusableInput, match="without its density"):
        wood_of_row(row(species=species), ())


@pytest.mark.parametrize("more", [{}, {"density_kg_m3": 800.0}])
def test_green_wood_of_no_table_is_told_at_once_what_it_needs_weighed_or_not(more):
    needed = (
        "weigh a dry stick of it once and write that under [[woods]] of study.toml, then green will"
        " do; or dry a slice of each board and give its percent here, and mass_g and length_mm; or"
        " name the species"
    )
    with pytest.raises(UnusableInput, match="known by its density alone, and green") as told:
        wood_of_row(row(species="willow (hardwood)", moisture_pct="green", **more), ())
    assert (told.value.where, told.value.mend) == ("moisture_pct", needed)


def test_a_dry_stick_weighed_once_makes_the_word_green_do_as_the_fault_says():
    own = (measured_wood("blackthorn", "hardwood", 800.0, 14.0, None),)
    assert wood_of_row(row(species="blackthorn", moisture_pct="green"), own).name == "blackthorn"


class Log:
    name = "chops.csv"

    def __init__(self, *rows, faults=()):
        self.rows, self.faults = rows, faults

    def of_kind(self, *kinds):
        return [one for one in self.rows if one.kind in kinds]


def test_only_severed_pieces_that_count_have_a_wood():
    below, none = row(3, "<5"), ChopRow(4, "A", "lumber")
    assert [one.line for one in severed_rows(Log(row(), below, none, row(5, ">9")))] == [2, 5]


@pytest.mark.parametrize(
    ("lines", "said"),
    [((2,), "row 2"), ((2, 3), "rows 2, 3"), (range(2, 7), "rows 2, 3, 4, 5, 6"),
     (range(2, 9), "rows 2, 3, 4, 5, 6 and 2 more")],
)  # fmt: skip
def test_one_fault_names_all_its_rows(lines, said):
    rows = [row(line, nominal="9x99") for line in lines]
    (fault,) = wood_faults(Log(*rows))
    assert fault.where.startswith(f"chops.csv, {said}, ")


def test_a_cell_at_fault_already_is_not_told_twice():
    told = [SimpleNamespace(row=2, column="nominal")]
    assert wood_faults(Log(row(nominal="9x99"), faults=told)) == []
    other = [SimpleNamespace(row=3, column="nominal"), SimpleNamespace(row=2, column="note")]
    assert len(wood_faults(Log(row(nominal="9x99"), faults=other))) == 1


@pytest.mark.parametrize("species", ["SPF (softwood)", "white ash"])
def test_a_weight_counts_where_the_size_is_nominal(species):
    """2 by 4, dry: 38.1 mm by 88.9 mm; by 300 mm 1016 cm³, so 620 g are 610 kg/m³."""
    weighed = {"species": species, "length_mm": 300.0, "mass_g": 620.0, "moisture_pct": 12.0}
    wood = wood_of_row(row(nominal="2x4", **weighed), ())
    assert wood.density_kg_m3 == pytest.approx(620 / (0.0381 * 0.0889 * 0.3) / 1000)
    measured = wood_of_row(row(width_mm=88.9, thickness_mm=38.1, **weighed), ())
    assert wood.side_hardness_n.value == pytest.approx(measured.side_hardness_n.value)
    (fault,) = wood_faults(Log(row(nominal="2x4", **weighed | {"mass_g": 6.2})))
    assert "6.2 g on this size make 6.1 kg/m³" in fault.what
    assert fault.where == "chops.csv, row 2, mass_g"


def test_a_size_that_is_none_is_told_once_of_a_weighed_piece():
    weighed = {"species": "SPF (softwood)", "length_mm": 300.0, "mass_g": 520.0}
    (fault,) = wood_faults(Log(row(nominal="9x99", **weighed)))
    assert fault.where == "chops.csv, row 2, lumber"


def of_board(line, density=None, board="a", species="Scots pine", water=12.0):
    return row(line, density_kg_m3=density, board=board, species=species, moisture_pct=water,
               width_mm=89.0, thickness_mm=38.0, orientation="flat")  # fmt: skip


def test_a_board_is_one_wood_for_every_tool_whichever_piece_of_it_was_weighed():
    rows = [of_board(2, 480.0), of_board(3), of_board(4, 520.0), of_board(5, board="b"),
            of_board(6, species="European ash"), of_board(7, water="green"),
            of_board(8, 700.0, water="green"), of_board(9, 600.0, board="")]  # fmt: skip
    assert board_densities(rows) == {2: 500.0, 3: 500.0, 4: 500.0}
    found = severings(Log(*rows))
    alike = [one.wood.side_hardness_n for one in found[:3]]
    assert alike == [alike[0]] * 3
    assert found[3].wood.density_kg_m3 != 500.0
    assert "green_density_unused" not in [one.code for one in found[5].wood.doubts]


def test_a_piece_of_no_table_is_known_by_the_weight_of_its_board():
    rows = [of_board(2, 650.0, species="blackthorn (hardwood)"),
            of_board(3, species="blackthorn (hardwood)")]  # fmt: skip
    assert wood_faults(Log(*rows)) == []
    assert len(wood_faults(Log(*rows[1:]))) == 1
