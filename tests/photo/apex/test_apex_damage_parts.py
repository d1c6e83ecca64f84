"""Parts of how damage is told: each rule on hand-made departures, at its limits from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.apex_damage import (
    _chip,
    _deepest,
    _in_common,
    _is_dust,
    _is_roll,
    _is_steel,
    _lies_between,
    _perhaps_roll,
    _rolls_joined,
    _taken_up,
    _told_apart,
    _whose,
)
from edgetest.photo.apex.border_path import Border
from edgetest.photo.apex.dust_beside import Dust

COUNT = 200


def departure(**known):
    usual = {"side": -1, "kind": "notch", "outward": -1, "centre": 100.0, "length": 20.0,
             "depth": 4.0, "length_u": 0.3, "depth_u": 0.2, "height": 3.5}  # fmt: skip
    return usual | known


def border_of(off, *, line=10.0, bright=None, middle=40):
    off = np.asarray(off, dtype=float)
    bright = np.zeros((off.size, 100)) if bright is None else bright
    none = np.zeros(off.size, bool)
    return Border(np.full(off.size, line), off, bright, ~none, none, middle)


def test_sizes_are_told_in_micrometres():
    """A place is the middle of its pixel: half a pixel from where it begins."""
    chip = _chip(departure(), 2.0)
    sizes = (chip.position_um, chip.length_um, chip.depth_um, chip.length_u_um, chip.depth_u_um)
    assert sizes == pytest.approx((201.0, 40.0, 8.0, 0.6, 0.4))
    assert (chip.side, chip.kind) == (-1, "notch")


def test_damage_takes_up_the_blocks_it_reaches():
    """0.62 of its length, one and a half blurs and a block to either side of its middle."""
    sides = SimpleNamespace(left=np.zeros(60), block=4)
    size = departure(centre=101.5, length=20.0)
    taken = np.flatnonzero(_taken_up([size], sides, 2.0))  # 12.4 + 3 + 4 = 19.4 px
    middles = 4 * np.arange(60) + 1.5
    assert taken.tolist() == np.flatnonzero(np.abs(middles - 101.5) <= 19.4).tolist()
    assert middles[taken].tolist() == pytest.approx(list(np.arange(85.5, 118.5, 4)))
    assert not _taken_up([], sides, 2.0).any()
    two = _taken_up([size, departure(centre=9.5, length=2.0)], sides, 0.0)
    assert middles[two][:3].tolist() == [5.5, 9.5, 13.5]


def test_the_depth_is_where_the_border_itself_goes_furthest():
    off = np.zeros(COUNT)
    off[95:105], off[99] = -3.0, -5.0
    stretch = SimpleNamespace(sign=-1, low=90, high=110)
    found = _deepest(departure(), off, stretch)
    assert found["depth"] == pytest.approx(4 + 5 - 3.5)
    assert found["depth_u"] == pytest.approx(np.hypot(0.2, 0.75))
    out = _deepest(departure(), -off, SimpleNamespace(sign=1, low=90, high=99))
    assert out["depth"] == pytest.approx(4 + 3 - 3.5)


@pytest.mark.parametrize(
    ("own", "other", "whose"),
    [(3.0, 0.5, "own"), (0.5, 3.0, "other"), (3.0, -3.0, "roll"), (3.0, -1.4, "roll"),
     (3.0, -0.9, "own"), (-3.0, 1.4, "roll"), (-1.0, 2.5, "roll"), (-0.7, 2.5, "other")],
)  # fmt: skip
def test_the_side_that_moved_is_the_one_whose_going_leaves_least(own, other, whose):
    """3 and -1.4: half their sum, 0.8, is less than 1.4; of 3 and -0.9 it is 1.05."""
    off, opposite = np.zeros(COUNT), np.zeros(COUNT)
    off[95:106], opposite[95:106] = own, other
    off[105:] = 9.0
    off[105] = own
    assert _whose(departure(), off, opposite) == whose


def test_the_first_places_of_an_edge_are_its_beginning():
    """Damage whose middle half begins before the picture: what is there of it counts."""
    off, opposite = np.zeros(COUNT), np.zeros(COUNT)
    off[:8], opposite[:8] = 0.5, 3.0
    assert _whose(departure(centre=2.0), off, opposite) == "other"
    follows = np.full(COUNT, -9.0)
    follows[:8] = 3.0
    assert _perhaps_roll(departure(centre=2.0), border_of(follows))["kind"] == "roll"


def test_dust_is_no_longer_than_the_specks_beside():
    """1.3 of the largest and 2 px, where a quarter of a speck must lie on the borders."""
    dust = Dust(0.25, 10.0)
    assert _is_dust(departure(length=14.9), dust)
    assert not _is_dust(departure(length=15.0), dust)
    assert not _is_dust(departure(length=14.9), Dust(0.249, 10.0))
    assert not _is_dust(departure(length=5.0, kind="roll"), dust)


@pytest.mark.parametrize(
    ("changes", "roll"),
    [
        ({}, True),
        ({"outward": -1}, False),
        ({"depth": 2.1}, True),
        ({"depth": 2.0}, False),  # half as deep
        ({"depth": 7.9}, True),
        ({"depth": 8.0}, False),
        ({"centre": 107.9}, True),  # less than 0.3 of 20 px, and 2 px, away
        ({"centre": 92.1}, True),
        ({"centre": 108.0}, False),
        ({"centre": 108.0, "length": 21.0}, True),
    ],
)
def test_a_roll_is_one_movement_of_both_sides(changes, roll):
    other = departure(side=1, outward=1, kind="lip") | changes
    assert _is_roll(departure(), other) == roll
    assert _is_roll(other, departure()) == roll


def test_the_sides_of_a_roll_are_joined():
    calm = border_of(np.zeros(COUNT)), border_of(np.zeros(COUNT))
    left = departure()
    right = departure(side=1, outward=1, kind="lip", centre=102.0, length=24.0, depth=5.0,
                      length_u=0.4, depth_u=0.1)  # fmt: skip
    (roll,) = _rolls_joined([right, left], calm)
    assert (roll["centre"], roll["length"], roll["depth"]) == (101.0, 22.0, 4.5)
    assert roll["length_u"] == pytest.approx(0.25)
    assert roll["depth_u"] == pytest.approx(np.hypot(0.2, 0.1) / 2)
    assert (roll["kind"], roll["side"]) == ("roll", 1)
    (other,) = _rolls_joined([left | {"outward": 1}, right | {"outward": -1}], calm)
    assert other["side"] == -1
    alone = _rolls_joined([left, right | {"centre": 150.0}], calm)
    assert [one["kind"] for one in alone] == ["notch", "lip"]


@pytest.mark.parametrize(
    ("follows", "kind"),
    [(2.1, "roll"), (2.0, "notch"), (7.9, "roll"), (8.0, "notch"), (-3, "notch")],
)
@pytest.mark.parametrize("side", [-1, 1])
def test_a_side_that_follows_makes_a_roll(follows, kind, side):
    """By half of the depth to twice of it, over the middle half of the length."""
    off = np.full(COUNT, -9.0)
    off[95:106] = follows
    found = _perhaps_roll(departure(side=side), border_of(off))
    assert found["kind"] == kind
    if kind == "roll":
        assert found["depth"] == pytest.approx((4 + follows) / 2)
        assert found["side"] == -side
    lip = _perhaps_roll(departure(side=side, outward=1, kind="lip"), border_of(-off))
    assert lip["kind"] == ("lip" if kind == "notch" else kind)
    assert lip["side"] == side
    joined = departure(kind="roll", side=side)
    assert _perhaps_roll(joined, border_of(off)) == joined | {"side": -side}


def test_the_sides_of_an_uneven_land_have_a_slope_in_common():
    """Half of the other's waves; and none where they hardly agree."""
    rng = np.random.default_rng(1)
    other = rng.standard_normal(400)
    assert _in_common(0.5 * other, other) == pytest.approx(0.5)
    assert _in_common(-0.5 * other, other) == 0.0
    # Correlation 0.6 and 0.4 in the samples themselves.
    noise = rng.standard_normal(400)
    noise -= other * (noise @ other) / (other @ other)
    noise *= np.sqrt((other @ other) / (noise @ noise))
    inner = np.abs(other) < 3
    assert _in_common(0.6 * other + 0.8 * noise, other) == pytest.approx(0.6, abs=0.05)
    assert _in_common(0.4 * other + np.sqrt(0.84) * noise, other) == 0.0
    # Damage tells nothing of it; 30 sound samples are needed.
    off = 0.5 * other
    off[10:20] = 25.0
    assert _in_common(off, other) == pytest.approx(0.5)
    assert inner.sum() > 30
    sound = np.tile([1.0, -1.0], 15)
    assert _in_common(sound, sound) == pytest.approx(1.0)
    assert _in_common(sound[:29], sound[:29]) == 0.0


