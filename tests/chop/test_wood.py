import json

import pytest

from edgetest.chop.wood import (
    cross_section_cm2,
    hardness_at_n,
    hardness_of_billets,
    lumber_mm,
    moisture_pct,
    wood_by_weight,
    wood_of_species,
)
from edgetest.errors import UnusableInput
from tests.chop import codes


def test_names_are_found_turned_round_and_in_any_case():
    assert wood_of_species("White Oak").name == "oak, white"
    assert wood_of_species("hard maple").name == "maple, sugar"
    assert wood_of_species("coast douglas-fir").name == "Douglas-fir, coast"


def test_unknown_species_offers_the_oaks():
    with pytest.raises(UnusableInput, match=r"oak, white.*weigh and measure"):
        wood_of_species("holm oak")


def test_wood_dries_from_green_hardness_to_tabled_hardness():
    green, dry = 4700.0, 6000.0
    assert hardness_at_n(12, dry, green) == dry
    assert hardness_at_n(25, dry, green) == green
    assert hardness_at_n(80, dry, green) == green
    assert hardness_at_n(18.5, dry, green) == pytest.approx((dry * green) ** 0.5)
    assert hardness_at_n(6, dry, green) > dry


def test_a_denser_board_is_harder_and_better_known_than_its_name():
    named = wood_of_species("white oak", moisture_pct=12)
    heavy = wood_of_species("white oak", moisture_pct=12, density_kg_m3=1.1 * named.density_kg_m3)
    assert heavy.side_hardness_n.value / named.side_hardness_n.value == pytest.approx(
        1.1**2.09, rel=0.03
    )
    assert heavy.hardness_sd_log < named.hardness_sd_log
    assert codes(named) == ["wood_by_name_only"]
    assert codes(heavy) == []


def test_weighing_a_wet_billet_takes_its_water_off():
    dry = wood_by_weight(500, 1000, "softwood", moisture_pct=12)
    wet = wood_by_weight(500, 1000, "softwood", moisture_pct=60)
    assert wet.side_hardness_n.value < 0.55 * dry.side_hardness_n.value


def test_missing_moisture_is_said():
    assert "moisture_assumed" in codes(wood_of_species("basswood"))
    assert "green_hardness_assumed" in codes(wood_of_species("shagbark hickory"))
    assert json.dumps(wood_of_species("basswood").to_dict(), allow_nan=False)
    assert wood_of_species("basswood").summary().startswith("basswood at 12 % moisture")


def test_cross_sections_and_moisture():
    assert cross_section_cm2(width_mm=88.9, thickness_mm=38.1) == pytest.approx(33.871, abs=1e-3)
    assert cross_section_cm2(diameter_mm=100) == pytest.approx(78.540, abs=1e-3)
    assert lumber_mm("4 x 4", condition="green") == pytest.approx((90.4875, 90.4875))
    assert moisture_pct(136, 100) == pytest.approx(36)


def test_billets_of_one_board_err_together():
    woods = [
        wood_of_species(name, moisture_pct=12) for name in ["white oak"] * 2 + ["basswood"] * 2
    ]
    values, shared = hardness_of_billets(woods)
    assert values.tolist() == [6000, 6000, 1800, 1800]
    assert shared == pytest.approx(0.20 / 2**0.5)
    assert hardness_of_billets(woods[:2])[1] == pytest.approx(0.20)
    assert hardness_of_billets(woods[:2], ["p", "q"])[1] == pytest.approx(0.20 / 2**0.5)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cross_section_cm2(width_mm=40), "width and thickness, or the diameter"),
        (lambda: cross_section_cm2(width_mm=40, thickness_mm=-2), "above zero"),
        (lambda: lumber_mm("2x5000"), '"2x5000" is no nominal lumber size'),
        (lambda: lumber_mm("two by four"), "write it as 2x4"),
        (lambda: moisture_pct(90, 100), "weigh wet first"),
        (lambda: wood_by_weight(500, 10, "hardwood"), "no wood's density"),
        (lambda: wood_by_weight(500, 1000, "conifer"), '"hardwood" or "softwood"'),
        (lambda: wood_of_species("basswood", moisture_pct=-3), "percent of the oven-dry mass"),
    ],
)
def test_errors_say_what_and_how_to_mend(call, words):
    with pytest.raises(UnusableInput, match=words):
        call()
