"""What speaks against a land, rule by rule: both sides of every limit, on made-up sides."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex import refusal_rules as rules
from edgetest.photo.apex.first_guess import Context
from edgetest.photo.apex.refusal_rules import bands_beside, is_ruled

COUNT = 40


def context(land=0.7, below=0.1, above=0.1, bands=(), *, step=1.0, spread=1e-3, **rest):
    x = step * np.arange(-150.0, 151)
    profile = 0.1 + 0.6 * (np.abs(x) <= 8)
    for place, height, half in bands:
        profile = np.maximum(profile, 0.1 + 0.6 * height * (np.abs(x - place) <= half))
    values = {"elsewhere": 0.0, "beside": 0.0} | rest
    return Context(x, profile, np.ones(x.size), -8.5, 8.5, land, below, above,
                   np.full(x.size, spread), **values)  # fmt: skip


def sides_of(count=COUNT, **changed):
    """Sides of an even land without noise."""
    flat = np.ones(count)
    values = {
        "left": -10 * flat,
        "right": 10 * flat,
        "width_px": 20 * flat,
        "land": 0.7 * flat,
        "below": 0.1 * flat,
        "above": 0.2 * flat,
        "blur_px": 1.5 * flat,
        "stderr_px": 0.0 * flat,
        "misfit": 0.02 * flat,
        "contrast": 0.5 * flat,
        "residual": np.zeros((count, 30)),
        "block": 1,
    }
    return SimpleNamespace(**(values | changed))


ALL = np.ones(COUNT, bool)


def path(strength, reward=0.8):
    return SimpleNamespace(strength=np.asarray(strength, dtype=float), reward=reward)


def test_a_spread_is_robust():
    assert rules._spread(np.array([1.0, 2, 3, 4, 90])) == pytest.approx(1.4826)
    assert rules._spread(np.full(5, 3.0)) == 0


@pytest.mark.parametrize(
    ("strength", "reward", "wins"),
    [(1.26, 0.8, True), (1.25, 0.8, False), (1.24, 0.8, False), (2, 0.55, False), (2, 0.56, True)],
)
def test_a_dark_path_outshines_from_a_quarter_more_on(strength, reward, wins):
    bright = path(np.r_[np.zeros(6), np.ones(4)])
    dark = path(np.r_[np.zeros(6), np.full(4, strength)], reward)
    assert rules._outshone(bright, dark) == wins
    assert not rules._outshone(bright, None)


def test_the_upper_quarter_of_a_path_speaks_for_it():
    rising = np.linspace(0, 1, 101)
    assert rules._outshone(path(0.59 * np.ones(9)), path(rising))  # 0.75 there
    assert not rules._outshone(path(0.61 * np.ones(9)), path(rising))


def test_grounds_are_told_by_contrast():
    assert rules._grounds(context(0.7, 0.1, 0.3)) == pytest.approx((0.6, 0.4))
    assert rules._grounds(context(0.7, 0.3, 0.1)) == pytest.approx((0.6, 0.4))
    assert rules._grounds(context(0.1, 0.2, 0.3)) == pytest.approx((1e-9, -0.2))


@pytest.mark.parametrize(("above", "one"), [(0.549, False), (0.551, True)])
def test_a_ground_within_a_quarter_of_the_contrast_makes_a_land_one_sided(above, one):
    """0.7 over 0.1: 0.15 is a quarter."""
    for turned in (False, True):
        grounds = {"below": np.full(COUNT, 0.1), "above": np.full(COUNT, above)}
        if turned:
            grounds = {"below": grounds["above"], "above": grounds["below"]}
        assert rules._one_sided(sides_of(**grounds), ALL) == one


def light(context, sides=None, used=ALL, *, narrow=False, dark_wins=False):
    return rules._against_its_light(context, sides or sides_of(), used, narrow, dark_wins)


def test_a_land_against_its_light():
    even, uneven = context(0.7, 0.1, 0.2), context(0.7, 0.1, 0.551)
    assert light(even) is None
    assert light(context(0.7, 0.1, 0.549)) is None
    assert light(uneven) == "land_fills_frame"
    # Of a narrow land the picture at full resolution has to say so too.
    assert light(uneven, narrow=True) is None
    bright = sides_of(above=np.full(COUNT, 0.6))
    assert light(uneven, bright, narrow=True) == "land_fills_frame"


@pytest.mark.parametrize(("contrast", "code"), [(0.295, None), (0.293, "no_contrast")])
def test_a_contrast_of_two_fifths_of_the_light_is_asked_for(contrast, code):
    """0.42 of 0.7 is 0.294."""
    assert light(context(0.7, 0.1, 0.2), sides_of(contrast=np.full(COUNT, contrast))) == code


def test_a_dark_path_wins_where_the_land_fits_badly_is_one_sided_or_half_there():
    even, uneven = context(0.7, 0.1, 0.2), context(0.7, 0.1, 0.6)
    assert light(even, dark_wins=True) is None
    assert light(even, sides_of(misfit=np.full(COUNT, 0.061)), dark_wins=True) == "inverted"
    assert light(even, sides_of(misfit=np.full(COUNT, 0.060)), dark_wins=True) is None
    assert light(uneven, dark_wins=True) == "inverted"
    half = np.arange(COUNT) < COUNT // 2
    assert light(even, used=half, dark_wins=True) is None
    assert light(even, used=np.arange(COUNT) < COUNT // 2 - 1, dark_wins=True) == "inverted"


def test_another_band_or_light_elsewhere_is_told():
    assert rules._also_bright(context(), [(40, 0.36)]) == "two_bands"
    assert rules._also_bright(context(), [(40, 0.35)]) is None
    assert rules._also_bright(context(beside=0.51), []) == "two_bands"
    assert rules._also_bright(context(beside=0.5), []) is None
    assert rules._also_bright(context(elsewhere=0.0151), []) == "no_band"
    assert rules._also_bright(context(elsewhere=0.015), []) is None


@pytest.mark.parametrize(
    ("places", "ruled"),
    [
        # Spacings 40, 40 and d: deviation of the median from it, 1.4826 times, over 40.
        ([-40, 40, 80], True),
        ([-40, 52, 99], True),  # 40, 52, 47: five of 47
        ([-40, 60, 140], False),  # 40, 60, 80: twenty of 60
    ],
)
def test_lines_are_even_to_three_tenths(places, ruled):
    heights = [0.3, 0.6, 0.9]
    assert is_ruled(list(zip(places, heights, strict=True))) == ruled


@pytest.mark.parametrize(("unlike", "ruled"), [(0.035, True), (0.038, False)])
def test_or_alike_in_light_to_a_ninth(unlike, ruled):
    """0.5 and twice as far off by so much: 1.4826 of it over 0.5."""
    beside = [(-40, 0.5 - unlike), (60, 0.5), (140, 0.5 + unlike)]
    assert is_ruled(beside) == ruled


def test_three_lines_are_a_ruling_and_two_are_none():
    assert is_ruled([(-40, 0.5), (40, 0.5), (80, 0.5)])
    assert not is_ruled([(-40, 0.5), (40, 0.5)])
    assert not is_ruled([])


def test_a_valley_goes_on_until_something_higher():
    profile = np.array([0.9, 0.2, 0.5, 0.1, 0.4, 0.3, 0.6])
    assert rules._valley(profile, 4, -1) == 0.1  # to 0.5, which is higher
    assert rules._valley(profile, 2, -1) == 0.2
    assert rules._valley(profile, 4, 1) == 0.3
    assert rules._valley(profile, 6, -1) == 0.1
    assert rules._valley(profile, 6, 1) == 0.6  # nothing beyond the end
    assert rules._valley(profile, 0, 1) == 0.1


@pytest.mark.parametrize(("place", "found"), [(13, False), (14, True)])
def test_a_band_within_seven_tenths_of_the_width_is_the_lands_own(place, found):
    """0.7 of 17 px and a step: 12.9 px."""
    x = np.arange(-150.0, 151)
    one = context()
    one.profile[:] = 0.1 + 0.6 * (np.abs(x) <= 6) + 0.3 * (x == place) + 0.2 * (x == place + 0)
    assert bool(bands_beside(one)) == (found or abs(place) >= 12.9)


def test_a_band_wider_than_four_lands_is_none():
    """4 * 17 + 20 = 88 px between its halves."""
    assert len(bands_beside(context(bands=[(80, 0.5, 42)]))) == 1
    assert bands_beside(context(bands=[(80, 0.5, 46)])) == []


def test_bands_are_told_in_pixels_of_the_picture():
    fine = bands_beside(context(bands=[(-60, 0.5, 4)]))
    coarse = bands_beside(context(bands=[(-60, 0.5, 4)], step=2.0))
    assert_allclose(fine[0], (-60, 0.5), atol=4.1)
    assert_allclose(coarse[0][0], -60, atol=6.1)
    dark = context(0.7, 0.4, 0.1, bands=[(60, 0.5, 4)])  # against the darker ground
    assert bands_beside(dark)[0][1] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(("spread", "found"), [(0.05, 1), (0.07, 0)])
def test_a_band_stands_out_by_five_times_its_scatter(spread, found):
    """Half of 0.6, that is 0.3: five times 0.06."""
    assert len(bands_beside(context(bands=[(60, 0.5, 4)], spread=spread))) == found


def test_a_longest_run_is_counted():
    assert rules._longest(np.array([1, 1, 0, 1, 1, 1, 0], bool)) == 3
    assert rules._longest(np.ones(5, bool)) == 5


def runs_on(share, varies, *, broken=False, most=0.42):
    """Sides of which a share is used, with a width whose spread is half of `varies`."""
    used = np.arange(100) < round(100 * share)
    if broken:
        used = np.roll(used, 5) & (np.arange(100) % 10 != 9)
    width = 20 + 20 * varies / 2 / 1.4826 * np.where(np.arange(100) % 2, 1, -1)
    return rules._runs_on(sides_of(100, width_px=width), used, most)


def test_a_band_runs_on_through_most_of_the_picture_or_unbroken():
    assert runs_on(1.0, 0.41)
    assert not runs_on(1.0, 0.43)
    assert runs_on(0.8, 0.21, broken=False)
    assert runs_on(0.3, 0.41)  # unbroken through less of it
    assert not runs_on(0.3, 0.43)
    assert runs_on(0.15, 0.1)
    assert not runs_on(0.14, 0.1)
    assert not runs_on(0.5, 0.1, broken=True)
    assert runs_on(0.75, 0.1, broken=True)  # 0.68 is left of it: 0.32 and 0.1


def test_misfit_that_goes_on_from_place_to_place_is_structure():
    shared = np.tile(0.05 * np.where(np.arange(30) % 2, 1, -1), (COUNT, 1))
    some = np.arange(COUNT) < COUNT // 2
    found = rules.structure(sides_of(residual=shared), some)
    assert found == pytest.approx(0.05 / 0.5)
    # Through more of the picture it is the shape of land and lens, and does not count.
    assert rules.structure(sides_of(residual=shared), ALL) == pytest.approx(0, abs=1e-9)
    most = np.arange(COUNT) < 0.6 * COUNT
    assert rules.structure(sides_of(residual=shared), most) == pytest.approx(0.1)
    alternating = shared * np.where(np.arange(COUNT) % 2, 1, -1)[:, None]
    assert rules.structure(sides_of(residual=alternating), some) == 0
    single = np.arange(COUNT) % 2 == 0
    assert rules.structure(sides_of(residual=shared), single) == 1.0


def test_a_shape_that_all_places_share_is_told_less_what_noise_makes_of_it():
    shared = np.tile(0.05 * np.where(np.arange(30) % 2, 1, -1), (COUNT, 1))
    assert rules.shape_misfit(sides_of(residual=shared), ALL) == pytest.approx(0.1)
    rng = np.random.default_rng(1)
    noisy = shared + 0.1 * rng.standard_normal(shared.shape)
    square = (noisy.mean(axis=0) ** 2).mean() - noisy.var(axis=0).mean() / COUNT
    found = rules.shape_misfit(sides_of(residual=noisy), ALL)
    assert found == pytest.approx(np.sqrt(square) / 0.5)
    assert found == pytest.approx(0.1, rel=0.1)
    alone = rules.shape_misfit(sides_of(residual=0.1 * rng.standard_normal((COUNT, 30))), ALL)
    assert alone < 0.015


def test_land_over_ground_is_told_in_their_spread():
    """Land by turns 0.65 and 0.75, grounds by 0.02: the nearer ground is 0.5 below."""
    turns = np.where(np.arange(COUNT) % 2, 1, -1)
    one = sides_of(land=0.7 + 0.05 * turns, below=0.1 + 0.02 * turns, above=0.2 + 0.02 * turns)
    spread = 1.4826 * np.hypot(0.05, 0.02) / np.sqrt(2)
    assert rules.over_ground(one, ALL) == pytest.approx(0.5 / spread, rel=1e-3)


def test_a_narrow_land_is_even_in_light_and_place():
    turns = np.where(np.arange(COUNT) % 2, 1, -1)
    assert rules._even(sides_of(), ALL)
    assert rules._even(sides_of(contrast=0.5 * (1 + 0.21 * turns)), ALL)
    assert not rules._even(sides_of(contrast=0.5 * (1 + 0.23 * turns)), ALL)
    # 1.4826 times the deviation over the blur of 1.5 px, at 0.09: 0.091 px.
    for off, even in ((0.085, True), (0.097, False)):
        moved = sides_of(left=-10 + off * turns, right=10 + off * turns)
        assert rules._even(moved, ALL) == even
    half = np.arange(COUNT) < COUNT // 2
    shared = np.tile(np.where(np.arange(30) % 2, 1, -1), (COUNT, 1))
    for size, even in ((0.012, True), (0.013, False)):
        assert rules._even(sides_of(residual=size * shared), half) == even


def test_a_land_is_steady_in_width():
    turns = np.where(np.arange(COUNT) % 2, 1, -1)
    assert rules._steady(sides_of(), ALL)
    # Jumps of 0.004 * 20 + 0.08 = 0.16 px, and three standard errors more.
    assert rules._steady(sides_of(width_px=20 + 0.079 * turns), ALL)
    assert not rules._steady(sides_of(width_px=20 + 0.081 * turns), ALL)
    noisy = np.full(COUNT, 0.1)
    assert rules._steady(sides_of(width_px=20 + 0.229 * turns, stderr_px=noisy), ALL)
    assert not rules._steady(sides_of(width_px=20 + 0.231 * turns, stderr_px=noisy), ALL)
    # A spread of 0.06 of the width about its line, whatever the noise.
    loud = np.full(COUNT, 9.0)
    assert rules._steady(sides_of(width_px=20 + 0.80 * turns, stderr_px=loud), ALL)
    assert not rules._steady(sides_of(width_px=20 + 0.83 * turns, stderr_px=loud), ALL)


@pytest.mark.parametrize(("length", "steady"), [(6, False), (7, True)])
def test_six_pairs_of_neighbours_are_the_fewest(length, steady):
    used = np.arange(COUNT) < length
    assert rules._steady(sides_of(), used) == steady


def test_a_run_of_an_eighth_or_most_places_is_asked_for():
    used = np.arange(200) % 10 < 5
    assert not rules._steady(sides_of(200), used)  # runs of five
    used[100:124] = True
    assert rules._steady(sides_of(200), used)  # 0.12 of 200 is 24
    used[123] = False
    assert not rules._steady(sides_of(200), used)
    most = np.arange(200) % 10 < 7
    assert rules._steady(sides_of(200), most)


def test_a_land_against_its_course():
    assert rules._against_its_course(sides_of(), ALL, False) is None
    poor = sides_of(misfit=np.full(COUNT, 0.101))
    assert rules._against_its_course(poor, ALL, False) == "no_band"
    assert rules._against_its_course(sides_of(misfit=np.full(COUNT, 0.1)), ALL, False) is None
    # Of a few places that fit, glints; of a few that do not, nothing.
    few = np.arange(COUNT) % 4 == 0
    assert rules._against_its_course(sides_of(), few, False) == "glints_only"
    assert rules._against_its_course(poor, few, False) == "no_band"
    third = np.arange(COUNT) % 10 < 3
    assert rules._against_its_course(sides_of(), third, False) == "no_band"


def code(one, sides, used=ALL, paths=None):
    found = rules.objection(one, sides, used, paths or (path(np.ones(9)), None))
    return None if found is None else found.code


def test_objections_in_their_order(monkeypatch):
    monkeypatch.setattr(rules, "is_narrow", lambda sides, used: False)
    assert code(context(), sides_of()) is None
    assert code(context(), None) == "land_fills_frame"
    assert code(context(spread=0.2), None) == "no_band"  # not certain
    none = context()
    sideless = Context(none.x, none.profile, none.seen, None, None, 0.7, 0.1, 0.1, none.spread, 0.0)
    assert code(sideless, None) == "no_band"
    ruled = context(bands=[(-60, 0.5, 4), (60, 0.5, 4), (120, 0.5, 4)])
    assert code(ruled, sides_of()) == "ruling"
    assert code(context(bands=[(60, 0.5, 4)]), sides_of()) == "two_bands"
    eleven = np.arange(COUNT) < 11
    assert code(context(), sides_of(), eleven) == "no_band"
    assert code(context(), sides_of(), np.arange(COUNT) < 12) is None
    dark = path(2 * np.ones(9))
    assert code(context(), sides_of(), eleven, (path(np.ones(9)), dark)) == "inverted"
