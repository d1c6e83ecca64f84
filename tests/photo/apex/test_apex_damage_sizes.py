"""Damage of a land, from borders to sizes: each rule with made-up departures."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr, ndtri

from edgetest.photo import chip_model, departures
from edgetest.photo.apex import apex_damage
from edgetest.photo.apex.apex_damage import (
    _as_seen,
    _departures,
    _dull_lip,
    _parted,
    _sized,
    _usual_course,
)
from edgetest.photo.apex.dust_beside import Dust
from tests.photo.apex.test_apex_damage_parts import COUNT, border_of, departure


@pytest.mark.parametrize(("shine", "told"), [(0.8, 0.8), (0.6, 0.6), (0.4, 0.55), (1.3, 1.0)])
def test_a_dull_lip_reaches_farther_out_than_its_half_level(shine, told):
    """Half the land's light is 0.5 / shine of the lip's own: so many blurs farther."""
    off = np.zeros(COUNT)
    off[90:110] = 8.0
    bright = np.full((COUNT, 100), 7.0)
    bright[:, 54] = shine * ndtr(8.0 / 2 / 3.0)  # halfway, 4 px beyond the line at 10
    found = _dull_lip(departure(), off, border_of(off, bright=bright), np.arange(90, 110), 3.0)
    more = 3.0 * ndtri(0.5 / told)
    assert found["depth"] == pytest.approx(4 + more)
    assert found["depth_u"] == pytest.approx(np.hypot(0.2, more / 2))


def seen(off, sign, *, bright, gone=()):
    border = border_of(off, bright=bright)
    border.gone[list(gone)] = True
    stretch = SimpleNamespace(sign=sign, low=90, high=110)
    return _as_seen(departure(height=np.abs(off[90:110]).max()), off, border, stretch, 2.0)


def test_a_departure_is_told_by_its_light_and_its_side():
    off = np.zeros(COUNT)
    off[90:110] = -8.0
    dark, light = np.zeros((COUNT, 100)), np.ones((COUNT, 100))
    assert seen(off, -1, bright=dark)["kind"] == "notch"
    assert seen(off, -1, bright=light)["kind"] == "foreign"
    assert seen(-off, 1, bright=light)["kind"] == "lip"
    assert seen(-off, 1, bright=dark)["kind"] == "foreign"
    found = seen(off, -1, bright=dark)
    assert (found["outward"], found["depth"], found["depth_u"]) == (-1, 4.0, pytest.approx(0.2))
    assert seen(-off, 1, bright=light)["outward"] == 1


def test_a_notch_beyond_the_land_is_known_to_a_quarter():
    off = np.zeros(COUNT)
    off[90:110] = -3.0
    dark = np.zeros((COUNT, 100))
    found = seen(off, -1, bright=dark, gone=[95])
    assert (found["depth"], found["depth_u"]) == (3.0, 0.75)  # no deeper than the border went
    off[90:110] = -8.0
    found = seen(off, -1, bright=dark, gone=[109])
    assert (found["depth"], found["depth_u"]) == (4.0, 1.0)
    assert seen(off, -1, bright=dark, gone=[89, 110])["depth_u"] == pytest.approx(0.2)


def test_the_light_of_the_deeper_half_tells_what_it_is():
    """Of the places that go more than half as far as the deepest, the median."""
    off = np.zeros(COUNT)
    off[90:110] = -3.9
    off[104:109] = -8.0
    bright = np.ones((COUNT, 100))
    bright[104:109] = 0.0
    assert seen(off, -1, bright=bright)["kind"] == "notch"
    off[90:104] = -4.1
    assert seen(off, -1, bright=bright)["kind"] == "foreign"


def parted(monkeypatch, found, dust):
    asked = []

    def beside(borders, blur):
        asked.append(blur)
        return dust

    monkeypatch.setattr(apex_damage, "dust_beside", beside)
    borders = border_of(np.zeros(COUNT)), border_of(np.zeros(COUNT))
    steel, foreign = _parted(found, borders, 2.0)
    return [one["length"] for one in steel], [one["length"] for one in foreign], asked


def test_dust_is_asked_for_where_something_is_as_short_as_it(monkeypatch):
    dust = Dust(1.0, 10.0)
    largest = apex_damage.LARGEST_PX
    foreign = departure(kind="foreign", length=7.0)
    long = departure(length=largest)
    assert parted(monkeypatch, [foreign, long], dust) == ([largest], [7.0], [])
    short = departure(length=14.9)
    assert parted(monkeypatch, [foreign, long, short], dust) == ([largest], [7.0, 14.9], [2.0])
    assert parted(monkeypatch, [short], Dust(0.2, 10.0)) == ([14.9], [], [2.0])


def sized(monkeypatch, off, other, departures_of):
    """Departures of one side where those of its two lines are given."""
    asked = []

    def found(e, border, blur):
        asked.append(e)
        return iter(departures_of[len(asked) - 1])

    monkeypatch.setattr(apex_damage, "_departures", found)
    return list(_sized(border_of(off), border_of(other), 2.0)), asked


def test_short_damage_of_the_finer_line_is_added_unless_it_is_found_already(monkeypatch):
    off = 0.5 * np.sin(2 * np.pi * np.arange(COUNT) / 160)
    off[95:106] = -5.0
    one = departure(centre=100.0, length=20.0)
    new = departure(centre=111.0, length=25.0)
    same, long = departure(centre=109.0, length=10.0), departure(centre=150.0, length=25.1)
    found, asked = sized(monkeypatch, off, 0 * off, ([one], [same, long, new]))
    assert found == [one, new]
    assert_allclose(asked[0], off)
    # From a line of its own, which follows waves of 160 px by a half and more.
    assert np.abs(asked[1][20:80]).max() < 0.6 * np.abs(off[20:80]).max()
    assert np.abs(asked[1][100] + 5) < 0.5


def test_a_side_that_stays_within_its_least_depth_is_not_looked_at(monkeypatch):
    off = np.full(COUNT, 1.39)
    assert sized(monkeypatch, off, off, ()) == ([], [])
    off[7] = 1.4
    assert len(sized(monkeypatch, off, 0 * off, ([], []))[1]) == 2
    border = border_of(10 * off)
    border.seen[99:] = False
    monkeypatch.setattr(apex_damage, "_departures", lambda *rest: pytest.fail("too little is seen"))
    assert list(_sized(border, border, 2.0)) == []
    monkeypatch.undo()


def test_of_a_land_of_uneven_width_what_both_sides_share_is_taken_off(monkeypatch):
    """The other's waves times their slope; a roll has its share of what is left."""
    rng = np.random.default_rng(1)
    other = 0.5 * rng.standard_normal(COUNT)
    off = 0.5 * other
    off[95:106] += -6.0
    other[150:161] += 5.0
    off[150:161] -= 5.0
    own, roll = departure(), departure(centre=155.0, length=16.0, depth=6.0)
    others = departure(centre=30.0, length=12.0)
    other[24:37] = 4.0
    found, asked = sized(monkeypatch, off, other, ([own, roll, others], []))
    slope = apex_damage._in_common(off, other)
    assert slope == pytest.approx(0.5, abs=0.1)
    assert_allclose(asked[0], off - slope * other)
    assert found[0] == own
    assert found[1]["kind"] == "roll"
    assert found[1]["depth"] == pytest.approx(6.0 / (1 + slope))
    assert found[1]["depth_u"] == pytest.approx(0.2 / (1 + slope))
    assert len(found) == 2  # the third is the other side's
    foreign = roll | {"kind": "foreign"}
    assert sized(monkeypatch, off, other, ([foreign], []))[0] == []


