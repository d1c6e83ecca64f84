"""How far a patch looks for its form, and which forms are fitted again."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.side import patch
from edgetest.photo.side.patch import refine_forms

LINE = np.zeros(200)


def asked(monkeypatch, *, sign=1, low=75, high=88, blur=1.5, covariance=(0.02, 0.01, 0.004)):
    """What `cut_patch` is asked for, for one form of 6 px."""
    seen = []

    def cut(strip, line, first, last, depth, width, noise, alike):
        seen.append((first, last, depth, width, noise, np.array(alike)))

    monkeypatch.setattr(patch, "cut_patch", cut)
    theta = np.array([80.4, 2.0, 2.0, np.log(6.0), 0.7, 0.0])
    form = SimpleNamespace(low=62, high=98, theta=theta, misfit=None, bounds=None)
    stretch = SimpleNamespace(low=low, high=high, sign=sign)
    kept = refine_forms(None, LINE, [form], [stretch], blur, 0.01, np.array(covariance))
    assert kept == [form]  # no patch, nothing fitted
    return seen


@pytest.mark.parametrize(("sign", "depth"), [(1, 15.0), (-1, -7.8)])
def test_a_patch_reaches_beyond_its_form(monkeypatch, sign, depth):
    """Two and a half times as far outward, where a speck lets light by; 1.3 times inward."""
    ((first, last, reach, blur, noise, _),) = asked(monkeypatch, sign=sign)
    assert (first, last, blur, noise) == (62, 98, 1.5, 0.01)
    assert reach == pytest.approx(depth)


@pytest.mark.parametrize(("length", "fitted"), [(32, 1), (33, 0)])
def test_damage_of_twenty_two_blurs_shows_its_form_as_it_is(monkeypatch, length, fitted):
    assert len(asked(monkeypatch, low=70, high=70 + length)) == fitted


@pytest.mark.parametrize(
    ("covariance", "first"),
    [((0.02, 0.01, 0.004), 0.016), ((0.012, 0.01, 0.004), 0.012), ((0.02, 0.01, 0.012), 0.01)],
)
def test_the_camera_s_own_noise_is_taken_out_of_the_edge_s_roughness(
    monkeypatch, covariance, first
):
    """Led on from lags 1 and 2 to none, and never more than was there; 0.05 px stay."""
    ((*_, alike),) = asked(monkeypatch, covariance=covariance)
    assert alike[0] == pytest.approx(first + 0.0025)
    assert alike[1:].tolist() == list(covariance[1:])
