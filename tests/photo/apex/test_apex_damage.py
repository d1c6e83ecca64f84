"""Damage of the land: lips, notches and rolls are found, sized, told apart and left out."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.photo.apex.apex_result import damage_words
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.kinds import picture
from tests.benchmarks.pictures.recipe import made
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.surface import Damage
from tests.photo.light import linear

LINEAR = srgb_decode(np.arange(256) / 255)


def rendered(*chips, seed=1, **settings):
    """What is measured of an edge with chips (position, length, depth, side), and its truth."""
    told, truth = render_apex(rng=np.random.default_rng(seed), chips=chips, **settings)
    return measure_apex(linear(LINEAR[told]), 1.0), truth


def photographed(*damages, land_px=24.0, seed=8):
    """What is measured of a picture of the second world, scale 1 µm a pixel; and the picture."""
    rng = np.random.default_rng(seed)
    recipe = plain_recipe(rng, land_px, draws.bench(rng, (0.8, 1.2), size=(480, 640)), tilt=2.0)
    um = recipe.bench.um_per_px
    hurt = [
        Damage(kind, side, x * um, length * um, depth * um, shape)
        for kind, side, x, length, depth, shape in damages
    ]
    one = made(replace(recipe, damages=tuple(hurt)), rng)
    return measure_apex(read_picture(one.data, tone="srgb"), one.um_per_px), one


def test_lip_notch_and_roll_are_told_apart_and_left_out_of_the_width():
    result, truth = rendered(
        (110.0, 40.0, 7.0, -1),
        (270.0, 30.0, -8.0, 1),
        (430.0, 50.0, -6.0, -1),
        (430.0, 50.0, 6.0, 1),
        width_um=20.0,
        tilt_deg=3.0,
    )
    said = [(chip.kind, chip.side) for chip in result.chips]
    assert said == [("lip", -1), ("notch", 1), ("roll", 1)]
    for chip, (place, length, depth) in zip(
        result.chips, [(110, 40, 7), (270, 30, 8), (430, 50, 6)], strict=True
    ):
        assert chip.position_um == pytest.approx(place, abs=2)
        assert chip.length_um == pytest.approx(length, rel=0.1)
        assert chip.depth_um == pytest.approx(depth, rel=0.05)
        assert abs(chip.depth_um - depth) < 1.96 * chip.depth_u_um
    # One notch of 30 by 8 pixels left in the mean would take 0.6 % off it.
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.002)
    assert not result.used[np.abs(result.position_um - 270) < 12].any()


def test_damage_of_another_world_is_told_apart_too():
    result, one = photographed(
        ("notch", 1, 110, 40, -9, "v"),
        ("lip", -1, 270, 40, 8, "bump"),
        ("roll", -1, 400, 50, 7, "bump"),
        ("notch", -1, 540, 30, -6, "box"),
    )
    said = [(chip.kind, chip.side) for chip in result.chips]
    assert said == [("notch", 1), ("lip", -1), ("roll", -1), ("notch", -1)]
    for chip, true in zip(result.chips, one.truth.damages, strict=True):
        assert chip.depth_um == pytest.approx(abs(true.depth_um), rel=0.2)
        assert abs(chip.depth_um - abs(true.depth_um)) < 1.96 * chip.depth_u_um
    assert result.width_um.mean == pytest.approx(one.truth.width_um, rel=0.015)


def test_a_notch_may_be_deeper_than_long():
    result, one = photographed(("notch", -1, 300, 10, -20, "v"), land_px=40.0)
    (notch,) = result.chips
    assert (notch.kind, notch.side) == ("notch", -1)
    assert abs(notch.depth_um - abs(one.truth.damages[0].depth_um)) < 1.96 * notch.depth_u_um


def test_land_broken_through_is_one_notch_at_least_as_deep_as_the_land():
    result, one = photographed(("chip", 1, 300, 40, -22, "v"), land_px=16.0)
    (notch,) = result.chips
    assert (notch.kind, notch.side) == ("notch", 1)
    assert notch.depth_um > 0.9 * one.truth.width_um
    # How far it goes on below is not to be seen.
    assert notch.depth_u_um > 0.2 * notch.depth_um


@pytest.mark.parametrize("seed", [2, 12, 34])
def test_specks_on_the_border_of_a_dusty_edge_are_no_damage(seed):
    one = picture("dusty", seed)
    assert measure_apex(read_picture(one.data, tone="srgb"), one.um_per_px).chips == ()


def test_a_notch_stands_out_from_the_waves_of_an_uneven_land():
    # Both sides wave alike by 2 µm, so a departure of 5 µm is no more than 2.5 spreads of one side.
    result, _ = rendered(
        (320.0, 40.0, -5.0, 1), width_um=40.0, width_sd=0.05, width_grain_um=60.0, seed=3
    )
    assert [(chip.kind, chip.side) for chip in result.chips] == [("notch", 1)]
    assert result.chips[0].depth_um == pytest.approx(5, abs=1.0)


def test_words_count_every_kind():
    kinds = [("lip", 4.0), ("notch", 12.25), ("notch", 3.0)]
    chips = [{"kind": kind, "depth_um": depth} for kind, depth in kinds]
    assert damage_words(chips) == "2 notches, 1 lip, deepest 12.2 µm"
    assert damage_words(chips[:1]) == "1 lip, deepest 4 µm"
    assert damage_words([]) == ""


def test_the_sentence_and_the_json_name_the_damage():
    result, _ = rendered((320.0, 40.0, -8.0, 1), width_um=20.0)
    assert "; 1 notch, deepest 8" in result.summary()
    (said,) = result.to_dict()["chips"]
    assert (said["kind"], said["side"]) == ("notch", 1)
    assert set(said) == {
        "position_um", "length_um", "depth_um", "length_u_um", "depth_u_um", "kind", "side",
    }  # fmt: skip
