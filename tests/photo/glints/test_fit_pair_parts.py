"""Two lines fitted, part by part: first guesses, limits of a step, weights."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.glints.fit_pair import _first, _iterated, fit_pair, pair_light

X = np.arange(-30.0, 31)
STATE = np.array([0.7, 14.0, 0.6, 0.4, 0.05, 0.08, 0.2, 2.2])


def test_a_first_guess_is_read_from_the_mean_profile():
    mean = 0.1 + 0.01 * np.arange(61.0)[None]
    found = _first(mean, X, (2.0, 10.0, 1.8))[0]
    ground = np.percentile(mean, 10)
    assert ground == pytest.approx(0.16)
    assert_allclose(found[[0, 1, 7]], [2.0, 10.0, 1.8])
    assert_allclose(found[2:4], [0.37 - ground, 0.47 - ground])  # at -3 and 7 px
    assert_allclose(found[4:6], ground)
    assert found[6] == pytest.approx(0.42)
    dark = _first(np.where(np.abs(X) < 3, 0.0, 0.5)[None], X, (0.0, 10.0, 1.8))[0]
    assert dark[6] == pytest.approx(max(0.0, np.percentile(np.where(np.abs(X) < 3, 0, 0.5), 10)))


def step_from(state, *, filled=True, shared=False, steps=1, monkeypatch=None, values=None):
    from edgetest.photo.glints import fit_pair as module

    monkeypatch.setattr(module, "STEPS", steps)
    values = pair_light(X, STATE[None], filled)[0] if values is None else values
    return _iterated(values, np.ones_like(values), X, np.array([state]), filled, shared)


@pytest.mark.parametrize("filled", [True, False])
def test_the_first_steps_are_damped_by_a_twentieth(monkeypatch, filled):
    """(JᵀJ + 0.05 diag) step = Jᵀ misses, the deviation held."""
    start = STATE + np.array([0.1, -0.2, 0.02, -0.02, 0.01, -0.01, 0.02, 0])
    light, slopes = pair_light(X, start[None], filled)
    free = [0, 1, 2, 3, 4, 5, 6] if filled else [0, 1, 2, 3, 4, 5]
    part = slopes[0][:, free]
    miss = pair_light(X, STATE[None], filled)[0][0] - light[0]
    normal = part.T @ part
    step = np.linalg.solve(normal + 0.05 * np.diag(np.diag(normal)), part.T @ miss)
    expected = start.copy()
    expected[free] += step
    if not filled:
        expected[6] = (expected[4] + expected[5]) / 2
    found, _, _ = step_from(start, filled=filled, monkeypatch=monkeypatch)
    assert_allclose(found[0], expected, atol=1e-7)


def test_lines_move_by_half_a_deviation_at_most_in_a_step(monkeypatch):
    start = STATE + np.array([2.5, 2.6, 0, 0, 0, 0, 0, 0])
    found, _, _ = step_from(start, monkeypatch=monkeypatch)
    moved = np.abs(found[0] - start)
    assert moved[:2].max() == pytest.approx(1.1)
    wide = STATE + np.array([0, 0, 0, 0, 0, 0, 0, 3.0])
    found, _, _ = step_from(wide, shared=True, monkeypatch=monkeypatch)
    assert wide[7] - found[0, 7] == pytest.approx(5.2 / 4)


def test_no_line_is_sharper_than_its_pixels(monkeypatch):
    sharp = STATE.copy()
    sharp[7] = 0.3
    values = pair_light(X, sharp[None], True)[0]
    start = STATE.copy()
    start[7] = 0.5
    found, _, _ = step_from(start, shared=True, steps=25, monkeypatch=monkeypatch, values=values)
    assert found[0, 7] >= 0.45


def test_misfit_and_error_are_those_of_least_squares():
    """Residuals over samples less parameters; the error of the spacing by the normal matrix."""
    rng = np.random.default_rng(1)
    values = pair_light(X, STATE[None], True)[0] + 0.01 * rng.standard_normal((1, X.size))
    weight = np.ones_like(values)
    weight[0, :10] = 0
    state, misfit, error = _iterated(values, weight, X, STATE[None], True, True)
    light, slopes = pair_light(X, state, True)
    miss = (values - light)[0, 10:]
    assert misfit[0] == pytest.approx(np.sqrt(miss @ miss / (51 - 8)))
    part = slopes[0, 10:]
    assert error[0] == pytest.approx(
        misfit[0] * np.sqrt(np.linalg.inv(part.T @ part)[1, 1]), rel=1e-4
    )
    assert_allclose(part.T @ miss, 0, atol=1e-6)


def test_one_deviation_is_shared_by_all_places_and_found_from_their_median():
    state = np.tile(STATE, (9, 1))
    state[:, 0] = STATE[0] + 0.05 * np.arange(-4, 5)
    values = pair_light(X, state, True)[0]
    values[0] += 9.0  # the median of nine does not feel one
    weight = np.ones_like(values)
    weight[:, 0] = 0
    found = fit_pair(values, weight, X, (0.7, 14.0, 2.2), filled=True)
    assert found.sd_px == pytest.approx(2.2, rel=0.01)
    assert_allclose(found.middle[1:], state[1:, 0], atol=0.02)
