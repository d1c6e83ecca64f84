"""A round crest's bell of light: measured where the grind is sharp, else an upper limit."""

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.narrow_band import Pooled
from edgetest.photo.apex.round_crest import Detail, bell_width
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture
from tests.benchmarks.second_world import tone_told


def more(*case):
    """A further picture of a kind, among the slow tests."""
    return pytest.param(*case, marks=pytest.mark.slow)


def measured(kind, seed):
    """Result, the codes of its doubts, and the true width."""
    made = picture(kind, seed)
    result = measure_apex(read_picture(made.data, tone=tone_told(made, "known")), made.um_per_px)
    return result, [one.code for one in (*result.reasons, *result.doubts)], made.truth.width_um


@pytest.mark.parametrize("seed", [36, more(70)])
def test_round_crest_with_a_sharp_grind_is_measured(seed):
    result, codes, truth = measured("round", seed)
    assert "round_crest" in codes
    assert result.width_um.low < truth < result.width_um.high
    assert result.width_um.mean == pytest.approx(truth, rel=0.05)


@pytest.mark.parametrize(
    ("kind", "seed"), [("defocused", 34), more("defocused", 66), more("round", 72)]
)
def test_soft_bell_without_a_sharp_grind_is_an_upper_limit(kind, seed):
    result, codes, truth = measured(kind, seed)
    assert result.width_um is None
    assert codes[0] == "soft_or_round"
    assert truth < result.below_um < 2 * truth


@pytest.mark.parametrize("blur", [1.0, 4.0])
def test_known_blur_is_taken_out_of_a_gaussian_bell(blur):
    x, bell = np.arange(-30, 30, 0.25), 6.0
    spread = np.hypot(bell, blur)
    value = np.exp(-0.5 * (x / spread) ** 2) / (spread * np.sqrt(2 * np.pi))
    pooled = Pooled(x, value, np.full(x.size, 1e-4), 1.0, 0.0)
    found = bell_width(pooled, Detail(50.0, blur, 50.0))
    truth = 2 * np.sqrt(2 * np.log(2)) * bell
    assert found.low_px < truth < found.high_px
    # Where the lens may have made nearly all of the bell there is no width, only a bound.
    untold = bell_width(pooled, Detail(50.0, 0.95 * spread, 50.0))
    assert not untold.resolved
    assert untold.upper_px > truth


@pytest.mark.parametrize("seed", [54, more(266), more(274)])
def test_crest_read_as_a_soft_land_has_an_interval_that_holds_its_bell(seed):
    result, _, truth = measured("round", seed)
    assert result.width_um.low < truth < result.width_um.high


@pytest.mark.parametrize("seed", [2, more(168), more(342)])
def test_round_crest_on_its_foot_is_no_picture_without_contrast(seed):
    result, _, truth = measured("round", seed)
    assert truth < (result.below_um or result.width_um.high) < 1.3 * truth


@pytest.mark.parametrize("seed", [156, more(264)])
def test_noise_drawn_out_by_the_camera_is_not_taken_for_a_sharp_grind(seed):
    result, codes, truth = measured("defocused", seed)
    assert codes == ["soft_or_round"]
    assert result.below_um > truth
