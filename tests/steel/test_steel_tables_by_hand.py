"""Shares of a row of weights, and the hours of every test?"""

import pytest
from numpy.testing import assert_allclose

from edgetest.steel.steel_tables import STEELS
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.study.steel.steel_tables_file import load_steel_tables

TABLES = load_steel_tables()


@pytest.mark.parametrize("section", ["sparks", "magnet", "grain", "edge"])
def test_weights_are_told_as_shares(section):
    for row, numbers in TABLES.numbers[section].items():
        shares = TABLES.chances(section, row)
        total = sum(numbers.values())
        assert_allclose(list(shares.values()), [max(n / total, 1e-3) for n in numbers.values()],
                        rtol=1e-9, atol=2e-3)  # fmt: skip
        assert sum(shares.values()) == pytest.approx(1, abs=0.02)


def test_of_steels_is_each_steel_s_own_share():
    row = TABLES.numbers["sparks"][STEELS[0]]
    word = max(row, key=row.get)
    assert TABLES.of_steels("sparks", word)[0] == pytest.approx(row[word] / sum(row.values()))


def test_tests_cost_hours_as_their_words_say():
    assert all(0 <= one.hours <= 12 for one in TESTS_BY_CODE.values())
    cheap = {"magnet", "sparks", "break_coupon", "grind_and_file"}
    assert all(TESTS_BY_CODE[name].hours < 0.5 for name in cheap)
    assert TESTS_BY_CODE["temper_ladder"].hours == 3.0
