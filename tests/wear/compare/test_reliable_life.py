"""What a customer can rely on: offered only where enough is known, and whose scatter it was."""

from math import exp

import numpy as np
import pytest

from edgetest.wear.compare.reliable_life import (
    KnownScatter,
    is_larger,
    reliable_life,
    rounded_down,
)
from tests.wear.columns import compare_lives

EIGHT = np.log([300.0, 340, 290, 360, 310, 330, 280, 350])  # invented lives
SHOP = KnownScatter(0.10, 24.0, "the shop's earlier studies")


def test_eight_blades_answer_by_their_own_scatter():
    found = reliable_life(EIGHT)
    # 2.5817 from the table of one-sided factors for eight items, 90 % and 95 %; from memory.
    assert found.life == pytest.approx(exp(EIGHT.mean() - 2.5817 * EIGHT.std(ddof=1)), rel=1e-4)
    assert found.summary() == (
        "Nine of ten such blades last at least 250 cuts, with 95 % confidence "
        "(scatter of 9 % from these 8 blades)."
    )


@pytest.mark.parametrize("pooled", [None, KnownScatter(0.1, 19.0, "all blades")])
def test_seven_blades_and_little_else_get_no_promise(pooled):
    assert reliable_life(EIGHT[:7], pooled) is None


def test_three_blades_lean_on_the_shop_and_say_so():
    found = reliable_life(EIGHT[:3], SHOP)
    assert found.to_dict()["scatter_of"] == "the shop's earlier studies"
    assert found.to_dict()["scatter_df"] == 24
    assert "the shop's earlier studies" in found.summary()
    assert found.doubts == ()


def test_blades_that_scatter_more_than_the_shops_say_so():
    wide = np.log([200.0, 400, 300])
    found = reliable_life(wide, SHOP)
    assert [one.code for one in found.doubts] == ["scatter_larger_today"]
    assert "35 %" in found.doubts[0].text
    assert "10 %" in found.doubts[0].text
    assert found.to_dict()["doubts"][0]["code"] == "scatter_larger_today"


def test_eight_blades_that_scatter_more_than_the_shops_use_their_own():
    wide = 3 * (EIGHT - EIGHT.mean()) + EIGHT.mean()
    found = reliable_life(wide, SHOP)
    assert found.scatter.whose == "these 8 blades"
    assert found.life == reliable_life(wide).life


def test_a_promise_is_rounded_down():
    assert [rounded_down(x) for x in (9.8, 99.9, 219.9, 1299)] == [9, 99, 210, 1200]


def test_nine_of_ten_last_as_long_in_19_of_20_studies_with_a_shops_scatter():
    rng = np.random.default_rng(8)
    held = []
    for _ in range(2000):
        own = rng.normal(6.0, 0.15, 3)
        shop = KnownScatter(0.15 * np.sqrt(rng.chisquare(24) / 24), 24.0, "the shop")
        held.append(np.log(reliable_life(own, shop).life) <= 6.0 - 1.281552 * 0.15)
    assert np.mean(held) == pytest.approx(0.95, abs=0.015)


def test_the_other_heat_treatments_lend_their_scatter_from_twenty_degrees_of_freedom_on():
    """Squares over degrees of freedom of all the others, whatever their sizes."""
    rng = np.random.default_rng(4)
    groups = {"A": 3, "B": 12, "C": 11}
    lives = {name: 6 + 0.1 * rng.standard_normal(n) for name, n in groups.items()}
    found = compare_lives(
        [f"{name}{i}" for name, n in groups.items() for i in range(n)],
        [name for name, n in groups.items() for _ in range(n)],
        np.concatenate(list(lives.values())),
    )
    reliable = found.groups[0].reliable
    squares = sum(x.var(ddof=1) * (len(x) - 1) for x in (lives["B"], lives["C"]))
    assert reliable.scatter.df == 21
    assert reliable.scatter.sd == pytest.approx((squares / 21) ** 0.5)
    assert reliable.scatter.whose == "this study's other heat treatments"
    few = compare_lives([f"b{i}" for i in range(6)], list("AAABBB"), np.r_[lives["A"], 6, 6.1, 6.2])
    assert few.groups[0].reliable is None


def test_a_scatter_is_larger_by_the_ratio_of_the_variances():
    """F = 4 with 7 and 30 degrees of freedom: 0.3 % by chance; F = 2 would be 9 %."""
    one, twice = KnownScatter(1.0, 30.0, "the shop"), KnownScatter(2.0, 7.0, "these blades")
    assert is_larger(twice, one)
    assert not is_larger(KnownScatter(2**0.5, 7.0, "these blades"), one)
    none = KnownScatter(0.0, 30.0, "the shop")
    assert is_larger(twice, none)
    assert not is_larger(none, none)
