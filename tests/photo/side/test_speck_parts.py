"""The disc that is laid over a roll's pixels: found where one was drawn, told at its limits."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side import speck
from edgetest.photo.side.speck import _disc, _fit_disc, _light, tell_speck

COLUMNS = np.arange(60.0, 104.0)
SAMPLES = np.arange(54.0, 110.0, 0.5)
ROWS = np.arange(-12.0, 26.0)
WIDE = np.array([80.4, np.log(6.0), np.log(6.0), np.log(7.0), np.log(2.0), 0.0])


def patch_of(cover=None, *, blur=1.0, noise=0.02, line=0.0):
    weight = np.exp(-0.5 * ((COLUMNS[:, None] - SAMPLES) / blur) ** 2)
    weight /= weight.sum(axis=1, keepdims=True)
    return SimpleNamespace(
        columns=COLUMNS, samples=SAMPLES, rows=ROWS, line=np.full(SAMPLES.size, line),
        weight=weight, blur=blur, noise=noise, cover=cover,
    )  # fmt: skip


def drawn(disc, **made):
    patch = patch_of(**made)
    bare = _light(patch, patch.line)
    patch.cover = _disc(patch, np.array(disc), bare)
    return patch, bare


def test_a_disc_adds_its_area_of_darkness():
    """pi r² of it, or half of that where its middle lies on the edge; a share of it by darkness."""
    for above, share in ((9.0, 1.0), (0.0, 0.5)):
        patch, bare = drawn((80.4, above, np.log(5.0), 0.6))
        assert (patch.cover - bare).sum() == pytest.approx(0.6 * share * np.pi * 25, rel=0.01)
    line, _ = drawn((80.4, 3.0, np.log(5.0), 0.6), line=3.0)
    assert (line.cover - _light(line, line.line)).sum() == pytest.approx(0.3 * np.pi * 25, rel=0.01)


def test_light_is_half_on_the_line_and_falls_as_a_blurred_step():
    patch = patch_of(blur=2.0)
    light = _light(patch, patch.line)
    assert_allclose(light[:, ROWS == 0], 0.5)
    assert_allclose(light[:, ROWS == 2], 0.158655, atol=1e-6)  # one standard deviation
    assert_allclose(light[:, ROWS == -4], 0.977250, atol=1e-6)  # two


@pytest.mark.parametrize("disc", [(79.0, 4.0, np.log(4.0), 0.5), (82.0, 2.0, np.log(6.0), 0.8),
                                  (80.4, 6.0, np.log(3.5), 1.0)])  # fmt: skip
@pytest.mark.parametrize("line", [0.0, 2.0])
def test_a_disc_comes_back(disc, line):
    disc = np.array(disc) + np.array([0, line, 0, 0])
    patch, bare = drawn(disc, line=line)
    theta = WIDE.copy()
    theta[3] = np.log(disc[1] - line + np.exp(disc[2]))
    found, miss = _fit_disc(patch, theta, np.ones_like(bare, dtype=bool), bare)
    assert miss < 2.0
    assert_allclose(found, disc, atol=0.06)


def test_the_misfit_counts_what_is_seen_in_its_noise():
    """A speck that no disc explains, one pixel: its misfit is its square over the noise's."""
    patch, bare = drawn((80.4, 5.0, np.log(5.0), 0.7))
    seen = np.ones_like(bare, dtype=bool)
    patch.cover[5, 30] += 0.2
    _, miss = _fit_disc(patch, WIDE, seen, bare)
    assert miss == pytest.approx((0.2 / 0.02) ** 2, rel=0.03)
    seen[5, 30] = False
    assert _fit_disc(patch, WIDE, seen, bare)[1] < 2.0


def told(monkeypatch, *, roll, disc, above=0.0, radius=5.0, darkness=1.0, line=0.0):
    """The kind where the roll and the disc leave so much misfit."""
    patch = patch_of(line=line, noise=0.1)
    patch.cover = _light(patch, patch.line)
    at = np.argmin(np.abs(COLUMNS - 80)), np.argmin(np.abs(ROWS - 5 - line))
    monkeypatch.setattr(speck, "form_slopes", lambda samples, theta: (0 * samples, None))
    patch.cover[at] += np.sqrt(roll) * 0.1
    found = np.array([80.4, line + above, np.log(radius), darkness])
    monkeypatch.setattr(speck, "_fit_disc", lambda *_: (found, disc))
    return tell_speck(patch, WIDE)


@pytest.mark.parametrize("line", [0.0, 4.0])
def test_a_kind_is_told_where_one_explanation_is_clearly_better(monkeypatch, line):
    """By 20 of misfit; a speck lets more than 0.15 of the light by, or shows light under it."""
    clear = {"line": line, "roll": 100.0}
    assert told(monkeypatch, disc=79.0, darkness=0.84, **clear) == "speck"
    assert told(monkeypatch, disc=81.0, darkness=0.84, **clear) == "unsure"
    assert told(monkeypatch, disc=79.0, darkness=0.86, **clear) == "roll"
    assert told(monkeypatch, disc=119.0, darkness=0.5, **clear) == "unsure"
    assert told(monkeypatch, disc=121.0, darkness=0.5, **clear) == "roll"
    # Its middle lies above the edge by 0.3 of its radius.
    assert told(monkeypatch, disc=79.0, above=1.49, **clear) == "roll"
    assert told(monkeypatch, disc=79.0, above=1.51, **clear) == "unsure"
    assert told(monkeypatch, disc=121.0, above=1.51, **clear) == "roll"


def test_only_what_lies_above_the_edge_and_near_the_roll_is_asked(monkeypatch):
    """The edge's own roughness, and what lies more than 3 px beyond the roll's longer side."""

    def kind_with(row, column):
        patch = patch_of(noise=0.1)
        patch.cover = _light(patch, patch.line)
        at = np.flatnonzero(column == COLUMNS), np.flatnonzero(row == ROWS)
        patch.cover[at] += 1.0  # misfit 100 of the roll's
        monkeypatch.setattr(speck, "form_slopes", lambda samples, theta: (0 * samples, None))
        found = np.array([80.4, 0.0, np.log(5.0), 0.5])
        monkeypatch.setattr(speck, "_fit_disc", lambda *_: (found, 75.0))
        return tell_speck(patch, np.r_[80.4, np.log(4.0), np.log(6.0), WIDE[3:]])

    assert kind_with(5, 80) == "speck"
    assert kind_with(1, 80) == "speck"  # light of 0.16
    assert kind_with(0, 80) == "roll"  # of 0.5
    assert kind_with(5, 72) == "speck"
    assert kind_with(5, 71) == "roll"  # 9.4 px from the middle
    assert kind_with(5, 89) == "speck"
    assert kind_with(5, 90) == "roll"


def test_no_disc_is_brighter_than_the_ground():
    """Light that asks for a disc of less than no darkness leaves a twentieth, where it lies."""
    patch, bare = drawn((80.4, 5.0, np.log(5.0), 0.5))
    patch.cover = 2 * bare - patch.cover
    start = np.array([80.4, 5.0, np.log(5.0), 0.1])
    found, miss = speck._descend(patch, start, np.ones_like(bare, dtype=bool), bare)
    assert found[3] >= 0.05
    assert miss > 100
