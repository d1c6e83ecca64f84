"""Rolls, boards and days, a control and repeated runs: which analysis a layout gets."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.compare.compare_lives import compare_lives as compare_bounds
from edgetest.wear.compare.replicates import BladeLives
from tests.wear.columns import codes, compare_lives


def study(rolls, seed=0, control=False, ratio=1.2, sd_rolls=0.2):
    """Lives of blades given as "AB AAB": one word a roll; a control runs once a roll."""
    rng = np.random.default_rng(seed)
    rows = [(t, f"roll {i}") for i, roll in enumerate(rolls.split()) for t in roll]
    rows += [("control", f"roll {i}") for i in range(len(rolls.split()))] * control
    drift = {r: sd_rolls * rng.standard_normal() for r in dict.fromkeys(r for _, r in rows)}
    level = {"A": 6.0, "B": 6 + np.log(ratio), "C": 6.1, "control": 5.5}
    lives = [level[t] + drift[r] + 0.05 * rng.standard_normal() for t, r in rows]
    blade = [t if t == "control" else f"{t}{i}" for i, (t, _) in enumerate(rows)]
    return {
        "blade": blade,
        "treatment": [t for t, _ in rows],
        "log_life": lives,
        "block": [r for _, r in rows],
    }


def compare(lives, **options):
    columns = [lives[name] for name in ("blade", "treatment", "log_life")]
    return compare_lives(*columns, block=lives.get("block"), **options)


def without(lives, *, control=True, block=True):
    """The same lives without the control's runs, or without the rolls."""
    kept = [i for i, t in enumerate(lives["treatment"]) if not (control and t == "control")]
    found = {name: [column[i] for i in kept] for name, column in lives.items()}
    if block:
        del found["block"]
    return found


def ends(found):
    return [found.ratio.low, found.ratio.estimate, found.ratio.high]


def test_a_control_changes_nothing_where_every_roll_holds_both():
    lives = study("AB AB AB AB AB", control=True)
    found = compare(lives, control="control")
    alone = compare(without(lives, block=False))
    assert_allclose(ends(found), ends(alone), rtol=1e-12)
    assert found.ratio.method == "t within blocks"
    assert "control_not_needed" in codes(found)
    assert found.control is None


def test_numbers_in_the_same_shares_are_complete_blocks():
    """Of unequal numbers each heat treatment has its own scatter, as it has without blocks."""
    found = compare(study("AAB AAB AAB"))
    assert found.ratio.method == "t, blocks weighed"
    assert_allclose(found.ratio.df, 1 / ((1 / 3) ** 2 / 5 + (2 / 3) ** 2 / 2))
    assert "incomplete_block" not in codes(found)
    assert "unbalanced" in codes(found)


LIVES = [5.62, 5.45, 5.73, 5.19, 5.28]  # three blades of A and two of B (invented)


@pytest.mark.parametrize(
    "rolls", ["12122", "12111", "11212", "12112", "12312", "12213", "11221", "12221"]
)
def test_a_roll_that_few_unequal_blades_share_makes_nothing_surer(rolls):
    """The guard of a group of two holds whatever rolls stand in the log."""
    one = compare_lives(range(5), list("AAABB"), LIVES)
    found = compare_lives(range(5), list("AAABB"), LIVES, block=list(rolls))
    assert one.practical.verdict == found.practical.verdict == "cannot_tell"
    assert found.ratio.high / found.ratio.low > one.ratio.high / one.ratio.low
    assert found.ratio.df <= 5 - 2 - (len(set(rolls)) - 1)
    assert "unbalanced" in codes(found)


def test_lives_known_to_bounds_keep_the_guard_of_unequal_numbers_in_rolls():
    low, high = np.array(LIVES) - 0.02, np.array(LIVES) + 0.02
    columns = {"blade": range(5), "treatment": list("AAABB"), "log_low": low, "log_high": high}
    found = compare_bounds(BladeLives(**columns, block=list("12122")))
    assert found.ratio.df == pytest.approx(1 / (0.4 / 2 + 0.6 / 1))
    assert found.practical.verdict == "cannot_tell"


def in_batches(rolls=(1, 2, 1, 2, 2, 1, 2, 1), drift=0.4):
    """Two batches a side of two blades each; the rolls differ by `drift` in log life."""
    own = [6.0, 6.02, 6.1, 6.07, 5.6, 5.63, 5.7, 5.66]
    lives = [life + drift * (roll == 2) for life, roll in zip(own, rolls, strict=True)]
    batch = list("aabbccdd")
    return compare_lives(range(8), list("AAAABBBB"), lives, batch=batch, block=rolls)


def test_rolls_are_taken_out_where_batches_count():
    """Batch a stood on rolls 1 and 2, b on roll 2 alone: how far rolls differ changes nothing."""
    rolls = (1, 2, 2, 2, 1, 1, 1, 2)
    found, far = in_batches(rolls, 0.4), in_batches(rolls, 3.0)
    assert "batches_are_replicates" in codes(found)
    assert found.ratio.method == "mixed model, REML"
    assert found.ratio.df <= 2
    assert found.practical.verdict == "shorter"
    assert_allclose(ends(far), ends(found), rtol=0.1)


