"""Names of woods: what is meant, what is asked, what is offered, and how a person goes on."""

from pathlib import Path

import numpy as np
import pytest

from edgetest.chop.species import (
    SPECIES,
    find_species,
    names_a_wood,
    own_species,
    said_as,
    wood_group,
    word_of_water,
)
from edgetest.chop.wood import SD_LOG_RECKONED, wood_of_species
from edgetest.chop.wood_relations import hardness_from_gravity_n
from edgetest.errors import UnusableInput
from tests.benchmarks.woods_table import lines

GUIDE = Path(__file__).parents[2] / "edgetest" / "guide" / "reference" / "woods.md"
HEDGE = [
    "hazel", "European hornbeam", "hawthorn", "field maple", "sweet chestnut", "European sycamore",
    "European holly", "European alder", "silver birch", "European beech", "European ash",
    "English oak", "lime", "black poplar", "European cherry", "apple", "English yew",
    "European larch", "Scots pine", "Norway spruce", "Douglas-fir", "goat willow", "English elm",
]  # fmt: skip


def refused(name):
    with pytest.raises(UnusableInput) as caught:
        find_species(name)
    return caught.value


@pytest.mark.parametrize("name", HEDGE)
def test_woods_of_hedge_and_copse_have_a_name(name):
    assert wood_of_species(name, moisture_pct="green").side_hardness_n.value > 500


@pytest.mark.parametrize("name", ["fraxinus excelsior", "ASH,  European", "common ash"])
def test_a_wood_is_found_by_every_way_to_write_it(name):
    assert find_species(" ".join(name.split())).name == "ash, European"


@pytest.mark.parametrize("wood", SPECIES.values(), ids=lambda wood: wood.name)
def test_each_wood_is_found_by_the_name_that_the_list_of_woods_prints(wood):
    if wood.botanical:
        latin = f"{wood.name} ({wood.botanical})"
        for name in (latin, f"{latin}, {wood.region}", f"{wood.botanical} ({wood.said})"):
            assert find_species(name) is wood
            assert said_as(name) == wood.said


def test_a_botanical_name_tells_which_wood_a_bare_name_means_and_another_is_no_wood():
    assert find_species("Ash (Fraxinus  excelsior)").name == "ash, European"
    assert word_of_water("green ash (Fraxinus pennsylvanica)") == ""
    assert 'did you mean "hazel"?' in refused("hazel (Corylus avelana)").mend
    assert 'did you mean "hazel"?' in refused("hazel (Quercus robur)").mend
    assert "apple" not in refused("maple (Acer)").mend
    assert '"field maple"' in refused("maple (Acer)").mend
    own = own_species("hazel", "hardwood", 0.7)
    assert find_species("hazel (Corylus avellana)", [own]) is own
    mine = own_species("Hazel (Corylus avellana)", "hardwood", 0.7)
    assert find_species("hazel (corylus avellana)", [mine]) is mine


@pytest.mark.parametrize("name", ["ash", "beech", "oak", "cedar", "birch", "maple", "yew", "elm"])
def test_a_name_of_several_woods_is_asked_about(name):
    fault = refused(name)
    assert "means several woods" in fault.what
    ways = fault.mend.split('"')[1::2]
    assert len([way for way in ways if "(" not in way and find_species(way)]) >= 2


def test_of_many_woods_a_few_are_named_and_where_the_others_stand():
    mend = refused("oak").mend
    assert mend.count('"') == 2 * 9  # three of a region, two of one, and the way out
    assert "(a few of 27: `edgetest woods oak` lists all); if none is it, weigh it" in mend
    assert "lists all" not in refused("ash").mend


def test_ash_asks_european_or_american():
    mend = refused("ash").mend
    assert mend.startswith('ash: European or American? Write one of European: "European ash"')
    assert '"white ash"' in mend


def test_every_way_out_that_a_question_offers_is_a_wood():
    groups = {row.name.partition(", ")[0] for row in SPECIES.values() if ", " in row.name}
    for group in groups:
        try:
            find_species(group)
        except UnusableInput as fault:
            for way in fault.mend.split('"')[1::2]:
                assert "(" in way or find_species(way), (group, way)


