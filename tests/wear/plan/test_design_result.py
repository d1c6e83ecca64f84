"""What does a plan say, and to which numbers does it say it?"""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from edgetest.stats.power import Power
from edgetest.wear.plan.design_result import Curve, InBatches, Option, Otherwise, StudyPlan
from edgetest.wear.plan.pooled_blades import blades_by_curve, power_to_tell
from edgetest.wear.plan.scatter_known import ScatterKnown
from edgetest.wear.plan.study_design import Goal
from edgetest.wear.plan.study_power import UNSAID


def power(value, how="exact", stderr=0.0):
    return Power(value, stderr, how, None, "t")


OPTION = Option(5, 3, 2, 0.1, 0.2, 6, 360)
PLAN = StudyPlan(
    ratio=1.25, power=0.8, level=0.95, sd_blades=0.15, chosen=OPTION,
    curve=Curve((3, 6), (power(0.5), power(0.82))), options=(OPTION,), as_planned=None,
    blades_planned=(), treatments=2,
)  # fmt: skip


def test_a_plan_tells_the_blades_and_their_range():
    assert PLAN.summary() == (
        "To show a life 25 % longer with a chance of 80 %: 6 blades of each heat treatment. To "
        "show a smaller one, or that both are alike to within less, takes more. The readings "
        "make up 25 % of the scatter; better readings save little, more blades save most."
    )
    known = replace(PLAN, known=ScatterKnown(5.0, 0.15, 0.09, 0.37, 5, 4, None))
    assert (
        "6 blades of each heat treatment, averaged over how far blades may scatter. To show a "
        "smaller one, or that both are alike to within less, takes more. What is known of their "
        "scatter, worth 5.0 degrees of freedom, leaves 9 % to 37 % open (95 % interval), which "
        "takes from 4 to more than 200 blades; 5 at its middle, 15 %."
    ) in known.summary()
    assert known.to_dict()["blades_low"] == 4
    assert replace(PLAN, ratio=0.8).difference == "a life 20 % shorter"
    assert PLAN.curve.blades == (3, 6)
    assert PLAN.curve.chances == (0.5, 0.82)


@pytest.mark.parametrize(
    ("reading_se", "says"),
    [
        (0.0, None),
        (0.141, "The readings make up 50 %"),
        (0.142, "50 % of the scatter is the readings': more stations, stages or readings"),
    ],
)
def test_readings_are_told_to_matter_from_half_of_the_scatter_on(reading_se, says):
    found = replace(PLAN, chosen=replace(OPTION, reading_se=reading_se)).summary()
    assert says in found if says else "scatter;" not in found


def test_what_more_blades_than_a_shop_makes_cannot_show():
    none = replace(PLAN, chosen=replace(OPTION, blades=None))
    assert none.summary().startswith("A life 25 % longer cannot be shown with up to 200 blades")
    assert none.in_short() == "too many blades of each would show a life 25 % longer"
    assert PLAN.in_short() == "6 blades of each would show a life 25 % longer"


@pytest.mark.parametrize(
    ("blades", "says", "short"),
    [
        ((3, 3), "With this study's own 3 blades of each the chance is 47 %.", True),
        ((2, 3), "With this study's own 2 and 3 blades the chance is 47 %.", True),
        ((1, 3), "One blade of a heat treatment tells of that blade", False),
    ],
)
def test_the_study_s_own_blades(blades, says, short):
    found = replace(PLAN, as_planned=power(0.47), blades_planned=blades)
    assert says in found.summary()
    assert (found.in_short() == "chance to show a life 25 % longer: 47 %") == short
    assert found.to_dict()["as_planned"]["blades"] == list(blades)
    assert PLAN.to_dict()["as_planned"] is None


def test_chances_that_were_simulated_say_how_surely():
    curve = Curve((3, 6), (power(0.5, "simulated", 0.02), power(0.8, "simulated", 0.01)))
    found = replace(PLAN, curve=curve)
    assert found.simulated
    assert "(standard error up to 2 points)" in found.summary()
    assert not PLAN.simulated
    assert [row["blades"] for row in found.to_dict()["curve"]] == [3, 6]
    assert list(PLAN.to_frame()["readings"]) == [360]


