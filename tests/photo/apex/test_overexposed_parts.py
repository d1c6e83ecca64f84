"""Flanks below the clip: bins counted by hand, and what is too little of a flank."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import overexposed
from edgetest.photo.apex.band_sides import FittedSides
from edgetest.photo.apex.overexposed import Flanks, _interquartile_means, _pooled, overexposed_width


def grid(value, *, rows=64, per_bin=2, outward=3.0, inward=2.0):
    """Rows of pixels, so many to a bin of a quarter pixel, `value` of their distance."""
    step = 0.25 / per_bin
    distance = -outward + step / 2 + step * np.arange(int((outward + inward) / step))
    distance = np.tile(distance, (rows, 1))
    return distance, np.asarray(value(distance), dtype=float) + 0 * distance


def pooled(distance, value, full=None, near=None, reach=(3.0, 2.0), cosine=1.0):
    nothing = np.zeros(distance.shape)
    touched = nothing if full is None else full, nothing if near is None else near
    return _pooled(distance, value, touched, reach, cosine)


def test_bins_hold_means_of_light_and_place():
    distance, value = grid(lambda d: 0.3 + 0.1 * d)
    found = pooled(distance, value)
    assert_allclose(found.distance, -3 + 0.25 * np.arange(20) + 0.125)
    assert_allclose(found.value, 0.3 + 0.1 * found.distance)
    # Stretches alike: what no lens follows better, 0.0015 of full scale, is all the doubt.
    assert_allclose(found.sd, 0.0015, rtol=1e-3)
    assert not found.mixed.any()
    assert (found.along, found.across) == (1.0, 0.0)
    slanted = pooled(distance, value, cosine=0.8)
    assert (slanted.along, slanted.across) == (0.8, pytest.approx(0.6))


def test_what_lies_out_of_reach_is_in_no_bin():
    distance, value = grid(lambda d: 0.3, outward=6.0, inward=5.0)
    found = pooled(distance, value)
    assert (found.distance[0], found.distance[-1]) == pytest.approx((-2.875, 1.875))
    assert found.distance.size == 20


def test_the_scatter_is_that_of_the_stretches():
    """Sixteen stretches along the edge, half of them brighter by 0.2: 0.1 about the mean.

    Of the mean of 16 that is 0.1 / sqrt(15).
    """
    distance, value = grid(lambda d: 0.4)
    brighter = (np.arange(64) // 4 % 2)[:, None] * 0.2
    found = pooled(distance, value + brighter)
    assert_allclose(found.value, 0.5)
    assert_allclose(found.sd, np.hypot(0.1 / np.sqrt(15), 0.0015), rtol=1e-6)


@pytest.mark.parametrize(("share", "felt"), [(0.2, False), (0.21, True)])
def test_a_flank_ends_where_a_fifth_of_a_bin_is_full(share, felt):
    distance, value = grid(lambda d: 0.3, rows=100, per_bin=1)
    full = np.zeros(distance.shape)
    full[: round(100 * share), 12] = 1
    found = pooled(distance, value, full=full)
    assert found.distance.size == (12 if felt else 20)


def test_a_flank_of_four_bins_is_none():
    distance, value = grid(lambda d: 0.3)
    for bins in (4, 5):
        full = distance >= -3 + 0.25 * bins
        found = pooled(distance, value, full=full.astype(float))
        assert (found is None) == (bins < 5)


def test_how_far_inside_the_clip_begins_is_counted_in_pixels():
    """Half the pixels of three bins touch full ones: 3/8 px in all."""
    distance, value = grid(lambda d: 0.3)
    near = np.zeros(distance.shape)
    near[::2, 20:26] = 1
    found = pooled(distance, value, near=near)
    expected = np.r_[np.zeros(10), 0.125, 0.25, np.full(8, 0.375)]
    assert_allclose(found.mixed, expected)


@pytest.mark.parametrize(("held", "kept"), [(7, False), (8, True)])
def test_a_bin_of_fewer_than_eight_pixels_is_left_out(held, kept):
    distance, value = grid(lambda d: 0.3, rows=40, per_bin=1)
    distance[held:, 0] = -99
    assert pooled(distance, value).distance.size == (20 if kept else 19)
    distance, value = grid(lambda d: 0.3, rows=100, per_bin=1)
    distance[7 + held :, 0] = -99  # of 100 in the usual bin, 15 are enough
    assert pooled(distance, value).distance.size == (20 if kept else 19)


def test_the_middle_half_of_a_bin_gives_its_mean():
    index = np.array([0, 2, 0, 0, 0, 2, 0, 0, 0, 0])
    value = np.array([5.0, 1, 100, 4, 6, 3, -50, 7, 9, 2])
    # In bin 0: -50, 2 | 4, 5, 6, 7 | 9, 100; bin 2 has two values, bin 1 none.
    assert_allclose(_interquartile_means(index, value, 3), [5.5, 0.0, 2.0])


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("slope", [0.0, 0.2])
def test_sides_move_by_what_the_flanks_say(monkeypatch, upright, slope):
    """Each by half of the change, measured across the edge; all else stays."""
    seen = []

    def flank(grey, sides, used, way, side, clipped):
        seen.append(side)
        return side

    monkeypatch.setattr(overexposed, "_flank", flank)
    given = []

    def fitted(flanks, apart, blur):
        given.append((flanks, apart, blur))
        return Flanks(21.0, 0.3, 1.4, 1.7, 12.0)

    monkeypatch.setattr(overexposed, "fit_flanks", fitted)
    slant = np.hypot(1, slope)
    width, blur = np.r_[24.0, 24, 26, 26, 25], np.r_[1.0, 1, 3, 3, 3]
    none = np.zeros(5)
    known = {name: none for name in FittedSides.__dataclass_fields__}
    known |= {"left": -width * slant / 2, "right": width * slant / 2, "width_px": width,
              "blur_px": blur}  # fmt: skip
    sides = FittedSides(**known)
    used = np.array([True, True, True, True, False])
    found = overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98)
    assert seen == [-1, 1]
    assert given == [([-1, 1], 25.0, 2.0)]
    assert_allclose(found.width_px, width - 4)
    moved = (found.left - sides.left).mean(), (sides.right - found.right).mean()
    assert moved == pytest.approx((2 * slant, 2 * slant))
    assert (found.land, found.blur_px) == (pytest.approx(np.full(5, 1.4)), pytest.approx(1.7))
    assert found.shared_u_px == 0.3
    monkeypatch.setattr(overexposed, "fit_flanks", lambda *_: None)
    assert overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98) is None
    monkeypatch.setattr(overexposed, "_flank", lambda *_: None)
    monkeypatch.setattr(overexposed, "fit_flanks", fitted)
    assert overexposed_width(np.zeros((9, 9)), sides, used, upright, 0.98) is None


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("backwards", [False, True])
def test_a_flank_is_read_outward_from_its_own_side(upright, side, backwards):
    """Light that rises inward by 0.05 a pixel from 0.4 on the side; the two sides differ."""
    rows, cols = 120, 160
    row = np.arange(rows)[:, None] + 0 * np.arange(cols)
    grey = np.where(row < 60, 0.4 + 0.05 * (row - 48), 0.4 + 0.05 * (72.0 - row) + 0.001)
    grey = np.clip(grey, 0, 1).astype(np.float32)
    along = np.arange(cols, dtype=float)
    centre, normal = np.stack([0 * along + 60, along], axis=1), np.tile([1.0, 0.0], (cols, 1))
    if upright:
        grey, centre, normal = np.ascontiguousarray(grey.T), centre[:, ::-1], normal[:, ::-1]
    left = np.full(cols, -12.0)
    if backwards:  # the path's normal points the other way: left is at the larger row
        normal = -normal
    sides = SimpleNamespace(left=left, right=-left, block=1, blur_px=np.full(cols, 1.0),
                            width_px=np.full(cols, 24.0),
                            track=SimpleNamespace(centre_rc=centre, normal_rc=normal))  # fmt: skip
    found = overexposed._flank(grey, sides, np.ones(cols, bool), upright, side, 0.72)
    assert found.along == pytest.approx(1.0)
    lower = (side < 0) == backwards
    assert_allclose(found.value, 0.4 + 0.05 * found.distance + 0.001 * lower, atol=1e-5)
    # Outward by 4.5 blurs and 3 px, inward up to where pixels are full (0.75, 7 px inside).
    assert found.distance.min() == pytest.approx(-7, abs=0.6)
    assert found.distance.max() == pytest.approx(6, abs=0.6)
    assert found.mixed[found.distance < 5.5].max() == 0
    assert found.mixed[found.distance > 5.5].min() > 0


@pytest.mark.parametrize(
    ("apart", "blur", "low", "high"),
    [(30.0, 2.0, 22.0, 32.0), (8.0, 2.0, 1.6, 10.0), (30.0, 0.3, 28.0, 30.5),
     (100.0, 2.0, 52.0, 62.0)],
)  # fmt: skip
def test_widths_are_tried_from_four_blurs_narrower_to_one_wider(
    monkeypatch, apart, blur, low, high
):
    """A fifth of the clipped picture's width at least; sides 60 px apart do not feel each other."""
    tried = []

    def likely(model, widths, starts, free):
        tried.append((widths, starts, free))
        chi2 = 1e9 + np.zeros(widths.size)
        return SimpleNamespace(widths=widths, chi2=chi2, lens=None, one=1.0)

    near = []
    monkeypatch.setattr(
        overexposed, "_Model",
        lambda flanks, at: near.append(at) or SimpleNamespace(y=np.zeros(40)),
    )  # fmt: skip
    monkeypatch.setattr(overexposed, "_likely", likely)
    assert overexposed.fit_flanks([None, None], apart, blur) is None
    assert near == [min(apart, 60.0)]
    for widths, _, _ in tried:
        assert (widths[0], widths[-1], widths.size) == (pytest.approx(low), pytest.approx(high), 20)
    assert tried[0][2] == (0, 1, 2)
    assert_allclose(
        tried[0][1],
        max(blur, 0.5) * np.array([[2.7, 0.5, 0.25], [1.4, 1.6, 0.25], [1.2, 0.6, 0.8]]),
    )
    assert tried[1][2] == (2,)  # a Gaussian alone
    assert_allclose(tried[1][1], [[0.05, 0.05, max(blur, 0.5)]])


