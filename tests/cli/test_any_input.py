"""Does any damaged file of a study give an answer or one error, in time and within memory?"""

import pytest

from tests.benchmarks.input_fuzz import KINDS, LONGEST_S, MOST_BYTES, one_case, peak_bytes

SEED, CASES = 20261127, 12  # of each kind; the long run stands in the guide


@pytest.mark.parametrize("kind", KINDS)
def test_no_damaged_file_ends_a_command(kind):
    told = [one_case(SEED, number, kind) for number in range(CASES)]
    assert [(code, said) for _, code, said, _ in told if code not in (0, 2)] == []
    assert max(seconds for *_, seconds in told) < LONGEST_S
    assert peak_bytes() < 2 * MOST_BYTES  # of the whole test process, which holds more
