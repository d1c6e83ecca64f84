"""A form fitted to an edge line: its start, its bounds, its neighbours, its summit."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import toeplitz

from edgetest.photo import chip_model
from edgetest.photo.chip_model import (
    Form,
    _fit_one,
    _shape_state,
    _topped,
    fit_forms,
    form_prior,
    form_slopes,
    shape,
    size_departures,
)
from edgetest.photo.departures import Stretch

AT = np.arange(200.0)


def fitted(monkeypatch, e, stretch, stretches=None, number=0, blur=2.0, covariance=(0.01,)):
    """What the descents of one departure are asked for."""
    asked = []

    def descend(state_of, start, limit, bounds, damping):
        state = state_of(start)
        asked.append(SimpleNamespace(start=start, limit=limit, bounds=bounds, state=state))
        return start, (state[0], state[1], 4 * np.eye(6), 300.0)

    monkeypatch.setattr(chip_model, "descend", descend)
    form = _fit_one(e, stretch, stretches or [stretch], number, blur, np.array(covariance))
    return form, asked


def test_a_fit_begins_with_the_stretch_as_it_is_and_keeps_near_it(monkeypatch):
    e = -shape(AT, 100, 8, 12, 5.0, 2.0, 1.0)
    form, asked = fitted(monkeypatch, e, Stretch(90, 114, 98, -1))
    # Beyond the stretch by three blurs, 0.15 of its length and 3 px: 12.
    assert (form.low, form.high) == (78, 126)
    for one, p in zip(asked, (1.2, 3.0), strict=True):
        assert_allclose(one.start, [98, np.log(8), np.log(16), np.log(5.5), np.log(p), 0])
        assert_allclose(one.limit, [0.3 * 16 + 1, 0.7, 0.7, 0.7, 0.5, 0.5])
        low, high = one.bounds
        assert_allclose(low, [89, np.log(0.5), np.log(0.5), np.log(1.5), np.log(0.9), np.log(0.35)])
        room = 1.25 * np.array([8, 16]) + 2 * 2.0 + 2 + 0.5 * 24
        highest = 5.0 * (1.2 + 6 * 2.0 / 24)
        assert_allclose(high, [115, *np.log(room), np.log(highest), np.log(9), np.log(3)])
    # Its cost of 300 over the 48 samples less six; both starts told alike, the first is taken.
    assert_allclose(form.cov, np.eye(6) / 4 * 300 / 42)
    best = min(asked, key=lambda one: one.state[0])
    assert_allclose(form.theta, best.start)
    assert_allclose(form.misfit, (0.04 * 5.0) ** 2 * np.exp(-np.arange(48) / (0.12 * 24)))


def test_a_short_stretch_has_sides_of_a_pixel_and_a_half_and_some_depth(monkeypatch):
    _, asked = fitted(monkeypatch, 0 * AT, Stretch(100, 102, 101, 1))
    assert_allclose(asked[0].start[:4], [101, np.log(1.5), np.log(1.5), np.log(1.1 * 0.05)])


@pytest.mark.parametrize(("number", "ends"), [(0, (13, 60)), (1, (45, 90)), (2, (80, 124))])
def test_a_stretch_ends_where_its_neighbours_begin(monkeypatch, number, ends):
    """Stretches from 30 to 45, 60 to 80 and 90 to 105: a margin would be 15 px or so."""
    stretches = [Stretch(30, 45, 38, 1), Stretch(60, 80, 70, 1), Stretch(90, 105, 98, 1)]
    form, _ = fitted(monkeypatch, 0 * AT, stretches[number], stretches, number, blur=4.0)
    assert (form.low, form.high) == (
        ends[0] if number else 30 - 17,
        ends[1] if number < 2 else 105 + 17,
    )


def test_a_stretch_at_either_end_of_the_edge_stops_there(monkeypatch):
    form, _ = fitted(monkeypatch, 0 * AT, Stretch(2, 12, 7, 1))
    assert (form.low, form.high) == (0, 22)
    form, _ = fitted(monkeypatch, 0 * AT, Stretch(190, 199, 195, 1))
    assert form.high == 200


def test_the_cost_of_a_form_is_its_misses_and_its_priors():
    rng = np.random.default_rng(1)
    fine, blurring = np.arange(0, 40, 0.5), rng.random((25, 80))
    theta, y = np.array([20.0, np.log(6), np.log(8), np.log(3), 0.6, 0.1]), rng.random(25)
    value, slopes = form_slopes(fine, theta)
    miss, jac = blurring @ value - y, blurring @ slopes.T
    prior, prior_jac = form_prior(theta)
    total, gradient, normal, cost = _shape_state(theta, y, blurring, fine)
    assert cost == pytest.approx(miss @ miss)
    assert total == pytest.approx(miss @ miss + prior @ prior)
    assert_allclose(gradient, jac.T @ miss + prior_jac.T @ prior)
    assert_allclose(normal, jac.T @ jac + prior_jac.T @ prior_jac, atol=1e-6)


def test_a_summit_is_the_mean_of_the_misfit_given_the_edge(monkeypatch):
    """own (own + rough)^-1 rest, and its variance, by dense matrices."""
    seen = {}
    monkeypatch.setattr(chip_model, "with_summit", lambda form, *rest: seen.update(rest=rest))
    misfit, rough = 0.3 * 0.8 ** np.arange(12), 0.1 * 0.4 ** np.arange(12)
    both = toeplitz(misfit + rough)
    white = np.linalg.inv(np.linalg.cholesky(both))
    rest = np.random.default_rng(2).standard_normal(12)
    _topped(SimpleNamespace(misfit=misfit), white, rest)
    left, variance = seen["rest"]
    own = toeplitz(misfit)
    assert_allclose(left, own @ np.linalg.solve(both, rest))
    assert_allclose(variance, np.diag(own - own @ np.linalg.solve(both, own)))


@pytest.mark.parametrize(("width", "topped"), [(44, True), (43, False)])
def test_damage_of_22_blurs_has_its_summit_from_the_line(monkeypatch, width, topped):
    seen = []
    monkeypatch.setattr(chip_model, "_topped", lambda form, white, rest: seen.append(1) or form)
    fitted(monkeypatch, 0 * AT, Stretch(80, 80 + width, 100, 1))
    assert bool(seen) == topped


def test_a_bowl_behind_a_blur_comes_back_with_its_sign():
    e = -shape(AT, 100.3, 9, 11, 6.0, 2.0, 1.0)
    (found,) = size_departures(e, [Stretch(90, 112, 100, -1)], 0.3, 0.02, 1.0)
    assert found["depth"] == pytest.approx(6.0, rel=0.02)
    assert found["length"] == pytest.approx(20 * np.sqrt(0.9), rel=0.02)
    assert found["centre"] == pytest.approx(100.3 + np.sqrt(0.9), abs=0.2)
    assert found["area"] == pytest.approx(80, rel=0.02)


def test_neighbours_that_touch_are_fitted_once_more_without_each_other(monkeypatch):
    """Each the second time on what the other leaves; one that stands alone only once."""
    asked = []

    def fit(e, stretch, stretches, number, blur, covariance):
        asked.append((number, e.copy()))
        heights = np.full(6, 10.0 + number + 100 * len(asked))
        return Form(stretch.low, stretch.low + 6, heights, None, None, None, None)

    monkeypatch.setattr(chip_model, "_fit_one", fit)
    stretches = [Stretch(20, 30, 25, 1), Stretch(44, 50, 47, 1), Stretch(90, 99, 95, 1)]
    fit_forms(np.zeros(120), stretches, 2.0, np.array([0.01]))
    assert [number for number, _ in asked] == [0, 1, 2, 0, 1]
    assert all(not e.any() for _, e in asked[:3])
    assert np.flatnonzero(asked[3][1]).tolist() == list(range(44, 50))
    assert set(asked[3][1][44:50]) == {-211.0}  # as it was fitted second
    assert set(asked[4][1][20:26]) == {-410.0}  # as it was fitted again