def test_a_departure_lies_between_sound_places():
    """0.4 of the 30 places on either side that no other departure takes up."""
    stretch = SimpleNamespace(low=80, high=100)
    free = np.ones(COUNT, bool)

    def lies(before, after, free=free):
        calm = np.zeros(COUNT, bool)
        calm[80 - before : 80], calm[100 : 100 + after] = True, True
        return _lies_between(stretch, calm, free)

    assert lies(12, 12)
    assert not lies(11, 12)
    assert not lies(12, 11)
    other = free.copy()
    other[60:80] = False
    calm = np.zeros(COUNT, bool)
    calm[48:60], calm[100:112] = True, True
    assert _lies_between(stretch, calm, other)
    assert not _lies_between(stretch, calm, free)
    ends = np.ones(COUNT, bool)
    assert not _lies_between(SimpleNamespace(low=0, high=20), ends, free)
    assert not _lies_between(SimpleNamespace(low=180, high=200), ends, free)


@pytest.mark.parametrize(
    ("sign", "light", "steel"),
    [(-1, 0.29, True), (-1, 0.31, False), (-1, -0.5, True), (1, 0.19, True), (1, 0.21, False),
     (1, -0.41, True), (1, -0.43, False)],
)  # fmt: skip
def test_steel_has_the_light_of_land_or_ground_halfway(sign, light, steel):
    """Less that of a blurred border there: 0.3 brighter at most in a notch, 0.2 at a lip."""
    off = np.zeros(COUNT)
    off[90:110] = 8.0 * sign
    # Halfway, 4 px off, a border of 4 px blur has the light of one deviation: 0.1587 or 0.8413.
    blurred = 0.841345 if sign > 0 else 0.158655
    bright = np.zeros((COUNT, 100))
    bright[:, 40 + 10 + 4 * sign] = blurred + light
    border = border_of(off, bright=bright)
    stretch = SimpleNamespace(sign=sign)
    assert _is_steel(off, border, stretch, np.arange(90, 110), 4.0) == steel


