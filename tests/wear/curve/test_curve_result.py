"""A curve is told from where its readings show it, and an interval that tells nothing is open."""

import numpy as np
import pytest

from edgetest.wear.curve.curve_result import estimate_from_log
from tests.wear.columns import fit_study

CUTS = (50, 100, 200, 400)


def unseen_fresh(before):
    """Two blades that wore from nothing; before the first cut their edges read as `before`."""
    rows = [("A", n, rate * n**0.5 * (1 + 0.02 * ((n // 50 + k) % 3 - 1)), k)
            for rate in (0.9,) for n in CUTS for k in (1, 2, 3)]  # fmt: skip
    rows += [("B", n, (4 + 1.1 * n) ** 0.5 * (1 + 0.02 * ((n + k) % 3 - 1)), k)
             for n in (0, *CUTS) for k in (1, 2, 3)]  # fmt: skip
    blade, cuts, value, station = (np.array(column) for column in zip(*rows, strict=True))
    bounds = {"lower": np.full(len(cuts), np.nan), "upper": np.full(len(cuts), np.nan)}
    if before is not None:
        blade, cuts = np.append(blade, ["A"] * 3), np.append(cuts, [0] * 3)
        value, station = np.append(value, [np.nan] * 3), np.append(station, [1, 2, 3])
        bounds = {"lower": np.append(bounds["lower"], [0.0] * 3),
                  "upper": np.append(bounds["upper"], [before] * 3)}  # fmt: skip
    return fit_study(blade=blade, cuts=cuts, value=value, station=station.astype(str),
                     limit=15.0, **bounds)  # fmt: skip


@pytest.mark.parametrize("before", [3.0, None])
def test_a_curve_whose_fresh_edge_is_not_seen_is_told_from_its_first_number(before):
    fit = unseen_fresh(before)
    assert fit["A"].told_from == 50
    assert fit["B"].told_from == 0
    table = fit["A"].to_frame().set_index("cuts")
    if before is not None:
        assert table.loc[0, ["curve", "low", "high"]].isna().all()
    assert table.loc[50:, "high"].between(5, 30).all()
    assert fit["B"].to_frame()["high"].notna().all()
    fresh = fit["A"].to_dict()["parameters"]["w0"]
    assert (fresh["low"], fresh["high"]) == (0.0, None)  # not known at all, and no number of 1e255
    assert fit["B"].to_dict()["parameters"]["w0"]["high"] < 3


def test_a_curve_whose_first_numbers_bound_its_fresh_edge_is_told_from_there():
    """Read from the second cut on, where it is hardly duller than fresh: the band narrows to it."""
    cuts = np.repeat([2.0, 5, 10, 100, 200, 400, 800], 3)
    value = (16 + 0.2 * cuts) ** 0.5 * (1 + 0.005 * np.tile([-1, 0, 1], 7))
    places = ["1", "2", "3"] * 7
    fit = fit_study(blade=["A"] * 21, cuts=cuts, value=value, station=places, limit=9.0)
    assert fit["A"].told_from == 0
    fresh = fit["A"].predict([0.0])
    assert fresh.low < 4 < fresh.high < 4.2


def test_an_interval_of_a_million_million_times_either_way_is_open():
    told = estimate_from_log(2.0, 13.0, 2.0, "", 0.95, "")
    assert 0 < told.low < told.high < np.inf
    open_ = estimate_from_log(2.0, 14.0, 2.0, "", 0.95, "")
    assert (open_.low, open_.high) == (0.0, np.inf)
