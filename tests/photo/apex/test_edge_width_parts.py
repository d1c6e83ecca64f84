"""Which way a picture of an edge goes: each turning with made-up results, at its limits."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.doubts import doubt
from edgetest.photo.apex import edge_width
from edgetest.photo.apex.apex_result import ApexMeasurement, Chip
from edgetest.photo.apex.edge_width import (
    _find,
    _measured,
    _short_edge,
    _whole_or_short,
    _without_damage,
    measure_apex,
)
from edgetest.photo.apex.tone_family import SOFTER, Tone
from edgetest.photo.apex.width_along import FoundBand, Setup
from edgetest.photo.linear_light import Light

SETUP = Setup(2.0, 0.0, Tone(True, False), None)
NONE = np.zeros(2)
COUNT = 40


def measured(*codes, share=1.0, snr=99.0, **known):
    values = {"width_um": "a width", "um_per_px": 2.0, "scale_relative_u": 0.0,
              "position_um": np.array([1.0, 5.0]), "chips": ()} | known  # fmt: skip
    doubts = tuple(doubt(code) for code in codes)
    return ApexMeasurement("measured", (), doubts=doubts, share_measured=share, snr=snr, **values)


def told(result):
    return result.status, [one.code for one in (*result.reasons, *result.doubts)]


def light(shape=(40, 60), known=True, named=False):
    return Light(np.zeros(shape, np.float32), None, "srgb", known, tone_named=named)


def looked_at(monkeypatch, results, *, known=True, named=False, region=None, shape=(40, 60)):
    """What `measure_apex` tells of results by the power of the tone, and what was looked at."""
    asked = []

    def whole(grey, setup, origin, excluded):
        asked.append((grey.shape, setup.tone.power, origin.tolist()))
        return results[min(len(asked), len(results)) - 1]

    monkeypatch.setattr(edge_width, "_whole_or_short", whole)
    monkeypatch.setattr(edge_width, "softer_light", lambda grey, power: grey)
    return measure_apex(light(shape, known, named), 2.0, region=region), asked


@pytest.mark.parametrize("shape", [(24, 90), (90, 24)])
def test_a_picture_has_24_pixels_at_least(monkeypatch, shape):
    assert looked_at(monkeypatch, [measured()], shape=shape)[0].status == "measured"
    smaller = tuple(side - (side == 24) for side in shape)
    assert told(looked_at(monkeypatch, [measured()], shape=smaller)[0])[1] == ["too_small"]


def test_a_region_is_cut_out_of_the_picture(monkeypatch):
    _, asked = looked_at(monkeypatch, [measured()], region=(-3, 4.6, 30.4, 99))
    assert asked == [((30, 55), None, [0.0, 5.0])]
    for scale in (0.0, -1.0, np.inf, np.nan, None):
        assert told(measure_apex(light(), scale))[1] == ["no_scale"]


def test_softer_tones_are_tried_only_where_the_tone_is_not_known_and_nothing_was_found(monkeypatch):
    nothing = SETUP.refused("no_band")
    found, asked = looked_at(monkeypatch, [nothing, nothing, measured()], known=False)
    assert found.status == "measured"
    assert [power for _, power, _ in asked] == [None, *SOFTER[:2]]
    found, asked = looked_at(monkeypatch, [nothing], known=False)
    assert (found, len(asked)) == (nothing, 1 + len(SOFTER))
    for way in ({"known": True}, {"known": False, "named": True}):
        assert len(looked_at(monkeypatch, [nothing], **way)[1]) == 1
    other = SETUP.refused("too_noisy")
    assert len(looked_at(monkeypatch, [other], known=False)[1]) == 1


def whole_or_short(monkeypatch, first, short, excluded=()):
    asked = []
    monkeypatch.setattr(edge_width, "_measured", lambda *rest: first)
    monkeypatch.setattr(edge_width, "_short_edge", lambda *rest: asked.append(1) or short)
    return _whole_or_short(None, SETUP, NONE, excluded), len(asked)


def test_a_short_edge_is_looked_for_where_none_was_found(monkeypatch):
    nothing, short = SETUP.refused("inverted"), measured(snr=77.0)
    assert whole_or_short(monkeypatch, nothing, short) == (short, 1)
    assert whole_or_short(monkeypatch, nothing, None) == (nothing, 1)
    assert whole_or_short(monkeypatch, short, None) == (short, 0)
    noisy = SETUP.refused("too_noisy")
    assert whole_or_short(monkeypatch, noisy, short) == (noisy, 0)


@pytest.mark.parametrize(
    ("code", "share", "excluded", "seen"),
    [
        ("soft_focus", 0.54, (), False),
        ("soft_focus", 0.55, (), True),
        ("narrow_band", 0.54, (), True),
        ("rolled_edge", 0.54, (), False),
        ("soft_focus", 0.54, ((0, 9),), True),
    ],
)
def test_a_part_of_something_else_is_no_edge(monkeypatch, code, share, excluded, seen):
    found, _ = whole_or_short(monkeypatch, measured(code, share=share), None, excluded)
    assert (found.status == "measured") == seen
    assert seen or told(found)[1] == ["no_band"]


def short_edge(monkeypatch, result, *, first=20, last=60, upright=False, factor=2, length=100):
    """A short stretch of a band that falls by three in four, 100 places of the reduced picture."""
    asked = {}
    along = np.arange(float(length)) * factor
    centre = np.stack([10 + 0.75 * along, along], axis=1)
    centre = centre[:, ::-1] if upright else centre
    band = SimpleNamespace(upright=upright, centre_rc=centre, strength=np.ones(length))

    def look(grey, setup, origin, excluded):
        asked.update(shape=grey.shape, origin=origin.tolist(), excluded=excluded)
        return result

    monkeypatch.setattr(edge_width, "reduce", lambda grey: (grey, factor))
    monkeypatch.setattr(edge_width, "ridges", lambda small: (1, 2, 3))
    monkeypatch.setattr(edge_width, "short_stretch", lambda *rest: (band, first, last))
    monkeypatch.setattr(edge_width, "_measured", look)
    origin = np.array([7.0, 9.0])
    found = _short_edge(np.zeros((300, 400), np.float32), SETUP, origin, [(100.0, 150.0)])
    assert origin.tolist() == [7, 9]
    return found, asked


def test_a_short_edge_is_measured_on_its_stretch_and_told_where_it_lies(monkeypatch):
    """It begins 40 px along the columns: 50 px along the edge, 100 µm."""
    chip = Chip(11.0, 5.0, 2.0, 0.1, 0.1, 1, "lip")
    found, asked = short_edge(monkeypatch, measured("soft_focus", share=0.9, chips=(chip,)))
    assert asked["shape"] == (300, 80)
    assert asked["origin"] == [7, 49]
    assert asked["excluded"] == [pytest.approx((0.0, 50.0))]
    assert found.share_measured == pytest.approx(0.36)
    assert_allclose(found.position_um, [101, 105])
    assert found.chips[0].position_um == pytest.approx(111)
    assert told(found)[1] == ["soft_focus", "partly_measured"]
    assert found.doubts[1].where.value == pytest.approx(0.36)
    _, asked = short_edge(monkeypatch, measured(), upright=True)
    assert (asked["shape"], asked["origin"]) == ((80, 400), [47, 9])


@pytest.mark.parametrize(
    ("result", "seen"),
    [
        (measured(share=0.6), True),
        (measured(share=0.59), False),
        (measured(snr=15.0), True),
        (measured(snr=14.9), False),
        (measured(width_um=None), False),
        (measured("rounded_land"), False),
        (measured("partly_measured"), True),
    ],
)
def test_a_short_edge_is_whole_and_clear_and_like_one(monkeypatch, result, seen):
    found, _ = short_edge(monkeypatch, result)
    assert (found is not None) == seen
    if seen:
        assert told(found)[1] == ["partly_measured"]


@pytest.mark.parametrize(("last", "code"), [(32, None), (31, "too_short")])
def test_a_short_edge_is_an_eighth_of_the_picture(monkeypatch, last, code):
    """0.12 of a hundred places."""
    found, _ = short_edge(monkeypatch, measured(), first=20, last=last, factor=3)
    assert told(found)[1] == ["partly_measured" if code is None else code]


def test_a_stretch_of_24_pixels_is_the_shortest(monkeypatch):
    assert short_edge(monkeypatch, measured(), first=5, last=17, length=40)[0] is not None
    found, asked = short_edge(monkeypatch, measured(), first=5, last=16, length=40)
    assert found is None
    assert not asked


def band_of(used, *, saturated=False):
    track = SimpleNamespace(s=np.arange(COUNT) + 0.5)
    return FoundBand(SimpleNamespace(track=track, saturated=saturated), used, None, False)


def gone_through(monkeypatch, *, excluded=(), narrow=False, saturated=False, corrected="corrected"):
    """What `_measured` asks for of a band of 40 places that all count."""
    band = band_of(np.ones(COUNT, bool), saturated=saturated)
    monkeypatch.setattr(edge_width, "_find", lambda grey, blur: (band, None))
    monkeypatch.setattr(edge_width, "is_narrow", lambda sides, used: narrow)
    monkeypatch.setattr(edge_width, "_without_damage", lambda grey, band, scale: band)
    monkeypatch.setattr(edge_width, "overexposed_width", lambda *rest: corrected)
    monkeypatch.setattr(edge_width, "width_pooled", lambda grey, band, *rest: ("pooled", band))
    monkeypatch.setattr(edge_width, "width_along", lambda grey, band, *rest: ("along", band))
    return _measured(None, SETUP, NONE, excluded)


def test_a_band_is_pooled_corrected_or_measured_along(monkeypatch):
    assert gone_through(monkeypatch)[0] == "along"
    assert gone_through(monkeypatch, narrow=True)[0] == "pooled"
    assert told(gone_through(monkeypatch, narrow=True, saturated=True))[1] == ["saturated"]
    way, band = gone_through(monkeypatch, saturated=True)
    assert (way, band.sides) == ("along", "corrected")
    found = gone_through(monkeypatch, saturated=True, corrected=None)
    assert told(found)[1] == ["saturated"]
    monkeypatch.setattr(edge_width, "_find", lambda grey, blur: (None, doubt("too_dark")))
    assert told(_measured(None, SETUP, NONE, ()))[1] == ["too_dark"]


def test_what_is_struck_out_does_not_count(monkeypatch):
    """Places at 1, 3, 5 ... µm: from 3 to 7 three of them, and twelve must be left."""
    _, band = gone_through(monkeypatch, excluded=[(3.0, 7.0), (70.0, 90.0)])
    assert np.flatnonzero(~band.used).tolist() == [1, 2, 3, 35, 36, 37, 38, 39]
    assert gone_through(monkeypatch, excluded=[(0.0, 55.5)])[1].used.sum() == 12
    assert told(gone_through(monkeypatch, excluded=[(0.0, 57.5)]))[1] == ["too_short"]


def damaged(monkeypatch, struck, hidden, used=COUNT):
    taken = [np.isin(np.arange(COUNT), list(places)) for places in (struck, hidden)]
    chip = Chip(11.0, 5.0, 2.0, 0.1, 0.1, 1, "lip")
    monkeypatch.setattr(edge_width, "shows_band", lambda sides: None)
    monkeypatch.setattr(edge_width, "find_damage", lambda *rest: ([chip], *taken))
    band = _without_damage(None, band_of(np.arange(COUNT) < used), 2.0)
    assert band.chips == (chip,)
    return np.flatnonzero(~band.used).tolist(), band.struck.sum()


def test_damage_takes_up_places_as_long_as_twelve_are_left(monkeypatch):
    assert damaged(monkeypatch, [3, 4], [9]) == ([3, 4, 9], 2)
    # 28 of 40 struck, or struck and hidden: twelve are left.
    assert damaged(monkeypatch, range(28), [])[1] == 28
    assert damaged(monkeypatch, range(20), range(20, 28)) == (list(range(28)), 20)
    # One more: what is hidden is let be, and if that does not do, what is struck.
    assert damaged(monkeypatch, range(20), range(20, 29)) == (list(range(20)), 20)
    assert damaged(monkeypatch, range(29), []) == ([], 0)
    assert damaged(monkeypatch, range(29), [35]) == ([], 0)


def found_in(monkeypatch, low, middle, high, *, land=0.5):
    """The reason of a picture whose light has such percentiles."""
    small = np.full((40, 50), middle, np.float32)
    small.flat[:40], small.flat[-40:] = low, high
    context = SimpleNamespace(left=1.0, right=2.0, land=land)
    band = SimpleNamespace(strength=np.ones(9), upright=False)
    monkeypatch.setattr(edge_width, "ridges", lambda small: ([], [], []))
    monkeypatch.setattr(edge_width, "strongest_possible", lambda dark: 0.0)
    monkeypatch.setattr(edge_width, "find_band", lambda *rest: band)
    monkeypatch.setattr(edge_width, "look_around", lambda *rest: context)
    monkeypatch.setattr(edge_width, "fit_sides", lambda *rest, **more: "sides")
    monkeypatch.setattr(edge_width, "too_narrow", lambda sides: False)
    monkeypatch.setattr(edge_width, "usable", lambda sides: "used")
    monkeypatch.setattr(edge_width, "objection", lambda *rest: None)
    monkeypatch.setattr(edge_width, "plainer_reason", lambda reason, sight: reason.code)
    return _find(small, None)[1]


def test_light_too_low_or_too_even_shows_no_edge(monkeypatch):
    assert found_in(monkeypatch, 0.0, 0.001, 0.0039) == "too_dark"
    assert found_in(monkeypatch, 0.0, 0.001, 0.0041) is None
    # 0.02 of the brightest and 0.002: 0.012 of 0.5.
    assert found_in(monkeypatch, 0.4885, 0.49, 0.5) == "no_contrast"
    assert found_in(monkeypatch, 0.4875, 0.49, 0.5) is None


@pytest.mark.parametrize(("land", "reason"), [(0.081, None), (0.079, "no_band")])
def test_a_land_has_a_tenth_of_the_brightest_light(monkeypatch, land, reason):
    assert found_in(monkeypatch, 0.0, 0.1, 0.8, land=land) == reason


@pytest.mark.parametrize(("darkest", "asked"), [(1.26, True), (1.24, False)])
def test_a_dark_band_is_looked_for_where_one_may_outshine_the_bright(monkeypatch, darkest, asked):
    seen = []
    found_in(monkeypatch, 0.0, 0.1, 0.8)
    monkeypatch.setattr(edge_width, "strongest_possible", lambda dark: darkest)
    monkeypatch.setattr(edge_width, "objection", lambda *rest: seen.append(rest[-1][1]) or None)
    _find(np.linspace(0, 1, 900).reshape(30, 30).astype(np.float32), None)
    assert (seen[0] is not None) == asked


def test_a_land_too_narrow_to_fit_is_held(monkeypatch):
    held = []
    found_in(monkeypatch, 0.0, 0.1, 0.8)
    monkeypatch.setattr(edge_width, "too_narrow", lambda sides: True)
    monkeypatch.setattr(edge_width, "fit_sides", lambda *rest, **more: held.append(more) or "sides")
    band, reason = _find(np.linspace(0, 1, 900).reshape(30, 30).astype(np.float32), 1.5)
    assert reason is None
    assert held == [{"blur_px": 1.5}, {"blur_px": 1.5, "held": True}]
    assert (band.sides, band.used) == ("sides", "used")
    assert replace(band, chips=()).struck is None
