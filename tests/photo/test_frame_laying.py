"""How one picture lies on another, fitted: similarities that are known, and their doubt."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.frame_laying import Laid, lay, turning
from edgetest.photo.frame_search import frame_of

SHAPE = (220, 360)


def scene(seed=1):
    """Ground of grains of two sizes, and a band along it."""
    rng = np.random.default_rng(seed)
    fine, coarse = (
        cv2.GaussianBlur(rng.standard_normal((700, 1000)).astype(np.float32), (0, 0), grain)
        for grain in (1.8, 6.0)
    )
    row = (np.arange(700) - 350)[:, None]
    band = 0.5 * np.exp(-0.5 * (row / 9) ** 2)
    return (0.4 + band + 0.06 * fine / fine.std() + 0.06 * coarse / coarse.std()).astype(np.float32)


def taken(light, middle, *, turn_deg=0.0, zoom=1.0, noise=0.0, seed=0, shape=SHAPE):
    """What a camera sees whose middle looks at (row, column): each pixel covers `zoom` of them."""
    own = (np.array(shape) - 1) / 2
    matrix = zoom * turning(turn_deg)
    corner = np.asarray(middle) - matrix @ own
    warp = np.array(
        [[matrix[1, 1], matrix[1, 0], corner[1]], [matrix[0, 1], matrix[0, 0], corner[0]]]
    )
    cut = cv2.warpAffine(light, warp, shape[::-1], flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP)
    grain = noise * np.random.default_rng(seed).standard_normal(shape)
    return (cut + grain).astype(np.float32), np.column_stack([matrix, corner])


def laid(first, second):
    one = frame_of(first)
    return lay(one, frame_of(second, like=one))


def test_a_turn_leads_columns_to_rows():
    assert_allclose(turning(30) @ [0, 1], [0.5, np.sqrt(0.75)])
    assert_allclose(turning(30) @ [1, 0], [np.sqrt(0.75), -0.5])


@pytest.mark.parametrize(
    ("shift", "turn_deg", "zoom"),
    [((0, 150), 0.0, 1.0), ((-30, 120.4), 0.0, 1.0), ((12.3, 170), 1.2, 1.0),
     ((5, -140.7), -2.4, 1.0), ((8, 130), 0.6, 1.02), ((-14.5, 100), -1.4, 0.985)],
)  # fmt: skip
def test_shift_turn_and_zoom_come_back(shift, turn_deg, zoom):
    light = scene()
    first, at_first = taken(light, (350, 500))
    second, at_second = taken(light, (350 + shift[0], 500 + shift[1]), turn_deg=turn_deg, zoom=zoom)
    found = laid(first, second)
    assert found.sure
    assert found.turn_deg == pytest.approx(turn_deg, abs=0.02)
    assert found.zoom == pytest.approx(zoom, abs=3e-4)
    # The second's middle, laid on the first, is where it looks.
    own = (np.array(SHAPE) - 1) / 2
    assert_allclose(found.matrix @ [*own, 1], own + shift, atol=0.05)
    assert_allclose(found.matrix[:, 2], found.corner_rc)
    assert_allclose(found.corner_rc, at_second[:, 2] - at_first[:, 2], atol=0.1)
    # The common part's middle is half way between.
    assert_allclose(found.middle_rc, own + np.array(shift) / 2, atol=8)
    # Without its zoom it is laid on the same place in that middle.
    back = np.linalg.solve(found.matrix[:, :2], found.middle_rc - found.corner_rc)
    assert_allclose(found.unzoomed @ [*back, 1], found.middle_rc)
    assert np.linalg.det(found.unzoomed[:, :2]) == pytest.approx(1)


def test_zoom_and_turn_are_as_far_off_as_their_doubt_says():
    light = scene(3)
    misses = []
    for seed in range(8):
        first, _ = taken(light, (350, 480), noise=0.03, seed=2 * seed)
        second, _ = taken(
            light, (352, 620), turn_deg=0.4, zoom=1.005, noise=0.03, seed=2 * seed + 1
        )
        found = laid(first, second)
        misses.append(
            [(found.zoom - 1.005) / found.zoom_u, (found.turn_deg - 0.4) / found.turn_u_deg]
        )
    # Of eight normal deviates the root mean square is 0.45 to 1.6 (98 %); the doubt of blocks that
    # share their grain is a little wide.
    root = np.sqrt(np.mean(np.square(misses), axis=0))
    assert root.max() < 1.6
    assert root.min() > 0.3


def test_more_light_or_contrast_moves_nothing():
    light = scene(4)
    first, _ = taken(light, (350, 500))
    second, _ = taken(light, (356, 630), turn_deg=0.8)
    one, other = laid(first, second), laid(first, 0.8 * second + 0.05)
    assert_allclose(other.matrix[:, :2], one.matrix[:, :2], atol=1e-3)
    assert_allclose(other.corner_rc, one.corner_rc, atol=0.15)


@pytest.mark.parametrize("zoom", [0.92, 1.08])
def test_another_zoom_is_another_set_up(zoom):
    light = scene(5)
    first, _ = taken(light, (350, 500))
    second, _ = taken(light, (350, 600), zoom=zoom)
    assert not laid(first, second).sure


def test_what_shows_another_place_is_not_sure():
    first, _ = taken(scene(6), (350, 500))
    second, _ = taken(scene(7), (350, 600))
    found = laid(first, second)
    assert not found.sure
    dark = laid(first, np.zeros(SHAPE, np.float32))
    assert not dark.sure


def test_a_place_counts_where_it_is_clear_alone_and_agreed():
    none = np.zeros(2)

    def one(clear=7.0, rival=0.81, agreed=9.0):
        return Laid(none, none, 0.0, 1.0, 0.0, 0.0, 1.0, clear, rival, agreed).sure

    assert one()
    assert not one(clear=6.9)
    assert not one(rival=0.82)
    assert not one(agreed=8.9)
