"""What a shot is told, rule by rule, at the limits from both sides."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.photo.apex.shot_check import (
    ShotCheck,
    _angle_deg,
    _light,
    _off_share,
    _place_and_light,
    _seen,
    _sharpness_and_size,
)
from edgetest.photo.linear_light import Light


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


@pytest.mark.parametrize("upright", [False, True])
def test_figures_of_a_land_are_read_beside_it(upright):
    """20 px of light 0.8, a quarter of it full; ground of 0.1 and 0.2 for 32 px, 0.5 beyond.

    The ground's light is that within one and a half widths of the middle.
    """
    off = np.arange(200)[:, None] - 99.5 + 0 * np.arange(300)
    grey = np.where(np.abs(off) < 10, 0.8, np.where(off < 0, 0.1, 0.2))
    grey = np.where(np.abs(off) < 32, grey, 0.5)
    full = np.zeros(grey.shape, bool)
    full[90:110, :75] = True
    path = np.stack([np.full(300, 99.5), np.arange(300.0)], axis=1)
    if upright:
        grey, full, path = grey.T, full.T, path[:, ::-1]
    grey = np.ascontiguousarray(grey, dtype=np.float32)
    light = Light(grey, np.ascontiguousarray(full), "linear", True)
    band = SimpleNamespace(centre_rc=path, upright=upright)
    context = SimpleNamespace(left=-10.0, right=10.0)
    figures, bevels = _seen(light, grey, band, context)
    assert figures["width_px"] == pytest.approx(20, abs=0.3)
    assert figures["land_light"] == pytest.approx(0.8, abs=0.01)
    assert sorted(bevels) == pytest.approx([0.125, 0.25], abs=0.01)
    assert figures["clipped"] == pytest.approx(0.25, abs=0.02)
    assert figures["angle_deg"] == pytest.approx(0, abs=0.1)
    assert (figures["shown"], figures["off"]) == (1.0, 0.0)
    assert figures["blur_px"] == pytest.approx(1.0, abs=0.4)  # of the smoothing alone
    dim = np.array(grey)
    if upright:
        dim[200:] = 0.1
    else:
        dim[:, 200:] = 0.1
    part, _ = _seen(Light(dim, None, "linear", True), dim, band, context)
    assert part["shown"] == pytest.approx(2 / 3, abs=0.03)
    assert part["clipped"] == 0


def test_a_path_of_eight_blocks_is_needed():
    grey = np.full((60, 60), 0.1, np.float32)
    grey[20:40] = 0.8
    context = SimpleNamespace(left=-10.0, right=10.0)
    for cols, seen in ((33, True), (31, False)):
        part = np.ascontiguousarray(grey[:, :cols])
        path = np.stack([np.full(cols, 29.5), np.arange(float(cols))], axis=1)
        band = SimpleNamespace(centre_rc=path, upright=False)
        found = _seen(Light(part, None, "linear", True), part, band, context)
        assert (found is not None) == seen
