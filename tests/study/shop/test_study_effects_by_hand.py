"""Effects, what they leave over and what it leads to expect, worked by hand for few blades."""

import numpy as np
import pytest

from edgetest.stats.between_studies import FEWER
from edgetest.study.shop.study_effects import (
    batches_of,
    effects_of,
    fewer_df,
    run_weights,
    scatters_of,
    tails_of,
    within_study,
)
from edgetest.study.shop.study_lives import ArmLife


def lives(*told, se=0.02):
    """(arm, log life) or (arm, log life, block, batch, blade)."""
    found = []
    for n, (arm, life, *more) in enumerate(told):
        block, batch, blade = [*more, *("", "", f"{arm}{n}")[len(more) :]]
        found.append(ArmLife(arm, blade, block, life, se, batch))
    return found


FOUR = lives(("a", 5.0), ("a", 5.2), ("b", 5.5), ("b", 5.9))


def test_two_blades_of_each_without_rolls():
    found = within_study(FOUR)
    assert found.arms == ("a", "b")
    assert found.log_effects == pytest.approx([0.6])
    assert found.unscaled[:, 0, 0] == pytest.approx([1.0, 0.0, 2.0])  # 1/2 + 1/2; loads 1 + 1
    assert found.squares == pytest.approx([0.02 + 0.08, 0.0])
    assert found.expected == pytest.approx(np.array([[2.0, 0.0], [0.0, 0.0]]))
    assert found.df == 2
    assert found.reading_se == pytest.approx(0.02)


def test_the_control_comes_first_and_its_runs_are_apart():
    told = lives(("a", 5.0), ("a", 5.2), ("z", 4.0, "", "", "z"), ("z", 4.2, "", "", "z"))
    found = within_study(told, "z")
    assert found.arms == ("z", "a")
    assert found.log_effects == pytest.approx([1.0])
    assert found.unscaled[:, 0, 0] == pytest.approx([0.5, 0.5, 1.0])
    assert found.squares == pytest.approx([0.02, 0.02])
    assert found.expected == pytest.approx(np.eye(2))
    assert found.df == 2


def test_one_arm_compares_nothing():
    assert within_study(FOUR[:2]) is None


def test_rolls_are_taken_out_where_arms_meet_in_them():
    rolls = lives(("a", 5.0, "1"), ("b", 5.5, "1"), ("a", 6.0, "2"), ("b", 6.7, "2"))
    found = within_study(rolls)
    assert found.log_effects == pytest.approx([0.6])
    assert found.squares[0] == pytest.approx(2 * 2 * 0.05**2)
    assert found.df == 1
    apart = lives(("a", 5.0, "1"), ("a", 5.2, "1"), ("b", 5.5, "2"), ("b", 5.9, "2"))
    assert within_study(apart).df == 2  # a roll each cannot be told from the heat treatments


def test_loads_that_are_noted_of_every_blade_are_told_apart():
    loads = lives(
        ("a", 5.0, "", "1"), ("a", 5.2, "", "2"), ("b", 5.5, "", "3"), ("b", 5.9, "", "3")
    )
    assert batches_of(loads, "") == ["1", "2", "3", "3"]
    assert within_study(loads).unscaled[2, 0, 0] == pytest.approx(0.25 + 0.25 + 1)
    half = [*loads[:3], *lives(("b", 5.9))]
    assert batches_of(half, "") == ["a", "a", "b", "b"]
    assert batches_of(half, "b") == ["1", "2", None, None]


def test_a_blade_counts_once_and_each_run_of_the_control():
    told = lives(
        ("a", 5.0, "", "", "x"), ("a", 5.1, "", "", "x"), ("b", 5.0), ("k", 5.0, "", "", "k"),
        ("k", 5.0, "", "", "k"),
    )  # fmt: skip
    assert run_weights(told, "k") == pytest.approx([0.5, 0.5, 1, 1, 1])


def test_the_covariance_is_of_blades_control_and_loads():
    found = within_study(lives(("a", 5.0), ("a", 5.2), ("z", 4.0), ("z", 4.2)), "z")
    assert effects_of(found, (0.2, 0.1)).covariance == pytest.approx(0.5 * 0.04 + 0.5 * 0.01)
    assert effects_of(found, (0.2, 0.1), 0.3).covariance == pytest.approx(0.025 + 0.09)
    assert effects_of(found, (0.2, 0.1)).arms == ("z", "a")


def test_a_scatter_without_a_control_is_squares_over_freedom():
    blades, control, df = scatters_of([within_study(FOUR)] * 3)
    assert blades == control == pytest.approx((0.1 / 2) ** 0.5)
    assert df == 6


def test_no_scatter_is_told_smaller_than_the_readings_own():
    even = lives(("a", 5.0), ("a", 5.0), ("b", 5.5), ("b", 5.5), se=0.03)
    blades, control, _ = scatters_of([within_study(even)])
    assert blades == control == pytest.approx(0.03)


def test_two_scatters_are_each_drawn_to_both_by_two_runs():
    """Blades leave 0.08 of 4, the control's runs 0.002 of 4: both together 0.01025 each."""
    told = lives(("a", 5.0), ("a", 5.4), ("z", 4.0), ("z", 4.02), se=1e-6)
    found = [within_study(told, "z")] * 4
    blades, control, df = scatters_of(found)
    both = 4 * (0.08 + 0.0002) / 8
    assert df == 8
    assert blades**2 == pytest.approx((4 * 0.08 + 2 * both) / (4 + 2))
    assert control**2 == pytest.approx((4 * 0.0002 + 2 * both) / (4 + 2))


def test_the_control_scatters_no_more_than_both_and_no_less_than_its_readings():
    loud = [within_study(lives(("a", 5.0), ("a", 5.02), ("z", 4.0), ("z", 4.4), se=1e-6), "z")] * 4
    blades, control, _ = scatters_of(loud)
    assert blades == control == pytest.approx((4 * 0.0802 / 8) ** 0.5)
    quiet = [within_study(lives(("a", 5.0), ("a", 5.4), ("z", 4.0), ("z", 4.0), se=0.14), "z")] * 4
    assert scatters_of(quiet)[1] == pytest.approx(0.14)


def test_what_tells_the_tails_are_four_sums():
    rest, residual = np.array([1.0, -2.0]), np.array([[0.5, -0.5], [-0.5, 0.5]])
    assert tails_of(rest, residual) == pytest.approx([17.0, 0.5, 0.25, 1.0])


@pytest.mark.parametrize(
    ("fourth", "share"),
    [
        (0.24, FEWER),  # fourth powers as of a normal law: never more than this
        (0.49, 1 / (1 + 5 * 8 / (2 * 10))),  # (0.49 / 0.1**2 - 3 * 8) / 5 = 5
        (1.24, 1 / (1 + 20 * 8 / (2 * 10))),
    ],
)
def test_heavy_tails_leave_fewer_degrees_of_freedom(fourth, share):
    tails = np.array([fourth, 8.0, 5.0, 10.0])
    assert fewer_df(1.0, tails) == pytest.approx(min(share, FEWER))
    assert fewer_df(0.0, tails) == FEWER
    assert fewer_df(1.0, np.zeros(4)) == FEWER
