"""What a shot is told, rule by rule, at the limits from both sides."""

import numpy as np
import pytest

from edgetest.photo.apex.shot_check import (
    ShotCheck,
    _angle_deg,
    _light,
    _off_share,
    _place_and_light,
    _sharpness_and_size,
)


@pytest.mark.parametrize(
    ("below", "above", "light"),
    [(0.1, 0.1, "both dark"), (0.1, 0.5, "both dark"), (0.1, 0.51, "one side"),
     (0.51, 0.1, "one side"), (0.9, 0.51, "from all sides"), (0.9, 0.5, "both dark"),
     (0.91, 0.5, "one side"), (0.51, 0.51, "from all sides")],
)  # fmt: skip
def test_bevels_tell_where_the_lamp_is(below, above, light):
    assert _light(below, above) == light


@pytest.mark.parametrize("turn", [-44.0, -10.0, 0.0, 12.5, 44.0, 80.0, 90.0, 130.0])
def test_the_turn_is_from_the_nearer_of_level_and_upright(turn):
    along = np.linspace(-90, 110, 60)
    direction = np.array([np.sin(np.deg2rad(turn)), np.cos(np.deg2rad(turn))])
    nearer = (turn + 45) % 90 - 45
    found = _angle_deg(np.array([300.0, 20.0]) + along[:, None] * direction)
    assert found == pytest.approx(nearer, abs=1e-6)


@pytest.mark.parametrize("upright", [False, True])
def test_places_whose_side_lies_at_the_border_are_off(upright):
    """A half width of 10 px and 2 px: rows 11 and 88 of 100 are off, 12 and 87 are not."""
    across = np.array([11.9, 12.0, 50.0, 87.0, 87.1])
    centre = np.stack([across, np.zeros(5)], axis=1)
    shape = (100, 3)
    if upright:
        centre, shape = centre[:, ::-1], shape[::-1]
    assert _off_share(centre, shape, upright, 10.0) == pytest.approx(2 / 5)


FIGURES = {"light": "both dark", "off": 0.0, "width_px": 20.0, "shown": 0.5, "land_light": 0.5,
           "blur_px": 1.0, "clipped": 0.0, "angle_deg": 0.0}  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "reward", "several", "code"),
    [
        ({}, 0.62, False, None),
        ({}, 0.62, True, "shot_several"),
        ({"light": "inverted"}, 0.9, True, "shot_inverted"),
        ({"off": 0.02}, 0.9, False, None),
        ({"off": 0.021}, 0.9, False, "shot_runs_off"),
        ({"off": 0.021}, 0.61, False, "shot_runs_off"),
        ({"off": 0.08, "light": "one side"}, 0.61, False, "shot_no_edge"),
        ({"off": 0.081, "light": "one side"}, 0.61, False, "shot_runs_off"),
        ({"off": 0.021, "light": "one side"}, 0.62, False, "shot_runs_off"),
        ({}, 0.61, False, "shot_part"),
        ({"width_px": 8.0}, 0.61, False, "shot_part"),
        ({"width_px": 7.9}, 0.61, False, "shot_no_edge"),
        ({"light": "from all sides"}, 0.61, False, "shot_no_edge"),
        ({"land_light": 0.03}, 0.9, False, None),
        ({"land_light": 0.029}, 0.9, False, "shot_dark"),
        ({"light": "one side"}, 0.9, True, "shot_one_side"),
        ({"light": "from all sides"}, 0.9, True, "shot_flat"),
    ],
)
def test_what_keeps_an_edge_from_being_seen(changes, reward, several, code):
    found = _place_and_light(FIGURES | changes, reward, several)
    assert [one.code for one in found] == ([] if code is None else [code])


@pytest.mark.parametrize(
    ("changes", "before", "codes"),
    [
        ({}, None, []),
        ({"clipped": 0.02}, None, []),
        ({"clipped": 0.021}, None, ["shot_glare"]),
        ({"clipped": 0.3}, None, ["shot_glare"]),
        ({"clipped": 0.31}, None, ["shot_bright"]),
        ({"blur_px": 2.61}, None, ["shot_soft"]),
        ({"blur_px": 2.6}, None, []),  # 0.13 of the width
        ({"blur_px": 2.2, "width_px": 10.0}, None, []),
        ({"blur_px": 2.21, "width_px": 10.0}, None, ["shot_soft"]),
        ({"blur_px": 1.3}, 1.0, []),
        ({"blur_px": 1.31}, 1.0, ["shot_softer"]),
        ({"blur_px": 2.7}, 1.0, ["shot_soft"]),
        ({"width_px": 8.0}, None, []),
        ({"width_px": 7.9}, None, ["shot_narrow"]),
        ({"angle_deg": -10.0}, None, []),
        ({"angle_deg": -10.1}, None, ["shot_turned"]),
        ({"angle_deg": 10.1}, None, ["shot_turned"]),
    ],
)
def test_what_would_make_a_picture_better(changes, before, codes):
    found = _sharpness_and_size(FIGURES | changes, before)
    assert [one.code for one in found] == codes


def test_values_and_what_decides_stand_where_they_belong():
    changes = {"clipped": 0.5, "blur_px": 3.0, "angle_deg": -20.0, "width_px": 7.0}
    found = _sharpness_and_size(FIGURES | changes, None)
    assert found[0].gravity == "decides"
    assert {one.code: one.where.value for one in found} == {
        "shot_bright": 0.5, "shot_soft": 3.0, "shot_narrow": 7.0, "shot_turned": -20.0
    }  # fmt: skip
    assert [one.gravity == "decides" for one in found] == sorted(
        (one.gravity == "decides" for one in found), reverse=True
    )
    (softer,) = _sharpness_and_size(FIGURES | {"blur_px": 2.0}, 1.5)
    assert (softer.where.value, softer.where.expected) == (2.0, 1.5)
    (part,) = _place_and_light(FIGURES | {"shown": 0.4}, 0.5, False)
    assert part.where.value == 0.4
    shot = ShotCheck(width_px=20.0, blur_px=1.26)
    assert shot.good
    assert "20 pixels wide, blur 1.3 pixels" in shot.summary()
    assert not ShotCheck(doubts=tuple(found)).good
    assert ShotCheck(doubts=tuple(found)).summary() == " ".join(one.text for one in found)
    for (large, below), one in zip(ShotCheck(doubts=tuple(found)).words(), found, strict=True):
        assert one.text.startswith(large)
        assert one.text.endswith(below)
