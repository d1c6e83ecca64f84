"""Does any damaged file of a study give an answer or one error, in time and within memory?"""

import numpy as np
import pytest
from PIL import Image

from tests.benchmarks.input_fuzz import KINDS, LONGEST_S, MOST_BYTES, one_case, peak_bytes

SEED, CASES = 20261127, 5  # of each kind; the long run stands in the guide
DEEP_SEED, DEEP_CASES = 20261128, 90


@pytest.mark.parametrize("kind", KINDS)
def test_no_damaged_file_ends_a_command(kind):
    told = [one_case(SEED, number, kind) for number in range(CASES)]
    assert [(code, said) for _, code, said, _ in told if code not in (0, 2)] == []
    assert max(seconds for *_, seconds in told) < LONGEST_S


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_no_damaged_file_ends_a_command_in_two_minutes(kind):
    told = [one_case(DEEP_SEED, number, kind) for number in range(DEEP_CASES)]
    assert [(code, said) for _, code, said, _ in told if code not in (0, 2)] == []
    assert max(seconds for *_, seconds in told) < LONGEST_S
    assert peak_bytes() < 2 * MOST_BYTES  # the other tests of this process held some of it


def test_a_chunk_of_a_picture_that_says_it_is_huge_takes_no_room(tmp_path, run):
    before = peak_bytes()
    path = tmp_path / "a.png"
    Image.fromarray(np.zeros((20, 40, 3), np.uint8)).save(path)
    data = path.read_bytes()
    at = data.index(b"IDAT") - 4
    path.write_bytes(data[:at] + (0x6F00075D).to_bytes(4, "big") + data[at + 4 :])
    code, out, _ = run("measure", path, "--um-per-px", 0.4)
    assert code == 0
    assert "damaged" in out
    assert peak_bytes() - before < MOST_BYTES / 2
