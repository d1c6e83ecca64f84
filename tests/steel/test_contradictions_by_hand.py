"""What does plain steel keep after a hot temper, and which life is short?"""

import numpy as np
import pytest

from edgetest.steel.contradictions import kept_hrc, lives_short
from edgetest.steel.steel_seen import TemperSeen, TrialSeen


@pytest.mark.parametrize(
    ("at_c", "kept"),
    [(349, None), (350, 57.0), (400, 53.0), (500, 48.0), (600, 38.0), (700, 28.0), (800, 28.0)],
)
def test_what_an_hour_leaves(at_c, kept):
    found = kept_hrc(TemperSeen(at_c, 60, 1))
    assert found == (None if kept is None else pytest.approx(kept))
    assert kept_hrc(TemperSeen(at_c, 20, 1)) == found  # a short temper is no proof of alloy
    assert kept_hrc(TemperSeen(at_c)) == found
    if kept is not None and at_c < 700:
        assert kept_hrc(TemperSeen(at_c, 60, 3)) < found


@pytest.mark.parametrize(
    ("ratio", "u", "short"),
    [(0.79, None, True), (0.8, None, False), (0.9, None, False),
     (0.79 * np.exp(-0.2), 0.1, True), (0.81 * np.exp(-0.2), 0.1, False)],
)  # fmt: skip
def test_a_life_is_short_where_twice_its_doubt_leaves_it_below_four_fifths(ratio, u, short):
    assert lives_short(TrialSeen("A", "rope", life_ratio=ratio, life_ratio_log_u=u)) == short
    assert not lives_short(TrialSeen("A", "bend", life_ratio=ratio, life_ratio_log_u=u))
    assert lives_short(TrialSeen("A", "chop", "worse"))
    assert not lives_short(TrialSeen("A", "chop", "same"))
