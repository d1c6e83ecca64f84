"""A patch's cost by dense matrices, its size at the limits, who is fitted beside whom."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import toeplitz
from scipy.special import ndtr

from edgetest.photo.chip_model import Form, form_prior, form_slopes
from edgetest.photo.departures import Stretch
from edgetest.photo.side import patch as module
from edgetest.photo.side.boundary import Strip
from edgetest.photo.side.patch import (
    Patch,
    _left_over,
    _possible,
    _state,
    cut_patch,
    refine,
    refine_forms,
)

THETA = np.array([6.3, np.log(3.0), np.log(4.0), np.log(2.0), np.log(2.2), 0.1])
COUNT, ROWS = 12, np.arange(-6.0, 6.0)


def small(seed=1):
    """A patch of 12 by 12 pixels whose cover is noise about a form."""
    rng = np.random.default_rng(seed)
    samples = np.arange(-4.0, COUNT + 4, 0.5)
    weight = np.exp(-0.5 * (np.arange(COUNT)[:, None] - samples) ** 2)
    weight /= weight.sum(axis=1, keepdims=True)
    line = 0.3 + 0.02 * samples
    alike = toeplitz(0.04 * 0.5 ** np.arange(COUNT))
    made = Patch(
        np.zeros((COUNT, 12)), np.arange(12.0), ROWS, samples, line, weight, alike, 1.1, 0.05
    )
    cover = shown(made, THETA, -1) + 0.06 * rng.standard_normal((COUNT, 12))
    return replace(made, cover=cover)


def shown(patch, theta, sign, blur=None):
    height = patch.line + sign * form_slopes(patch.samples, theta)[0]
    return patch.weight @ ndtr((height[:, None] - patch.rows) / (blur or patch.blur))


def dense(patch, theta, sign, alike):
    """Misses, slopes by theta and log blur, and the pixels' covariance: by differences."""
    step = 1e-5
    base = shown(patch, theta, sign)
    slopes = [
        (shown(patch, theta + step * way, sign) - shown(patch, theta - step * way, sign))
        / (2 * step)
        for way in np.eye(6)
    ]
    up, down = (shown(patch, theta, sign, patch.blur * np.exp(way * step)) for way in (1, -1))
    slopes.append((up - down) / (2 * step))
    lifted = [replace(patch, line=patch.line + way * step) for way in (1, -1)]
    moved = (shown(lifted[0], theta, sign) - shown(lifted[1], theta, sign)) / (2 * step)
    place = np.zeros((patch.cover.size, COUNT))
    for k in range(COUNT):
        place[k * 12 : (k + 1) * 12, k] = moved[k] / patch.noise
    covariance = np.eye(patch.cover.size) + place @ alike @ place.T
    misses = (base - patch.cover).ravel() / patch.noise
    return (
        misses,
        np.stack([one.ravel() for one in slopes], axis=1) / patch.noise,
        covariance,
        place,
    )


@pytest.mark.parametrize("sign", [-1, 1])
def test_the_cost_is_that_of_generalised_least_squares(sign):
    """Columns that move and a blur known to 6 % are part of the pixels' covariance."""
    patch, theta = small(), THETA + np.array([0.3, 0.1, -0.1, 0.15, 0.05, -0.1])
    misses, slopes, covariance, _ = dense(patch, theta, sign, patch.alike)
    blurred = covariance + 0.06**2 * np.outer(slopes[:, 6], slopes[:, 6])
    inverse = np.linalg.inv(blurred)
    prior, prior_slopes = form_prior(theta)
    total, gradient, normal, cost = _state(patch, sign, theta, patch.alike)
    assert cost == pytest.approx(misses @ inverse @ misses, rel=1e-5)
    assert total == pytest.approx(cost + prior @ prior)
    assert_allclose(
        gradient, slopes[:, :6].T @ inverse @ misses + prior_slopes.T @ prior, rtol=1e-3, atol=1e-3
    )
    expected = slopes[:, :6].T @ inverse @ slopes[:, :6] + prior_slopes.T @ prior_slopes
    assert_allclose(normal, expected, rtol=1e-3, atol=1e-3 * np.abs(expected).max())


@pytest.mark.parametrize("sign", [-1, 1])
def test_what_is_left_over_is_the_mean_given_the_pixels(sign):
    patch = small()
    misfit = 0.02 * 0.7 ** np.arange(COUNT)
    own = toeplitz(misfit)
    misses, _, covariance, place = dense(patch, THETA, sign, patch.alike + own)
    gain = own @ place.T @ np.linalg.inv(covariance)
    left, variance = _left_over(patch, sign, THETA, misfit)
    assert_allclose(left, -sign * gain @ misses, rtol=1e-4, atol=1e-6)
    assert_allclose(variance, np.diag(own) - np.diag(gain @ place @ own), rtol=1e-4, atol=1e-7)


def test_a_covariance_that_a_process_has_is_left_as_it_is():
    good = 0.04 * 0.6 ** np.arange(9)
    assert_allclose(_possible(good), toeplitz(good))
    odd = np.array([1.0, 0.9, -0.5, 0.9, 0.0])
    lifted = _possible(odd)
    assert_allclose(lifted - np.diag(np.diag(lifted)), toeplitz(odd) - np.eye(5))
    turns = np.cos(np.outer(np.linspace(0, np.pi, 400), np.arange(5)))
    least = (2 * turns @ odd - odd[0]).min()
    assert np.diag(lifted) == pytest.approx(1 - least + 0.05**2, abs=0.05)
    assert np.linalg.eigvalsh(lifted).min() > 0


