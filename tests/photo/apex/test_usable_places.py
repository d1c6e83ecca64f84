"""Which places count along the edge."""

import numpy as np
import pytest

from edgetest.photo.apex.usable_places import dilated


@pytest.mark.parametrize("count", [1, 3, 12, 40])
@pytest.mark.parametrize("reach", [0.3, 2.0, 30.0])
def test_flags_spread_by_their_reach_however_few_places_there_are(count, reach):
    flags = np.arange(count) == count // 2
    far = np.abs(np.arange(count) - count // 2)
    np.testing.assert_array_equal(dilated(flags, reach), far <= np.ceil(reach))
