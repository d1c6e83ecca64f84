"""What a needle tells of lamps and lens: the law of reflection, and mirrors traced one by one."""

import numpy as np
import pytest
from scipy.optimize import brentq

from edgetest.errors import UnusableInput
from edgetest.photo.glints.needle_light import (
    Needle,
    SideSetup,
    check_needle,
    check_setup,
    lamp_sine,
    perspective,
)


class Lines:
    """Two lines so many pixels apart."""

    def __init__(self, spacing_px):
        self.spacing_px = spacing_px


def codes(doubts):
    return [one.code for one in doubts]


def test_scale_and_spacing_give_the_angle_before_what_was_noted():
    """D sin(θ/2) apart: 250 µm at θ = 60° is 125 µm."""
    needle = Needle(250.0)
    by_scale = SideSetup(um_per_px=0.5, lamp_angle_deg=62.0)
    (low, high), doubts = lamp_sine(Lines(250.0), needle, by_scale)
    assert low == high == pytest.approx(0.5)
    assert doubts == ()
    assert codes(lamp_sine(Lines(250.0), needle, SideSetup(um_per_px=0.5, lamp_angle_deg=70))[1])
    assert lamp_sine(Lines(250.0), needle, SideSetup(um_per_px=0.5))[1] == ()
    noted, doubts = lamp_sine(Lines(250.0), needle, SideSetup(lamp_angle_deg=60.0))
    assert noted == (pytest.approx(0.5), pytest.approx(0.5))
    assert doubts == ()
    unsaid, doubts = lamp_sine(Lines(250.0), needle, SideSetup())
    assert unsaid == pytest.approx((np.sin(np.radians(25)), np.sin(np.radians(37.5))))
    assert codes(doubts) == ["lamp_angle_not_noted"]


def test_a_needle_and_a_scale_that_ask_for_impossible_lamps_are_named():
    needle = Needle(250.0)
    for angle, says in (
        (29.0, ["lamps_impossible"]),
        (31.0, []),
        (89.0, []),
        (91.0, ["lamps_impossible"]),
    ):
        spacing = 250.0 * np.sin(np.radians(angle) / 2) / 0.5
        assert codes(lamp_sine(Lines(spacing), needle, SideSetup(um_per_px=0.5))[1]) == says
    sine = np.sin(np.radians(30))
    for off, says in (
        (1.09, []),
        (1.11, ["lamp_angle_contradicts"]),
        (0.89, ["lamp_angle_contradicts"]),
    ):
        spacing = 500 * sine * off
        setup = SideSetup(um_per_px=0.5, lamp_angle_deg=60.0)
        assert codes(lamp_sine(Lines(spacing), needle, setup)[1]) == says


@pytest.mark.parametrize(("lens", "lamp"), [(60.0, 80.0), (40.0, 200.0)])
def test_near_lens_and_lamps_take_off_what_a_traced_ray_loses(lens, lamp):
    """A round mirror of 1 mm: the place whose normal halves the angle from lens to lamp."""
    radius, half = 0.5, np.radians(30.0)

    def seen(lens_mm, lamp_mm):
        source = lamp_mm * np.array([np.sin(2 * half), np.cos(2 * half)])

        def miss(a):
            normal = np.array([np.sin(a), np.cos(a)])
            place = radius * normal - np.array([0.0, radius])
            rays = [end - place for end in (source, np.array([0.0, lens_mm]))]
            rays = [ray / np.hypot(*ray) for ray in rays]
            middle = rays[0] + rays[1]
            return middle[0] * normal[1] - middle[1] * normal[0]

        return radius * np.sin(brentq(miss, 0.01, 1.2))

    lost = 1 - seen(lens, lamp) / seen(1e7, 1e7)
    setup = SideSetup(lens_distance_mm=lens, lamp_distance_mm=lamp)
    found = perspective(1000.0, np.sin(half), setup)
    assert found.relative == pytest.approx(lost, rel=0.15)
    assert found.bound == 0.0


def test_distances_that_nobody_noted_are_a_bound_between_thirty_millimetres_and_far():
    noted = SideSetup(lens_distance_mm=30.0, lamp_distance_mm=30.0)
    whole = perspective(500.0, 0.5, noted).relative
    unsaid = perspective(500.0, 0.5, SideSetup())
    assert unsaid.relative == unsaid.bound == pytest.approx(whole / 2)
    v, half = 0.125, np.radians(30.0)
    assert whole == pytest.approx((1 + np.cos(2 * half)) * v / (2 * np.tan(half)) / 30.0)
    assert perspective(500.0, 0.5, SideSetup(lens_distance_mm=60.0)).bound < unsaid.bound


@pytest.mark.parametrize(
    "needle", [Needle(49.0), Needle(1501.0), Needle(200.0, 50.0), Needle(200.0, -1.0)]
)
def test_what_is_no_needle_is_refused(needle):
    with pytest.raises(UnusableInput, match="needle"):
        check_needle(needle)
    for fine in (None, Needle(50.0, 0.0), Needle(1500.0, 2.0), Needle(200.0, 49.0)):
        check_needle(fine)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"lamp_angle_deg": 29.0}, "lamps at 29°"),
        ({"lamp_angle_deg": 91.0}, "lamps at 91°"),
        ({"turned_deg": 46.0}, "turned by 46°"),
        ({"turned_deg": -1.0}, "turned by -1°"),
        ({"lens_distance_mm": 0.5}, "0.5 mm"),
        ({"lamp_distance_mm": 10001.0}, "10001 mm"),
        ({"direction": "one"}, "shows no two lines"),
    ],
)
def test_what_is_no_set_up_is_refused(given, words):
    with pytest.raises(UnusableInput, match=words):
        check_setup(SideSetup(**given))
    check_setup(SideSetup("ring", lamp_angle_deg=30.0, turned_deg=45.0, lens_distance_mm=1.0))


@pytest.mark.parametrize("angle", [30.0, 90.0])
def test_lamps_may_stand_at_the_ends_of_what_is_possible(angle):
    check_setup(SideSetup(lamp_angle_deg=angle))
    with pytest.raises(UnusableInput, match="lamps at"):
        check_setup(SideSetup(lamp_angle_deg=angle + np.sign(angle - 60)))


@pytest.mark.parametrize(
    ("setup", "fits"),
    [
        ({"turned_deg": 45.0}, True),
        ({"turned_deg": 45.5}, False),
        ({"turned_deg": 0.0}, True),
        ({"turned_deg": -0.5}, False),
        ({"lens_distance_mm": 1.0}, True),
        ({"lens_distance_mm": 0.9}, False),
        ({"lamp_distance_mm": 10_000.0}, True),
        ({"lamp_distance_mm": 10_001.0}, False),
    ],
)
def test_turns_and_distances_may_be_such(setup, fits):
    if fits:
        check_setup(SideSetup(**setup))
    else:
        with pytest.raises(UnusableInput):
            check_setup(SideSetup(**setup))