def departures_of(monkeypatch, stretches, sizes, *, off=None, spread=0.1, bright=None):
    """Which departures are told of those that are found, with made-up sizes."""
    off = np.zeros(COUNT) if off is None else off
    bright = np.ones((COUNT, 100)) if bright is None else bright
    monkeypatch.setattr(departures, "edge_spread", lambda e, sound: (spread, 3.0))
    monkeypatch.setattr(departures, "find_departures", lambda *rest, **valley: stretches)
    monkeypatch.setattr(chip_model, "size_departures", lambda e, found, *rest: sizes[: len(found)])
    monkeypatch.setattr(apex_damage, "_as_seen", lambda size, *rest: size)
    return list(_departures(off, border_of(off, bright=bright), 2.0))


@pytest.mark.parametrize(
    ("low", "high", "changes", "told"),
    [
        (80, 100, {}, True),
        (80, 100, {"length": 4.0}, True),
        (80, 100, {"length": 3.9}, False),
        (80, 100, {"length": COUNT / 3}, True),
        (80, 100, {"length": COUNT / 3 + 0.1}, False),
        (80, 100, {"depth": 1.4}, True),
        (80, 100, {"depth": 1.39}, False),
        (3, 20, {}, False),  # nothing sound before it
        (60, 197, {}, False),
    ],
)
def test_a_departure_has_its_least_depth_and_length(monkeypatch, low, high, changes, told):
    off = np.zeros(COUNT)
    off[low:high] = -4.0
    found = departures_of(
        monkeypatch, [SimpleNamespace(low=low, high=high)], [departure(**changes)], off=off
    )
    assert bool(found) == told


