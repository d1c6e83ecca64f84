"""Batches that speak for a heat treatment, and runs that divide over the rolls."""

import json
from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.stats.power import Power
from edgetest.study.wear.batches_planned import batch_doubts, uneven_doubts
from edgetest.wear.plan.design_result import Curve, Option, StudyPlan
from tests.wear.plan.test_scatter_known import study


def blades(*told, control=None, titled=()):
    """(heat treatment, batch) of each blade, called A, B, C …"""
    found = [
        SimpleNamespace(id=name, heat_treatment=treatment, batch=batch)
        for name, (treatment, batch) in zip("ABCDEFGHIJ", told, strict=False)
    ]
    named = [SimpleNamespace(id=one, title=one.title()) for one in titled]
    return SimpleNamespace(blades=found, control=control, heat_treatments=named)


def said(study):
    return [(one.code, one.text) for one in batch_doubts(study)]


def test_blades_without_a_batch_are_named_up_to_six():
    six = blades(*[("hard", "")] * 6, ("soft", "1"), ("soft", "2"))
    ((code, text),) = said(six)
    assert code == "batches_unplanned"
    assert "for A, B, C, D, E and F." in text
    ((_, text),) = said(blades(*[("hard", "")] * 7, ("soft", "1"), ("soft", "2")))
    assert "for 7 blades." in text
    ((_, text),) = said(blades(("hard", ""), ("soft", "")))
    assert "for 2 blades." in text
    ((_, text),) = said(blades(("hard", "")))
    assert "for A." in text


def test_a_control_needs_no_batch():
    four = [("hard", "1"), ("hard", "2"), ("soft", "3"), ("soft", "4")]
    assert said(blades(*four, ("", ""), control="E")) == []


@pytest.mark.parametrize(
    ("told", "alone"),
    [
        ([("hard", "1"), ("hard", "1"), ("soft", "2"), ("soft", "3")], ["hard"]),
        ([("hard", "1"), ("hard", "1"), ("soft", "1"), ("soft", "3")], []),
        ([("hard", "1"), ("hard", "2")], []),
        ([("hard", "1"), ("soft", "2")], []),
        ([("hard", "1"), ("hard", "1"), ("soft", "2"), ("soft", "2")], ["hard", "soft"]),
        ([(None, "1"), (None, "1")], []),
    ],
)
def test_one_batch_of_its_own_speaks_for_no_heat_treatment(told, alone):
    found = [text for code, text in said(blades(*told)) if code == "one_batch_each"]
    assert [text.split()[3] for text in found] == alone


def test_batches_that_hold_several_blades_are_what_the_comparison_will_count():
    held = [("hard", "1"), ("hard", "1"), ("hard", "2"), ("soft", "3"), ("soft", "4")]
    found = said(blades(*held))
    assert [code for code, _ in found] == ["batches_count_once"]
    assert found[0][1].startswith("The 3 blades of hard come out of 2 batches.")
    assert "of results it sees 2, not 3" in found[0][1]
    assert "own blades counts that" in found[0][1]
    ((_, chopped),) = [(o.code, o.text) for o in batch_doubts(blades(*held), rolls=None)]
    assert "as 2 would, not 3; a chop test counts every blade" in chopped
    assert "own blades counts that" in chopped
    each = [("hard", "1"), ("hard", "2"), ("soft", "3"), ("soft", "4")]
    assert said(blades(*each)) == []
    ((_, both),) = said(blades(*held, ("soft", "4")))
    assert both.startswith("The 3 blades of hard come out of 2 batches and the 3 blades of soft")
    assert "of results it sees 2 of each, not 3 of each" in both


def test_looks_are_told_to_count_batches_where_blades_share_one():
    def told(*batches, looks=True):
        study = blades(*zip(("h", "h", "s", "s"), batches, strict=True))
        found = batch_doubts(study, looks=looks)
        return [one.text for one in found if one.code == "looks_count_batches"]

    (said,) = told("Mon", "Mon", "Tue", "Wed")
    assert "a look counts blades that share one (Mon) once" in said
    assert told("Mon", "Tue", "Wed", "Thu") == []  # every blade by itself
    assert told("Mon", "Mon", "Mon", "Mon") == []  # weighed as a roll is
    assert told("Mon", "Mon", "Tue", "Wed", looks=False) == []


def test_a_batch_that_both_share_is_told_where_it_takes_the_place_of_the_roll():
    both = blades(("hard", "1"), ("hard", "2"), ("soft", "2"), ("soft", "3"))
    ((code, text),) = said(both)
    assert code == "batches_shared"
    assert 'out of the same batch: "2".' in text
    assert "counts that, so it may be lower" in text
    for rolls in (2, None):
        assert batch_doubts(both, rolls=rolls) == []
    assert said(blades(("hard", "1"), ("hard", "1"), ("soft", "1"))) == []  # it tells none apart


def test_batches_that_a_slip_parts_are_asked_about_in_a_plan_too():
    told = said(blades(("hard", "Q1"), ("hard", "Q1"), ("soft", "q1"), ("soft", "Q2")))
    (text,) = [text for code, text in told if code == "batches_nearly_alike"]
    assert text.startswith('The batch "q1" is nearly "Q1" of other blades')
    assert 'Write "Q1" if it is the same.' in text


