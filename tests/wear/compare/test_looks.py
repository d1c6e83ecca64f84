"""A comparison of a study with looks: which look it is, whether to go on, and its interval."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.stats.group_sequential import look_bounds
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.looks import LookMade, Looks
from edgetest.wear.compare.replicates import BladeLives

LOOKS = Looks(look_bounds((3, 4, 5, 6)))
RESIDUALS = np.array([0.05, -0.1, 0.08, -0.04, 0.06, -0.05])  # invented


def compared(difference, sizes=(3, 3), looks=LOOKS):
    log_life = np.r_[6 + RESIDUALS[: sizes[0]], 6 + difference - RESIDUALS[: sizes[1]]]
    treatment = ["soft"] * sizes[0] + ["hard"] * sizes[1]
    blade = [f"B{k}" for k in range(len(treatment))]
    lives = BladeLives(blade=blade, treatment=treatment, log_low=log_life, log_high=log_life)
    return compare_lives(lives, ComparisonOptions(looks=looks))


def codes(found):
    return {one.code for one in found.doubts}


def test_a_large_difference_ends_the_test_at_the_first_look():
    found = compared(1.0)
    assert found.look.to_dict()["decision"] == "stop"
    assert (found.look.number, found.look.of, found.look.most) == (1, 4, 6)
    assert found.practical.verdict == "longer"
    assert "Look 1 of 4, at 3 a side: stop, the answer stands." in found.summary()


def test_a_difference_that_95_percent_would_claim_is_not_claimed_at_an_early_look():
    plain, looked = compared(0.3, looks=None), compared(0.3)
    assert plain.practical.verdict == "longer"
    assert looked.practical.verdict == "cannot_tell"
    assert looked.ratio.low < 1 < plain.ratio.low
    assert looked.ratio.level == 0.95
    assert looked.practical.level == pytest.approx(0.9)  # both one-sided tests at 5 %
    assert looked.ratio.method == "Welch t, repeated"
    assert looked.look.summary().startswith(
        "Look 1 of 4, at 3 a side: go on to look 2 with 4 a side. "
    )
    assert looked.needed is None


def test_the_interval_says_at_which_level_it_stands_and_why_it_is_wider():
    looked = compared(0.3)
    level = f"{100 * LOOKS.boundary.levels[0]:.1f} %"
    assert level != "95.0 %"
    wider = (
        f"The interval is wider than that of a test read once: at this look's level, {level}, so "
        "that those of all 4 looks together hold the truth in 95 of 100 tests."
    )
    assert wider in looked.sentences()[2]
    assert "(95 % interval over all 4 looks)" in looked.sentences()[0]
    assert f"at the first look's level, {level}" in compared(2.0, (2, 2)).summary()
    once = compared(0.3, looks=Looks(look_bounds((3,))))
    assert "wider" not in once.summary()
    assert "(95 % interval)" in once.sentences()[0]


def test_no_trend_is_futile_and_the_last_look_ends():
    assert compared(0.0, (5, 5)).look.decision == "futile"
    assert compared(0.05, (6, 6)).look.decision == "end"


def test_a_ratio_bounded_on_one_side_alone_goes_on():
    """Blades worn out before their first check bound the ratio from above and not from below."""
    log_life = np.r_[6 + RESIDUALS[:3], 6.5 + RESIDUALS[:3]]
    low = np.r_[log_life[:3], [-np.inf] * 3]
    lives = BladeLives(blade=list("abcdef"), treatment=["soft"] * 3 + ["hard"] * 3,
                       log_low=low, log_high=log_life)  # fmt: skip
    found = compare_lives(lives, ComparisonOptions(looks=LOOKS))
    assert (found.ratio.low, found.practical.verdict) == (0, "cannot_tell")
    assert found.look.decision == "go_on"


def test_before_the_first_look_nothing_is_claimed():
    found = compared(2.0, (2, 2))
    assert found.look.decision == "before"
    assert found.practical.verdict == "cannot_tell"
    assert "No look yet, at 2 blades a side: the first is at 3 a side" in found.summary()


def test_looks_count_batches_where_these_count_and_say_so():
    """Six blades a side of two batches each are two results a side, and no look at six."""
    log_life = np.r_[6 + RESIDUALS, 6.3 - RESIDUALS]
    names = [f"B{k}" for k in range(12)]
    batches = [f"oven {1 + k // 3}" for k in range(12)]
    lives = BladeLives(blade=names, treatment=["soft"] * 6 + ["hard"] * 6, log_low=log_life,
                       log_high=log_life, batch=batches)  # fmt: skip
    options = ComparisonOptions(looks=LOOKS)
    found = compare_lives(lives, options)
    assert (found.look.number, found.look.size, found.look.counted) == (0, 2, "batches")
    (told,) = [one.text for one in found.doubts if one.code == "looks_not_of_blades"]
    assert "6 blades of soft are 2 batches; 6 blades of hard are 2 batches." in told
    assert "No look yet, at 2 batches a side" in found.summary()


def test_the_smaller_side_decides_which_look_it_is():
    found = compared(1.0, (4, 6))
    assert (found.look.number, found.look.size, found.look.decision) == (2, 4, "stop")
    assert "Look 2 of 4, at 4 on the smaller side: stop" in found.summary()
    assert "smaller side" not in compared(1.0, (4, 4)).summary()
    assert not {"between_looks", "looks_not_of_blades"} & codes(found)


def test_a_look_is_made_once():
    names = ("B0", "B1", "B2", "B3", "B4", "B5")
    made = replace(LOOKS, made=(LookMade(3, "go_on", names),))
    again = compared(1.0, (3, 3), made)
    assert again.look.decision == "stop"  # the same blades are the same look
    more = compared(1.0, (3, 4), made)
    assert (more.look.decision, more.look.since) == ("between", ("B6",))
    assert more.practical.verdict == "cannot_tell"
    assert "between_looks" in codes(more)
    assert compared(1.0, (4, 4), made).look.decision == "stop"
    unnoted = replace(LOOKS, made=(LookMade(3, "go_on"),))
    assert compared(1.0, (3, 4), unnoted).look.decision == "stop"


def test_beyond_the_greatest_number_nothing_is_claimed():
    found = compared(1.0, (6, 6), Looks(look_bounds((3, 4, 5))))
    assert (found.look.decision, found.practical.verdict) == ("beyond", "cannot_tell")
    assert "beyond_last_look" in codes(found)
    assert "No look: 6 blades a side are more than the greatest number" in found.summary()


def test_the_look_that_ended_the_test_stays_that_look_with_a_blade_left_out_since():
    names = tuple(f"B{k}" for k in range(8))
    earlier = LookMade(3, "go_on", ("B0", "B1", "B2", "B5", "B6", "B7"))
    made = replace(LOOKS, made=(earlier, LookMade(4, "stop", names)))
    log_life = np.r_[6 + RESIDUALS[:3], 7 - RESIDUALS[:4]]
    lives = BladeLives(blade=["B0", "B1", "B3", *names[4:]], treatment=["soft"] * 3 + ["hard"] * 4,
                       log_low=log_life, log_high=log_life)  # fmt: skip
    found = compare_lives(lives, ComparisonOptions(looks=made))
    assert (found.look.number, found.look.size, found.look.decision) == (2, 3, "stop")
    assert found.look.level == LOOKS.boundary.levels[1]


@pytest.mark.parametrize("said", ["stop", "end"])
def test_what_came_after_the_end_is_no_look_and_claims_nothing(said):
    made = replace(LOOKS, made=(LookMade(3, said),))
    found = compared(1.0, (4, 4), made)
    assert (found.look.decision, found.practical.verdict) == ("after", "cannot_tell")
    assert "No look: the test ended at 3 a side. The answer of that look stands" in found.summary()
    assert compared(1.0, (3, 3), made).look.decision == "stop"
    goes_on = replace(LOOKS, made=(LookMade(3, "futile"),))
    assert compared(1.0, (4, 4), goes_on).look.decision == "stop"


def test_no_pair_of_several_is_claimed_of_what_is_no_look():
    log_life = np.r_[6 + RESIDUALS[:2], 8 + RESIDUALS[:2], 9 + RESIDUALS[:2]]
    names = ["soft"] * 2 + ["hard"] * 2 + ["blue"] * 2
    lives = BladeLives(blade=list("abcdef"), treatment=names, log_low=log_life, log_high=log_life)
    found = compare_lives(lives, ComparisonOptions(looks=LOOKS))
    assert found.look.decision == "before"
    assert {pair.verdict for pair in found.pairs} == {"cannot_tell"}
