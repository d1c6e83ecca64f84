"""Looks at a growing study: bounds against printed tables, and false claims at small numbers."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.stats.group_sequential import growing_studies, look_bounds, normal_deviate

LARGE = 4000


def far(looks):
    """Looks equally spaced and so late that the scatter is as good as known."""
    return tuple(LARGE * k for k in range(1, looks + 1))


# C. Jennison and B. W. Turnbull, "Group Sequential Methods with Applications to Clinical Trials"
# (2000), tables 2.1 (Pocock), 2.3 (O'Brien and Fleming) and 2.9 (Wang and Tsiatis), alpha 0.05;
# from memory. 2.797 of O'Brien and Fleming is 1.977 times the root of 2, their first bound.
@pytest.mark.parametrize(
    ("shape", "looks", "constant"),
    [(0.5, 2, 2.178), (0.5, 3, 2.289), (0.5, 5, 2.413), (0.0, 2, 1.977), (0.0, 3, 2.004),
     (0.0, 5, 2.040), (0.25, 2, 2.038), (0.25, 3, 2.083), (0.25, 5, 2.136)],
)  # fmt: skip
def test_constants_of_the_printed_tables(shape, looks, constant):
    found = look_bounds(far(looks), shape=shape, layout="blocks")
    assert found.constant == pytest.approx(constant, abs=0.012)  # three standard errors
    if shape == 0.0 and looks == 2:
        assert found.bounds()[0] == pytest.approx(2.797, abs=0.017)


def first_crossing(limits, t, df):
    return (normal_deviate(t, df) > limits.bounds()[:, None]).any(axis=0)


@pytest.mark.parametrize("layout", ["groups", "blocks"])
@pytest.mark.parametrize("scatter", [(1.0, 1.0), (1.0, 2.0), (3.0, 1.0)])
@pytest.mark.parametrize("sizes", [(3, 4, 5, 6, 7, 8), (3, 5, 8)])
def test_no_more_than_one_study_in_twenty_claims_what_is_not_there(sizes, scatter, layout):
    limits = look_bounds(sizes, layout=layout)
    rng = np.random.default_rng(3)
    t, df = growing_studies(sizes, 10_000, rng, layout=layout, scatter=scatter)
    assert first_crossing(limits, t, df).mean() < 0.055


def test_a_fixed_95_percent_read_at_every_blade_claims_too_much():
    """What the looks are for: the same studies by the plain t interval at each size."""
    t, df = growing_studies(range(3, 9), 10_000, np.random.default_rng(3))
    assert (normal_deviate(t, df) > 1.96).any(axis=0).mean() > 0.11


def test_levels_are_those_of_the_bounds_and_the_first_look_asks_most():
    found = look_bounds((3, 5, 8))
    assert normal_deviate(-1e9, np.inf) > 8
    assert list(found.levels) == sorted(found.levels, reverse=True)
    assert found.levels[-1] > 0.95
    assert found.bounds()[-1] == pytest.approx(found.constant)


def test_a_large_difference_stops_a_vanishing_one_is_futile_and_the_last_look_ends():
    found = look_bounds((3, 5, 8))
    assert found.decide(0, 12.0, 4) == "stop"
    assert found.decide(0, -12.0, 4) == "stop"
    assert found.decide(1, 1.9, 8) == "go_on"
    assert found.decide(1, 0.1, 8) == "futile"
    assert found.decide(2, 0.1, 14) == "end"
    assert found.decide(2, 3.5, 14) == "stop"


def test_a_number_between_two_looks_counts_as_the_look_before():
    found = look_bounds((3, 5, 8))
    assert [found.look_at(n) for n in (2, 3, 4, 5, 7, 8, 9)] == [None, 0, 0, 1, 1, 2, 2]


def test_about_ten_blades_do_where_the_ratio_is_1_5_instead_of_sixteen():
    sizes = tuple(range(3, 9))
    limits = look_bounds(sizes)
    t, df = growing_studies(sizes, 5000, np.random.default_rng(4), difference=np.log(1.5) / 0.15)
    crossed = normal_deviate(t, df) > limits.bounds()[:, None]
    assert crossed.any(axis=0).mean() > 0.98
    ended = np.where(crossed.any(axis=0), np.array(sizes)[crossed.argmax(axis=0)], 8)
    assert 2 * ended.mean() < 10


@pytest.mark.parametrize(
    ("sizes", "layout"), [((2, 4), "groups"), ((), "groups"), ((5, 4), "groups"), ((3, 4), "rows")]
)
def test_refuses_looks_that_cannot_be(sizes, layout):
    with pytest.raises(UnusableInput, match="looks"):
        look_bounds(sizes, layout=layout)


@pytest.mark.parametrize("size", [2, 5, 9])
def test_degrees_of_freedom_lie_between_one_group_s_and_both(size):
    """Welch's: n - 1 where one scatter is all, 2 (n - 1) where both are alike."""
    _, df = growing_studies([size], 4000, np.random.default_rng(5))
    assert size - 1 <= df.min() < size - 1 + 0.6 * size
    assert df.max() == pytest.approx(2 * (size - 1), rel=1e-3)
    _, one = growing_studies([size], 50, np.random.default_rng(6), scatter=(1.0, 1e-6))
    np.testing.assert_allclose(one[0], size - 1, rtol=1e-5)
    _, blocks = growing_studies([size], 50, np.random.default_rng(7), layout="blocks")
    np.testing.assert_allclose(blocks[0], size - 1)
