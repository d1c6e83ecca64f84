import json

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.hardness_readings import HardnessErrors


def test_numbers_alone_give_the_normal_interval():
    fit = fit_hardness(value=[60.0, 61.0, 62.0, 61.0], errors=HardnessErrors(reading_sd_hrc=1.0))
    # Flat prior and known sd: mean 61, standard error 1/2. The grid is 0.2 HRC wide.
    mean, sd = fit.moments()
    assert mean == pytest.approx(61.0, abs=0.01)
    assert sd == pytest.approx(0.5, abs=0.01)
    assert fit.hardness.low == pytest.approx(61 - 1.96 * 0.5, abs=0.02)


def test_bracket_without_file_error_is_nearly_uniform_between_its_files():
    fit = fit_hardness(
        lower=[55], upper=[60], errors=HardnessErrors(file_tolerance_hrc=1e-6, file_feel_hrc=0.05)
    )
    mean, sd = fit.moments()
    assert mean == pytest.approx(57.5, abs=0.05)
    assert sd == pytest.approx(5 / np.sqrt(12), abs=0.05)


def test_file_tolerance_widens_the_bracket():
    sharp = fit_hardness(lower=[55], upper=[60], errors=HardnessErrors(file_tolerance_hrc=0.1))
    loose = fit_hardness(lower=[55], upper=[60], errors=HardnessErrors(file_tolerance_hrc=2.0))
    assert loose.moments()[1] > sharp.moments()[1]


def test_the_files_may_be_off_either_way_alike():
    # Of a bracket with room on both sides the middle stays where it is, however far they are off.
    for tolerance in (0.5, 2.0):
        errors = HardnessErrors(file_tolerance_hrc=tolerance, file_feel_hrc=1.0)
        fit = fit_hardness(lower=[42.5], upper=[47.5], errors=errors)
        assert fit.moments()[0] == pytest.approx(45.0, abs=0.02)


def test_shared_file_error_is_not_averaged_away():
    # Eight readings with one file set off by 2 HRC know the piece no better than the set.
    fit = fit_hardness(
        lower=[59.9] * 8,
        upper=[60.1] * 8,
        errors=HardnessErrors(file_tolerance_hrc=2.0, file_feel_hrc=0.5),
    )
    assert fit.moments()[1] > 1.5


def test_bracket_and_number_together_sharpen_each_other():
    bracket = fit_hardness(lower=[60], upper=[65])
    both = fit_hardness(value=[np.nan, 61.0], lower=[60, np.nan], upper=[65, np.nan])
    assert both.moments()[1] < bracket.moments()[1]


def test_all_files_skating_leaves_the_top_open_and_says_so():
    fit = fit_hardness(lower=[65], upper=[np.inf])
    assert {"open_upward", "brackets_only", "one_piece"} <= set(codes(fit.doubts))
    assert fit.hardness.high > 69


def test_one_piece_speaks_for_itself_only():
    fit = fit_hardness(value=[60, 61])
    assert fit.scope == "piece"
    assert fit.lot_mean is None
    assert "one_piece" in codes(fit.doubts)


def test_further_piece_is_less_sure_than_the_lots_mean():
    fit = fit_hardness(value=[59, 60, 61, 60, 61, 62], piece=list("aabbcc"))
    assert fit.scope == "lot"
    lot, following = fit.lot_mean, fit.next_piece
    assert following.high - following.low > lot.high - lot.low
    assert "one_piece" not in codes(fit.doubts)


def test_differing_pieces_are_named():
    fit = fit_hardness(value=[61, 61, 50, 50.5], piece=list("aabb"))
    assert "pieces_differ" in codes(fit.doubts)
    assert fit.moments("a")[0] == pytest.approx(61, abs=0.05)
    assert fit.moments("b")[0] == pytest.approx(50.25, abs=0.05)


@pytest.mark.parametrize(("gap", "differ"), [(2.6, False), (3.4, True)])
def test_pieces_differ_from_three_points_on(gap, differ):
    # Ten readings each: the difference is known to 0.45 HRC, so 0.4 either side is decided.
    value = np.r_[np.full(10, 58.0), np.full(10, 58.0 + gap)]
    found = fit_hardness(value=value, piece=np.repeat(["a", "b"], 10))
    assert ("pieces_differ" in codes(found.doubts)) is differ


def test_further_piece_against_the_integral_over_the_spread():
    # One reading a piece, sd 1, spread half normal with scale 1.5, flat mean: given the spread
    # t the mean is normal about the average with (1 + t²)/n, so a further piece varies by
    # t² + (1 + t²)/n; average that over the spread's own posterior.
    value = np.array([56.0, 60.0, 61.0, 57.5])
    n, squares = value.size, ((value - value.mean()) ** 2).sum()
    t = np.linspace(0, 8, 4001)
    weight = np.exp(-(t**2) / (2 * 1.5**2) - squares / (2 * (1 + t**2))) * (1 + t**2) ** (
        -(n - 1) / 2
    )
    variance = (weight * (t**2 + (1 + t**2) / n)).sum() / weight.sum()
    mean, sd = fit_hardness(value=value, piece=list("abcd")).moments()
    assert mean == pytest.approx(value.mean(), abs=0.02)
    assert sd == pytest.approx(np.sqrt(variance), rel=0.02)  # 24 spreads on the grid


def test_agreeing_pieces_are_not_called_different():
    found = fit_hardness(value=[60, 61, 60.5, 61], piece=list("aabb"))
    assert "pieces_differ" not in codes(found.doubts)


def test_scattered_readings_widen_the_interval():
    calm = fit_hardness(value=[60, 60.5, 60, 59.5])
    wild = fit_hardness(value=[55, 65, 58, 62])
    assert "readings_scatter" in codes(wild.doubts)
    assert wild.moments()[1] > 2 * calm.moments()[1]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "no reading"),
        ({"value": [np.nan]}, "neither number nor bound"),
        ({"lower": [65], "upper": [60]}, "above upper"),
        ({"value": [12]}, "off the C scale"),
        ({"value": [60, 61], "piece": ["a"]}, "differ in length"),
    ],
)
def test_refuses_unusable_readings(given, words):
    with pytest.raises(UnusableInput, match=words):
        fit_hardness(**given)


def test_unknown_piece_lists_the_known():
    with pytest.raises(UnusableInput, match="known are a, b"):
        fit_hardness(value=[60, 61], piece=["a", "b"]).moments("c")


def test_json_is_plain():
    fit = fit_hardness(value=[60, 61], piece=["a", "b"])
    assert json.loads(json.dumps(fit.to_dict(), allow_nan=False))["scope"] == "lot"
    assert list(fit.to_frame()["piece"]) == ["a", "b"]


def test_intervals_cover_the_truth_as_often_as_they_say():
    # 300 invented lots of 3 pieces, 2 file brackets each from files 5 HRC apart, file set off
    # by its tolerance: 95 % intervals of piece one should hold the truth; binomial sd 1.3 %.
    rng = np.random.default_rng(20)
    files = np.arange(40, 70, 5.0)
    hit = 0
    for _ in range(300):
        truth = rng.uniform(45, 62)
        off = rng.normal(0, 1)
        lower, upper = [], []
        for _ in range(2):
            felt = truth + rng.normal(0, 1)
            softer = files + off < felt
            lower.append(files[softer].max() if softer.any() else -np.inf)
            upper.append(files[~softer].min() if (~softer).any() else np.inf)
        h = fit_hardness(lower=lower, upper=upper).hardness
        hit += h.low <= truth <= h.high
    assert hit / 300 == pytest.approx(0.95, abs=0.04)
