"""What a comparison of lives says in words: who is the subject, what is left unnumbered."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.wear.compare.comparison_result import Ratio, ratio_sentence
from tests.wear.columns import codes, compare_lives
from tests.wear.compare.six_blades import SIX, compare, numbers


def test_two_blades_a_side_are_worded_and_three_are_numbered():
    certain = compare(np.log([400, 401, 800, 801.0]), first=2)
    assert certain.probability_longer is None
    assert "B is very likely to last longer on average" in certain.summary()
    three = compare(np.log([400, 401, 402, 800, 801, 802.0]))
    assert 0.9 < three.probability_longer < 1
    assert three.to_dict()["chances"]["prior"].startswith("our own prior")


def test_the_longer_one_is_the_subject_and_its_numbers_are_above_one():
    found = compare(SIX[[3, 4, 5, 0, 1, 2]])
    assert found.ratio.estimate < 1
    assert f"A lasts {found.ratio.inverted()} times as long as B" in found.summary()
    assert "A holds its edge longer than B" in found.summary()
    assert "Chance that A lasts longer" in found.summary()


def test_every_pair_against_the_reference_is_told():
    lives = np.log([400, 410, 405, 500, 510, 505, 300, 310, 305.0])
    text = compare_lives(range(9), np.repeat(list("ABC"), 3), lives).summary()
    assert "A lasts 1.328 (" in text
    assert "B lasts 1.24" in text
    assert text.count("adjusted for several") == 2
    assert "adjusted for all pairs" in text


def test_two_runs_each_are_the_error_of_a_comparison_of_two_blades():
    lives = np.log([400, 420, 600, 590.0])
    found = compare_lives(["a", "a", "b", "b"], list("AABB"), lives)
    plain = compare(lives, first=2)
    assert found.scope == "blades"
    assert_allclose(numbers(found)[:3], numbers(plain)[:3], rtol=1e-12)
    assert found.practical.verdict == "cannot_tell"
    assert found.practical.blades_verdict == "longer"
    assert not found.practical.reaches_margin
    assert "by how much their runs differ" in found.summary()


def test_single_runs_of_two_blades_give_both_numbers_and_no_interval():
    found = compare(SIX[[0, 3]], first=1)
    assert "run_to_run_unknown" in codes(found)
    assert "blade 1 540 cuts" in found.summary()
    assert found.practical.blades_verdict == "cannot_tell"


def test_one_blade_of_a_third_heat_treatment_takes_nothing_from_the_two_that_are_compared():
    lives = np.log([400, 410, 405, 800, 810, 805, 600.0])
    found = compare_lives(range(7), list("AAABBBC"), lives)
    assert found.scope == "heat_treatments"
    assert found.practical.verdict == "longer"
    assert "one_blade_of_some" in codes(found)
    assert "one_blade_per_treatment" not in codes(found)
    bounds = compare_lives(range(7), list("AAABBBC"), lives, censored=[True] * 7)
    assert "run_to_run_unknown" not in codes(bounds)  # three blades a side ran, not one


def test_blades_under_their_own_names_are_compared_as_they_are():
    found = compare_lives(["S1", "H1"], ["S1", "H1"], SIX[[0, 3]], [0.03, 0.03])
    assert "No heat treatment is named" in found.summary()
    assert "heat treatments S1" not in found.summary()


def test_only_two_a_side_are_few_and_only_unequal_ones_unbalanced():
    """Two a side, three a side, three against two."""
    two, three = (compare(np.r_[SIX[:n], SIX[3 : 3 + n]], first=n) for n in (2, 3))
    uneven = compare(SIX[:5], first=3)
    told = [{"few_blades", "unbalanced"} & set(codes(found)) for found in (two, three, uneven)]
    assert told == [{"few_blades"}, set(), {"unbalanced"}]


@pytest.mark.parametrize(
    ("low", "high", "says"),
    [
        (1.2, np.inf, "hard lasts 1.20 (1.20 or more) times as long as soft (95 % interval)."),
        (0.0, 0.5, "soft lasts 2.00 (2.00 or more) times as long as hard (95 % interval)."),
    ],
)
def test_an_open_end_leaves_the_other_to_say_which_is_longer(low, high, says):
    ratio = Ratio(low if high == np.inf else high, low, high, 0.95, "t", 4.0)
    assert ratio_sentence(ratio, "soft", "hard") == says


def test_a_blade_that_ran_once_beside_one_of_several_runs():
    """One scatter, of the runs there are: variance s² (1 + 1/n) with n - 1 degrees of freedom."""
    lives = np.log([400.0, 420.0, 450.0, 600.0])
    found = compare_lives(["a", "a", "a", "b"], list("AAAB"), lives)
    s = lives[:3].std(ddof=1)
    half = student.ppf(0.975, 2) * s * (1 + 1 / 3) ** 0.5
    assert np.log(found.ratio.estimate) == pytest.approx(lives[3] - lives[:3].mean())
    assert np.log(found.ratio.high / found.ratio.estimate) == pytest.approx(half)
    assert found.ratio.method == "pooled t, of runs"
    two = compare_lives(["a", "a", "b"], list("AAB"), lives[[0, 1, 3]])
    assert two.ratio.method == "pooled t, of runs"
    assert two.ratio.df == 1


def test_a_margin_is_reached_from_beyond_it_on_either_side():
    assert Ratio(1.3, 1.11, 1.6, 0.95, "t", 4.0).reaches(0.10)
    assert not Ratio(1.3, 1.10, 1.6, 0.95, "t", 4.0).reaches(0.10)
    assert Ratio(0.8, 0.7, 0.90, 0.95, "t", 4.0).reaches(0.10)
    assert not Ratio(0.8, 0.7, 0.92, 0.95, "t", 4.0).reaches(0.10)
    assert not Ratio(1.0, 0.8, 1.2, 0.95, "t", 4.0).reaches(0.10)


def test_two_blades_whose_runs_agree_by_luck_are_told_by_their_readings():
    lives = np.log([400.0, 401.0, 600.0, 601.0])
    found = compare_lives(["a", "a", "b", "b"], list("AABB"), lives, [0.3] * 4)
    assert found.ratio.method == "reading uncertainty alone"
    assert np.log(found.ratio.high / found.ratio.estimate) == pytest.approx(1.959964 * 0.3)
    assert "reading uncertainty alone" in found.summary()
    assert found.chances is None


def test_pairs_of_batches_are_told_as_those_of_heat_treatments_are():
    lives = np.log([400, 410, 405, 500, 510, 505, 300, 310, 305.0])
    treatments, batches = np.repeat(list("ABC"), 3), np.repeat(["1", "2", "3"], 3)
    found = compare_lives(range(9), treatments, lives, batch=batches)
    assert {pair.scope for pair in found.pairs} == {"batches"}
    assert "these blades do not tell" not in found.summary()
    assert "adjusted for several" in found.summary()
