"""Lands whose corners are round: their light falls off outward, and that is no blur."""

import numpy as np
import pytest
from scipy.signal import fftconvolve

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.lens_edges import HALF_FALL, edge_of, round_side
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture
from tests.benchmarks.second_world import tone_told


@pytest.mark.parametrize("reach", [0.3, 1.0, 2.0])
def test_side_is_the_light_of_a_round_corner_behind_the_lens(reach):
    x, lens = np.linspace(-20, 12, 161), (np.full((1, 1), 1.2), np.full((1, 1), 3.0))
    fine = np.arange(-60, 60, 0.02)
    light = np.where(fine > 0, 1.0, np.exp(-0.5 * (fine / reach) ** 2))
    spread = np.gradient(edge_of("diffracted", fine[None, :], *lens, 0)[0], fine)
    expected = np.interp(x, fine, fftconvolve(light, spread * 0.02, mode="same"))
    found = round_side(x[None, :], *lens, np.full((1, 1), reach))[0]
    assert np.abs(found - expected).max() < 0.025
    assert np.interp(-HALF_FALL * reach, x, found) == pytest.approx(0.5, abs=0.06)


# Without round corners among the explanations these read 1.6 % and 1.0 % wide, up to three
# half-widths of their intervals.
@pytest.mark.parametrize("seed", [0, 32])
def test_round_corners_are_not_read_as_a_wider_land(seed):
    made = picture("corners", seed)
    result = measure_apex(read_picture(made.data, tone=tone_told(made, "known")), made.um_per_px)
    truth = made.truth.width_um
    assert result.width_um.low < truth < result.width_um.high
    assert result.width_um.mean == pytest.approx(truth, rel=0.011)


def test_land_that_only_round_corners_explain_is_measured():
    made = picture("corners", 5)
    result = measure_apex(read_picture(made.data, tone=tone_told(made, "known")), made.um_per_px)
    assert result.width_um.mean == pytest.approx(made.truth.width_um, rel=0.01)
