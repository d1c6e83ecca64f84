"""Two groups that scatter unequally within shared blocks, some lives known to bounds alone."""

import numpy as np
import pytest

from edgetest.stats import uneven_censored as module
from edgetest.stats.censored_regression import censored_contrast
from edgetest.stats.multiple_comparisons import Family
from edgetest.stats.uneven_censored import uneven_censored_contrast

SINGLE = Family("sidak", 1)


def study(rng, sizes, sds, rolls=3, stopped=0.15):
    """Design, ends, weights and group of one study whose true difference is none."""
    group = np.repeat([0, 1], sizes)
    roll = np.concatenate([np.arange(n) % rolls for n in sizes])
    y = np.array(sds)[group] * rng.standard_normal(len(group))
    y += (0.2 * rng.standard_normal(rolls))[roll]
    early = rng.random(len(y)) < stopped
    low = np.where(early, y - 0.3 * rng.random(len(y)), y)
    high = np.where(early, np.inf, y)
    design = np.hstack([np.eye(2)[group], np.eye(rolls)[roll][:, 1:]])
    weights = np.r_[-1.0, 1.0, np.zeros(rolls - 1)]
    return design, low, high, weights, group


@pytest.mark.slow
@pytest.mark.parametrize(("sizes", "sds"), [((9, 3), (0.1, 0.3)), ((6, 3), (0.1, 0.25))])
def test_the_interval_holds_the_difference_where_the_smaller_group_scatters_most(sizes, sds):
    rng = np.random.default_rng(20261129)
    held, held_by_one = [], []
    for _ in range(400):
        told = study(rng, sizes, sds)
        if np.isfinite(told[2]).all():
            continue
        low, high = uneven_censored_contrast(*told).limits(0.95, SINGLE)
        held.append(low <= 0 <= high)
        low, high = censored_contrast(*told[:4]).limits(0.95, SINGLE)
        held_by_one.append(low <= 0 <= high)
    assert np.mean(held) > 0.91
    assert np.mean(held) > np.mean(held_by_one) + 0.03


def test_groups_that_swap_places_give_the_same_interval_turned_round():
    design, low, high, weights, group = study(np.random.default_rng(3), (5, 3), (0.1, 0.3))
    there = uneven_censored_contrast(design, low, high, weights, group)
    back = uneven_censored_contrast(design, low, high, -weights, 1 - group)
    ends = there.limits(0.95, SINGLE)
    assert back.limits(0.95, SINGLE) == pytest.approx((-ends[1], -ends[0]), abs=1e-6)
    assert back.difference == pytest.approx(-there.difference, abs=1e-6)


def test_a_smaller_group_that_scatters_more_widens_the_interval_and_a_calm_one_does_not():
    design, low, high, weights, group = study(np.random.default_rng(4), (9, 3), (0.1, 0.1))
    calm = uneven_censored_contrast(design, low, high, weights, group).limits(0.95, SINGLE)
    moved = np.where(group == 1, np.array([-0.5, 0.0, 0.5])[np.cumsum(group) - 1], 0.0)
    wild = uneven_censored_contrast(design, low + moved, high + moved, weights, group)
    one = censored_contrast(design, low + moved, high + moved, weights)
    widths = [end[1] - end[0] for end in (calm, one.limits(0.95, SINGLE))]
    assert np.subtract(*wild.limits(0.95, SINGLE)[::-1]) > 1.3 * max(widths)


@pytest.mark.parametrize("sign", [1, -1])
def test_a_group_that_was_stopped_whole_leaves_a_difference_without_an_end(sign):
    """A middle beyond all that was seen would be told as a number of times."""
    design, low, _, weights, group = study(np.random.default_rng(6), (5, 3), (0.1, 0.1), stopped=0)
    high = np.where(group == 1, np.inf, low)
    found = uneven_censored_contrast(design, low, high, sign * weights, group)
    assert found.difference == sign * np.inf
    least, most = found.limits(0.95, SINGLE)
    assert np.isfinite([least, most]).tolist() == ([True, False] if sign > 0 else [False, True])


def test_a_lone_blade_leaves_one_scatter_for_both():
    design, low, high, weights, group = study(np.random.default_rng(5), (6, 1), (0.1, 0.1))
    found = uneven_censored_contrast(design, low, high, weights, group)
    one = censored_contrast(design, low, high, weights)
    assert found.limits(0.95, SINGLE) == one.limits(0.95, SINGLE)


def test_blades_of_shared_blocks_alone_tell_of_the_scatters_and_the_fewest_of_a_group(monkeypatch):
    asked, real = [], module.ratios_of_scatter
    monkeypatch.setattr(
        module, "ratios_of_scatter", lambda *given: asked.append(given) or real(*given)
    )
    uneven_censored_contrast(*study(np.random.default_rng(3), (2, 5), (1.0, 1.0), stopped=0.0))
    assert asked == [(True, 2)]
