"""Parts of the descent, each against the linear or quadratic problem that it is made for."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.stats import least_squares
from edgetest.stats.least_squares import minimise

JAC = np.array([[1.0, 0.2], [0.3, 2.0], [0.5, -1.0], [0.0, 0.4]])
BENT = np.array([[[0.6, 0.1], [0.1, 0.2]], [[0.0, 0.3], [0.3, -0.5]], [[0.2, 0.0], [0.0, 0.0]],
                 [[-0.4, 0.1], [0.1, 0.1]]])  # fmt: skip


def bent(params, _which):
    """Residuals that bend evenly: a constant, a tangent, and half of a square."""
    curved = np.einsum("nij,bj->bni", BENT, params)
    r = np.array([1.0, -0.5, 0.3, 0.8]) + params @ JAC.T
    return r + 0.5 * np.einsum("bni,bi->bn", curved, params), JAC + curved


def straight(params, _which):
    r = np.array([1.0, -0.5, 0.3, 0.8]) + params @ JAC.T
    return r, np.broadcast_to(JAC, (len(params), 4, 2)).copy()


def column(params, _which):
    """The same of one parameter."""
    return np.array([1.0, -0.5, 0.3, 0.8]) + params * JAC[:, 0], np.broadcast_to(
        JAC[:, :1], (len(params), 4, 1)
    ).copy()


def begun(evaluate, start):
    now = least_squares._begin(evaluate, np.array(start, dtype=float))
    return now, least_squares._quadratic(now)


def test_a_descent_begins_with_ten_times_the_scaled_size_of_its_start():
    now, _ = begun(straight, [[2.0, -1.0], [0.0, 0.0], [0.1, 0.0]])
    norms = np.sqrt((JAC**2).sum(axis=0))
    assert_allclose(now.scale, [norms] * 3)
    assert_allclose(now.radius, [10 * np.hypot(2 * norms[0], norms[1]), 10.0, norms[0]])
    assert now.sse[1] == pytest.approx(1 + 0.25 + 0.09 + 0.64)
    assert now.gain.tolist() == [0.0] * 3


@pytest.mark.parametrize(("evaluate", "start"), [(straight, [[2.0, -1.0]]), (column, [[2.0]])])
def test_an_undamped_step_is_that_of_the_normal_equations_and_takes_off_what_it_promises(
    evaluate, start
):
    now, shape = begun(evaluate, start)
    turned, damping = least_squares._within(shape, now.radius)
    step = shape.back(turned, now.scale)
    jac, r = now.jac[0], now.r[0]
    assert damping.tolist() == [0.0]
    assert_allclose(step[0], -np.linalg.lstsq(jac, r, rcond=None)[0], rtol=1e-9)
    least = ((r + jac @ step[0]) ** 2).sum()
    assert_allclose(shape.gain, [now.sse[0] - least], rtol=1e-9)
    assert_allclose(least_squares._foreseen(shape, damping), shape.gain, rtol=1e-9)


@pytest.mark.parametrize(("evaluate", "start"), [(straight, [[2.0, -1.0]]), (column, [[2.0]])])
@pytest.mark.parametrize("share", [0.7, 0.1, 1e-3])
def test_a_step_held_back_is_as_long_as_its_region_and_the_best_of_that_length(
    evaluate, start, share
):
    """(J'J + λ D²) step = -J'r, D the scale: Moré's region is an ellipse along D."""
    now, shape = begun(evaluate, start)
    whole, _ = least_squares._within(shape, now.radius)
    radius = share * np.sqrt((whole**2).sum(axis=1))
    turned, damping = least_squares._within(shape, radius)
    step = shape.back(turned, now.scale)[0]
    assert_allclose(np.sqrt((turned**2).sum(axis=1)), radius, rtol=0.1)
    assert np.linalg.norm(now.scale * step) == pytest.approx(radius[0], rel=0.1)
    jac, r = now.jac[0], now.r[0]
    held = jac.T @ jac + damping[0] * np.diag(now.scale[0] ** 2)
    assert_allclose(held @ step, -jac.T @ r, rtol=1e-9)
    after = ((r + jac @ step) ** 2).sum()
    assert_allclose(least_squares._foreseen(shape, damping), [now.sse[0] - after], rtol=1e-9)


def test_a_step_a_little_longer_than_its_region_is_let_pass():
    now, shape = begun(straight, [[2.0, -1.0]])
    whole, _ = least_squares._within(shape, now.radius)
    length = np.sqrt((whole**2).sum(axis=1))
    for share, held in ((1 / 1.09, False), (1 / 1.11, True)):
        assert (least_squares._within(shape, share * length)[1][0] > 0) == held


def test_the_bend_along_a_step_is_half_its_acceleration():
    """Transtrum and Sethna: half of -(J'J + λ D²)⁻¹ J' r_vv, r_vv the bend along the step."""
    now, shape = begun(bent, [[0.4, -0.3]])
    turned, damping = least_squares._within(shape, np.array([0.3]))
    step = shape.back(turned, now.scale)
    found = least_squares._bend(bent, now, shape, step, damping, np.array([0]))[0]
    jac, v = now.jac[0], step[0]
    held = jac.T @ jac + damping[0] * np.diag(now.scale[0] ** 2)
    along = np.einsum("nij,i,j->n", BENT, v, v)
    assert_allclose(found, -0.5 * np.linalg.solve(held, jac.T @ along), rtol=1e-6)


def test_a_bend_that_outgrows_its_step_is_cut_to_three_eighths_of_it():
    now, shape = begun(bent, [[0.4, -0.3]])
    step = np.array([[30.0, 20.0]])
    found = least_squares._bend(bent, now, shape, step, np.array([1e-3]), np.array([0]))
    size = np.linalg.norm(now.scale * found) / np.linalg.norm(now.scale * step)
    assert size == pytest.approx(0.375)


# Of a step that should take 1 of a sum of squares of 2: what it leaves, whether it is taken, and
# the region then, where it was 5 wide and the step 1 long.
LEFT = [
    (1.05, 0.0, True, 5.0), (1.5, 0.0, True, 5.0), (1.9, 0.0, True, 0.5), (2.5, 0.0, False, 0.25),
    (1000.0, 0.0, False, 0.1), (np.inf, 0.0, False, 0.1),
]  # fmt: skip


def one_step(left, damping, radius):
    """`_try` of a step of length 1 of which the tangent promises 1 without damping."""
    now, _ = begun(lambda p, _: (np.array([[1.0, 1.0]]), np.array([[[1.0], [0.0]]])), [[3.0]])
    now.radius = np.array([radius])
    shape = least_squares._quadratic(now)
    trial = lambda p, _: (np.array([[left**0.5, 0.0]]), np.full((1, 2, 1), 7.0))  # noqa: E731
    least_squares._try(trial, now, np.array([[-1.0]]), shape, np.array([damping]))
    return now


@pytest.mark.parametrize(("left", "damping", "taken", "radius"), LEFT)
def test_the_region_learns_from_what_a_step_brought(left, damping, taken, radius):
    now = one_step(left, damping, 5.0)
    assert (now.theta[0, 0] == 2.0) == taken
    assert now.radius[0] == pytest.approx(radius)
    assert now.sse[0] == pytest.approx(left if taken else 2.0)
    assert (now.jac == 7.0).all() == taken
    assert now.gain[0] == pytest.approx(1.0 if taken else 0.0)


def test_a_region_grows_after_a_good_step_to_twice_that_step():
    assert one_step(1.05, 0.0, 1.0).radius[0] == pytest.approx(2.0)
    assert one_step(1.7, 0.0, 1.0).radius[0] == pytest.approx(2.0)  # not held back: a quarter
    # Held back by λ = 1 the tangent promises 3/4: of that a third is too little, nine tenths not.
    assert one_step(2 - 0.25, 1.0, 1.0).radius[0] == pytest.approx(1.0)
    assert one_step(2 - 0.675, 1.0, 1.0).radius[0] == pytest.approx(2.0)
    assert one_step(2 - 0.675, 1.0, 1.0).gain[0] == 0.0


def test_problems_are_told_apart_where_some_steps_are_taken_and_some_not():
    """The second problem's step makes it worse: it stays where it is, the first goes on."""
    start = lambda p, _: (np.ones((2, 2)), np.tile([[1.0], [0.0]], (2, 1, 1)))  # noqa: E731
    now = least_squares._begin(start, np.array([[3.0], [5.0]]))
    shape = least_squares._quadratic(now)
    trial = lambda p, _: (np.array([[0.5, 0.5], [3.0, 3.0]]), np.full((2, 2, 1), 7.0))  # noqa: E731
    least_squares._try(trial, now, np.array([[-1.0], [-1.0]]), shape, np.zeros(2))
    assert now.theta.tolist() == [[2.0], [5.0]]
    assert now.sse.tolist() == [0.5, 2.0]
    assert now.r.tolist() == [[0.5, 0.5], [1.0, 1.0]]
    assert now.jac[:, 0, 0].tolist() == [7.0, 1.0]


def test_derivatives_that_are_no_numbers_promise_everything_and_go_nowhere():
    def broken(params, _which):
        r, jac = straight(params, 0)
        jac[0, 0, 0] = np.nan
        return r, jac

    with np.errstate(all="ignore"):
        _, shape = begun(broken, [[1.0, 1.0], [2.0, 2.0]])
    assert shape.gain[0] == np.inf
    assert np.isfinite(shape.gain[1])
    assert shape.slope[0].tolist() == [0.0, 0.0]


def test_a_problem_that_begins_at_its_end_is_left_there():
    end = -np.linalg.lstsq(JAC, np.array([1.0, -0.5, 0.3, 0.8]), rcond=None)[0]
    found = minimise(straight, [end])
    assert found.converged.all()
    assert found.evaluations == 1
    assert_allclose(found.params, [end], rtol=1e-12)
    many = minimise(straight, np.tile([4.0, 4.0], (5, 1)))
    assert_allclose(many.params, np.tile(end, (5, 1)), rtol=1e-9)


def test_a_problem_that_is_given_up_stays_where_it_is():
    found = minimise(straight, [[4.0, 4.0]], max_evaluations=1)
    assert found.params.tolist() == [[4.0, 4.0]]
    assert found.converged.tolist() == [False]
    assert_allclose(found.sse, [(straight(np.array([[4.0, 4.0]]), 0)[0] ** 2).sum()])
    lost = minimise(bent, [[np.inf, 1.0]])
    assert lost.params.tolist() == [[np.inf, 1.0]]
    assert (lost.sse.tolist(), lost.evaluations) == ([np.inf], 1)