def likelihood(chi2, *, one=1.0, widths=None, lens=None):
    widths = np.linspace(20.0, 29.5, 20) if widths is None else widths
    lens = np.tile([0.0, 0.0, 1.5], (20, 1)) if lens is None else lens
    return SimpleNamespace(widths=widths, chi2=np.asarray(chi2, dtype=float), lens=lens, one=one)


def fitted(monkeypatch, every, plain, *, apart=30.0, land=1.4, size=41):
    left = [every, plain]

    def solved(widths, lens):
        return None, np.array([land])

    model = SimpleNamespace(y=np.zeros(size), solved=solved)
    monkeypatch.setattr(overexposed, "_Model", lambda flanks, near: model)
    monkeypatch.setattr(overexposed, "_likely", lambda *_: left.pop(0))
    return overexposed.fit_flanks([None, None], apart, 1.5)


PLACES = np.linspace(20.0, 29.5, 20)


def bell(middle, sd, floor=10.0):
    return floor + ((PLACES - middle) / sd) ** 2


def test_a_width_is_the_mean_of_its_likelihood(monkeypatch):
    """Of a Gaussian lens 2.5 times as wary, of any lens five times: sqrt(5) of its deviation."""
    worse = likelihood(bell(26.0, 1.0, 20.0))
    found = fitted(monkeypatch, likelihood(bell(25.0, 0.5)), worse)
    assert found.width_px == pytest.approx(25.0, abs=0.01)
    half_step = 0.5**2 / 12
    spread = np.sqrt(5 * 0.25 + half_step)
    assert found.u_px == pytest.approx(np.hypot(spread, 0.16 * 5), rel=0.02)
    assert (found.land, found.chi2) == (1.4, 10.0)
    assert found.blur_px == pytest.approx(np.hypot(1.5, np.sqrt(1 / 12)))
    # A Gaussian that leaves less than four independent values more is believed.
    simple = fitted(monkeypatch, likelihood(bell(25.0, 0.5)), likelihood(bell(26.0, 0.5, 13.9)))
    assert simple.width_px == pytest.approx(26.0, abs=0.01)
    spread = np.sqrt(2.5 * 0.25 + half_step)
    assert simple.u_px == pytest.approx(np.hypot(spread, 0.03 * 4), rel=0.02)
    other = fitted(monkeypatch, likelihood(bell(25.0, 0.5)), likelihood(bell(26.0, 0.5, 14.1)))
    assert other.width_px == pytest.approx(25.0, abs=0.01)
    # Where more values count as one, more of them are left.
    loose = likelihood(bell(25.0, 0.5), one=2.0)
    assert fitted(monkeypatch, loose, likelihood(bell(26.0, 0.5, 17.9), one=2.0)).width_px > 25.9


