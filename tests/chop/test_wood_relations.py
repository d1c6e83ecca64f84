"""Density, moisture and hardness of wood: the Wood Handbook's relations, worked out by hand."""

import pytest

from edgetest.chop.wood_relations import (
    HARDNESS_OF_GRAVITY,
    basic_specific_gravity,
    density_kg_m3,
    hardness_at_n,
    hardness_from_gravity_n,
    specific_gravity_at,
)
from edgetest.errors import UnusableInput


def test_gravity_against_moisture_is_that_of_the_handbook():
    """Wood Handbook, chapter 4: Gx = Gb / (1 - 0.265 a Gb), a = (30 - x) / 30."""
    assert specific_gravity_at(12, 0.45) == pytest.approx(0.45 / (1 - 0.265 * 0.6 * 0.45))
    assert specific_gravity_at(0, 0.5) == pytest.approx(0.5 / (1 - 0.1325))
    assert specific_gravity_at(30, 0.5) == specific_gravity_at(80, 0.5) == 0.5
    for moisture in (0.0, 12.0, 29.0, 50.0):
        there = specific_gravity_at(moisture, 0.55)
        assert basic_specific_gravity(there, moisture) == pytest.approx(0.55)
    # Chapter 4, table of density: basic gravity 0.50 at 12 % moisture weighs 609 kg/m³.
    assert density_kg_m3(specific_gravity_at(12, 0.5), 12) == pytest.approx(609, abs=1)
    assert density_kg_m3(0.5, 60) == pytest.approx(800)


def test_hardness_goes_from_the_dry_value_to_the_green_one():
    """P = P12 (P12 / Pg)^((12 - M) / (Mp - 12)); Mp is 25 % where no other is known."""
    assert hardness_at_n(12, 3200, 2200) == pytest.approx(3200)
    assert hardness_at_n(25, 3200, 2200) == hardness_at_n(60, 3200, 2200) == 2200
    assert hardness_at_n(18.5, 3200, 2200) == pytest.approx((3200 * 2200) ** 0.5)
    assert hardness_at_n(5.5, 3200, 2200) == pytest.approx(3200 * (3200 / 2200) ** 0.5)
    assert hardness_at_n(18, 3200, 2200, 24) == pytest.approx((3200 * 2200) ** 0.5)


def test_hardness_of_gravity_has_the_table_s_factors_and_powers():
    """Table 5-11a, green values from memory; at gravity 1 the power drops out."""
    typed_again = {
        "hardwood": ((15300, 2.09), (16550, 2.31)),
        "softwood": ((8590, 1.49), (6230, 1.41)),
    }
    assert typed_again == HARDNESS_OF_GRAVITY
    dry, green = hardness_from_gravity_n(0.48, "softwood")
    basic = 0.48 / (1 + 0.265 * 0.6 * 0.48)
    assert dry == pytest.approx(8590 * 0.48**1.49)
    assert green == pytest.approx(6230 * basic**1.41)
    with pytest.raises(UnusableInput, match='write "hardwood" or "softwood"'):
        hardness_from_gravity_n(0.5, "plywood")