def test_heat_treatments_are_told_by_their_titles():
    held = [("hard", "1"), ("hard", "1"), ("hard", "2"), ("soft", "3"), ("soft", "4")]
    ((_, text),) = said(blades(*held, titled=("hard", "soft")))
    assert text.startswith("The 3 blades of Hard come out of 2 batches.")
    one = blades(("hard", "1"), ("hard", "1"), ("soft", "2"), titled=("hard", "soft"))
    assert said(one)[0][1].startswith("All blades of Hard come from one batch")
    (uneven,) = uneven_doubts(runs(hard="12", soft="122"), blades(titled=("hard", "soft")))
    assert "Soft" in uneven.text


def runs(**blocks):
    """Heat treatment → block of each of its runs."""
    return [SimpleNamespace(treatment=t, block=b) for t, of in blocks.items() for b in of]


def test_of_runs_that_do_not_divide_no_other_number_of_rolls_is_bidden_unasked():
    ((text),) = [one.text for one in uneven_doubts(runs(hard="112", soft="1122"))]
    assert text == (
        "3 runs of hard do not divide over 2 rolls, boards or days, so some hold more of it than "
        "others."
    )
    assert uneven_doubts(runs(hard="12", soft="12", control="112")) == []


def chance(value, stderr=0.0):
    return Power(value, stderr, "simulated" if stderr else "exact", None, "t")


def test_numbers_of_rolls_are_bidden_by_which_the_plan_s_own_chance_gains():
    """Four a side over three rolls; over four of them the chance falls."""
    even = {1: chance(0.86, 0.02), 2: chance(0.81, 0.03), 4: chance(0.58, 0.02)}
    option = Option(8, 3, 2, 0.05, 0.12, 5, 480)
    need = StudyPlan(1.25, 0.8, 0.95, 0.1, option, Curve((3,), (chance(0.5),)), (option,),
                     chance(0.68, 0.02), (4, 4), 2, even=even)  # fmt: skip
    uneven = runs(hard="1122", soft="1233")
    text = uneven_doubts(uneven, need=need)[0].text
    assert text.endswith("better where they do: about 86 % over 1 or 81 % over 2.")
    chosen = replace(need, as_planned=chance(0.80, 0.02))  # 81 % is better by chance alone
    assert uneven_doubts(uneven, need=chosen)[0].text.endswith("do: about 86 % over 1.")
    best = replace(need, as_planned=chance(0.85, 0.02))
    assert uneven_doubts(uneven, need=best)[0].text.endswith("of it than others.")


def test_the_command_bids_no_roll_that_lowers_its_chance(run, tmp_path):
    folder = study(tmp_path, "three", [f"{side}{n}" for side in "SH" for n in range(3)])
    asked = ("--ratio", "1.5", "--dry-run", "--json", "--blocks", "1,2")
    found = json.loads(run("plan", folder, *asked)[1])
    in_one = next(each["power"] for each in found["otherwise"] if each["times"] == 1)
    assert in_one > found["as_planned"]["power"]
    (text, _) = [one["text"] for one in found["doubts"] if one["code"] == "blades_uneven"]
    assert text.endswith(f"better where they do: {100 * in_one:.0f} % over 1.")


def test_rolls_of_unlike_size_that_hold_the_heat_treatments_alike_are_not_doubted():
    assert uneven_doubts(runs(hard="12222", soft="12222", control="112")) == []
    assert uneven_doubts(runs(hard="122", soft="112222")) == []
    assert [one.code for one in uneven_doubts(runs(hard="12222", soft="11222"))] == [
        "blades_uneven", "blades_uneven"
    ]  # fmt: skip
    assert len(uneven_doubts(runs(hard="12222"))) == 1  # of one alone nothing is shared


def test_a_plan_says_of_which_blades_the_one_batch_is_named():
    held = [("hard", "1"), ("hard", "1"), ("hard", ""), ("soft", "2"), ("soft", "3")]
    (bare, one) = [text for _, text in said(blades(*held))]
    assert "such a blade counts as out of one batch with others of its heat treatment" in bare
    assert one.startswith("All blades of hard whose batch is named come from one batch")
    ((_, text),) = said(blades(("hard", ""), ("soft", "")))
    assert "such a blade counts" not in text  # none is named: the comparison says so itself


def test_blades_of_one_heat_treatment_compare_nothing():
    found = said(blades(("hard", "1"), ("hard", "2"), titled=("hard",)))
    (text,) = [text for code, text in found if code == "nothing_planned_apart"]
    assert text.startswith("All blades have one heat treatment (Hard): the test will show")
    assert "give each a heat treatment of its own, with the same steps" in text


@pytest.mark.parametrize(
    "told", [[("hard", "1")], [("", "1"), ("", "2")], [("a", "1"), ("b", "2")]]
)
def test_one_blade_blades_of_none_and_blades_of_two_are_no_blades_of_one(told):
    assert "nothing_planned_apart" not in [code for code, _ in said(blades(*told))]
