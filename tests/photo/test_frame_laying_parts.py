"""Parts of how frames are laid on each other: places, sums and least squares in closed form."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.frame_laying import (
    _agreed,
    _by_blocks,
    _common_part,
    _reduced,
    _sums,
    _unreduced,
    _weighted_median,
    _without_own,
    turning,
)


@pytest.mark.parametrize("factor", [1, 2, 5])
def test_a_place_is_the_same_on_copies_and_photographs(factor):
    """A copy's pixel p is the photograph's factor * p and half of what it covers besides."""
    matrix = np.column_stack([1.02 * turning(7.0), [3.0, -8.0]])
    whole = _unreduced(matrix, factor)
    for point in ([0, 0], [10, 4], [-3, 7.5]):
        full = factor * np.array(point) + (factor - 1) / 2
        seen = factor * (matrix @ [*point, 1]) + (factor - 1) / 2
        assert_allclose(whole @ [*full, 1], seen)
    assert_allclose(_reduced(whole, factor), matrix, atol=1e-12)


def test_half_of_the_weight_lies_on_either_side_of_the_median():
    assert _weighted_median(np.array([5.0, 1, 3]), np.array([1.0, 1, 1])) == 3
    assert _weighted_median(np.array([5.0, 1, 3]), np.array([2.5, 1, 1])) == 5
    assert _weighted_median(np.array([5.0, 1, 3]), np.array([1.0, 3.5, 1])) == 1


def test_blocks_begin_where_they_are_told():
    values = np.arange(30.0).reshape(5, 6)
    found = _sums(values, ([0, 2], [0, 1, 4]))
    expected = [values[:2, :1], values[:2, 1:4], values[:2, 4:],
                values[2:, :1], values[2:, 1:4], values[2:, 4:]]  # fmt: skip
    assert_allclose(found, [part.sum() for part in expected])


def test_what_is_solved_for_beside_the_shifts_leaves_their_own_answer():
    """The first two unknowns of the whole system are those of the two that are left of it."""
    rng = np.random.default_rng(1)
    root = rng.standard_normal((4, 20, 5))
    power = np.einsum("nki,nkj->nij", root, root)
    pull = rng.standard_normal((4, 5))
    left, asked = _without_own(power, pull)
    whole = np.linalg.solve(power, pull[..., None])[:, :2, 0]
    assert_allclose(np.linalg.solve(left, asked[..., None])[..., 0], whole, rtol=1e-4, atol=1e-6)
    assert_allclose(np.linalg.inv(left), np.linalg.inv(power)[:, :2, :2], rtol=1e-4, atol=1e-6)


def blocks(step, *, shape=(110, 150), corner=(-40.0, 12.0), seed=1):
    """Light that asks for one similarity in every block, beside contrasts of its own."""
    rng = np.random.default_rng(seed)
    parts = rng.standard_normal((5, *shape))
    zoom, turn, down, right = step
    off = np.zeros(shape)
    for rows in np.array_split(np.arange(shape[0]), 3):
        for cols in np.array_split(np.arange(shape[1]), 4):
            at = np.ix_(rows, cols)
            y, x = corner[0] + rows.mean(), corner[1] + cols.mean()
            off[at] = parts[0][at] * (zoom * y + turn * x + down)
            off[at] += parts[1][at] * (zoom * x - turn * y + right)
            for own in parts[2:]:
                off[at] += rng.standard_normal() * own[at]
    return parts, off, np.asarray(corner)


@pytest.mark.parametrize(
    "step", [(0.0, 0.0, 0.3, -0.2), (0.01, 0.0, 0.0, 0.0), (0.0, -0.02, 0.0, 0.0),
             (0.003, 0.004, 0.5, 0.6)],
)  # fmt: skip
def test_blocks_that_agree_give_their_step_and_no_doubt(step):
    parts, off, corner = blocks(step)
    found, cov = _by_blocks(parts, off, np.ones(off.shape), corner)
    assert_allclose(found, step, atol=2e-5)
    assert np.sqrt(np.diag(cov)).max() < 1e-5


def test_weight_takes_pixels_out():
    parts, off, corner = blocks((0.0, 0.0, 0.3, -0.2))
    weight = np.ones(off.shape)
    off[20:30, 30:70], weight[20:30, 30:70] = 50.0, 0.0
    found, _ = _by_blocks(parts, off, weight, corner)
    assert_allclose(found, (0, 0, 0.3, -0.2), atol=2e-5)


def test_shifts_scatter_as_the_covariance_says():
    """Blocks that ask for shifts of their own, 0.2 px either way: 0.2 / sqrt(12) in the mean."""
    rng = np.random.default_rng(5)
    steps, told = [], []
    for seed in range(30):
        parts, off, _ = blocks((0, 0, 0, 0), seed=seed)
        for rows in np.array_split(np.arange(110), 3):
            for cols in np.array_split(np.arange(150), 4):
                at = np.ix_(rows, cols)
                off[at] += 0.2 * np.einsum(
                    "k,kij->ij", rng.standard_normal(2), parts[:2][:, rows][:, :, cols]
                )
        found, cov = _by_blocks(parts, off, np.ones(off.shape), np.array([-54.5, -74.5]))
        steps.append(found[2:])
        told.append(np.diag(cov)[2:])
    assert np.std(steps) == pytest.approx(0.2 / np.sqrt(12), rel=0.2)
    assert np.sqrt(np.mean(told)) == pytest.approx(np.std(steps), rel=0.2)


def test_light_without_any_change_asks_for_nothing():
    nothing = np.zeros((5, 110, 150))
    step, cov = _by_blocks(nothing, nothing[0], np.ones((110, 150)), np.zeros(2))
    assert step.tolist() == [0, 0, 0, 0]
    assert cov.shape == (4, 4)
    assert np.all(np.isinf(cov))


def test_the_common_part_is_what_both_see():
    a = np.arange(60 * 80, dtype=np.float32).reshape(60, 80)
    b = np.random.default_rng(1).random((50, 70)).astype(np.float32)
    shift = np.column_stack([np.eye(2), [10.0, 20.0]])
    cut, laid, inside, low = _common_part(a, b, shift)
    assert low.tolist() == [10, 20]
    assert_allclose(cut, a[10:60, 20:80])
    assert_allclose(laid, b[:, :60], atol=1e-6)
    assert inside.all()
    shift[:, 2] = -12.0, -30.0
    cut, laid, inside, low = _common_part(a, b, shift)
    assert low.tolist() == [0, 0]
    assert_allclose(cut, a[:38, :40])
    assert_allclose(laid, b[12:, 30:], atol=1e-6)
    # Half a pixel away: what lies whole under both, each the mean of two.
    shift[:, 2] = 10.5, 20.0
    cut, laid, inside, low = _common_part(a, b, shift)
    assert low.tolist() == [11, 20]
    assert cut.shape == (49, 60)
    assert_allclose(laid, (b[:-1, :60] + b[1:, :60]) / 2, atol=1e-6)


@pytest.mark.parametrize("axis", [0, 1])
def test_a_common_part_has_sixteen_pixels_of_either_side(axis):
    a, b = np.ones((60, 80), np.float32), np.ones((50, 70), np.float32)
    shift = np.column_stack([np.eye(2), [0.0, 0.0]])
    shift[axis, 2] = a.shape[axis] - 16
    assert _common_part(a, b, shift) is not None
    shift[axis, 2] += 1
    assert _common_part(a, b, shift) is None


def agreed(first, second, corner=(0.0, 0.0)):
    one, other = (SimpleNamespace(detail=part, detail_factor=2) for part in (first, second))
    return _agreed(one, other, np.column_stack([np.eye(2), corner]))


def test_blocks_agree_or_they_do_not():
    detail = np.random.default_rng(1).standard_normal((64, 96)).astype(np.float32)
    assert agreed(detail, detail) > 1e4
    assert agreed(detail, -detail) < -1e4
    assert agreed(detail, detail + 5) > 1e4  # light of another level
    assert agreed(detail, detail, (400.0, 0.0)) == 0
    # Eight blocks of 16 px are needed.
    assert agreed(detail[:32, :64], detail[:32, :64]) > 1e4
    assert agreed(detail[:32, :63], detail[:32, :63]) == 0
    assert agreed(detail[:, :32] * 0, detail[:, :32] * 0) == 0


def test_agreement_is_counted_in_standard_errors_of_a_median():
    """Sixty blocks of correlation 0.5: it is known to 1.25 / sqrt(60) of their scatter."""
    rng = np.random.default_rng(3)
    found = []
    for _ in range(10):
        one, noise = rng.standard_normal((2, 160, 96)).astype(np.float32)
        found.append(agreed(one, 0.5 * one + np.sqrt(0.75) * noise))
    # Fisher: a correlation of 256 pixels scatters by (1 - 0.25) / 16.
    assert np.median(found) == pytest.approx(0.5 * np.sqrt(60) / (1.2533 * 0.75 / 16), rel=0.2)


def test_turns_are_tried_alike_to_both_sides_the_least_first():
    from edgetest.photo.frame_laying import TURNS_DEG

    assert sorted(TURNS_DEG) == sorted(-turn for turn in TURNS_DEG)
    assert sorted(np.diff(sorted(TURNS_DEG))) == [1.5] * 4
    assert [abs(turn) for turn in TURNS_DEG] == sorted(abs(turn) for turn in TURNS_DEG)


@pytest.mark.parametrize("size", [1e-4, 1e-2, 1.0, 1e3])
def test_other_parts_are_solved_for_whatever_their_size(size):
    """Schur's complement of normal matrices, however small or large their entries are."""
    rng = np.random.default_rng(5)
    slopes = np.sqrt(size) * rng.standard_normal((3, 40, 5))
    power, pull = np.swapaxes(slopes, 1, 2) @ slopes, size * rng.standard_normal((3, 5))
    found, left = _without_own(power, pull)
    for k in range(3):
        own = np.linalg.inv(power[k, 2:, 2:])
        mixed = power[k, :2, 2:] @ own
        assert_allclose(found[k], power[k, :2, :2] - mixed @ power[k, 2:, :2], rtol=1e-4)
        assert_allclose(left[k], pull[k, :2] - mixed @ pull[k, 2:], rtol=1e-3, atol=1e-4 * size)