def test_sides_far_apart_move_by_as_much(monkeypatch):
    found = fitted(
        monkeypatch, likelihood(bell(25.0, 0.5)), likelihood(bell(26.0, 1.0, 20.0)), apart=100.0
    )
    assert found.width_px == pytest.approx(25.0 + 40.0, abs=0.01)


@pytest.mark.parametrize(("floor", "kept"), [(163.0, True), (165.0, False)])
def test_no_lens_explains_flanks_four_times_as_far_off(monkeypatch, floor, kept):
    """Of 41 values: a misfit of 164."""
    found = fitted(monkeypatch, likelihood(bell(25.0, 0.5, floor)), likelihood(bell(26, 1, 999.0)))
    assert (found is not None) == kept


@pytest.mark.parametrize(("land", "kept"), [(2.5, True), (2.51, False)])
def test_a_land_of_more_than_two_and_a_half_full_scales_is_none(monkeypatch, land, kept):
    found = fitted(
        monkeypatch, likelihood(bell(25.0, 0.5)), likelihood(bell(26, 1, 99.0)), land=land
    )
    assert (found is not None) == kept


@pytest.mark.parametrize(("first", "kept"), [(0.09, True), (0.11, False)])
def test_a_likelihood_ends_within_the_widths_that_are_tried(monkeypatch, first, kept):
    """A tenth of the greatest at the narrowest."""
    chi2 = bell(25.0, 0.5)
    chi2[0] = 10 - 2 * 5 * np.log(first)
    found = fitted(monkeypatch, likelihood(chi2), likelihood(bell(26, 1, 99.0)))
    assert (found is not None) == kept


def test_a_stretch_of_one_pixel_scatters_as_one_of_many():
    """Sixteen pixels to a bin, one a stretch, 0.1 either way: 0.1 / sqrt(15) again."""
    distance, value = grid(lambda d: 0.4, rows=16, per_bin=1)
    brighter = (np.arange(16) % 2)[:, None] * 0.2
    found = pooled(distance, value + brighter)
    assert_allclose(found.sd, np.hypot(0.1 / np.sqrt(15), 0.0015), rtol=1e-6)
