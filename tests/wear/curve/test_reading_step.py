"""The step of a scale is seen in the readings; a slip of the pen does not hide it."""

import numpy as np
import pytest

from edgetest.wear.curve.reading_step import reading_step

WIDTHS = np.pi * np.arange(1, 13)


@pytest.mark.parametrize("step", [2.5, 1.0, 0.5, 0.25, 0.2, 0.1, 0.05])
def test_the_coarsest_step_of_all_readings_is_found(step):
    read = np.round(step * np.round(WIDTHS / step), 6)
    assert reading_step(read) == step
    assert reading_step([*read, 100 * read[3], np.nan]) == step
    assert reading_step([*read, read[5] / 10]) == step


def test_fine_readings_and_few_have_no_step():
    assert reading_step(WIDTHS) == 0.0
    assert reading_step([1, 2, 3]) == 0.0
    assert reading_step([]) == 0.0
