"""Do the ends of the interval of chances mirror each other?"""

import numpy as np
import pytest

from edgetest.wear.compare.chances import SeenDifference, shrunk_chances


@pytest.mark.parametrize("level", [0.95, 0.8])
def test_a_ratio_turned_round_turns_its_interval_round(level):
    one, other = (
        shrunk_chances(SeenDifference(d, 0.1, 4.0, 0.12), level=level) for d in (0.2, -0.2)
    )
    assert np.log(one.high) == pytest.approx(-np.log(other.low), abs=2e-4)
    assert np.log(one.low) == pytest.approx(-np.log(other.high), abs=2e-4)
    assert one.low < one.ratio < one.high < np.exp(0.2 + 6 * 0.1)
