"""When is a coupon too soft to say anything of its carbon?"""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.steel.martensite import (
    LOWEST_CARBON_PCT,
    RELATION_SD_HRC,
    as_quenched_hrc,
    carbon_range,
)

FULL, HALF = (float(as_quenched_hrc(LOWEST_CARBON_PCT, share)) for share in (1.0, 0.5))


def read_at(upper_hrc):
    """A coupon whose interval, the relation's own scatter in it, ends there."""
    grid = np.array([upper_hrc - 1e-9, upper_hrc])
    at = SimpleNamespace(grid_hrc=grid, density=lambda piece: np.array([0.0, 1.0]))
    return at


def codes(found):
    return {one.code for one in found.doubts}


@pytest.mark.parametrize(
    ("upper", "martensite", "soft"),
    [
        (FULL + 0.1, None, False),
        (FULL - 0.1, None, True),
        (HALF - 0.1, (0.5, 1.0), True),
        ((HALF + FULL) / 2, (0.5, 1.0), False),
        (HALF + 0.1, (0.5, 1.0), False),
        (FULL - 0.1, (1.0, 1.0), True),
    ],
)
def test_not_hardened_is_softer_than_the_least_carbon_at_the_least_share(upper, martensite, soft):
    middle = upper - 1.959963985 * RELATION_SD_HRC
    found = carbon_range(read_at(middle), martensite=martensite)
    assert HALF < FULL
    assert ("not_hardened" in codes(found)) == soft