def test_blades_that_share_batches_are_told_with_them():
    own = replace(PLAN, as_planned=power(0.2), blades_planned=(4, 4), batches_planned=(2, 2))
    assert (
        "With this study's own 4 blades of each, in 2 batches, the chance is 20 % at the most: how "
        "far your batches differ is not known."
    ) in own.summary()
    assert own.in_short().endswith("20 % at the most")
    known = replace(own, sd_batches=0.1)
    assert "own 4 blades of each, in 2 batches, the chance is 20 %." in known.summary()
    assert known.in_short().endswith("20 %")
    one = replace(own, batches_planned=(1, 1), as_planned=replace(power(0.0), method=UNSAID))
    assert "4 blades of each, in 1 batch, tell of their batches, not of heat" in one.summary()
    assert "would show" in one.in_short()
    each = replace(own, batches_planned=(4, 4))
    assert "own 4 blades of each the chance is 20 %." in each.summary()


def test_where_no_batch_is_named_the_chance_in_few_batches_stands_beside():
    few = (InBatches(6, 2, power(0.21)), InBatches(6, 3, power(0.4)))
    said = replace(PLAN, in_batches=few).summary()
    assert (
        "With 6 blades of each the chance is in 2 batches 21 % at the most, in 3 batches 40 % at "
        "the most, and in one batch each nothing is shown of heat treatments; how far your "
        "batches differ is not known."
    ) in said
    known = replace(PLAN, in_batches=few, sd_batches=0.08)
    assert "in 3 batches 40 %, and in one batch each" in known.summary()
    assert "not known" not in known.summary()
    assert known.to_dict()["in_batches"][0]["batches"] == 2


def test_one_line_goes_through_simulated_chances_where_the_number_needed_is_read_off():
    n, sd = (2, 3, 4, 6, 8, 12), 0.16
    true = power_to_tell(n, 1.25, sd)
    off = (0.05, -0.05, 0.05, -0.05, 0.05, -0.05)
    curve = Curve(n, tuple(power(p + o, "simulated", 0.04)
                           for p, o in zip(true.tolist(), off, strict=True)))  # fmt: skip
    line = curve.through(1.25)
    assert_allclose(line, true, atol=0.03)
    needed = blades_by_curve(Goal(1.25), curve, sd, sd)
    reaches = [number for number, chance in zip(n, line, strict=True) if chance >= 0.8]
    assert max(set(n) - set(reaches)) < needed <= reaches[0]
    assert PLAN.curve.through(1.25) == PLAN.curve.chances


def test_what_a_split_over_blocks_costs_and_what_a_second_run_gives_stand_beside_the_own_chance():
    ways = (Otherwise(1, power(0.27)), Otherwise(2, power(0.36, "simulated", 0.02)))
    found = replace(PLAN, as_planned=power(0.18), blades_planned=(3, 3), otherwise=ways)
    said = found.summary()
    assert (
        "own 3 blades of each the chance is 18 %. The same blades cut once, all in one block (one "
        "roll, one day): 27 %; each block more is one unknown more, to be told from the same "
        "lives. The same blades sharpened and cut twice, each once in each of two blocks: about "
        "36 %, if half of a blade's scatter comes with its sharpening and its run (our choice): a "
        "second run averages out that half, not the blade's own."
    ) in said
    twice = replace(found, as_planned=power(0.36), otherwise=ways[:1]).summary()
    assert "all in one block (one roll, one day): 27 %. The readings" in twice
    named = (Otherwise(1, power(0.27), weighed=True),)
    split = replace(found, as_planned=power(0.36), otherwise=named).summary()
    assert (
        "one day): 27 %. On one roll your batches are weighed, on several they are only named, so "
        "this does not say that the split helps."
    ) in split
    assert [each["times"] for each in found.to_dict()["otherwise"]] == [1, 2]


def test_only_a_chance_that_was_worked_out_is_a_better_one():
    even = {2: power(0.9), 3: replace(power(0.95), method=UNSAID), 4: power(0.5, stderr=0.04)}
    found = replace(PLAN, as_planned=power(0.45), blades_planned=(6, 6), even=even)
    assert found.blocks_that_help() == {2: even[2]}
