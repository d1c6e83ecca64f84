"""Oven loads told apart from blades and studies, or why they cannot be; and what that does."""

import numpy as np
import pytest

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
    [({"loads": 1, "blades": 3}, "two batches in one study"),
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
        found = [within_study(runs(rng, shared=shared)) for _ in range(2000)]
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
