"""Thickness behind the edge: the most it could explain, and what the blades themselves say."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.wear.compare.thickness_share import thickness_share
from tests.wear.columns import without_covariate

GROUP = list("AAAABBBB")
THICK = np.array([0.5, 0.55, 0.6, 0.66, 0.62, 0.7, 0.75, 0.82])


def ancova(y, x, group):
    """Difference, interval half-width and df of B over A by the normal equations."""
    design = np.column_stack([np.ones(len(y)), group, x])
    inverse = np.linalg.inv(design.T @ design)
    params = inverse @ design.T @ y
    df = len(y) - 3
    left = y - design @ params
    se = np.sqrt(left @ left / df * inverse[1, 1])
    return params[1], student.ppf(0.975, df) * se, df


def lives(rng, slope=-1.0):
    is_b = np.array([g == "B" for g in GROUP])
    log_life = 5 + 0.2 * is_b + slope * np.log(THICK) + 0.05 * rng.standard_normal(8)
    return log_life, is_b


def test_at_the_most_life_goes_as_one_over_thickness():
    share = thickness_share(
        list("AABB"), [0.5, 0.72, 0.9, 0.9], "A", "B", thickness_u_mm=0.03, ratio=0.8
    )
    assert_allclose(share.factor.value, 0.6 / 0.9, rtol=1e-12)
    assert_allclose(share.left_over, 0.8 / (0.6 / 0.9), rtol=1e-12)
    assert share.matters
    assert "0.9 mm (B) and 0.6 mm (A)" in share.summary()
    assert "Between 0.83 and 1.25 is left over" in share.summary()
    # The interval against brute force.
    rng = np.random.default_rng(4)
    draws = np.log([0.5, 0.72, 0.9, 0.9] + 0.03 * rng.standard_normal((100_000, 4)))
    spread = (draws[:, :2].mean(axis=1) - draws[:, 2:].mean(axis=1)).std()
    half = np.log(share.factor.high / share.factor.value)
    assert_allclose(half, 1.959964 * spread, rtol=0.02)


def test_a_thickness_that_cannot_matter_says_nothing():
    alike = thickness_share(list("AB"), [0.60, 0.65], "A", "B")
    assert alike.summary() == ""
    assert thickness_share(list("AB"), [0.60, 0.65], "A", "B", margin=0.05).matters


def test_blades_without_a_thickness_are_counted():
    share = thickness_share(list("AAB"), [0.5, np.nan, 0.9], "A", "B")
    assert (share.known, share.blades) == (2, 3)
    assert "known of 2 of 3" in share.summary()


def test_impossible_and_missing_thicknesses_are_named():
    with pytest.raises(UnusableInput, match="-1 mm is no thickness"):
        thickness_share(list("AB"), [0.5, -1], "A", "B")
    with pytest.raises(UnusableInput, match="no thickness of B"):
        thickness_share(list("AB"), [0.5, np.nan], "A", "B")


def test_taken_out_it_is_the_analysis_of_covariance():
    log_life, is_b = lives(np.random.default_rng(1))
    middle, half, df = ancova(log_life, np.log(THICK), is_b)
    found = without_covariate(
        range(8), GROUP, log_life, covariate=np.log(THICK), first="A", second="B"
    )
    assert found.df == df
    assert_allclose(
        np.log([found.low, found.estimate, found.high]),
        [middle - half, middle, middle + half],
        rtol=1e-9,
    )
    other_way = without_covariate(
        range(8), GROUP, log_life, covariate=np.log(THICK), first="B", second="A"
    )
    assert_allclose(other_way.estimate, 1 / found.estimate, rtol=1e-12)


def test_a_change_of_unit_leaves_the_ratio_alone():
    log_life, _ = lives(np.random.default_rng(2))
    ends = [
        without_covariate(
            range(8), GROUP, log_life, covariate=np.log(unit * THICK), first="A", second="B"
        )
        for unit in (1.0, 1 / 25.4)
    ]
    assert_allclose(ends[0].low, ends[1].low, rtol=1e-9)
    assert_allclose(ends[0].high, ends[1].high, rtol=1e-9)


def test_blocks_go_along():
    rng = np.random.default_rng(3)
    log_life, is_b = lives(rng)
    block = np.tile(np.arange(4), 2)
    log_life = log_life + 0.4 * block
    design = np.column_stack([np.eye(4)[block], is_b, np.log(THICK)])
    inverse = np.linalg.inv(design.T @ design)
    params = inverse @ design.T @ log_life
    assert len(design) - 6 == 2  # too few degrees of freedom for four pairs
    twice = without_covariate(
        range(8), GROUP, log_life, covariate=np.log(THICK), block=block, first="A", second="B"
    )
    assert twice is None
    many = np.r_[log_life, log_life + 0.05 * rng.standard_normal(8)]
    design = np.vstack([design, design])
    params = np.linalg.lstsq(design, many)[0]
    found = without_covariate(
        range(16), GROUP * 2, many, covariate=np.tile(np.log(THICK), 2),
        block=np.tile(block, 2), first="A", second="B",
    )  # fmt: skip
    assert_allclose(np.log(found.estimate), params[4], rtol=1e-9)


@pytest.mark.parametrize(
    "change",
    [
        {"covariate": np.full(8, -0.5)},  # all alike
        {"covariate_u": np.full(8, 0.1)},  # differs no more than it is uncertain
        {"covariate": np.r_[np.nan, np.log(THICK[1:])]},
        {"censored": [True] + [False] * 7},
    ],
)
def test_blades_that_cannot_tell_are_not_made_to(change):
    log_life, _ = lives(np.random.default_rng(5))
    options = {"covariate": np.log(THICK), "first": "A", "second": "B"} | change
    assert without_covariate(range(8), GROUP, log_life, **options) is None


def test_three_blades_a_side_are_too_few():
    rows = [0, 1, 2, 4, 5, 6]
    log_life, _ = lives(np.random.default_rng(6))
    found = without_covariate(
        rows, [GROUP[i] for i in rows], log_life[rows], covariate=np.log(THICK[rows]),
        first="A", second="B",
    )  # fmt: skip
    assert found is None
