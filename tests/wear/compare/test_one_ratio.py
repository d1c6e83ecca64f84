"""The one ratio that plans ask for is the one that the whole comparison gives."""

import numpy as np
import pytest

from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.one_ratio import one_ratio
from tests.wear.columns import blade_lives

LIVES = np.array([6.0, 6.1, 6.3, 6.4, 6.5, 6.55, 7.0, 7.3, 7.4])


def lives_of(treatment, log_life, se=None, **columns):
    return blade_lives(
        [f"b{i}" for i in range(len(log_life))], list(treatment), log_life, se, **columns
    )


@pytest.mark.parametrize("se", [None, [0.01] * 6, [0.3] * 6])
@pytest.mark.parametrize("level", [0.95, 0.8])
def test_of_two_heat_treatments(se, level):
    lives, options = lives_of("AAABBB", LIVES[:6], se), ComparisonOptions(level=level)
    found, speaks_of = one_ratio(lives, "B", options)
    assert found == compare_lives(lives, options).ratio
    assert speaks_of == "heat_treatments"
    assert "adjusted" not in found.method


def test_of_three_it_is_adjusted_for_the_reference_and_of_the_one_asked_for():
    lives, options = lives_of("AAABBBCCC", LIVES), ComparisonOptions(reference="B")
    whole = compare_lives(lives, options)
    against = {pair.second: pair.ratio for pair in whole.pairs if pair.family == "against B"}
    for second in "AC":
        assert one_ratio(lives, second, options)[0] == against[second]
    assert against["A"].method.endswith("adjusted for several groups")


def test_a_control_and_single_blades_go_the_same_way():
    lives = lives_of("AB", LIVES[[0, 3]], [0.1, 0.1])
    found, speaks_of = one_ratio(lives, "B", ComparisonOptions())
    assert (speaks_of, found.df) == ("blades", None)
    assert np.log(found.high / found.estimate) == pytest.approx(1.959964 * 0.1 * 2**0.5)
