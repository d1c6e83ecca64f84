"""Back-lit silhouettes: chips and rolls against rendered truth, and what is refused."""

import json

import cv2
import numpy as np
import pytest

from edgetest.photo.linear_light import linear_light, srgb_decode
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

DAMAGE = (
    {"position": 0.2, "length_px": 40, "depth_px": 12, "shape": "notch"},
    {"position": 0.45, "length_px": 28, "depth_px": 6, "shape": "round"},
    {"position": 0.7, "length_px": 44, "depth_px": -8, "shape": "dent"},
)


def photograph(seed=1, **options):
    settings = {"shape": (420, 640), "damage": DAMAGE, "rng": np.random.default_rng(seed)}
    picture, truth = render_profile(**settings | options)
    return srgb_decode(picture / np.float32(255)), truth


def assert_found(result, truth, *, rel=0.06):
    assert result.status == "measured"
    for kind in ("chips", "rolls"):
        found, true = getattr(result, kind), truth[kind]
        assert len(found) == len(true)
        for got, want in zip(found, true, strict=True):
            assert got.position_um == pytest.approx(want["position_um"], abs=12)
            assert got.depth_um == pytest.approx(want["depth_um"], rel=rel)
            assert got.area_um2 == pytest.approx(want["area_um2"], rel=0.08)
            assert got.length_um == pytest.approx(want["length_um"], rel=0.12)
            assert abs(got.depth_um - want["depth_um"]) < 3 * got.depth_u_um


@pytest.mark.parametrize("side", ["bottom", "top", "left", "right"])
def test_damage_is_found_whichever_side_the_blade_comes_from(side):
    grey, truth = photograph(side=side, tilt_deg=6)
    result = measure_profile(linear(grey), truth["um_per_px"])
    assert_found(result, truth)
    assert result.edge_length_um == pytest.approx(truth["edge_length_um"], rel=0.01)
    assert result.blur_px == pytest.approx(1.3, rel=0.12)


@pytest.mark.parametrize(
    "options",
    [
        {"curve": 0.08, "recurve": 0.03},
        {"tilt_deg": -25},
        {"uneven": 0.4, "dust": 20, "noise": 0.03},
        {"blur_px": 2.2},
    ],
)
def test_curved_tilted_uneven_and_soft_edges(options):
    grey, truth = photograph(**options)
    assert_found(measure_profile(linear(grey), truth["um_per_px"]), truth, rel=0.1)


def test_bright_blade_when_told():
    grey, truth = photograph(inverse=True)
    assert_found(measure_profile(linear(grey), truth["um_per_px"], blade="bright"), truth)


def test_a_bright_blade_that_nobody_told_of_is_noticed():
    grey, _ = photograph(inverse=True, tip=True)
    assert measure_profile(linear(grey), 2.0).reasons[0].code == "bright_blade_untold"
    assert measure_profile(linear(grey), 2.0, blade="bright").status == "measured"
    grey, _ = photograph(inverse=True, damage=DAMAGE[:2])
    codes = [reason.code for reason in measure_profile(linear(grey), 2.0).doubts]
    assert "more_rolls_than_chips" in codes
    right = measure_profile(linear(grey), 2.0, blade="bright")
    assert "more_rolls_than_chips" not in [reason.code for reason in right.doubts]


def test_a_roll_shaped_like_a_speck_of_dust_is_said_to_be_doubtful():
    ball = {"position": 0.5, "length_px": 5, "depth_px": -4, "shape": "round"}
    broad = {"position": 0.5, "length_px": 8, "depth_px": -3, "shape": "round"}
    codes = [
        [
            reason.code
            for reason in measure_profile(linear(photograph(damage=(roll,))[0]), 2.0).doubts
        ]
        for roll in (ball, broad, DAMAGE[2])
    ]
    assert "speck_or_roll" in codes[0]
    assert "speck_or_roll" not in codes[1] + codes[2]


def test_a_speck_that_lets_light_by_is_no_roll():
    grey, _ = photograph(damage=(), curve=0.0, tilt_deg=0.0)
    bright = grey > grey.mean()
    edge = int(np.flatnonzero(bright[:, 320] != bright[0, 320])[0])
    outward = -1 if bright[0, 320] else 1
    row, col = np.mgrid[: grey.shape[0], : grey.shape[1]]
    disc = np.hypot(row - (edge + 3 * outward), col - 320) < 5
    veil = cv2.GaussianBlur(1 - 0.6 * disc.astype(np.float32), (0, 0), 1.3)
    result = measure_profile(linear(grey * veil), 2.0)
    assert result.rolls == ()
    assert "specks_left_out" in [reason.code for reason in result.doubts]


def test_sound_edge_has_no_damage():
    grey, truth = photograph(damage=(), curve=0.1, roughness_px=0.2)
    result = measure_profile(linear(grey), truth["um_per_px"])
    assert result.status == "measured"
    assert result.chips == result.rolls == ()
    assert "no chip" in result.summary()


