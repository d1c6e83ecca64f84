"""Focus stacks, part by part: limits, the choice of the reference, weights by hand."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.photo import focus_stack
from edgetest.photo.focus_stack import (
    _check_sizes,
    _doubts,
    _fused,
    _laid,
    _zooms,
    fuse_stack,
    moved,
    sharpness,
)

HERE = np.eye(2, 3)


def place(zoom=1.0, zoom_u=1e-5, *, sure=True, shift=0.0):
    matrix = np.array([[zoom, 0, shift], [0, zoom, 0]])
    unzoomed = np.array([[1.0, 0, shift], [0, 1.0, 0]])
    return SimpleNamespace(zoom=zoom, zoom_u=zoom_u, sure=sure, matrix=matrix, unzoomed=unzoomed)


def test_two_photographs_of_one_size_and_48_pixels_are_a_stack():
    _check_sizes([(48, 90), (48, 90)])
    _check_sizes([(90, 48), (90, 48)])
    with pytest.raises(UnusableInput, match="1 photograph"):
        _check_sizes([(90, 90)])
    with pytest.raises(UnusableInput, match=r"90 x 80, 91 x 80 pixels"):
        _check_sizes([(80, 90), (80, 91)])
    with pytest.raises(UnusableInput, match="photographs of 90 x 47 pixels"):
        _check_sizes([(47, 90), (47, 90)])


@pytest.mark.parametrize(
    ("zoom", "zoom_u", "told"),
    [
        (1.0039, 1e-5, False),
        (1.0041, 1e-5, True),
        (0.9961, 1e-5, False),
        (0.9959, 1e-5, True),
        (1.0099, 0.002, False),
        (1.0101, 0.002, True),
    ],
)
def test_a_zoom_is_one_of_four_thousandths_and_five_uncertainties(zoom, zoom_u, told):
    found = _zooms({3: place(zoom, zoom_u)})
    assert found == ({3: zoom} if told else {})


def test_doubts_tell_what_was_left_out_and_the_range_of_zooms():
    matrices = np.stack([HERE, HERE, np.full((2, 3), np.nan)])
    found = list(_doubts(["a", "b", "c"], matrices, {0: 1.02, 1: 0.99}, "b"))
    assert [one.code for one in found] == ["frame_left_out", "frames_zoomed"]
    assert found[0].where.file == "c"
    assert found[1].where.value == pytest.approx(0.03)
    alone = list(_doubts(["a"], matrices[:1], {0: 1.02}, "a"))
    assert alone[0].where.value == pytest.approx(0.02)
    assert not list(_doubts(["a", "b"], matrices[:2], {}, "a"))


def chosen(monkeypatch, sure, order):
    """The reference, its photographs, who was tried: a is found on b for (b, a) of `sure`."""
    tried = []

    def lay(on, frame, *, reach):
        assert reach == 0.12
        assert on != frame
        tried.append(on)
        return place(sure=(on, frame) in sure)

    monkeypatch.setattr(focus_stack, "lay", lay)
    count = 1 + max(order)
    reference, laid = _laid(list(range(count)), order)
    return reference, sorted(laid), list(dict.fromkeys(tried))


def test_the_sharpest_on_which_half_of_the_others_are_found_is_the_reference(monkeypatch):
    order = [2, 0, 1, 3, 4]
    sure = {(2, 0), (2, 1), (0, 1), (0, 2), (0, 3)}
    assert chosen(monkeypatch, sure, order) == (2, [0, 1], [2])
    assert chosen(monkeypatch, sure - {(2, 0)}, order) == (0, [1, 2, 3], [2, 0])


def test_of_four_the_one_on_which_most_are_found_is_the_reference(monkeypatch):
    order = [2, 0, 1, 3, 4, 5]
    assert chosen(monkeypatch, {(2, 0), (1, 3), (1, 4)}, order) == (1, [3, 4], [2, 0, 1, 3])
    assert chosen(monkeypatch, {(2, 0), (1, 3)}, order) == (2, [0], [2, 0, 1, 3])
    with pytest.raises(UnusableInput, match="no place in common"):
        chosen(monkeypatch, {(4, 3)}, order)  # the fifth is not tried


def test_a_picture_is_moved_by_rows_and_columns():
    picture = np.random.default_rng(1).random((30, 40)).astype(np.float32)
    assert moved(picture, HERE) is picture
    down = moved(picture, np.array([[1.0, 0, 3], [0, 1, 0]]))
    assert_allclose(down[3:], picture[:-3], atol=1e-5)
    assert_allclose(down[0], picture[0], atol=1e-5)  # beyond the border as at it
    right = moved(picture, np.array([[1.0, 0, 0], [0, 1, 5]]))
    assert_allclose(right[:, 5:], picture[:, :-5], atol=1e-5)
    slope = np.arange(30.0, dtype=np.float32)[:, None] + np.zeros(40, np.float32)
    double = moved(slope, np.array([[2.0, 0, 0], [0, 1, 0]]))
    assert_allclose(double[:, 3], np.arange(30) / 2, atol=0.02)


def test_sharpness_is_the_energy_of_fine_detail_nearby():
    picture = np.zeros((160, 160), np.float32)
    picture[:, :80] = np.random.default_rng(2).standard_normal((160, 80))
    found = sharpness(picture)
    assert found[80, 20] > 50 * found[80, 140]
    assert found[80, 20] == pytest.approx(4 * sharpness(picture / 2)[80, 20], rel=1e-4)
    # A Gaussian of 12 px spreads it: at the border of what is sharp half is left.
    assert found[:, 80].mean() / found[:, 20:50].mean() == pytest.approx(0.5, abs=0.1)
    assert found[:, 92].mean() / found[:, 20:50].mean() == pytest.approx(0.16, abs=0.06)
    slope = np.arange(120, dtype=np.float32) + np.zeros((120, 1), np.float32)
    assert sharpness(slope)[60, 60] < 1e-4 * found[80, 20]


def test_the_fused_picture_is_a_mean_weighted_by_the_fourth_power_of_sharpness():
    rng = np.random.default_rng(3)
    texture = rng.standard_normal((60, 70)).astype(np.float32)
    one, other = 0.5 + 0.1 * texture, 0.7 + 0.09 * texture
    found, saturated = _fused([one, other], [None, None], [HERE, HERE])
    share = 1 / (1 + 0.9**8)  # of sharpness, which goes with the square
    assert_allclose(found, share * one + (1 - share) * other, atol=1e-3)
    assert saturated is None
    none = np.full((2, 3), np.nan)
    assert_allclose(_fused([one, other], [None, None], [HERE, none])[0], one, atol=1e-5)
    flat = np.full((60, 70), 0.4, np.float32)
    assert_allclose(_fused([flat, flat / 2], [None, None], [HERE, HERE])[0], 0.3, atol=1e-3)


def test_what_is_saturated_is_so_where_the_sharper_photograph_is():
    texture = np.random.default_rng(4).standard_normal((60, 70)).astype(np.float32)
    sharp, soft = 0.5 + 0.1 * texture, 0.5 + 0.05 * texture
    mask = np.zeros((60, 70), bool)
    mask[10:20, 30:40] = True
    _, saturated = _fused([sharp, soft], [mask, None], [HERE, HERE])
    assert np.array_equal(saturated, mask)
    assert _fused([sharp, soft], [None, mask], [HERE, HERE])[1] is None
    down = np.array([[1.0, 0, 3], [0, 1, 0]])
    _, saturated = _fused([sharp, soft], [mask, None], [down, HERE])
    assert np.array_equal(np.flatnonzero(saturated.any(axis=1)), np.arange(13, 23))


def stacked(monkeypatch, places, contrasts=(3.0, 2.0, 1.0)):
    """Three photographs of falling sharpness; `places` are those of (reference, other)."""
    texture = np.random.default_rng(5).standard_normal((50, 60)).astype(np.float32)
    lights = [
        SimpleNamespace(grey=0.5 + 0.01 * contrast * texture, saturated=None)
        for contrast in contrasts
    ]
    monkeypatch.setattr(focus_stack, "frame_of", lambda picture: float(picture.std()))
    rank = {float(np.float32(light.grey).std()): number for number, light in enumerate(lights)}
    missing = place(sure=False)
    monkeypatch.setattr(
        focus_stack, "lay", lambda on, frame, reach: places.get((rank[on], rank[frame]), missing)
    )
    return fuse_stack(lights, ["a", "b", "c"])


def test_photographs_are_laid_on_the_sharpest_without_zooms_that_are_none(monkeypatch):
    places = {(0, 1): place(1.003, shift=2.0), (0, 2): place(1.01, shift=1.0)}
    found = stacked(monkeypatch, places)
    assert found.reference == 0
    assert_allclose(found.matrices[0], HERE)
    assert_allclose(found.matrices[1], places[0, 1].unzoomed)
    assert_allclose(found.matrices[2], places[0, 2].matrix)
    assert [one.code for one in found.doubts] == ["frames_zoomed"]
    assert found.doubts[0].where.value == pytest.approx(0.01)


def test_a_reference_of_another_zoom_than_most_gives_way(monkeypatch):
    places = {(0, 1): place(1.01), (0, 2): place(1.01), (1, 0): place(0.99), (1, 2): place(1.0)}
    found = stacked(monkeypatch, places)
    assert found.reference == 1
    assert_allclose(found.matrices[1], HERE)
    assert_allclose(found.matrices[0], places[1, 0].matrix)
    places = {(0, 1): place(1.01), (0, 2): place(1.0)}  # one of two is not most
    assert stacked(monkeypatch, places).reference == 0


def test_a_photograph_that_is_nowhere_found_is_left_out(monkeypatch):
    found = stacked(monkeypatch, {(0, 1): place()})
    assert np.isnan(found.matrices[2]).all()
    assert [(one.code, one.where.file) for one in found.doubts] == [("frame_left_out", "c")]
