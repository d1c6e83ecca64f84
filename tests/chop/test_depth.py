import json

import numpy as np
import pytest

from edgetest.chop.depth import DEPTH, SingleChops, fit_depths
from edgetest.chop.loss_contrast import LOSS
from edgetest.errors import UnusableInput
from tests.chop import codes


def depths_of(blade, chop, depth_mm, **columns):
    return fit_depths(SingleChops(blade, chop, depth_mm, **columns))


def chopping(
    rng, blades, *, fresh=12.0, loss=0.002, between=0.0, noise=0.15, chops=range(0, 200, 10)
):
    """Depths of several blades whose log depth falls by `loss` a chop."""
    chops = np.array(list(chops), float)
    blade = np.repeat(blades, len(chops))
    chop = np.tile(chops, len(blades))
    shift = dict(zip(blades, rng.normal(0, between, len(blades)), strict=True))
    log_depth = np.log(fresh) - loss * chop + np.array([shift[b] for b in blade])
    return blade, chop, np.exp(log_depth + rng.normal(0, noise, len(blade)))


def test_loss_and_fresh_depth_come_back_exactly_without_noise():
    blade, chop, depth = chopping(np.random.default_rng(1), ["A"], noise=1e-9)
    (line,) = depths_of(blade, chop, depth).blades
    assert line.fresh_mm.value == pytest.approx(12.0, rel=1e-6)
    assert line.loss_pct_per_100_chops.value == pytest.approx(100 * (1 - np.exp(-0.2)), rel=1e-5)
    assert line.midway_mm.value == pytest.approx(12.0 * np.exp(-0.002 * 95), rel=1e-6)


def test_single_blade_matches_ordinary_least_squares():
    import statsmodels.api as sm

    blade, chop, depth = chopping(np.random.default_rng(2), ["A"])
    (line,) = depths_of(blade, chop, depth).blades
    other = sm.OLS(np.log(depth), sm.add_constant(chop / 100)).fit()
    low, high = np.exp(other.conf_int()[0])
    assert line.fresh_mm.low == pytest.approx(low)
    assert line.fresh_mm.high == pytest.approx(high)
    kept = np.exp(other.conf_int()[1])
    assert line.loss_pct_per_100_chops.low == pytest.approx(100 * (1 - kept[1]))


def test_intervals_cover_with_blades_as_replicates():
    """Three blades a kind that differ by 15 %: the ratio of kinds keeps its level."""
    rng = np.random.default_rng(4)
    held = 0
    for _ in range(40):
        parts = [
            chopping(rng, names, fresh=fresh, between=0.15, chops=range(0, 120, 20))
            for names, fresh in ((["A", "B", "C"], 12.0), (["D", "E", "F"], 14.4))
        ]
        blade, chop, depth = (np.concatenate(column) for column in zip(*parts, strict=True))
        kinds = np.where(np.isin(blade, list("ABC")), "x", "y")
        ratio, loss = depths_of(blade, chop, depth, treatment=kinds).ratios[-2:]
        assert (ratio.quantity, loss.quantity) == (DEPTH, LOSS)
        assert ratio.scope == "heat_treatments"
        held += ratio.ratio.low <= 1.2 <= ratio.ratio.high
    assert held >= 34  # 40 at 95 % fall below this once in 700 times


def test_blocks_do_not_pose_as_blades():
    """Every blade on both boards; one board is twice as soft."""
    blade, chop, depth = chopping(np.random.default_rng(5), ["A", "B"], noise=0.05)
    board = np.where((chop / 10) % 2 == 0, "soft", "hard")
    depth = depth * np.where(board == "soft", 2.0, 1.0)
    with_boards = depths_of(blade, chop, depth, block=board)
    without = depths_of(blade, chop, depth)
    assert with_boards.sd_log_within < 0.07
    assert without.sd_log_within > 0.3
    assert with_boards.blades[0].fresh_mm.value == pytest.approx(12.0 * np.sqrt(2), rel=0.05)


def test_through_chops_and_single_blades_are_said():
    blade, chop, depth = chopping(np.random.default_rng(6), ["A"])
    fit = depths_of(blade, chop, depth, through=chop == 0)
    assert fit.blades[0].depths == len(blade) - 1
    assert set(codes(fit)) == {"depth_censored", "one_blade"}
    json.dumps(fit.to_dict(), allow_nan=False)
    assert "% of depth lost per 100 chops" in fit.summary()
    assert list(fit.to_frame()["name"]) == ["A"]


def test_four_depths_give_no_loss():
    blade, chop, depth = chopping(np.random.default_rng(7), ["A", "B"])
    keep = (blade == "A") | (chop < 40)
    fit = depths_of(blade[keep], chop[keep], depth[keep])
    assert fit.blades[1].loss_pct_per_100_chops is None
    assert "few_depths" in codes(fit)


@pytest.mark.parametrize(
    ("depth", "words"),
    [
        ([5, 6, 0, 5, 5, 6], "chop 3 has depth 0 mm"),
        ([5, 6, 7], "6 blades, 3 depths"),
    ],
)
def test_errors(depth, words):
    with pytest.raises(UnusableInput, match=words):
        depths_of(["A"] * 6, [0, 1, 2, 3, 4, 5], depth)


def test_short_column_is_named():
    with pytest.raises(UnusableInput, match="block: 2 values for 6 depths"):
        depths_of(["A"] * 6, [0, 1, 2, 3, 4, 5], [5.0] * 6, block=["p", "q"])


def test_blocks_that_are_blades_are_refused():
    blade, chop, depth = chopping(np.random.default_rng(8), ["A", "B"])
    with pytest.raises(UnusableInput, match="chop every blade in every block"):
        depths_of(blade, chop, depth, block=blade)


def test_depths_at_one_number_of_chops_give_no_loss_and_no_fault():
    blade, chop, depth = chopping(np.random.default_rng(7), ["A", "B"])
    fit = depths_of(blade, np.where(blade == "A", chop, 40), depth)
    told = {one.name: one.loss_pct_per_100_chops for one in fit.blades}
    assert told["B"] is None
    assert told["A"] is not None
