"""Does the life interval hold the life as often as it says? The whole table is in the guide."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parents[1] / "benchmarks"))

from life_coverage import Case, cover


@pytest.mark.slow
@pytest.mark.parametrize(
    "case",
    [Case(), Case(blades=1, stages=6, places=1, place_sd=0.0, reach=0.7), Case(stage_sd=0.05)],
    ids=["three blades", "one blade, one place", "stages that scatter"],
)
def test_life_interval_holds_the_life(case):
    hit, error, _, _, by_the_law = cover(case, studies=200)
    give = 3 * (0.95 * 0.05 / 200) ** 0.5  # three standard errors of 200 studies
    assert hit > 0.95 - give  # beyond the last stage other laws widen it: more than 95 % there
    assert abs(by_the_law - 0.95) < give
    assert abs(error) < 0.03
