"""Medium and control blade over the years, each by itself; what cannot be told is said."""

import numpy as np
import pytest

from edgetest.study.shop.drifts import drifts
from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_lives import ArmLife, StudyLives

K = "control blade K"


def studies(rng, *, medium=0.0, control=0.0, count=8, arms="abc", rope=0.1, dated=True):
    """A study a year of two arms in turn and the control, which share the year's rope."""
    found = []
    for n in range(count):
        shared = medium * n + rope * rng.normal()
        runs = [ArmLife(K, "K", f"roll {r}", 5 + control * n + shared + 0.04 * rng.normal(), 0.02)
                for r in range(3)]  # fmt: skip
        for arm in dict.fromkeys((arms[n % len(arms)], arms[(n + 1) % len(arms)])):
            batch = 0.05 * rng.normal() + 0.2 * arms.index(arm)
            for r in range(3):
                life = 5 + batch + shared + 0.1 * rng.normal()
                runs.append(ArmLife(arm, f"{arm}{n}{r}", f"roll {r}", life, 0.02))
        date = f"{2010 + n}-06-15" if dated else ""
        found.append(StudyLives(f"s{n}", date=date, protocol="rope", reading="edge_width_um",
                                control=K, runs=tuple(runs)))  # fmt: skip
    return found


def test_each_slope_is_its_own():
    rng = np.random.default_rng(3)
    many = [drifts(studies(rng, medium=0.03, control=-0.05), K) for _ in range(60)]
    assert np.mean([each.medium.value for each in many]) == pytest.approx(0.03, abs=0.008)
    assert np.mean([each.control.value for each in many]) == pytest.approx(-0.05, abs=0.004)
    assert np.mean([each.together.value for each in many]) == pytest.approx(-0.02, abs=0.008)
    assert np.mean([each.medium.low <= 0.03 <= each.medium.high for each in many]) > 0.9
    assert np.mean([each.control.low <= -0.05 <= each.control.high for each in many]) > 0.88


@pytest.mark.parametrize("more", [{"count": 2}, {"dated": False}])
def test_what_cannot_be_told_is_said(more):
    (pool,) = shop_book(studies(np.random.default_rng(5), **more)).pools
    assert pool.drifts.medium is pool.drifts.control is pool.drifts.together is None
    text = pool.summary()
    assert "Whether the medium changes over the years cannot be told" in text
    assert f"Whether {K} changes over the years cannot be told" in text


def test_where_no_fresh_blade_links_the_studies_both_are_told_as_one():
    """Each study has heat treatments of its own: rope and control blade cannot be parted."""
    rng = np.random.default_rng(7)
    found = [studies(rng, arms=f"{n}x{n + 10}", count=1)[0] for n in range(5)]
    dated = [StudyLives(**vars(s) | {"date": f"{2010 + n}-06-15"}) for n, s in enumerate(found)]
    for n, s in enumerate(dated):
        runs = tuple(ArmLife(r.arm if r.arm == K else f"{r.arm}{n}", f"{r.blade}{n}", r.block,
                             r.log_life, r.log_life_se) for r in s.runs)  # fmt: skip
        dated[n] = StudyLives(**vars(s) | {"runs": runs})
    told = drifts(dated, K)
    assert told.medium is None
    assert told.control is None
    assert told.together.low < told.together.high
    assert "and the medium together change by" in " ".join(told.sentences(K))


def test_without_a_control_blade_only_the_medium_is_spoken_of():
    found = studies(np.random.default_rng(6))
    bare = [StudyLives(s.name, date=s.date, protocol="rope", reading="edge_width_um",
                       runs=tuple(run for run in s.runs if run.arm != K))
            for s in found]  # fmt: skip
    (pool,) = shop_book(bare).pools
    assert pool.drifts.control is pool.drifts.together is None
    text = pool.summary()
    assert "the medium changes lives by" in text
    assert "control" not in text


def test_three_days_tell_nothing_of_a_year():
    found = studies(np.random.default_rng(8), count=3, arms="ab")
    close = [StudyLives(**vars(s) | {"date": f"2024-05-1{n}"}) for n, s in enumerate(found)]
    told = drifts(close, K)
    assert told.medium is told.control is told.together is None


@pytest.mark.parametrize(("count", "told"), [(3, False), (4, True)])
def test_how_even_the_lives_came_out_does_not_decide_what_is_told(count, told):
    """Four studies, one a year, tell what the medium does and three do not, whatever the luck."""
    for seed in range(15):
        rng = np.random.default_rng(seed)
        found = drifts(studies(rng, count=count, arms="ab", rope=0.3 * (seed % 3)), K)
        assert (found.medium is not None) is told
