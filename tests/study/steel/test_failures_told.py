"""What gave out in a trial is told, also beside a blade that stood later."""

from edgetest.steel.steel_seen import TrialSeen
from edgetest.study.steel.failures_told import failures_told
from tests.steel.seen_steel import heat, number, seen, temper
from tests.study.steel.found_steel import COUPON, make_study

TWO = (temper(number(57), 220.0), temper(number(54), 260.0))
BLADE = heat(coupon="blade1", tempers=TWO)


def trial(edge, name="blade1", test="chop", **of):
    return TrialSeen("A", test, None, edge, heat=(name, 1), **of)


def test_a_chip_is_told_though_the_blade_stood_after_a_further_temper():
    what = seen(BLADE, trials=(trial("chipped"), trial("sound")))
    assert failures_told(what, "A", ()) == (
        "Gave out in a trial: blade1, heat 1, chipped its edge."
    )
    assert failures_told(what, "A", ("blade1, heat 1, chipped its edge in the trial.",)) == ""
    assert failures_told(seen(BLADE, trials=(trial("sound"),)), "A", ()) == ""
    assert failures_told(what, "B", ()) == ""


def test_a_blade_that_rolled_and_stood_in_a_later_run_is_told_as_one_blade():
    stood = trial("sound", strokes=60, life_ratio=0.95)
    what = seen(heat(coupon="blade1", tempers=TWO[:1]), trials=(trial("rolled"), stood))
    assert failures_told(what, "A", ()) == (
        "Gave out in a trial: blade1, heat 1, rolled its edge (run again since, the same blade "
        "stood)."
    )


def test_coupons_over_the_rod_and_packed_blades_are_told_as_what_they_are():
    packed = heat(coupon="blade2", carburised=True)
    trials = (
        trial("broke", "blade2", carburised=True),
        trial("chipped", "A1", "brass_rod"),
        TrialSeen("A", "bend", edge="took_a_set"),
    )
    assert failures_told(seen(BLADE, packed, trials=trials), "A", ()) == (
        "Gave out in a trial: blade2, heat 1, broke (packed with carbon); A1, heat 1, chipped "
        "over the brass rod; a coupon took a set in the bend."
    )


def test_a_blade_that_stood_once_it_was_hardened_again_is_one_blade():
    heats = [heat(coupon="K1", heat=number, tempers=TWO[:1]) for number in (1, 2)]
    done = ((1, "rolled", "worse"), (2, "sound", "same"))
    trials = [TrialSeen("A", "chop", how, edge, heat=("K1", n)) for n, edge, how in done]
    told = failures_told(seen(*heats, trials=trials), "A", ())
    assert told == (
        "Gave out in a trial: K1, heat 1, rolled its edge (the same blade, hardened again as heat "
        "2, stood)."
    )
    alone = failures_told(seen(*heats, trials=trials[:1]), "A", ())
    assert alone == "Gave out in a trial: K1, heat 1, rolled its edge."


def test_an_edge_that_lived_short_before_it_stood_is_told_too():
    short = TrialSeen("A", "chop", "worse", "sound", 0.7, heat=("blade1", 1))
    stood = TrialSeen("A", "chop", "same", "sound", 0.9, heat=("blade1", 1))
    told = failures_told(seen(BLADE, trials=(short, stood)), "A", ())
    assert told == (
        "Gave out in a trial: blade1, heat 1, lived shorter than the known blade (0.7 times as "
        "long) before it stood in a further run."
    )
    assert failures_told(seen(BLADE, trials=(stood, short)), "A", ()) == ""
    assert failures_told(seen(BLADE, trials=(short,)), "A", ()) == ""
    other = TrialSeen("A", "chop", "same", "sound", 0.9, heat=("blade2", 1))
    assert failures_told(seen(BLADE, trials=(short, other)), "A", ()) == ""


BLADE_ROWS = """
[[evidence.heats]]
coupon = "{name}"
medium = "oil"
heat_c = 830
magnet = "lets go"
soak_min = 6
cycles = 3
hardness_below = "60-65"
[[evidence.tempers]]
coupon = "{name}"
temperature_c = 230
time_min = 60
repeats = 2
hardness = "55-60"
for_use = true
"""
TRIED = """
[[evidence.trials]]
test = "chop"
coupon = "{name}"
strokes = 60
edge = "{edge}"
result = "{result}"
day = {day}
"""


def test_a_roll_that_is_past_stays_past_when_one_more_blade_stands(run, tmp_path):
    first = COUPON.replace("[63.5, 64]", '"60-65"') + BLADE_ROWS.format(name="blade1")
    done = (("rolled", "worse", "2026-03-01"), ("sound", "same", "2026-03-02"))
    runs = [TRIED.format(name="blade1", edge=e, result=r, day=day) for e, r, day in done]
    more = TRIED.format(name="blade2", edge="sound", result="same", day="2026-03-03")
    one = make_study(tmp_path / "one", evidence="".join([first, *runs]))
    both = "".join([first, BLADE_ROWS.format(name="blade2"), *runs, more])
    two = make_study(tmp_path / "two", evidence=both)
    for folder in (one, two):
        code, out, _ = run("verdict", folder)
        assert code == 0
        assert "It is past: the same blade was run again since, and stood." in out
        assert "This does not fit together" not in out
