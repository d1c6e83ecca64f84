"""Whether two outlines lie together: the rule at its limits, and places there and back."""

from math import inf
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.side.laid_together import (
    LaidTogether,
    _apart,
    _as_telling,
    _bumps,
    _by,
    _checked,
    _damage,
    _shared,
)
from edgetest.photo.side.laying import Candidate


def place(shift=100.0, *, stretch=1.0, middle=500.0, likeness=0.4, u=2.0):
    return Candidate(shift, stretch, middle, likeness, 40.0, 30.0, u)


@pytest.mark.parametrize(
    ("likeness", "odds", "lead", "bonus", "by"),
    [(0.15, 5.0, 5.0, 0.0, "roughness"), (0.149, 9.0, 9.0, 9.0, "nothing"),
     (0.3, 9.0, 4.9, 0.0, "nothing"), (0.3, 4.9, 9.0, 0.0, "nothing"),
     (0.3, 4.9, 9.0, 0.1, "roughness_and_chips"), (0.3, 4.9, 9.0, 0.05, "nothing"),
     (0.3, 5.0, 9.0, -0.1, "nothing"), (0.3, 6.0, 9.0, -0.9, "roughness")],
)  # fmt: skip
def test_outlines_are_laid_together_from_the_limits_on(likeness, odds, lead, bonus, by):
    assert _by(place(likeness=likeness), odds, lead, bonus) == by


def test_places_lead_there_and_back_through_a_stretch():
    laid = LaidTogether("roughness", place(stretch=1.02))
    assert laid.on_second(500.0) == pytest.approx(600.0)
    assert laid.on_second(600.0) == pytest.approx(702.0)
    assert laid.on_first(702.0) == pytest.approx(600.0)
    assert laid.on_first(498.0) == pytest.approx(400.0)
    assert laid.overlap((0.0, 700.0), (396.0, 5000.0)) == pytest.approx((300.0, 700.0))
    assert laid.overlap((0.0, 7000.0), (0.0, 702.0)) == pytest.approx((0.0, 600.0))
    assert (laid.shift_um, laid.shift_u_um) == (100.0, 2.0)
    nothing = LaidTogether("nothing", None)
    assert (nothing.shift_um, nothing.shift_u_um, nothing.likeness) == (None, 0.0, None)
    assert (nothing.chance, nothing.odds, nothing.lead) == (1.0, -inf, 0.0)
    assert LaidTogether("maker", place(likeness=float("nan"))).likeness is None


def test_a_depth_is_as_doubtful_as_outlines_stand_apart():
    """Over so long a stretch, and by what a stretch does to a depth."""
    laid = LaidTogether("roughness", place(stretch=0.97), bumps=((2.0, 0.6), (10.0, 0.2)))
    assert laid.depth_u_um(6.0, 10.0) == pytest.approx(np.hypot(0.4, 0.3))
    assert laid.depth_u_um(50.0, 0.0) == pytest.approx(0.2)
    assert laid.depth_u_um(1.0, 0.0) == pytest.approx(0.6)
    assert LaidTogether("maker", place()).depth_u_um(6.0, 10.0) == 0


def test_what_both_show_is_told_on_the_first():
    first, second = np.array([0.0, 1000.0]), np.array([50.0, 800.0])
    assert _shared(first, second, 100.0) == (0.0, 700.0)
    assert _shared(first, second, -100.0) == (150.0, 900.0)
    assert _shared(first, second, -300.0) == (350.0, 1000.0)


@pytest.mark.parametrize(("shift", "enough"), [(760.0, True), (765.0, False), (-910.0, True),
                                               (-914.0, False)])  # fmt: skip
def test_a_shift_given_leaves_a_twentieth_of_the_shorter(shift, enough):
    """750 µm: 37.5 of them."""
    first, second = np.array([0.0, 1000.0]), np.array([50.0, 800.0])
    if enough:
        _checked(shift, first, second)
        return
    with pytest.raises(UnusableInput, match="between -950 and 800"):
        _checked(shift, first, second)


def test_no_number_is_no_shift():
    for shift in (inf, float("nan")):
        with pytest.raises(UnusableInput, match="is no shift"):
            _checked(shift, np.array([0.0, 9.0]), np.array([0.0, 9.0]))


@pytest.mark.parametrize(("away", "apart"), [(36.0, False), (36.1, True), (-36.1, True)])
def test_another_place_is_six_peaks_of_three_pixels_away(away, apart):
    assert _apart(place(), place(100.0 + away), 2.0) == apart
    # Where stretches differ, in the middle of the other.
    one = place(stretch=1.01, middle=0.0)
    assert _apart(one, place(100 + 5.0 + away, middle=500.0), 2.0) == apart


@pytest.mark.parametrize("likeness", [0.1, 0.4, 0.8])
def test_a_likeness_tells_as_much_as_it_did(likeness):
    """Normal law: n independent samples tell half of (n - 1) log(1 / (1 - r²)) over chance."""
    n = 80.0
    evidence = -(n - 1) / 2 * np.log(1 - likeness**2) + 0.5 * np.log(2 * np.pi / n)
    assert _as_telling(evidence, n) == pytest.approx(likeness)
    assert _as_telling(-50.0, n) == 0
    assert _as_telling(-inf, n) is None


def outline(rough, *, um=2.0, chips=(), rolls=()):
    rough = np.asarray(rough, dtype=float)
    return SimpleNamespace(um_per_px=um, position_um=um * np.arange(rough.size), chips=chips,
                           rolls=rolls, departure_um=rough)  # fmt: skip


def damage(at, length=20.0, depth=5.0):
    return SimpleNamespace(position_um=at, length_um=length, depth_um=depth)


def test_damage_is_chips_inward_and_rolls_outward():
    both = outline([0.0], chips=(damage(40.0),), rolls=(damage(90.0, 8.0, 2.0),))
    assert _damage(both) == [(40.0, 20.0, 5.0, -1), (90.0, 8.0, 2.0, 1)]


def test_sound_outlines_stand_apart_by_their_means():
    """1, -1 and 0 in turn: means over 1, 2, 4 ... samples are 1 over their number, or nothing."""
    flat, ripple = np.zeros(400), np.tile([1.0, -1.0, 0.0], 134)[:400]
    found = _bumps(outline(flat), outline(ripple), place(0.0, middle=0.0))
    size = np.array([1, 2, 4, 8, 16, 32, 64])  # up to a sixth of the samples
    windows, spreads = np.array(found).T
    assert windows.tolist() == (2.0 * size).tolist()
    assert spreads == pytest.approx(1.4826 / size)
    level = _bumps(outline(flat), outline(ripple + 7), place(0.0, middle=0.0))
    assert level[0][1] == pytest.approx(1.4826)


def test_damage_and_what_one_alone_shows_stand_out_of_no_sound_outline():
    """0.85 of its length to either side; fewer than twenty samples tell nothing."""
    flat, struck = np.zeros(100), np.zeros(100)
    struck[42:59] = -30.0  # 84 to 116 µm
    bare = _bumps(outline(flat), outline(struck, chips=(damage(100.0),)), place(0.0, middle=0.0))
    assert [spread for _, spread in bare] == pytest.approx([0.0] * len(bare))
    # On the first's own scale where the first has it: 24 µm further on.
    moved = _bumps(outline(struck, chips=(damage(100.0),)), outline(flat), place(24.0, middle=0.0))
    assert [spread for _, spread in moved] == pytest.approx([0.0] * len(moved))
    assert _bumps(outline(flat), outline(flat), place(160.0, middle=0.0)) != ()
    assert _bumps(outline(flat), outline(flat), place(162.0, middle=0.0)) == ()