def test_tip_and_border_are_not_damage():
    grey, truth = photograph(damage=DAMAGE[:1], tip=True)
    result = measure_profile(linear(grey), truth["um_per_px"])
    assert len(result.chips) == 1
    assert not result.rolls
    assert result.chips[0].depth_um == pytest.approx(24, rel=0.06)
    cut = {"position": 0.005, "length_px": 60, "depth_px": 12, "shape": "bowl"}
    grey, truth = photograph(damage=(cut,))
    result = measure_profile(linear(grey), truth["um_per_px"])
    assert not result.chips
    assert "damaged_at_border" in [reason.code for reason in result.doubts]


def test_scale_and_its_uncertainty_go_into_every_length():
    grey, _ = photograph()
    one, two = (
        measure_profile(linear(grey), 1.0),
        measure_profile(linear(grey), 2.0, scale_relative_u=0.02),
    )
    assert two.chips[0].depth_um == pytest.approx(2 * one.chips[0].depth_um)
    assert two.chips[0].area_um2 == pytest.approx(4 * one.chips[0].area_um2)
    assert two.chips[0].depth_u_um > 0.02 * two.chips[0].depth_um


def test_region_keeps_original_coordinates():
    grey, truth = photograph(damage=DAMAGE[1:2])
    whole = measure_profile(linear(grey), 2.0)
    part = measure_profile(linear(grey), 2.0, region=(100, 100, 420, 600))
    assert len(part.chips) == 1
    row = np.interp(300, part.contour_rc[:, 1], part.contour_rc[:, 0])
    assert row == pytest.approx(np.interp(300, *whole.contour_rc[:, ::-1].T), abs=0.1)
    assert truth["chips"][0]["depth_um"] == pytest.approx(part.chips[0].depth_um, rel=0.06)


@pytest.mark.parametrize(
    ("grey", "code"),
    [
        (np.zeros((1, 1), np.float32), "too_small"),
        (np.zeros((200, 300), np.float32), "too_dark"),
        (np.full((200, 300), 0.5, np.float32), "no_contrast"),
        (np.random.default_rng(0).uniform(size=(200, 300)), "no_contrast"),
        (np.tile(np.linspace(0, 1, 300), (200, 1)), "no_contrast"),
    ],
)
def test_refuses_what_is_no_silhouette(grey, code):
    result = measure_profile(linear(grey), 1.0)
    assert result.status == "refused"
    assert [reason.code for reason in result.reasons] == [code]


def test_refuses_an_outline_out_of_focus_or_without_scale():
    grey, _ = photograph(blur_px=14.0)
    assert measure_profile(linear(grey), 2.0).reasons[0].code == "out_of_focus"
    assert measure_profile(linear(grey), None).reasons[0].code == "no_scale"


def test_json_is_plain():
    grey, _ = photograph()
    result = measure_profile(linear(grey), 2.0, scale_relative_u=0.001)
    values = json.loads(json.dumps(result.to_dict(), allow_nan=False))
    assert values["scale"] == {"um_per_px": 2.0, "relative_u": 0.001}
    assert {"position_um", "length_um", "depth_um", "area_um2"} <= set(values["chips"][0])
    assert list(result.to_frame()["kind"]) == ["chip", "chip", "roll"]


def blobs(rng):
    """Dark and bright patches of any form, as cast shadows are."""
    field = cv2.GaussianBlur(rng.normal(size=(480, 640)), (0, 0), float(rng.uniform(12, 60)))
    light = np.where(field > 0, 0.8, 0.02)
    return cv2.GaussianBlur(light.astype(np.float32), (0, 0), 1.2)


def coin(rng):
    """A dark disc, in the picture or running out of it."""
    light = np.full((480, 640), 0.8, np.float32)
    cv2.circle(light, (int(rng.uniform(0, 640)), int(rng.uniform(0, 480))),
               int(rng.uniform(60, 180)), 0.02, -1)  # fmt: skip
    return cv2.GaussianBlur(light, (0, 0), 1.2)


@pytest.mark.slow
@pytest.mark.parametrize("subject", [blobs, coin])
def test_patches_and_discs_are_no_edges(subject):
    rng = np.random.default_rng(1)
    found = [measure_profile(linear(subject(rng)), 2.0) for _ in range(12)]
    taken = [one for one in found if one.status == "measured"]
    assert len(taken) <= 1
    codes = {one.reasons[0].code for one in found if one.status == "refused"}
    assert codes <= {"no_edge", "not_a_silhouette"}


@pytest.mark.parametrize("bright", [False, True])
@pytest.mark.parametrize("pitch_px", [12, 40, 80])
def test_a_stage_micrometer_is_called_one(pitch_px, bright):
    picture, _ = render_ruling(
        shape=(480, 640), um_per_px=10 / pitch_px, lines=51, line_share=0.4, bright=bright,
        line_length_px=300, rotation_deg=8.0, numerals=True,
    )  # fmt: skip
    light = linear_light(picture, "srgb")
    assert [one.code for one in measure_profile(light, 2.0).reasons] == ["ruling"]


