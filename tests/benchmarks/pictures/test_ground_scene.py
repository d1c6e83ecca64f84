"""Light of the made edges keeps the closed forms of geometry, and comes again by its seed."""

from dataclasses import replace

import numpy as np
import pytest

from tests.benchmarks.pictures import closed_forms
from tests.benchmarks.pictures.grain import Ground
from tests.benchmarks.pictures.ground_scene import render_scene
from tests.benchmarks.pictures.lamps import Lighting
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.surface import Apex, Burr, Damage, Edge

FRAME = Frame(200, 300, 0.5, 2)


@pytest.mark.slow
@pytest.mark.parametrize("group", closed_forms.GROUPS, ids=lambda group: group.__name__)
def test_nothing_is_far_from_its_closed_form(group):
    rows = list(group())
    assert len(rows) >= 2
    missed = [row for row in rows if not closed_forms.off(row[1], row[2]) <= row[3]]
    assert missed == []


def scene(seed, apex=Apex(), edge=Edge(), damages=(), lighting=Lighting()):  # noqa: B008
    ground = Ground(dust=5, scratches=5, oil=0.1)
    return render_scene(apex, edge, damages, ground, lighting, FRAME, np.random.default_rng(seed))


def test_a_seed_gives_one_light():
    assert np.array_equal(scene(3).light, scene(3).light)
    assert not np.array_equal(scene(3).light, scene(4).light)


LAMPS = (
    Lighting(),
    Lighting("ring", lamps=8),
    Lighting("dome", theta_deg=20.0),
    Lighting("sectors", sector_closed=-1),
)


@pytest.mark.parametrize("lighting", LAMPS, ids=lambda lighting: lighting.kind)
@pytest.mark.parametrize("form", ["flat", "corners", "round"])
def test_every_edge_under_every_lamp_is_light_and_no_less(lighting, form):
    apex = Apex(form, 15.0, 6.0, (45.0, 80.0), (6.0, 0.0), burr=Burr(lean_deg=40.0))
    edge = Edge(25.0, 10.0, 5.0, 8.0, 1.0, width_wander=0.05, ragged_um=0.3, span=(0.1, 0.8))
    damages = (
        Damage("notch", 1, 40.0, 10.0, -8.0, "v", 0.9),
        Damage("lip", -1, 70.0, 10.0, 4.0, "box", -0.9),
        Damage("roll", 1, 90.0, 10.0, -4.0),
        Damage("chip", -1, 110.0, 12.0, -30.0, "box", glinting=True),
    )
    shown = scene(1, apex, edge, damages, lighting)
    assert shown.light.shape == FRAME.shape
    assert shown.light.dtype == np.float32
    assert np.isfinite(shown.light).all()
    assert shown.light.min() > 0
    assert np.isnan(shown.truth.y1).sum() == pytest.approx(0.3 * FRAME.cols, abs=2)
    assert [each.depth_um for each in shown.truth.damages] == pytest.approx([-8, 4, -4, -30])


def test_a_micro_bevel_leaves_the_width_of_the_land():
    bare = Apex(flat_um=11.4657)
    strips = replace(bare, micro_um=(0.0, 3.7654), micro_leans_deg=(40.0, 26.7))
    assert scene(1, strips).truth.width_um == pytest.approx(scene(1, bare).truth.width_um)


def test_dark_scars_lie_where_the_truth_says():
    damage = Damage("notch", 1, 60.0, 16.0, -6.0)
    told = scene(2, damages=(damage,)).truth
    shown = render_scene(
        Apex(), Edge(), (damage,), Ground(falloff=0), Lighting(), FRAME, np.random.default_rng(2)
    ).light
    broken = told.damages[0]
    assert broken.col == pytest.approx(60.0 / 0.5 - 0.5, abs=0.01)
    row, column = round(2 * broken.row), round(2 * broken.deepest_col)
    depth = round(-2 * broken.depth_px)
    assert shown[row - depth + 3 : row - 1, column].max() < 0.6  # scar
    assert shown[row - depth - 4 : row - depth - 1, column].min() > 0.7  # land
    beside = column + round(2 * broken.length_px)
    assert shown[row - depth + 3 : row - 1, beside].min() > 0.7


@pytest.mark.parametrize("shape", ["bump", "v"])
@pytest.mark.parametrize("asymmetry", [-0.6, 0.0, 0.4])
def test_the_deepest_point_lies_as_far_aside_as_asked(shape, asymmetry):
    damage = Damage("notch", -1, 75.0, 40.0, -6.0, shape, asymmetry)
    broken = scene(2, damages=(damage,)).truth.damages[0]
    assert broken.deepest_col - broken.col == pytest.approx(asymmetry * 40.0, abs=1.0)
