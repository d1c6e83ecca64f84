"""What waits for the night is there, and so is what asks after it each time."""

import re
from pathlib import Path

import pytest

from tests.nightly import ASKED_BY, ONE_CASE_OF, waits

TESTS = Path(__file__).parent


@pytest.mark.parametrize("test", [*ONE_CASE_OF, *ASKED_BY, *ASKED_BY.values()])
def test_each_is_a_test_of_its_file(test):
    file, _, name = test.partition("::")
    assert re.search(rf"^def {name}\(", (TESTS / file).read_text("utf-8"), re.MULTILINE)


def test_none_is_asked_for_by_one_that_waits():
    assert [one for one in ASKED_BY.values() if waits(one, 0)] == []


def test_the_first_case_of_so_many_is_asked_each_time():
    test, each = next(iter(ONE_CASE_OF.items()))
    told = [waits(f"{test}[{number}]", number) for number in range(2 * each)]
    assert told == 2 * [False, *[True] * (each - 1)]
    assert not waits("chop/test_species.py::test_any", 1)
