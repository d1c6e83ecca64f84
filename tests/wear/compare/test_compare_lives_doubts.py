"""Which doubts does a plain comparison not have?"""

import numpy as np

from tests.wear.columns import codes
from tests.wear.compare.six_blades import compare


def test_blades_that_scatter_are_not_said_to_be_all_alike():
    assert "no_scatter" not in codes(compare())
    assert "no_scatter" not in codes(compare(se=np.full(6, 0.4)))
    alike = np.log([400.0, 400, 400, 500, 500, 500])
    assert "no_scatter" in codes(compare(alike, np.full(6, 0.1)))
    assert "no_scatter" not in codes(compare(alike[[0, 3]], np.full(2, 0.1), first=1))