def test_light_is_read_outward_of_the_line():
    """Row by row, one sample or the mean of a stretch."""
    bright = np.arange(100.0) + np.zeros((COUNT, 1))
    border = border_of(np.zeros(COUNT), bright=bright)
    assert_allclose(border.light(0.0), 50)
    assert_allclose(border.light(np.full(COUNT, -3.0)), 47)
    assert_allclose(border.light(2.0, 6.0), 54)  # 52 to 56
    assert_allclose(border.light(90.0), 99)
    assert_allclose(border.light(-90.0), 0)


def test_where_little_is_left_it_is_the_side_that_lost_more():
    """Land of 20 px, blur 2: under 6 px it is thin; where paths meet within 2 px it is gone."""
    deep, shallow = np.zeros(COUNT), np.zeros(COUNT)
    deep[90:110] = -16.0
    deep[98:102] = -19.0
    shallow[86:114] = -0.5
    shallow[100:105] = 0.5
    one, other = _told_apart((border_of(deep), border_of(shallow)), 2.0)
    gone = np.zeros(COUNT, bool)
    gone[98:102] = True
    assert (one.gone == gone).all()
    assert not other.gone.any()
    assert_allclose(one.off, np.where(gone, -20.0, deep))
    # Thin, and what blurs reach beside it (4 px): the other side has no notch of its own there.
    expected = shallow.copy()
    expected[86:114] = np.maximum(shallow[86:114], 0)
    assert_allclose(other.off, expected)
    again = _told_apart((border_of(shallow), border_of(deep)), 2.0)
    assert_allclose(again[0].off, other.off)
    assert_allclose(again[1].off, one.off)
    far = _told_apart((border_of(deep, line=14.0), border_of(shallow, line=14.0)), 2.0)
    assert_allclose(far[1].off, shallow)  # 8 px and more are left


@pytest.mark.parametrize(
    ("blur", "left", "thin"),
    [(1.0, 2.9, True), (1.0, 3.1, False), (3.0, 8.9, True), (3.0, 9.1, False)],
)
def test_a_land_is_thin_under_three_blurs(blur, left, thin):
    """Land of 20 px: where one side has lost more, the other has no notch of its own."""
    deep, shallow = np.zeros(COUNT), np.zeros(COUNT)
    deep[90:110], shallow[90:110] = left - 20 + 0.5, -0.5
    _, other = _told_apart((border_of(deep), border_of(shallow)), blur)
    assert bool((other.off[90:110] == 0).all()) == thin
