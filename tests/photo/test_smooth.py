"""Do the smoothers along the edge do what their formulas say?"""

import numpy as np
import pytest

from edgetest.photo.smooth import running_median


@pytest.mark.parametrize("size", [1, 5, 33, 101])
def test_a_running_median_is_the_median_of_every_window(size):
    values = np.random.default_rng(3).normal(size=400).cumsum()
    half = size // 2
    # Beyond either end the values go on as their mirror image, turned about the last one.
    before = 2 * values[0] - values[half:0:-1]
    after = 2 * values[-1] - values[-2 : -2 - half : -1]
    ran_on = np.concatenate([before, values, after])
    expected = [np.median(ran_on[k : k + size]) for k in range(values.size)]
    assert np.array_equal(running_median(values, size), expected)


def test_a_slope_runs_on_beyond_the_ends_of_a_running_median():
    assert running_median(np.arange(30.0), 9) == pytest.approx(np.arange(30.0))
