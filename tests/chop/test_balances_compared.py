import pytest

from edgetest.chop.balances_compared import before_after, side_by_side, widened
from tests.chop import codes
from tests.chop.tools import drawn


def test_measured_and_predicted_side_by_side():
    same = side_by_side(drawn("measured"), drawn("predicted"))
    assert all(row["agree"] for row in same.rows)
    apart = side_by_side(drawn("measured"), drawn("predicted", 0.02))
    row = next(row for row in apart.rows if row["figure"] == "balance_mm")
    assert row["difference"] == pytest.approx(20)
    assert not row["agree"]
    assert codes(apart) == ["measured_and_predicted_differ"]
    assert "effective_mass_free_g" in set(apart.to_frame()["figure"])


def test_a_change_is_known_better_than_either_tool():
    paired = before_after(drawn("predicted"), drawn("predicted", 0.002))
    apart = side_by_side(drawn("predicted"), drawn("predicted", 0.002))
    width = [
        next(r["high"] - r["low"] for r in pair.rows if r["figure"] == "balance_mm")
        for pair in (paired, apart)
    ]
    assert width[0] < 0.1 * width[1]
    assert (paired.first, paired.second, codes(paired)) == ("before", "after", [])


def test_a_change_s_interval_is_that_of_the_draws_and_holds_the_difference():
    """A balance point 2 mm further out on every draw: the interval lies about those 2 mm."""
    paired = before_after(drawn("predicted"), drawn("predicted", 0.002))
    row = next(row for row in paired.rows if row["figure"] == "balance_mm")
    assert row["difference"] == pytest.approx(2.0, abs=1e-6)
    assert row["low"] == pytest.approx(2.0, abs=0.05)
    assert row["high"] == pytest.approx(2.0, abs=0.05)
    assert row["low"] <= row["difference"] <= row["high"] + 1e-9
    assert not row["agree"]


@pytest.mark.parametrize(("share", "agree"), [(0.0, False), (0.9, False), (1.1, True)])
def test_a_change_that_may_be_off_by_more_than_itself_may_be_none(share, agree):
    plain = before_after(drawn("predicted"), drawn("predicted", 0.002))
    wide = widened(plain, share)
    for before, after in zip(plain.rows, wide.rows, strict=True):
        more = share * abs(before["difference"])
        assert (after["low"], after["high"]) == (before["low"] - more, before["high"] + more)
    row = next(row for row in wide.rows if row["figure"] == "balance_mm")
    assert row["agree"] is agree
