"""What the mean width's doubt is made of: each share alone, against its closed form."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.apex.mean_width import (
    _bridged,
    _gap_uncertainty,
    _reach,
    _shown_span,
    mean_width,
)

COUNT = 200


def sides_of(width=20.0, *, blur=2.0, saturated=False, shared=0.0, contrast=0.5, block=4):
    """Sides that fit without any misfit; `width` one for all places or one each."""
    full = np.ones(COUNT)
    return SimpleNamespace(
        width_px=width * full, blur_px=blur * full, contrast=contrast * full,
        residual=np.zeros((COUNT, 9), np.float32), saturated=saturated, shared_u_px=shared,
        block=block, land=0.6 * full, below=0.1 * full, above=0.1 * full,
        left=-width * full / 2, right=width * full / 2, stderr_px=0.01 * full,
        texture=np.zeros((COUNT, 9), np.float32),
    )  # fmt: skip


@pytest.fixture(autouse=True)
def smooth_land(monkeypatch):
    """The land has no texture of its own, and nothing is misfitted."""
    monkeypatch.setattr("edgetest.photo.apex.mean_width.land_texture", lambda *_: 0.0)
    monkeypatch.setattr("edgetest.photo.apex.mean_width.structure", lambda *_: 0.0)


def width_of(sides, *, used=None, **known):
    usual = {"shape": 0.0, "profile": None, "chipped": np.zeros(COUNT, bool), "cut_noise": 0.0}
    return mean_width(sides, np.ones(COUNT, bool) if used is None else used, **(usual | known))


def test_an_even_width_is_as_well_known_as_the_model():
    found = width_of(sides_of())
    assert found.mean_px == pytest.approx(20)
    assert found.u_px == pytest.approx(0.004, rel=1e-6)
    assert found.sd_px == 0


@pytest.mark.parametrize(
    ("sides", "known", "part"),
    [
        (sides_of(shared=0.1), {}, 0.15),  # straightening draws noise out by a half
        (sides_of(shared=0.1, saturated=True), {}, np.hypot(0.1, 0.2)),  # a tenth of the blur, too
        (sides_of(), {"cut_noise": 0.1}, 0.16),
        (sides_of(width=14.0), {"shape": 0.02}, 0.12),  # a land of 7 blurs: the whole of it
        (sides_of(width=12.0), {"shape": 0.02}, 0.12),
        (sides_of(width=28.0), {"shape": 0.02}, 0.12 / 8),  # twice as wide: an eighth
        (sides_of(), {"profile": SimpleNamespace(shift_px=0.3, u_px=0.2)}, 0.2),
    ],
)
def test_each_doubt_adds_in_squares(sides, known, part):
    found = width_of(sides, **known)
    assert found.u_px == pytest.approx(np.hypot(0.004, part), rel=1e-6)
    shift = 0.3 if "profile" in known else 0.0
    assert found.mean_px == pytest.approx(sides.width_px[0] + shift)


def test_texture_and_shared_misfit_count_in_blurs(monkeypatch):
    monkeypatch.setattr("edgetest.photo.apex.mean_width.land_texture", lambda *_: 0.01)
    assert width_of(sides_of()).u_px == pytest.approx(np.hypot(0.004, 0.08))
    assert width_of(sides_of(saturated=True)).u_px == pytest.approx(np.hypot(0.004, 0.2))
    monkeypatch.setattr("edgetest.photo.apex.mean_width.structure", lambda *_: 0.05)
    expected = np.sqrt(0.004**2 + 0.08**2 + 0.08**2)
    assert width_of(sides_of()).u_px == pytest.approx(expected)


def test_white_scatter_counts_by_the_root_of_its_number():
    """Standard deviation 0.2 px over 200 places: 0.0141 px, whatever the line takes of it."""
    told = [
        width_of(sides_of(20 + 0.2 * np.random.default_rng(seed).standard_normal(COUNT))).u_px
        for seed in range(12)
    ]
    assert np.mean(told) == pytest.approx(np.hypot(0.2 / np.sqrt(COUNT), 0.004), rel=0.1)


def test_a_slow_change_is_the_edge_s_own():
    """A wave of 0.5 px: its standard deviation is 0.5 over root 2, and no doubt of the mean."""
    wave = 0.5 * np.sin(2 * np.pi * np.arange(COUNT) / COUNT)
    found = width_of(sides_of(20 + wave))
    assert found.sd_px == pytest.approx(0.5 / np.sqrt(2), rel=0.01)
    assert found.u_px < 0.008


def test_chips_and_what_is_not_shown_are_no_part_of_the_mean():
    width = np.full(COUNT, 20.0)
    width[50:80] = 12.0
    chipped = np.zeros(COUNT, bool)
    chipped[50:80] = True
    assert width_of(sides_of(width), chipped=chipped).mean_px == pytest.approx(20)
    # Beyond place 150 the edge does not show: what is read there counts for nothing.
    width = np.where(np.arange(COUNT) < 150, 20.0, 90.0)
    contrast = np.where(np.arange(COUNT) < 150, 0.5, 0.2)
    used = np.arange(COUNT) < 150
    found = width_of(sides_of(width, contrast=contrast), used=used)
    assert found.mean_px == pytest.approx(20)
    assert found.u_px == pytest.approx(0.004, rel=1e-3)
    # On a slope the mean ends where the edge does, and is led on where it shows unmeasured.
    slope = 20 + 0.02 * np.arange(COUNT)
    ended = width_of(sides_of(slope, contrast=contrast), used=used)
    assert ended.mean_px == pytest.approx(20 + 0.02 * 74.5)
    led_on = width_of(sides_of(slope, contrast=np.where(used, 0.5, 0.26)), used=used)
    last = 20 + 0.02 * 143.5  # of the twelve places before it
    assert led_on.mean_px == pytest.approx((150 * (20 + 0.02 * 74.5) + 50 * last) / 200)
    just = width_of(sides_of(slope, contrast=np.where(used, 0.5, 0.25)), used=used)
    assert just.mean_px == pytest.approx(ended.mean_px)
    # More than half the usual contrast shows an edge that was not measured there.
    still = sides_of(width, contrast=np.where(used, 0.5, 0.26))
    assert width_of(still, used=used).mean_px == pytest.approx(20)
    assert _shown_span(used, used | (still.contrast > 0.25)) == (0, 200)


@pytest.mark.parametrize(
    ("shown", "reach"),
    [([], 0), ([0, 0, 0], 0), ([1, 1, 0], 2), ([0, 1], 2), ([0, 0, 1], 0), ([1, 0, 0, 1], 4),
     ([1, 0, 0, 0, 1], 1), ([0, 1, 1, 0, 0, 0, 1], 3)],
)  # fmt: skip
def test_the_edge_shows_as_far_as_half_of_it_does(shown, reach):
    assert _reach(np.array(shown, dtype=bool)) == reach
    used = np.zeros(20, bool)
    used[9:11] = True
    both = used.copy()
    both[11 : 11 + len(shown)] = shown
    both[9 - len(shown) : 9] = shown[::-1]
    assert _shown_span(used, both) == (9 - reach, 11 + reach)


def test_a_gap_is_bridged_from_its_sides_and_an_end_by_a_mean():
    """On a straight slope a bridge is the slope; an end takes the mean of twelve places."""
    width = 10 + 0.05 * np.arange(100.0)
    used = np.ones(100, bool)
    used[40:55] = False
    used[:5], used[90:] = False, False
    seen = np.where(used, width, 77.0)
    filled, off, kept = _bridged(seen, used, 5.0)
    np.testing.assert_allclose(filled[5:90], width[5:90], atol=0.02)
    np.testing.assert_allclose(filled[:5], width[5:17].mean())
    np.testing.assert_allclose(filled[90:], width[78:90].mean())
    np.testing.assert_allclose(off[used], 0, atol=0.02)
    assert not off[~used].any()
    # A Gaussian kernel of this reach holds 1 / (2 sqrt(pi) reach) of white noise.
    assert kept == pytest.approx(1 - 0.2820948 / 5)


def test_what_is_guessed_over_a_gap_is_as_doubtful_as_the_edge_varies():
    """By its slow variance over what of it is independent, and its own noise over two ends."""
    rng = np.random.default_rng(3)
    filled = 5 + rng.standard_normal(400)
    used = np.ones(400, bool)
    assert _gap_uncertainty(filled, used, 4.0, 1.0) == 0
    used[100:101] = False
    one = _gap_uncertainty(filled, used, 4.0, 0.0)
    used[300:301] = False
    assert _gap_uncertainty(filled, used, 4.0, 0.0) == pytest.approx(one * np.sqrt(2))
    assert _gap_uncertainty(filled, used, 0.0, 1.0) == 0
    used[:] = True
    used[100:180] = False
    # Of noise alone: a quarter of its variance over the gap, all of it one value.
    noise = _gap_uncertainty(filled, used, 1e-12, 1.0)
    assert noise == pytest.approx(80 / 400 / 2, rel=1e-4)
    long = _gap_uncertainty(filled, used, 4.0, 0.0)
    # Of a long gap every correlation length is a value of its own: long and short together give
    # the variance alone, whatever that length is.
    assert long * one == pytest.approx(4.0 * np.sqrt(80) / 400**2)
    used[100:140] = True
    assert _gap_uncertainty(filled, used, 4.0, 0.0) == pytest.approx(long / np.sqrt(2))
    # White noise behind a Gaussian of 4 places is correlated over 2 sqrt(pi) 4 of them.
    assert 4.0 / (400 * one) ** 2 == pytest.approx(2 * np.sqrt(np.pi) * 4, rel=0.25)
