import json

import pytest

from edgetest.chop.wood import (
    STATES,
    hardness_of_billets,
    measured_wood,
    moisture_pct,
    wood_by_weight,
    wood_of_species,
    wood_state,
)
from edgetest.chop.wood_relations import hardness_at_n
from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SAME_WATER, WATER
from tests.chop import codes


def test_names_are_found_turned_round_and_in_any_case():
    assert wood_of_species("White Oak").name == "white oak"
    assert wood_of_species("hard maple").name == "sugar maple"
    assert wood_of_species("coast douglas-fir").name == "coast Douglas-fir"


def test_unknown_species_offers_the_oaks():
    with pytest.raises(UnusableInput, match=r'"white oak".*weigh it'):
        wood_of_species("bog oak")


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


def test_words_for_moisture_have_their_meaning():
    ash = {word: wood_of_species("white ash", moisture_pct=word) for word in STATES}
    assert ash["green"].side_hardness_n.value == 4300
    assert ash["oven-dry"].side_hardness_n.value > 5900
    assert 4300 < ash["air-dry"].side_hardness_n.value < 5900
    assert all("moisture_by_word" in codes(wood) for wood in ash.values())
    exact = wood_of_species("white ash", moisture_pct=14)
    assert ash["air-dry"].hardness_sd_log > exact.hardness_sd_log
    assert "30 % moisture or more" in ash["green"].summary()
    assert ash["green"].to_dict()["state"] == "green"
    assert {wood_state(word) for word in SAME_WATER} == set(STATES) == set(WATER)


def test_another_word_for_a_state_is_told_with_what_it_counts_as():
    texts = {
        word: [one.text for one in wood_of_species("white ash", moisture_pct=word).doubts
               if one.code == "moisture_by_word"]
        for word in ("green", "Wet")
    }  # fmt: skip
    assert texts["green"][0].startswith("Moisture is given in a word: green is taken as 30 %")
    assert texts["Wet"][0].startswith(
        'Moisture is given in a word: "wet" counts as green, and that is taken as 30 %'
    )


def test_the_weight_of_green_wood_is_not_used():
    green = wood_of_species("white ash", moisture_pct="green", density_kg_m3=1100)
    assert "green_density_unused" in codes(green)
    assert green.side_hardness_n.value == 4300
    with pytest.raises(UnusableInput, match="means nothing until you know its water"):
        wood_by_weight(1000, 1000, "hardwood", moisture_pct="green")


def test_a_wood_of_the_makers_own_is_as_hard_as_it_was_measured():
    bare = measured_wood("my plum", "hardwood", 800, 14)
    tested = measured_wood("my plum", "hardwood", 800, 14, 7000)
    wood = wood_of_species("My Plum", moisture_pct=14, own=[tested])
    assert wood.side_hardness_n.value == pytest.approx(7000)
    assert wood.density_kg_m3 == pytest.approx(800)
    reckoned = wood_of_species("my plum", moisture_pct=14, own=[bare])
    assert "wood_reckoned" in codes(reckoned)
    assert reckoned.hardness_sd_log > wood.hardness_sd_log
    assert wood_of_species("my plum", moisture_pct=60, own=[tested]).side_hardness_n.value < 6000


def test_a_wood_of_the_makers_own_that_was_measured_is_known_as_well_as_a_weighed_one():
    tested = measured_wood("my plum", "hardwood", 800, 12, 7000)
    own = wood_of_species("my plum", moisture_pct=12, own=[tested])
    named = wood_of_species("white oak", moisture_pct=12)
    weighed = wood_of_species("white oak", moisture_pct=12, density_kg_m3=named.density_kg_m3)
    assert own.hardness_sd_log == weighed.hardness_sd_log < named.hardness_sd_log


def test_a_loose_name_is_taken_and_said():
    wood = wood_of_species("Douglas-fir", moisture_pct=12)
    assert wood.name == "coast Douglas-fir"
    assert "wood_taken_as" in codes(wood)
    assert "wood_taken_as" not in codes(wood_of_species("coast Douglas-fir", moisture_pct=12))


def test_bamboo_is_weighed_with_a_doubt():
    assert "culm_no_wood" in codes(wood_by_weight(700, 1000, "hardwood", name="bamboo"))


def test_missing_moisture_is_said():
    assert "moisture_assumed" in codes(wood_of_species("basswood"))
    assert "green_hardness_assumed" in codes(wood_of_species("shagbark hickory"))
    dry = wood_of_species("shagbark hickory", moisture_pct=12)
    assert "green_hardness_assumed" not in codes(dry)  # nothing of the green one counts
    assert json.dumps(wood_of_species("basswood").to_dict(), allow_nan=False)
    assert wood_of_species("basswood").summary().startswith("basswood at 12 % moisture")


def test_moisture_of_a_slice():
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
        (lambda: moisture_pct(90, 100), "weigh wet first"),
        (lambda: wood_by_weight(500, 10, "hardwood"), "no wood's density"),
        (lambda: wood_by_weight(500, 1000, "conifer"), '"hardwood" or "softwood"'),
        (lambda: wood_of_species("basswood", moisture_pct=-3), "percent of the oven-dry mass"),
    ],
)
def test_errors_say_what_and_how_to_mend(call, words):
    with pytest.raises(UnusableInput, match=words):
        call()


def test_green_ash_is_told_as_the_american_species_and_not_as_fresh_wood():
    wood = wood_of_species("green ash", moisture_pct="green")
    assert wood.name == "American green ash"
    (told,) = [one for one in wood.doubts if one.code == "wood_or_water"]
    assert (told.gravity, "not as a wood that is green" in told.text) == ("limits", True)
    assert "wood_or_water" in codes(wood_of_species("Ash, green", moisture_pct=12))
    for exact in ("American green ash", "Fraxinus pennsylvanica"):
        assert wood_of_species(exact, moisture_pct=12).name == "American green ash"
        assert "wood_or_water" not in codes(wood_of_species(exact, moisture_pct=12))


@pytest.mark.parametrize("name", ["hazel", "European ash", "sugar maple"])
def test_nobody_is_sent_to_weigh_a_green_billet(name):
    told = " ".join(one.text for one in wood_of_species(name, moisture_pct="green").doubts)
    assert "Weigh" not in told
    assert "Weigh" in " ".join(one.text for one in wood_of_species(name, moisture_pct=14).doubts)
