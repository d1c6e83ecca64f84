"""Oven loads told apart from blades and studies, or why they cannot be; and what that does."""

import numpy as np
import pytest
from scipy.stats import chi2

from edgetest.stats.between_studies import FEWER
from edgetest.study.shop.load_scatter import load_scatter
from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_effects import effects_of, within_study
from edgetest.study.shop.study_lives import ArmLife, StudyLives

LOAD, BLADE = 0.2, 0.08


def runs(rng, loads=2, blades=2, noted=True, shared=False):
    """Two arms, each of some loads of some blades, on rolls that differ."""
    rolls = 0.2 * rng.normal(size=loads * blades)
    both = LOAD * rng.normal(size=loads)
    found = []
    for arm, gain in (("a", 0.0), ("b", 0.3)):
        own = both if shared else LOAD * rng.normal(size=loads)
        for roll in range(loads * blades):
            load = roll % loads
            life = 5 + gain + own[load] + rolls[roll] + BLADE * rng.normal()
            name = f"{'' if shared else arm}{load}" if noted else ""
            found.append(ArmLife(arm, f"{arm}.{roll}", f"roll {roll}", life, 0.02, name))
    return found


def test_loads_are_told_from_blades():
    rng = np.random.default_rng(1)
    found = load_scatter([(runs(rng), "") for _ in range(300)], 1.0).found
    assert found.between == pytest.approx(LOAD, rel=0.1)
    assert found.within == pytest.approx(BLADE, rel=0.1)
    assert found.between_low < LOAD < found.between_high


@pytest.mark.parametrize(
    ("more", "why"),
    [({"loads": 1, "blades": 3}, "no difference between batches of one heat"),
     ({"loads": 3, "blades": 1}, "a batch of its own"), ({"noted": False}, "names the batch")],
)  # fmt: skip
def test_what_cannot_be_told_apart_is_said_with_its_reason(more, why):
    rng = np.random.default_rng(2)
    found = load_scatter([(runs(rng, **more), "") for _ in range(5)], 1.0)
    assert found.found is None
    assert why in found.why
    assert found.sd == 0


def test_a_load_that_both_heat_treatments_share_cancels_in_what_they_differ_by():
    """Covariance over that of many studies of one truth, with loads shared and apart."""
    rng = np.random.default_rng(3)
    for shared in (True, False):
        found = [within_study(runs(rng, shared=shared)) for _ in range(1000)]
        seen = np.var([each.log_effects[0] for each in found])
        told = effects_of(found[0], (BLADE, BLADE), LOAD).covariance[0, 0]
        assert told == pytest.approx(seen, rel=0.1), shared


def test_the_book_tells_three_levels_apart():
    """Between studies nothing differs here but loads: once they are told, little is left."""
    rng = np.random.default_rng(4)
    studies = [StudyLives(f"s{n}", protocol="rope", reading="edge_width_um", runs=tuple(runs(rng)))
               for n in range(12)]  # fmt: skip
    (pool,) = shop_book(studies).pools
    assert pool.batch_sd.low < LOAD < pool.batch_sd.high
    assert pool.blade_sd.low < BLADE < pool.blade_sd.high
    assert pool.between_sd.value < 0.15
    assert "Batches of one heat treatment differ by about" in pool.summary()
    bare = [StudyLives(s.name, protocol="rope", reading="edge_width_um", runs=tuple(
        ArmLife(r.arm, r.blade, r.block, r.log_life, r.log_life_se) for r in s.runs
    )) for s in studies]  # fmt: skip
    (pool,) = shop_book(bare).pools
    assert pool.batch_sd is None
    assert "no study names the batch" in pool.summary()


def test_a_dud_among_the_blades_leaves_their_scatter_less_sure():
    """Its square alone is half of what is left over, so the lower limit falls well below."""
    rng = np.random.default_rng(6)
    plain = [runs(rng, blades=3) for _ in range(8)]
    first = plain[0][0]
    dud = ArmLife(first.arm, first.blade, first.block, first.log_life - 1.2, 0.02, first.batch)
    even = load_scatter([(lives, "") for lives in plain], 1.0).found
    odd = load_scatter([([dud, *plain[0][1:]], ""), *((each, "") for each in plain[1:])], 1.0).found
    assert even.within_low < BLADE < even.within_high
    assert odd.within > 1.3 * BLADE
    assert odd.within_high / odd.within_low > 1.5 * even.within_high / even.within_low


def test_blades_of_even_tails_keep_half_of_their_degrees_of_freedom():
    rng = np.random.default_rng(7)
    found = load_scatter([(runs(rng), "") for _ in range(40)], 1.0).found
    few = found.df_within * FEWER
    ends = found.within * np.sqrt(few / chi2.ppf((0.975, 0.025), few))
    assert (found.within_low, found.within_high) == pytest.approx(tuple(ends))
