"""Looks at a growing study: bounds against printed tables, and false claims at small numbers."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.group_sequential import (
    LookBounds,
    growing_studies,
    look_bounds,
    normal_deviate,
)

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


LOOKS = LookBounds((4, 8, 16), (0.999, 0.99, 0.96), 2.1, 0.25, 0.95)


def test_bounds_fall_with_the_fourth_root_of_the_blades():
    """Wang and Tsiatis: c (n / most)^(1/4 - 1/2)."""
    assert LOOKS.most == 16
    assert LOOKS.bounds() == pytest.approx([2.1 * 2**0.5, 2.1 * 2**0.25, 2.1])
    assert replace(LOOKS, shape=0.5).bounds() == pytest.approx([2.1] * 3)
    assert replace(LOOKS, shape=0.0).bounds()[0] == pytest.approx(4.2)


def test_levels_are_two_sided_at_each_bound():
    found = look_bounds((3, 5, 8))
    assert found.levels == pytest.approx(1 - 2 * norm.sf(found.bounds()))
    assert (found.sizes, found.shape, found.level) == ((3, 5, 8), 0.25, 0.95)


def test_a_look_is_futile_where_the_last_bound_is_hardly_reached_any_more():
    """Given z at a share f of the blades, the last deviate is normal about z / √f with 1/f - 1."""
    z = np.array([[0.2, 0.9, 1.6, 2.2]] * 3)
    found = LOOKS.futile(z)
    for look, f in ((0, 0.25), (1, 0.5)):
        chance = norm.sf((2.1 - z[look] / f**0.5) / (1 / f - 1) ** 0.5)
        assert found[look].tolist() == (chance < 0.05).tolist()
    assert found[2].tolist() == [False] * 4
    assert found[:2].any()
    assert not found[:2].all()
    # Where the chance is one in twenty to the digit, from either side.
    edge = 0.5**0.5 * (2.1 - norm.ppf(0.95))
    assert LOOKS.futile(np.full((3, 1), edge - 1e-6))[1, 0]
    assert not LOOKS.futile(np.full((3, 1), edge + 1e-6))[1, 0]


@pytest.mark.parametrize("df", [2, 9, np.inf])
def test_a_deviate_is_as_rare_as_its_t(df):
    t = np.array([-2.5, 0.0, 1.0])
    tail = student.sf(np.abs(t), df) if np.isfinite(df) else norm.sf(np.abs(t))
    assert normal_deviate(t, df) == pytest.approx(norm.isf(tail), abs=1e-6)


def test_studies_grow_by_their_stages_and_are_told_by_their_size():
    """t of a known difference: its mean is δ √n over the root of both variances."""
    for layout in ("groups", "blocks"):
        t, df = growing_studies([400, 900], 3000, np.random.default_rng(1), layout=layout,
                                scatter=(1.0, 2.0), difference=0.3)  # fmt: skip
        expected = 0.3 * np.array([400, 900]) ** 0.5 / 5**0.5
        assert t.mean(axis=1) == pytest.approx(expected, abs=0.08)
        assert t.std(axis=1) == pytest.approx([1.0, 1.0], abs=0.05)
        assert np.corrcoef(t)[0, 1] == pytest.approx((4 / 9) ** 0.5, abs=0.04)
        n = np.array([400, 900]) - 1
        welch = n if layout == "blocks" else n * 25 / 17
        assert df.mean(axis=1) == pytest.approx(welch, rel=0.01)