@pytest.mark.parametrize(("low", "told"), [(2, False), (3, True)])
def test_damage_at_the_end_of_the_edge_has_no_size(monkeypatch, low, told):
    monkeypatch.setattr(apex_damage, "_lies_between", lambda *rest: True)
    for ends in ((low, 30), (COUNT - 30, COUNT - low)):
        off = np.zeros(COUNT)
        off[slice(*ends)] = -4.0
        stretch = SimpleNamespace(low=ends[0], high=ends[1])
        assert bool(departures_of(monkeypatch, [stretch], [departure()], off=off)) == told


@pytest.mark.parametrize(("spread", "told"), [(0.49, True), (0.51, False), (np.inf, False)])
def test_damage_stands_out_by_eight_spreads(monkeypatch, spread, told):
    off = np.zeros(COUNT)
    off[80:100] = -4.0
    found = departures_of(
        monkeypatch, [SimpleNamespace(low=80, high=100)], [departure()], off=off, spread=spread
    )
    assert bool(found) == told


@pytest.mark.parametrize(("light", "told"), [(0.71, True), (0.69, False)])
def test_sound_borders_have_the_lands_light_within_them(monkeypatch, light, told):
    off = np.zeros(COUNT)
    off[80:100] = -4.0
    found = departures_of(monkeypatch, [SimpleNamespace(low=80, high=100)], [departure()], off=off,
                          bright=np.full((COUNT, 100), light))  # fmt: skip
    assert bool(found) == told


def test_the_usual_course_does_not_follow_damage():
    count = 400
    flat = np.ones(count)
    sides = SimpleNamespace(
        block=2, width_px=20 + 0.005 * np.arange(count), land=0.7 * flat, below=0.1 * flat,
        above=0.2 + 0.0001 * np.arange(count),
    )  # fmt: skip
    sides.width_px[100:110] -= 9
    for level in (sides.land, sides.below, sides.above):
        level[100:110] += 0.3
    levels, width = _usual_course(sides, flat > 0)
    index = np.arange(count)
    assert_allclose(width, 20 + 0.005 * index, atol=0.1)
    for level, usual in zip(levels, (0.7, 0.1, 0.2 + 0.0001 * index), strict=True):
        assert_allclose(level, usual + 0 * index, atol=0.005)
    # Where nothing is usual, what shows the band tells.
    none = np.zeros(count, bool)
    none[[50, 300]] = True
    sides.width_px[[50, 300]] = 90.0
    levels, _ = _usual_course(sides, none)
    assert_allclose(levels[0], 0.7)


def test_what_is_off_by_more_than_four_deviations_is_not_sound(monkeypatch):
    """Half of the places 0.1 off, half 0.3: the median of those seen is 0.1, four of it 0.593."""
    asked = []
    monkeypatch.setattr(
        departures, "edge_spread", lambda e, sound: asked.append(sound) or (np.inf, 1.0)
    )
    off = np.full(COUNT, 0.1)
    off[::5], off[100:104] = 0.3, [0.59, -0.59, 0.6, -0.6]
    border = border_of(off)
    border.seen[:7] = False
    assert list(_departures(off, border, 2.0)) == []
    assert np.flatnonzero(~asked[0]).tolist() == [*range(7), 102, 103]


@pytest.mark.parametrize(("length_px", "followed"), [(80, False), (110, True)])
def test_a_width_that_stays_another_for_a_hundred_pixels_is_the_lands_own(length_px, followed):
    """The median goes over 37 of every fifth place: over half of them are 95 px."""
    flat = np.ones(600)
    sides = SimpleNamespace(block=1, width_px=20 * flat, land=flat, below=flat, above=flat)
    sides.width_px[300 - length_px // 2 : 300 + length_px // 2] = 12.0
    _, width = _usual_course(sides, flat > 0)
    assert width[300] == pytest.approx(12.0 if followed else 20.0)
    assert_allclose(width[[100, 500]], 20)
