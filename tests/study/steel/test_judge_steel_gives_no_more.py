"""A piece whose only blade stood is asked for no other though a sister's chipped."""

from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import make_study

TINE = """
[[evidence.pieces]]
id = "{0}"
origin = "harrow tine"
lot = "tines"
makes_blades = {1}
coating = "none"
lead = "no"
magnet = "strong"
sparks = "like high"
"""
BLADE = """
[[evidence.heats]]
piece = "{0}"
coupon = "{1}"
medium = "oil"
heat_c = 820
magnet = "lets go"
soak_min = 5
hardness_below = "60-65"
grain = "fine"
[[evidence.tempers]]
piece = "{0}"
coupon = "{1}"
temperature_c = 225
time_min = 60
repeats = 2
hardness = "55-60"
[[evidence.trials]]
piece = "{0}"
coupon = "{1}"
test = "chop"
strokes = 60
result = "{2}"
edge = "{3}"
"""


def judged(folder, makes):
    evidence = TINE.format("T1", makes) + TINE.format("T2", 2) + TINE.format("T3", 1)
    evidence += BLADE.format("T1", "blade1", "same", "sound")
    evidence += BLADE.format("T2", "blade2", "worse", "chipped")
    made = make_study(folder, evidence='[verdict]\nuse = "chopper"\n' + evidence)
    return judge_steel(made, piece="T1", try_numbers=False)


def test_one_more_blade_is_asked_of_a_piece_that_gives_one_alone(tmp_path):
    more, none = judged(tmp_path / "a", 3), judged(tmp_path / "b", 1)
    assert (more.action, more.asked.decision.way) == ("reuse_trial", "trial_blade")
    assert (none.action, none.asked.decision.way) == ("reuse", None)
    assert "so this piece gives no more" in none.words()
    assert "A blade of either of them (T2 and T3) tells of the rest of the lot." in none.words()
    assert "Reuse it: 1 of T1" in none.words()
