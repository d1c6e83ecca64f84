"""Lots drawn from the steel tables answer each test, and the chances claimed of them are true."""

import numpy as np
import pytest

from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.benchmarks.steel_calibration import judge
from tests.benchmarks.steel_own_bench import own_lot
from tests.benchmarks.steel_worlds.advice import HOURS, do_test, follow

TABLES = load_steel_tables()
TESTS = sorted((HOURS.keys() - {"again", "strip", "magnet", "sparks"}) | {"trial_blade"})
THREE_ERRORS = 0.06  # standard errors of a group of 300 lots over four seeds: 0.01 to 0.026


@pytest.mark.parametrize("code", TESTS)
def test_every_test_that_the_advice_may_ask_for_shows_something(code):
    bench = own_lot(TABLES, 4, 2, 0).bench
    before = bench.seen()
    do_test(bench, code)
    assert bench.seen() != before


@pytest.mark.slow
def test_the_chance_at_the_end_of_the_advice_is_the_share_truly_fit():
    claimed, true = [], []
    for number in range(300):
        lot, last = own_lot(TABLES, 40, 2, number), []

        def watched(seen, last=last):
            last.append(judge(seen))
            return last[-1]

        follow(lot, 40, watched)
        claimed.append(last[-1][0])
        true.append(lot.lot_fit[0])
    claimed, true = np.array(claimed), np.array(true)
    for group in (claimed < 0.3, claimed > 0.7):
        assert abs(np.mean(claimed[group] - true[group])) < THREE_ERRORS
