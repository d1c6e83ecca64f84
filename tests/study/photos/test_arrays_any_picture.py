"""No picture, array or damaged file ends a measurement with a fault of the program."""

import contextlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.photo.scale.wire import scale_from_wire
from edgetest.study.photos.arrays import measure_array, profile_array, scale_of_array
from tests.benchmarks.photo_fuzz import WAYS, one_case
from tests.photo.light import linear


@pytest.mark.parametrize("way", WAYS)
def test_small_soft_crops_are_measured_or_refused(way, tmp_path):
    for number in range(12):
        _, outcome, fault = one_case(13, number, tmp_path, way)
        assert outcome in ("measured", "refused", "told"), (number, fault)


# Outlines whose covariance was none of a process, whose blur or levels could not be told.
@pytest.mark.parametrize("case", [(1, 1292), (1, 2269), (2, 1324), (2, 3999)])
def test_outlines_in_a_few_pixels_of_light_are_no_fault(case, tmp_path):
    assert one_case(*case, tmp_path)[1] in ("measured", "refused")


# A middle that was led out of the picture altogether; lines of a ruling without any light.
@pytest.mark.parametrize("case", [(303, 447), (313, 4593)])
def test_bands_and_lines_that_are_none_are_no_fault(case, tmp_path):
    assert one_case(*case, tmp_path)[1] in ("measured", "refused")


@settings(max_examples=25, derandomize=True)
@given(
    rows=st.integers(1, 90),
    cols=st.integers(1, 90),
    seed=st.integers(0, 10_000),
    level=st.floats(0, 1),
    change=st.floats(0, 1),
)
def test_arrays_of_any_size_and_contrast_are_measured_or_refused(rows, cols, seed, level, change):
    noise = np.random.default_rng(seed).random((rows, cols))
    pixels = np.clip(level + change * (noise - 0.5), 0, 1).astype(np.float32)
    assert measure_array(pixels, 1.0, tone="linear").status in ("measured", "refused")
    assert profile_array(pixels, 1.0, tone="linear").status in ("measured", "refused")
    for scale in (
        lambda: scale_of_array(pixels, 10.0, tone="linear"),
        lambda: scale_from_wire(linear(pixels), 100.0, 1.0),
    ):
        with contextlib.suppress(UnusableInput):
            assert scale().um_per_px > 0
