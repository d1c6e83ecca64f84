"""How wide is the chance of a heap of which nothing is settled?"""

import numpy as np
from numpy.testing import assert_allclose
from scipy.special import expit, logit

from edgetest.steel.heap_share import HEAP_SD, HeapShare


def test_with_nothing_settled_the_interval_is_80_percent_of_heaps_in_log_odds():
    """A normal of 1.2 in log odds holds 80 % within 1.28 of them: 1.536 either way."""
    heap = HeapShare(np.ones(41) / 41, 0.0)
    found = heap.posterior(np.array([0.25, 0.75]), np.array([0.9, 0.3]), 0.5)
    chance = 0.25 * 0.9 + 0.75 * 0.3
    low, high = next(each for each in vars(found).values() if isinstance(each, tuple))
    assert HEAP_SD == 1.2
    assert_allclose([low, high], expit(logit(chance) + np.array([-1.536, 1.536])))
