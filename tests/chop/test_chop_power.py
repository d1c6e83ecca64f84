"""What is believed before a chop test, and how often it would then show a ratio."""

import numpy as np
import pytest

from edgetest.chop.chop_power import ChopsExpected, chop_power


def test_a_blade_s_own_doubt_is_that_of_counts_and_pieces():
    """Counting chance 1/20 and 15 % from piece to piece, over 3 pieces; 8 % over 4 chops."""
    assert ChopsExpected(0.1).reading_se == pytest.approx(((1 / 20 + 0.15**2) / 3) ** 0.5)
    single = ChopsExpected(0.1, chops=(1, 34, 67, 100), depth_sd=0.08)
    assert single.reading_se == pytest.approx(0.04)


@pytest.mark.parametrize("chops", [(), (1, 25, 50, 75, 100)])
def test_a_large_ratio_is_shown_and_none_is_not(chops):
    expected, steps = ChopsExpected(0.05, chops=chops), []

    def power(ratio):
        rng = np.random.default_rng(1)
        return chop_power((3, 3), ratio, expected, rng, studies=4, step=lambda: steps.append(1))

    sure, none = power(3.0), power(1.0)
    assert sure.value > 0.95
    assert none.value < 0.15
    assert power(1 / 3.0).value > 0.95
    assert len(steps) == 12
    assert "blades as replicates (3 and 3)" in sure.method
