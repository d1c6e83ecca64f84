import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.temper_softening import AS_QUENCHED_HRC, CHARTS, CaseTemper


@pytest.mark.parametrize("chart", [0, 1])
def test_the_interval_holds_both_charts(chart):
    # Read on rockbladekilns.com and on a knife maker's page (noonsknives), plain steel 0.95 % C.
    minutes, points = CHARTS[chart]
    for celsius, hrc in points:
        if celsius > 320:
            continue
        middle, sd = CaseTemper(celsius, minutes, 1).softening_hrc()
        assert abs(AS_QUENCHED_HRC - hrc - middle) <= 2 * sd


def test_hotter_longer_and_oftener_is_softer():
    softer = [CaseTemper(c).softening_hrc()[0] for c in (20, 150, 180, 220, 260, 320)]
    assert softer[0] == 0
    assert np.all(np.diff(softer) > 0)
    once, twice, long = (CaseTemper(200, *more) for more in ((60, 1), (60, 2), (120, 1)))
    assert once.softening_hrc()[0] < twice.softening_hrc()[0] == long.softening_hrc()[0]


@pytest.mark.parametrize(
    ("temper", "words"),
    [((341.0,), "beyond the tempering charts"), ((200.0, 0.0), "no temper"),
     ((200.0, 60.0, 0), "no temper")],
)  # fmt: skip
def test_no_number_where_the_charts_end(temper, words):
    with pytest.raises(UnusableInput, match=words):
        CaseTemper(*temper)
