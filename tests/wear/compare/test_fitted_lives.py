"""Lives on their way from the curves to a comparison: what each carries arrives there."""

from math import inf, isnan, log

import pytest

from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives
from edgetest.wear.curve.blade_life import Life


def life(cuts, *, low=None, law_u=0.0, shared_u=0.0):
    """A life of a curve; an infinite one is known to be `low` at the least."""
    low = cuts / 1.1 if low is None else low
    return Life(
        cuts, low, inf if cuts == inf else cuts * 1.1, extrapolated=False, censored=cuts == inf,
        limit=12.0, log_life=log(cuts) if cuts < inf else inf, log_life_se=0.05, df=5.0,
        log_life_law_u=(law_u,), log_life_shared_u=shared_u,
    )  # fmt: skip


NAMES = {"blade": ["A1", "A2", "B1", "B2"], "treatment": ["soft", "soft", "hard", "hard"]}


def test_a_curve_without_an_end_is_a_bound_and_no_life():
    lives = fitted_lives([life(100), life(110), life(inf, low=180), life(160)], **NAMES)
    assert [high == inf for high in lives.log_high] == [False, False, True, False]
    assert lives.log_low[2] == pytest.approx(log(180))
    assert isnan(lives.log_life_se[2])
    # One of the hard blades outlasted the test: the ratio is at least that of known lives.
    taken_as_life = [life(100), life(110), life(180), life(160)]
    bounded, known = (
        compare_lives(each, ComparisonOptions(reference="soft")).ratio
        for each in (lives, fitted_lives(taken_as_life, **NAMES))
    )
    assert bounded.high > known.high


def test_a_bound_of_no_cuts_at_all_stays_finite():
    lives = fitted_lives([life(inf, low=0.0)], blade=["A1"], treatment=["soft"])
    assert -inf < lives.log_low[0] < 0


def test_what_the_blades_share_comes_along():
    found = [life(100, law_u=0.02, shared_u=0.03), life(150, law_u=0.08, shared_u=0.03)]
    lives = fitted_lives(found, blade=["A1", "B1"], treatment=["soft", "hard"])
    assert lives.law_u == [(0.02,), (0.08,)]
    assert lives.shared_se == 0.03


def test_the_laws_part_widens_a_ratio_by_the_difference():
    def spread(law_u):
        found = [life(c, law_u=u) for c, u in zip((100, 110, 150, 160), law_u, strict=True)]
        ratio = compare_lives(fitted_lives(found, **NAMES), ComparisonOptions()).ratio
        return ratio.high / ratio.low

    assert spread((0, 0, 0.3, 0.3)) > 1.2 * spread((0, 0, 0, 0))
    assert spread((0.3,) * 4) == pytest.approx(spread((0, 0, 0, 0)))


def test_blocks_are_left_out_where_a_life_has_none_and_blank_batches_stay_blank():
    found = [life(100), life(110), life(150), life(160)]
    full = fitted_lives(found, **NAMES, batch=["q1", "q1", "q2", "q2"], block=["r1", "r2"] * 2)
    assert (full.batch, full.block) == (["q1", "q1", "q2", "q2"], ["r1", "r2", "r1", "r2"])
    bare = fitted_lives(found, **NAMES, batch=["q1", "", "q2", "q2"], block=["r1", "r2", "r1", ""])
    assert (bare.batch, bare.block) == (["q1", "", "q2", "q2"], None)