def test_rolls_that_held_every_batch_alike_cancel_where_batches_count():
    assert_allclose(ends(in_batches(drift=3.0)), ends(in_batches(drift=0.0)), rtol=1e-9)
    assert in_batches().ratio.method == "pooled t"


def of_unlike_sizes(drift):
    """Batches of two blades and of one, each blade cut on both rolls."""
    own = {"a1": 6.0, "a2": 6.04, "a3": 6.1, "b1": 5.6, "b2": 5.66, "b3": 5.7}
    lives = [life + drift * roll for life in own.values() for roll in (0, 1)]
    blades = [name for name in own for _ in range(2)]
    columns = {"batch": list("aaaabbccccdd"), "block": [1, 2] * 6}
    return compare_lives(blades, [name[0] for name in blades], lives, **columns)


def test_rolls_that_held_every_blade_cancel_where_batches_are_of_unlike_sizes():
    assert_allclose(ends(of_unlike_sizes(3.0)), ends(of_unlike_sizes(0.0)), rtol=1e-9)
    assert of_unlike_sizes(0.4).ratio.method == "pooled t"
    assert of_unlike_sizes(0.4).ratio.df == 2


def test_two_pairs_leave_the_rolls_in_the_scatter_and_say_so():
    lives = study("AB AB")
    found = compare(lives)
    assert_allclose(ends(found), ends(compare(without(lives, control=False))), rtol=1e-12)
    assert "blocks_too_few" in codes(found)


def test_incomplete_rolls_are_weighed_and_said():
    lives = study("AB AC BC AB AC BC", sd_rolls=0.5)
    found = compare(lives)
    assert "incomplete_block" in codes(found)
    assert found.ratio.method.startswith("t, blocks weighed")
    bare = compare(without(lives, control=False))
    assert found.ratio.high / found.ratio.low < bare.ratio.high / bare.ratio.low


def test_a_control_links_rolls_that_hold_one_heat_treatment_each():
    lives = study("A A A A B B B B", control=True, sd_rolls=0.4)
    found = compare(lives, control="control")
    bare = compare(without(lives, block=False))
    assert np.log(found.ratio.high / found.ratio.low) < 0.6 * np.log(
        bare.ratio.high / bare.ratio.low
    )
    assert found.control == "control"
    assert "as the control blade control shows it" in found.summary()


def test_rolls_of_one_heat_treatment_each_count_once():
    """Four blades on two rolls are two results, not four."""
    lives = study("AAAA AAAA BBBB BBBB")
    found = compare(lives)
    assert "blocks_are_replicates" in codes(found)
    assert found.ratio.df == 2
    assert [group.n for group in found.groups] == [8, 8]


@pytest.mark.parametrize("control", [False, True])
def test_a_roll_each_cannot_be_told_from_the_heat_treatment(control):
    found = compare(study("AAA BBB", control=control), control="control" if control else None)
    assert "block_confounded" in codes(found)
    assert found.scope == "blocks"


def test_runs_in_rolls_that_differ_from_blade_to_blade():
    """A on rolls 1 and 2, B on 3 and 4: the rolls' difference is no scatter of blades."""
    rng = np.random.default_rng(5)
    roll = [0.0, 0.3, -0.3, 0.1]
    runs = [(f"{side}{i}", side, r) for side, rolls in (("A", (0, 1)), ("B", (2, 3)))
            for i in range(4) for r in rolls]  # fmt: skip
    lives = [6 + roll[r] + 0.03 * rng.standard_normal() for _, _, r in runs]
    blade, treatment, block = zip(*runs, strict=True)
    found = compare_lives(blade, treatment, lives, block=block)
    assert found.ratio.method == "mixed model, REML"
    assert found.ratio.low < 1 < found.ratio.high
    assert found.practical.verdict == "cannot_tell"
    naive = compare_lives(blade, treatment, lives)
    assert np.log(naive.ratio.high / naive.ratio.low) < 0.5 * np.log(
        found.ratio.high / found.ratio.low
    )


def test_runs_on_the_same_rolls_are_averaged():
    rows = [(f"{side}{i}", side, f"roll {r}") for side in "AB" for i in range(3) for r in (1, 2)]
    blade, treatment, block = zip(*rows, strict=True)
    lives = np.random.default_rng(6).normal(6, 0.1, 12) + np.tile([0.0, 0.5], 6)
    found = compare_lives(blade, treatment, lives, block=block)
    means = lives.reshape(6, 2).mean(axis=1)
    plain = compare_lives(list("abcdef"), list("AAABBB"), means)
    assert_allclose(ends(found), ends(plain), rtol=1e-12)


@pytest.mark.parametrize("control", [None, "control"])
@pytest.mark.parametrize("rolls", ["AAB ABB A", "AB AC BC AB AC BC"])
def test_blades_that_all_lived_alike_are_compared_by_their_readings(rolls, control):
    """Lives counted in the same whole steps leave no scatter for blocks to share out."""
    lives = study(rolls, control=control is not None)
    same = {"A": 6.0, "B": 6.2, "C": 6.1}
    lives["log_life"] = [
        same.get(t, life) for t, life in zip(lives["treatment"], lives["log_life"], strict=True)
    ]
    found = compare(lives, control=control)
    assert found.ratio.method.startswith("reading uncertainty")
    assert_allclose(found.ratio.estimate, np.exp(0.2))
    assert found.ratio.high == np.inf  # nobody told how sure the readings are
