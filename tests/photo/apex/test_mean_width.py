"""How many independent values a series is worth: white, and with a known memory."""

import numpy as np
import pytest

from edgetest.photo.apex.mean_width import independent_share

N = 20_000


def series(memory, seed=1):
    """An autoregressive process of the first order."""
    noise = np.random.default_rng(seed).standard_normal(N)
    out = np.empty(N)
    out[0] = noise[0]
    for i in range(1, N):
        out[i] = memory * out[i - 1] + noise[i]
    return out


@pytest.mark.parametrize("memory", [0.0, 0.5, 0.8])
def test_of_a_first_order_process_it_is_one_less_memory_over_one_more(memory):
    used = np.ones(N, bool)
    expected = (1 - memory) / (1 + memory)
    assert independent_share(series(memory), used) == pytest.approx(expected, rel=0.15)


def test_gaps_are_left_out_of_the_memory():
    used = np.random.default_rng(2).random(N) < 0.6
    values = np.where(used, series(0.5), 50.0)
    assert independent_share(values, used) == pytest.approx(1 / 3, rel=0.2)


def test_values_all_alike_are_taken_as_independent():
    assert independent_share(np.full(50, 2.0), np.ones(50, bool)) == 1.0
