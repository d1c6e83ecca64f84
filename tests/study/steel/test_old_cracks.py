"""A blade that broke at an old crack of its forging is lost, and tells nothing of the steel."""

from edgetest.doubts import codes
from edgetest.steel.steel_seen import OLD_CRACK, HeatSeen, TrialSeen
from edgetest.study.steel.evidence_words import trial_line
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.old_cracks import broken_at_old_cracks, trials_at_old_cracks
from tests.study.steel.found_steel import make_study

TINES = """
[verdict]
use = "hedging tool"
[[evidence.pieces]]
id = "T1"
origin = "harrow tine"
lot = "tines"
makes_blades = 3
coating = "none"
lead = "no"
magnet = "strong"
sparks = "like high"
[[evidence.pieces]]
id = "T2"
origin = "harrow tine"
lot = "tines"
makes_blades = 3
coating = "none"
lead = "no"
magnet = "strong"
sparks = "like high"
"""
TREATED = """
[[evidence.heats]]
piece = "{0}"
coupon = "{1}"
heat = 1
medium = "oil"
colour = "cherry"
magnet = "lets go"
soak_min = 4
hardness_below = "60-65"
[[evidence.tempers]]
piece = "{0}"
coupon = "{1}"
heat = 1
temperature_c = 230
time_min = 60
repeats = 2
hardness = "55-60"
for_use = true
"""
TRIED = """
[[evidence.trials]]
piece = "{0}"
coupon = "{1}"
heat = 1
test = "chop"
strokes = 60
edge = "{2}"
result = "same"
"""
BROKE = TRIED.format("T2", "blade2", "broke").replace('result = "same"\n', "")


def tines(folder):
    stood = TREATED.format("T1", "blade1") + TRIED.format("T1", "blade1", "sound")
    spare = TREATED.format("T2", "1") + TREATED.format("T2", "blade2")
    return make_study(folder, evidence=TINES + stood + spare + BROKE)


def looked(run, folder, how):
    told = ["--evidence", "heats", "piece=T2", "coupon=blade2", "heat=1", f"fracture={how}"]
    code, _, err = run("enter", folder, *told, "grain=fine")
    assert code == 0, err
    return [judge_steel(folder, piece=p, try_numbers=False) for p in ("T1", "T2")]


def test_a_break_at_an_old_crack_asks_for_no_other_temper_and_holds_no_sister_back(tmp_path, run):
    plain = looked(run, tines(tmp_path / "a"), "snapped clean")
    flawed = looked(run, tines(tmp_path / "b"), "old crack")
    assert "use no blade of this heat treatment" in plain[1].words()
    assert plain[0].action == "reuse_trial"
    assert flawed[0].action == "reuse"
    words = flawed[1].words()
    assert "use no blade of this heat treatment" not in words
    assert "broke at an old crack or cold shut, as you wrote of its break" in words
    assert "Taken off what you wrote: blade2 of T2" in words
    assert "coupon blade2" not in words.split("\n")[0]


def test_only_the_blade_of_that_heat_is_marked_and_only_where_it_broke():
    heats = [HeatSeen("A", "blade1", fracture=OLD_CRACK), HeatSeen("A", "blade2")]
    trials = [TrialSeen("A", "chop", edge=edge, heat=at) for edge, at in (
        ("broke", ("blade1", 1)), ("chipped", ("blade1", 1)), ("broke", ("blade2", 1)),
        ("broke", None))]  # fmt: skip
    found = broken_at_old_cracks(trials, heats)
    assert [one.old_crack for one in found] == [True, False, False, False]
    assert codes(trials_at_old_cracks(found)) == ("trial_old_crack",)
    assert "it counts neither way" in trial_line(found[0])
