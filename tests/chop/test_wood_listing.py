"""Which woods are known, found by a part of a name, and the nearest to a slip of the pen."""

import pytest

from edgetest.chop.species import SPECIES
from edgetest.chop.wood import usual_dry_to_green
from edgetest.chop.wood_listing import listed_woods, nearest_wood, said_of_wood


def test_a_part_of_any_name_finds_a_wood_and_no_other():
    names = [wood.name for wood in listed_woods("QUERCUS robur")]
    assert names == ["oak, English"]
    oaks = listed_woods(" oak ")
    assert {"oak, English", "oak, holm", "oak, sessile"} <= {wood.name for wood in oaks}
    assert all("oak" in f"{wood.name} {wood.botanical}".casefold() for wood in oaks)
    assert [wood.name for wood in oaks] == sorted((w.name for w in oaks), key=str.casefold)
    assert listed_woods("no such tree") == ()
    assert len(listed_woods()) == len(SPECIES)


def test_a_wood_is_told_with_density_and_hardness_at_twelve_percent():
    """Table: oak, English 720 kg/m³ and 4980 N at 12 %; alder 0.41 on its volume at 12 %."""
    (oak,) = listed_woods("oak, English")
    assert oak.density_kg_m3 == pytest.approx(720, rel=1e-3)
    assert oak.hardness_n == pytest.approx(4980, rel=1e-3)
    assert oak.low < oak.hardness_n < oak.high
    assert "720 kg/m³" in oak.summary()
    (alder,) = listed_woods("alder, red")
    assert alder.hardness_n == pytest.approx(2600, rel=1e-3)


def test_a_slip_of_the_pen_leads_to_the_wood_that_was_meant():
    assert nearest_wood("oak, Englsh") == "oak, English"
    assert nearest_wood("Sycamor") == "sycamore, European"
    assert nearest_wood("qqqq") == ""


@pytest.mark.parametrize("kind", ["hardwood", "softwood"])
def test_dry_over_green_is_the_geometric_mean_of_the_woods_of_a_kind(kind):
    product, count = 1.0, 0
    for row in SPECIES.values():
        if row.kind == kind and row.green_hardness_n:
            product, count = product * row.side_hardness_12_n / row.green_hardness_n, count + 1
    assert count > 5
    assert usual_dry_to_green(kind) == pytest.approx(product ** (1 / count))
    assert 1.1 < usual_dry_to_green(kind) < 1.6


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("SPF", "is a group of the lumber trade"),
        ("blackthorn", "no published density"),
        ("hard maple", '"hard maple" is taken for maple, sugar (Acer saccharum), '),
    ],
)
def test_a_name_that_no_wood_holds_is_told_what_a_log_would_be_told(name, said):
    assert listed_woods(name) == ()
    assert said in said_of_wood(name)
    assert said_of_wood("qqqq") == ""
