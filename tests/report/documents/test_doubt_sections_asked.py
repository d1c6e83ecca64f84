"""More blades are the maker's to plan; what they would tell stands for the customer, with looks."""

from types import SimpleNamespace

import pytest

from edgetest.report.documents.comparison_document import _answer_section, _said_of
from edgetest.report.documents.doubt_sections import (
    _met_apart,
    asked_section,
    doubt_section,
    limits_section,
)
from edgetest.study.wear.headline import Headline
from edgetest.wear.compare.verdict_on_ratio import BladesNeeded, needed_sentence

NEEDED = BladesNeeded(9, 4, 55, "verdict")


def result_of(*answer, decides=()):
    page_one = SimpleNamespace(plain="It cannot tell.", choice="", rests_on="", method="")
    headline = Headline((*answer, *decides), decides=decides)
    return SimpleNamespace(
        page_one=page_one, headline=headline, blades_left_out=[], leaning=[], comparison=None,
        protocol=SimpleNamespace(medium=SimpleNamespace(kind="sisal rope")), has_curves=True,
        study=SimpleNamespace(blades=[], heat_treatments=[]), alternatives=(),
        fit=SimpleNamespace(blades=[], powers={}), readings=(),
    )  # fmt: skip


def test_the_command_that_fixes_looks_is_told_to_the_maker_and_not_on_page_one():
    result = result_of(needed_sentence(NEEDED))
    page_one = str(_answer_section(result, None, {}))
    assert "About 9 blades a side in all (somewhere from 4 to 55)" in page_one
    assert "edgetest plan" not in page_one
    assert "9 to 20 in 100" not in page_one
    (told,) = asked_section(result)
    assert told["heading"] == "To the maker"
    assert "`edgetest plan STUDY --looks --most 9 --history STUDY`" in str(told)


def test_what_decides_is_told_whole_on_page_one():
    cross = "The wear curves cross. Look at the ratios to other limits instead of one ratio."
    result = result_of(decides=(cross,))
    assert cross in str(_answer_section(result, None, {}))
    assert asked_section(result) == []


def numbers_of(scope, look=None):
    ratio = {"estimate": 1.2, "low": 0.9, "high": 1.6, "level": 0.95}
    return {"ratio": ratio, "scope": scope, "blades_needed_detail": NEEDED.to_dict(),
            "groups": [{"counted": "blades", "sd_log_life": None}], "look": look,
            "practical": {"margin": 0.25}}  # fmt: skip


@pytest.mark.parametrize(
    ("scope", "says"),
    [
        (
            "heat_treatments",
            " would settle which lasts longer, or that both are alike to within 25 %, if",
        ),
        ("batches", ", of the same batches, would tell these batches apart; only blades from more"),
    ],
)
def test_how_many_blades_would_do_stands_with_its_range_and_its_condition(scope, says):
    said = str(limits_section(result_of(), numbers_of(scope)))
    assert f"About 9 blades a side in all (somewhere from 4 to 55){says}" in said


def test_the_interval_of_a_look_counts_all_looks():
    looked = str(doubt_section(result_of(), numbers_of("heat_treatments", {"of": 7})))
    assert "intervals made this way, those of all 7 looks together, here 0.90 to 1.60," in looked
    once = str(doubt_section(result_of(), numbers_of("heat_treatments")))
    assert "intervals made this way, here 0.90 to 1.60," in once


def test_the_scatter_of_a_heat_treatment_goes_by_its_title_as_sentences_say_it():
    result = result_of()
    named = [SimpleNamespace(id="a", title="tempered twice"), SimpleNamespace(id="b", title="soft")]
    result.study.heat_treatments = named
    numbers = numbers_of("heat_treatments")
    numbers["groups"] = [
        {
            "counted": "blades",
            "replicates": 3,
            "treatment": name,
            "sd_log_life": 0.1,
            "blades": [f"{name[0]}{k}" for k in (1, 2)],
        }
        for name in ("tempered twice", "soft")
    ]
    numbers["groups"].append(numbers["groups"][1] | {"treatment": "coarse", "sd_at_most": True})
    said = str(doubt_section(result, numbers))
    at_most = "of coarse differ from one another by at most 11 % in life (standard deviation;"
    assert f"{at_most} the stages between which these lives ended tell no closer)" in said
    assert "The 3 blades of “tempered twice” differ from one another by about 11 %" in said
    assert "The 3 blades of “soft” differ" in said
    assert "they met" not in said
    result.readings = [
        SimpleNamespace(blade=f"t{n}", run=f"t{n}", block=f"roll {n}", excluded=n > 1)
        for n in (1, 2)
    ]
    assert "they met" not in str(doubt_section(result, numbers))
    result.readings[1].excluded = False
    said = str(doubt_section(result, numbers))
    assert "(standard deviation; part of it may be the rolls, boards or days that they met)" in said


@pytest.mark.parametrize(("swap", "told"), [(False, False), (True, True)])
def test_rolls_that_every_batch_met_alike_are_no_part_of_how_batches_differ(swap, told):
    blades = {"a1": "q1", "a2": "q1", "a3": "q2", "a4": "q2"}
    rolls = dict(zip(blades, (1, 2, 2, 2 if swap else 1), strict=True))
    readings = [SimpleNamespace(blade=name, run=name, block=f"roll {roll}", excluded=False)
                for name, roll in rolls.items()]  # fmt: skip
    group = {"counted": "batches", "blades": list(blades)}
    assert _met_apart(group, readings, blades) is told
    assert _met_apart({**group, "counted": "blades"}, readings, blades)


def test_page_one_says_once_that_two_cannot_be_told_apart():
    cannot = "Cannot tell yet which of a and b holds its edge longer."
    result = result_of(cannot, "Chance that a lasts longer: 51 %.")
    two, three = {"pairs": []}, {"pairs": [{}]}
    assert cannot in _said_of(result, two)  # where nothing above says it
    result.page_one.plain = "This test cannot tell which of a and b holds its edge longer."
    assert _said_of(result, two) == ["Chance that a lasts longer: 51 %."]
    assert cannot in _said_of(result, three)