def strip_of(columns=200, rows=200):
    offsets = np.arange(rows) - 100.0
    cover = np.arange(float(rows))[:, None] + 0.001 * np.arange(columns)
    none, level = np.zeros((columns, 2)), np.ones(columns)
    return Strip(cover, offsets, np.arange(float(columns)), none, none, level, 0 * level)


@pytest.mark.parametrize(("depth", "rows"), [(-76.0, 90), (-77.0, None)])
def test_nine_thousand_pixels_are_the_most(depth, rows):
    """A hundred columns; 6 px to either side of the line, and its own two rows."""
    found = cut_patch(strip_of(), np.zeros(200), 50, 150, depth, 1.0, 0.01, np.array([0.01]))
    if rows is None:
        assert found is None
    else:
        assert found.cover.shape == (100, 90)
        assert found.rows[0] == -82
        assert found.rows[-1] == 7
        assert found.cover[0, 0] == pytest.approx(18.05)


@pytest.mark.parametrize(("last", "cut"), [(57, False), (58, True)])
def test_eight_columns_are_the_fewest(last, cut):
    found = cut_patch(strip_of(), np.zeros(200), 50, last, -3.0, 1.0, 0.01, np.array([0.01]))
    assert (found is not None) == cut


def test_a_patch_ends_with_its_strip():
    for depth in (-95.0, 95.0):
        found = cut_patch(strip_of(), np.zeros(200), 50, 70, depth, 2.0, 0.04, np.array([0.01]))
        assert found.rows[0] == max(-100, -10 + min(depth, 0))
        assert found.rows[-1] == min(99, 11 + max(depth, 0))
        assert found.noise == pytest.approx(0.05)


def form_of(centre, low, high, *, misfit=None, depth=4.0):
    theta = np.array([centre, np.log(5.0), np.log(5.0), np.log(depth), np.log(2.0), 0.0])
    bounds = (theta - 3, theta + 3)
    misfit = np.full(high - low, 1e-9) if misfit is None else misfit
    return Form(low, high, np.zeros(high - low), theta, np.eye(6), bounds, misfit)


def refitted(monkeypatch, lengths, signs, blur=1.0):
    """What is asked for each of several forms side by side, and what becomes of them."""
    lines, summits = [], []
    forms = [form_of(30.0 + 20 * n, 20 + 20 * n, 40 + 20 * n) for n in range(len(lengths))]
    stretches = [
        Stretch(30 + 20 * n - size // 2, 30 + 20 * n - size // 2 + size, 30 + 20 * n, sign)
        for n, (size, sign) in enumerate(zip(lengths, signs, strict=True))
    ]

    def cut(strip, line, *rest):
        lines.append(line.copy())
        return "patch"

    def with_summit(form, left, variance):
        summits.append((form.low, left, variance))
        return form

    monkeypatch.setattr(module, "cut_patch", cut)
    monkeypatch.setattr(
        module, "refine", lambda patch, sign, theta, misfit, bounds: (theta + 0.1, 7)
    )
    monkeypatch.setattr(module, "_left_over", lambda patch, sign, theta, misfit: (sign, theta[0]))
    monkeypatch.setattr(module, "with_summit", with_summit)
    monkeypatch.setattr(module, "tell_speck", lambda patch, theta: "told")
    line = 0.5 + np.zeros(140)
    found = refine_forms(None, line, forms, stretches, blur, 0.01, np.array([0.02, 0.01, 0.0]))
    return found, forms, lines, summits


def test_each_form_is_fitted_beside_its_neighbours_as_they_are_by_then(monkeypatch):
    found, forms, lines, _ = refitted(monkeypatch, (6, 6, 6, 6), (1, -1, 1, 1))
    at = np.arange(140.0)

    def height(form):
        return form_slopes(at, form.theta)[0]

    assert_allclose(lines[0], 0.5 - height(forms[1]))
    assert_allclose(lines[1], 0.5 + height(found[0]) + height(forms[2]))
    assert_allclose(lines[3], 0.5 + height(found[2]))
    assert [form.kind for form in found] == ["told", "", "told", "told"]
    assert [form.cov for form in found] == [7] * 4
    assert_allclose(found[2].theta, forms[2].theta + 0.1)


def test_damage_of_more_than_eight_blurs_shows_its_summit_and_of_22_its_form(monkeypatch):
    found, forms, _, summits = refitted(monkeypatch, (8, 9, 21, 22), (1, -1, 1, 1))
    assert [low for low, *_ in summits] == [40, 60]
    assert summits[0][1:] == (-1, pytest.approx(50.1))
    assert found[3] is forms[3]
    assert found[2] is not forms[2]


def test_a_fit_that_misses_widens_its_covariance(monkeypatch):
    """By its cost over the pixels less six; steps are held to a fifth of the longer side."""
    asked = {}

    def descend(state_of, theta, limit, bounds, damping):
        asked.update(limit=limit, damping=damping)
        return theta, (0.0, None, 4 * np.eye(6), asked["cost"])

    monkeypatch.setattr(module, "descend", descend)
    patch = small()
    theta = form_of(6.0, 0, 12).theta
    theta[2] = np.log(9.0)
    for cost, excess in ((100.0, 1.0), (138.0, 1.0), (276.0, 2.0)):
        asked["cost"] = cost
        found, cov = refine(patch, -1, theta, np.full(12, 1e-9), None)
        assert_allclose(cov, np.eye(6) / 4 * excess, atol=1e-12)
    assert found is theta
    assert_allclose(asked["limit"], [2.3, 0.5, 0.5, 0.5, 0.4, 0.4])
    few = SimpleNamespace(alike=np.eye(2), cover=np.zeros((2, 2)))
    asked["cost"] = 3.0
    assert_allclose(refine(few, -1, theta, np.zeros(2), None)[1], np.eye(6) / 4 * 3, atol=1e-12)
