"""In a copy for a second use, blades of the first are neither tried for it nor wanted by it."""

import pytest

from edgetest.doubts import codes
from edgetest.steel.steel_seen import TrialSeen
from edgetest.store.records import load_study
from edgetest.study.steel.asked_of_steel import asked_of_steel
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.trials_seen import for_the_use
from tests.study.steel.found_steel import COUPON, make_study

BLADE = """
[[evidence.tempers]]
coupon = "A1"
temperature_c = 200
time_min = 60
repeats = 2
hardness = [58, 58]
[[evidence.heats]]
coupon = "blade1"
medium = "oil"
heat_c = 830
magnet = "lets go"
soak_min = 6
grain = "fine"
[[evidence.trials]]
coupon = "blade1"
test = "chop"
result = "same"
edge = "sound"
strokes = 60
temper_c = 200
"""
SECOND = '[[evidence.pieces]]\nid = "other"\nmakes_blades = 2\n'


def judged(folder, use="", wanted="knife"):
    evidence = COUPON.replace("coupon =", 'piece = "leaf"\ncoupon =') + SECOND
    evidence += BLADE.replace("coupon =", 'piece = "leaf"\ncoupon =') + use
    wishes = f'[verdict]\nuse = "{wanted}"\nblades_wanted = 3\n'
    made = make_study(folder, evidence=wishes + evidence)
    return judge_steel(made, piece="leaf", try_numbers=False)


def test_a_trial_of_another_use_counts_neither_way_and_its_blade_is_gone(tmp_path):
    own, other = judged(tmp_path / "a"), judged(tmp_path / "b", 'use = "hatchet"\n')
    assert (own.action, other.action) == ("reuse", "reuse_trial")
    assert "trial_other_use" not in codes(own.doubts)
    (told,) = [one.text for one in other.doubts if one.code == "trial_other_use"]
    assert told.startswith("blade1, heat 1 was made for another use (chopper)")
    assert "Make one trial blade: 11 of leaf" in other.words()
    assert "Taken off what you wrote: blade1 of leaf, made for another use." in other.words()
    assert other.asked.decision.next_test.code == "trial_blade"  # blade1 is not to be tried here


def test_the_use_of_the_study_itself_changes_nothing(tmp_path):
    plain, said = judged(tmp_path / "a"), judged(tmp_path / "b", 'use = "knives"\n')
    (asked,) = [one.text for one in plain.all_doubts() if one.code == "trial_use_unsaid"]
    assert plain.words().replace(f" {asked}", "") == said.words()


@pytest.mark.parametrize(
    ("wanted", "use", "many"),
    [("knife", "", 1), ("chisel", "", 1), ("chopper", "", 0), ("knife", 'use = "knife"\n', 0),
     ("knife", 'use = "chopper"\n', 0)],
)  # fmt: skip
def test_a_chop_for_a_tool_that_does_not_chop_is_asked_about(tmp_path, wanted, use, many):
    judged(tmp_path / "s", use, wanted)
    asked = [str(one) for one in asked_of_steel(load_study(tmp_path / "s"))]
    said = [one for one in asked if "was that blade made for another use" in one]
    assert len(said) == many
    assert all("trials 1, use" in one for one in said)


def test_a_coupon_that_was_pressed_is_made_for_no_use():
    rod = TrialSeen("leaf", "brass_rod", made_for="chopper")
    chop = TrialSeen("leaf", "chop", made_for="chopper")
    assert [one.made_for for one in for_the_use([rod, chop], "knife")] == ["", "chopper"]
    assert [one.made_for for one in for_the_use([rod, chop], None)] == ["", ""]