def test_blackthorn_is_asked_to_be_weighed_and_offers_no_larch():
    fault = refused("blackthorn")
    assert "no published density" in fault.what
    assert 'write "blackthorn (hardwood)" and give density_kg_m3' in fault.mend
    assert "larch" not in str(fault)


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        ("hornbeem", "European hornbeam"),
        ("scotts pine", "Scots pine"),
        ("duglas fir", "coast Douglas-fir"),
    ],
)
def test_a_misspelt_name_offers_the_wood(name, offered):
    assert f'"{offered}"' in refused(name).mend


@pytest.mark.parametrize("name", ["ironbark", "teak", "qwerty", "stainless"])
def test_a_foreign_name_offers_no_wood_but_the_way_out(name):
    fault = refused(name)
    assert "did you mean" not in fault.mend
    assert f'"{name} (hardwood)"' in fault.mend
    assert "[[woods]] of study.toml" in fault.mend


def test_a_culm_is_no_wood():
    assert "its stem is not wood" in refused("bamboo").what


def test_a_reckoned_hardness_says_so_and_is_wider():
    hazel = wood_of_species("hazel", moisture_pct=12)
    ash = wood_of_species("European ash", moisture_pct=12)
    width = [np.log(w.side_hardness_n.high / w.side_hardness_n.low) for w in (hazel, ash)]
    assert width[0] > 1.2 * width[1]
    assert "wood_reckoned" in [one.code for one in hazel.doubts]
    assert hazel.to_dict()["reckoned"] is True
    assert "reckoned from the density" in hazel.source
    assert "reckoned" in hazel.summary()


def test_the_relation_holds_for_woods_that_it_was_not_made_from():
    """Hardness reckoned from density for the measured woods beyond the handbook's."""
    rows = [
        row
        for row in SPECIES.values()
        if not row.reckoned and not row.hardness_source.startswith("Wood Handbook")
    ]
    logs = np.array(
        [
            np.log(
                row.side_hardness_12_n
                / hardness_from_gravity_n(row.specific_gravity_12, row.kind)[0]
            )
            for row in rows
        ]
    )
    assert len(rows) == 49
    assert abs(logs.mean()) < 0.06
    assert logs.std() < 0.20
    assert np.mean(np.abs(logs) < 1.96 * SD_LOG_RECKONED) >= 0.95


def test_every_figure_has_its_source():
    for row in SPECIES.values():
        assert row.density_source, row.name
        assert row.hardness_source, row.name
        assert 0.25 < row.specific_gravity_12 < 1.05, row.name


def test_the_guide_lists_these_woods():
    text = GUIDE.read_text(encoding="utf-8")
    assert [line for line in lines() if line.startswith("|") and line not in text] == []


@pytest.mark.parametrize(
    ("typed", "mend"),
    [
        ("green hazel", 'write the species "hazel", and green under moisture_pct'),
        ("Seasoned oak", 'write the species "oak", and air-dry under moisture_pct'),
        ("n/a", "leave it blank where the wood is not known"),
    ],
)
def test_what_is_no_name_of_a_wood_is_told_where_it_goes(typed, mend):
    with pytest.raises(UnusableInput) as fault:
        find_species(typed)
    assert fault.value.mend == mend


def test_a_wood_has_one_name_in_sentences_whichever_was_typed():
    for typed in ("ash, European", "european Ash", "Fraxinus excelsior", "English ash"):
        assert said_as(typed) == "European ash"
        assert wood_group(typed) == "ash"
    assert said_as("fir, European silver") == "European silver fir"
    assert (said_as("Hedge wood"), said_as(""), wood_group("hedge wood")) == (
        "Hedge wood", "", "hedge wood",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "known"),
    [("hazel", True), ("Oak, white", True), ("oak", True), ("blackthorn", True), ("hedge", False),
     ("", False)],
)  # fmt: skip
def test_a_name_of_a_wood_or_a_group_is_one_with_figures_or_without(name, known):
    assert names_a_wood(name) is known
