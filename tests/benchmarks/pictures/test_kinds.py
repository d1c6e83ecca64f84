"""Kinds of picture: each opens, comes again by its seed, and its truth lies on its land."""

import cv2
import numpy as np
import pytest

from tests.benchmarks.pictures.broken_kinds import BROKEN
from tests.benchmarks.pictures.keep import keep, kept
from tests.benchmarks.pictures.kinds import GOOD, KINDS, picture

pytestmark = pytest.mark.slow  # of the made-up world alone: .ci/deep runs them


def opened(data):
    return cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE).astype(float)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_opens_and_says_what_it_is(kind):
    made = picture(kind, 3)
    assert (made.kind, made.seed) == (kind, 3)
    assert opened(made.data).shape == made.file_shape
    assert made.um_per_px > 0
    assert made.tone
    if kind in ("narrow", "round"):
        assert (made.cause == "too small") == (made.blur_px > made.width_px / 4)
    elif kind in GOOD and kind not in ("ring", "dome"):
        assert made.cause == ""
        assert made.width_px > 1
    elif kind not in ("soft", "defocused", "motion"):
        assert made.cause
    assert (made.partner is not None) == (kind in ("sides", "wrong lamps"))
    assert (made.grey_steps is not None) == (kind == "tones")


def test_a_seed_gives_one_picture_and_kinds_do_not_share_it():
    assert picture("plain", 4).data == picture("plain", 4).data
    assert picture("plain", 4).data != picture("dusty", 4).data
    assert set(GOOD).isdisjoint(BROKEN)
    with pytest.raises(KeyError):
        picture("no such kind", 0)


def mid_rows(points, columns):
    """Places of a border at columns of the file."""
    order = np.argsort(points[:, 0])
    return np.interp(columns, points[order, 0], points[order, 1])


@pytest.mark.parametrize("kind", ["plain", "hard", "wide", "corners", "tones", "cameras"])
def test_the_borders_lie_where_the_land_ends_in_the_file(kind):
    made = picture(kind, 3)
    shown = opened(made.data)
    upper, lower = made.borders()
    columns = np.linspace(0.1, 0.9, 60) * shown.shape[1]
    y1, y2 = mid_rows(upper, columns), mid_rows(lower, columns)
    tilt = np.cos(np.radians(made.edge.tilt_deg))
    assert np.median((y2 - y1) * tilt) == pytest.approx(made.width_px, rel=0.15, abs=1.0)
    reach = max(4.0, 3 * made.blur_px)

    def light(rows):
        rows = np.rint(rows).astype(int).clip(0, shown.shape[0] - 1)
        return shown[rows, np.rint(columns).astype(int)].mean()

    inside = light((y1 + y2) / 2)
    outside = (light(y1 - reach) + light(y2 + reach)) / 2
    assert inside > 1.8 * outside
    # The halves of the fall lie on either side of each border, not both on one.
    step = max(1.0, made.blur_px)
    assert light(y1 - step) < light(y1 + step)
    assert light(y2 + step) < light(y2 - step)


def test_micro_bevels_of_any_width_leave_the_land_its_width():
    for seed in range(2):
        made = picture("micro-bevel", seed)
        assert made.truth.width_um == pytest.approx(made.apex.flat_um, rel=0.06)


def test_turned_pictures_keep_their_borders():
    for seed in (1, 2):
        made = picture("turned", seed)
        shown = opened(made.data)
        upper, lower = made.borders()
        count = min(len(upper), len(lower))
        middle = (upper[:count] + lower[:count]) / 2
        inside = (middle > 5).all(axis=1) & (middle < np.array(shown.shape[::-1]) - 6).all(axis=1)
        x, y = np.rint(middle[inside]).astype(int).T
        assert inside.sum() > 50
        assert shown[y, x].mean() > 2 * np.median(shown)


def test_an_edge_that_leaves_does_leave():
    for seed in range(2):
        made = picture("leaving", seed)
        rows = made.file_shape[0]
        upper, lower = made.borders()
        assert (upper[:, 1] < 0).any() or (lower[:, 1] > rows - 1).any()


def test_kept_pictures_are_the_made_ones(tmp_path):
    for seed in (0, 1, 3):
        assert keep(tmp_path, "micro-bevel", seed)
    assert not keep(tmp_path, "micro-bevel", 1)
    held = list(kept(tmp_path, "micro-bevel", parity=1))
    assert [each.seed for each in held] == [1, 3]
    fresh = picture("micro-bevel", 3)
    assert held[1].data == fresh.data
    assert held[1].truth.width_um == fresh.truth.width_um
    assert [each.seed for each in kept(tmp_path, "micro-bevel")] == [0, 1, 3]
    assert keep(tmp_path, "stack few", 2)
    (through,) = kept(tmp_path, "stack few")
    assert len(through.sequence.frames) == through.sequence.plan.frames == 5