def shone_on(grey, places, *, radius=7.0, light=0.45, below=0.4):
    """The picture with bright spots on the bevel, whose light is not the ground's."""
    bright = grey > grey.mean()
    row, col = np.mgrid[: grey.shape[0], : grey.shape[1]]
    for place in places:
        edge = int(np.flatnonzero(bright[:, place] != bright[0, place])[0])
        inward = 1 if bright[0, place] else -1
        spot = np.hypot(row - (edge + inward * below * radius), col - place) < radius
        soft = cv2.GaussianBlur((spot & ~bright).astype(np.float32), (0, 0), 1.3)
        grey = grey * (1 - soft) + light * soft
    return grey


def test_glints_that_touch_the_edge_are_no_chips():
    grey, truth = photograph(damage=DAMAGE[:1])
    result = measure_profile(linear(shone_on(grey, (300, 420, 560))), 2.0)
    assert len(result.chips) == 1
    assert result.chips[0].depth_um == pytest.approx(truth["chips"][0]["depth_um"], rel=0.06)
    assert len(result.unsure) == 3
    assert [find.depth_low_um for find in result.unsure] == [0.0] * 3
    assert "glint_or_chip" in [one.code for one in result.doubts]
    assert "3 places unsure" in result.summary()


def test_what_stands_out_steeply_and_dark_may_be_dust_and_is_not_counted():
    grain = {"position": 0.5, "length_px": 24, "depth_px": -12, "shape": "round"}
    low = {"position": 0.5, "length_px": 48, "depth_px": -8, "shape": "dent"}
    for roll, kinds in ((grain, ["unsure"]), (low, ["roll"])):
        result = measure_profile(linear(photograph(damage=(roll,))[0]), 2.0)
        assert [find.kind for find in (*result.rolls, *result.unsure)] == kinds
    values = measure_profile(linear(photograph(damage=(grain,))[0]), 2.0).to_dict()
    assert values["rolls"] == []
    assert values["unsure"][0]["could_be"] == "a roll, or dust"
    assert values["unsure"][0]["depth_low_um"] < 24 < values["unsure"][0]["depth_high_um"]


def test_the_arrays_say_where_the_outline_can_be_trusted():
    grey, _ = photograph(damage=DAMAGE[:1])
    result = measure_profile(linear(shone_on(grey, (420,))), 2.0)
    size = result.position_um.size
    assert {len(a) for a in (result.departure_u_um, result.sound, result.valid)} == {size}
    at = np.searchsorted(result.position_um, [2 * 128, 2 * 420, 2 * 540])
    assert list(result.sound[at]) == [False, False, True]
    assert list(result.valid[at]) == [True, False, True]
    assert np.all((result.departure_u_um > 0) & (result.departure_u_um < 2.0))


def told(result):
    return [one.code for one in (*result.reasons, *result.doubts)]


def test_a_sound_tip_is_not_called_damaged_and_a_chip_near_it_is_said_to_end_the_edge():
    sound = measure_profile(linear(photograph(damage=(), tip=True)[0]), 2.0)
    assert "damaged_at_tip" not in told(sound)
    assert sound.measured_share > 0.96
    chip = {"position": 0.94, "length_px": 80, "depth_px": 14, "shape": "notch"}
    cut = measure_profile(linear(photograph(damage=(chip,), tip=True)[0]), 2.0)
    assert "damaged_at_tip" in told(cut)
    assert cut.to_dict()["measured_share"] < 1


def test_another_body_beside_the_blade_is_said_and_the_blade_measured():
    grey, truth = photograph()
    body = grey.copy()
    top = bool(grey[0].mean() > grey[-1].mean())  # the ground's side of the picture
    body[(slice(0, 50) if top else slice(-50, None)), 400:] = grey.min()
    result = measure_profile(linear(cv2.GaussianBlur(body, (0, 0), 0.8)), 2.0)
    assert told(result) == ["second_body"]
    assert len(result.chips) == len(truth["chips"])


@pytest.mark.parametrize("shade", ["corners", "band"])
def test_light_that_falls_off_over_the_ground_hides_no_edge(shade):
    grey, truth = photograph()
    row, col = np.mgrid[-1 : 1 : grey.shape[0] * 1j, -1 : 1 : grey.shape[1] * 1j]
    fall = {
        "corners": 1 - 0.4 * (row**2 + col**2),
        "band": np.where(np.abs(col - 0.2) < 0.15, 0.6, 1.0),
    }[shade]
    result = measure_profile(
        linear((grey * cv2.GaussianBlur(fall, (0, 0), 5)).astype(np.float32)), 2.0
    )
    assert result.status == "measured"
    assert result.measured_share > 0.97
    assert len(result.chips) == len(truth["chips"])


def test_an_edge_half_in_deep_shadow_is_not_said_to_be_whole():
    grey, _ = photograph()
    col = np.linspace(-1, 1, grey.shape[1])
    band = cv2.GaussianBlur(np.where(np.abs(col - 0.2) < 0.15, 0.3, 1.0)[None], (0, 0), 5)
    result = measure_profile(linear((grey * band).astype(np.float32)), 2.0)
    assert "part_of_edge" in told(result)
    assert 0.4 < result.measured_share < 0.6
    assert "% of what the picture shows" in result.summary()
