"""Which surveys and focus stacks are there to judge by? Each kind from a seed, with its truth.

Even seeds are for tuning, odd ones for judging, as with single pictures.
"""

from dataclasses import dataclass, replace
from zlib import crc32

import cv2
import numpy as np

from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.camera import photograph
from tests.benchmarks.pictures.draws import between
from tests.benchmarks.pictures.ground_scene import SceneTruth, render_scene
from tests.benchmarks.pictures.lens import edge_rise
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.sequences import (
    FRAME,
    MARGIN,
    STACK_FRAME,
    STACKS,
    SURVEYS,
    Stack,
    StackPlan,
    Survey,
    SurveyPlan,
    scene_size,
    stack,
    survey,
)

SS = 2
# A repeating texture comes again after so many pixels: far less than the least overlap (168 px).
PERIODS = (40, 120)


@dataclass(frozen=True)
class Taken:
    """A survey or a stack as it was photographed.

    Attributes
    ----------
    truth
        Of the whole scene, in its pixels; `sequence.to_scene` leads there from a survey's frames.
        A stack's frames lie `MARGIN` pixels inside the scene.
    blur_px
        Of lens and pixel at best focus, as a Gaussian's deviation.
    """

    sequence: Survey | Stack
    um_per_px: float
    truth: SceneTruth
    blur_px: float
    kind: str
    seed: int


def repeating(light, period_px, sd, ss, rng):
    """A light with a texture laid over it that repeats along the edge.

    One tile of smooth noise, its ends meeting, again and again; `sd` of its gain.
    """
    rows, columns = light.shape
    period = period_px * ss
    tile = rng.standard_normal((rows, period)).astype(np.float32)
    tile = cv2.GaussianBlur(np.tile(tile, (1, 3)), (0, 0), 1.5 * ss)[:, period : 2 * period]
    gain = np.exp(sd * tile / tile.std())
    return light * np.tile(gain, (1, columns // period + 1))[:, :columns]


def _subject(rng, rows, cols, wide=1.0):
    """A recipe for a scene of that size in which the land stays near the middle."""
    place = replace(draws.bench(rng, (0.7, 1.8), (rows, cols)), ss=SS)
    place = replace(place, lens=replace(place.lens, vignetting=0.0))
    recipe = plain_recipe(rng, between(rng, 12, 50), place, tilt=0.8 / wide, bow_px=8.0)
    line = replace(recipe.edge, offset_um=float(rng.uniform(-30, 30) * place.um_per_px))
    ground = replace(recipe.ground, dust=int(6 * wide), scratches=int(4 * wide), falloff=0.0)
    camera = replace(recipe.camera, resize=1.0)
    return replace(recipe, edge=line, ground=ground, camera=camera)


def _light(recipe, rows, cols, rng):
    place = recipe.bench
    hurt = draws.damages(rng, replace(place, cols=cols), 20.0, max(1, cols // 900))
    frame = Frame(rows, cols, place.um_per_px, SS)
    return render_scene(recipe.apex, recipe.edge, hurt, recipe.ground, recipe.lighting, frame, rng)


def _shooter(recipe):
    def shoot(light, rng):
        return photograph(light.astype(np.float32), SS, recipe.lens, recipe.camera, rng).data

    return shoot


def surveyed(kind: str, seed: int) -> Taken:
    """A survey: a kind of `SURVEYS`, or 'repeating' (a texture that comes again and again)."""
    rng = np.random.default_rng([seed, crc32(kind.encode()), 5])
    plan = SurveyPlan() if kind == "repeating" else SURVEYS[kind]
    rows, cols = scene_size(plan)
    recipe = _subject(rng, rows, cols, wide=cols / FRAME[1])
    scene = _light(recipe, rows, cols, rng)
    light, other = scene.light, None
    if kind == "repeating":
        period = int(rng.integers(*PERIODS))
        light = repeating(light, period, float(rng.uniform(0.05, 0.2)), SS, rng)
    if plan.foreign is not None:
        size = FRAME[0] + 2 * MARGIN, FRAME[1] + 2 * MARGIN
        other = _light(_subject(rng, *size), *size, rng).light
    walked = survey(light, other, SS, _shooter(recipe), plan, rng)
    return _taken(walked, recipe, scene, kind, seed)


def _taken(sequence, recipe, scene, kind, seed):
    blur = edge_rise(recipe.lens, SS)
    return Taken(sequence, recipe.bench.um_per_px, scene.truth, blur, kind, seed)


def depth_below(truth, shape, most_radius_px, na, leans_deg):
    """Depth below the land's highest end, in units of the land's fall from end to end.

    The fall blurs by `most_radius_px`; what lies z micrometres out of focus blurs by z times the
    numerical aperture (geometric optics of small angles). Bevels fall away at their leans.
    """
    rows, cols = shape[0] // SS, shape[1] // SS
    y = (np.arange(shape[0], dtype=np.float32)[:, None] + 0.5) / SS - 0.5
    columns = (np.arange(shape[1]) + 0.5) / SS - 0.5
    land = np.linspace(0, 1, cols, dtype=np.float32)
    found = np.repeat(np.interp(columns, np.arange(cols), land)[None], rows * SS, axis=0)
    for border, side, lean in ((truth.y1, -1, leans_deg[0]), (truth.y2, 1, leans_deg[1])):
        beyond = side * (y - np.interp(columns, np.arange(cols), border)[None])
        fall = np.tan(np.radians(lean)) * na / most_radius_px
        found += np.maximum(beyond, 0) * fall
    return found.astype(np.float32)


def stacked(kind: str, seed: int) -> Taken:
    """A focus stack: a kind of `STACKS`."""
    rng = np.random.default_rng([seed, crc32(kind.encode()), 7])
    plan: StackPlan = STACKS[kind]
    rows, cols = (size + 2 * MARGIN for size in STACK_FRAME)
    recipe = _subject(rng, rows, cols)
    recipe = replace(recipe, lens=replace(recipe.lens, disc_px=0.0))
    scene, other = _light(recipe, rows, cols, rng), None
    if plan.foreign is not None:
        other = _light(_subject(rng, rows, cols), rows, cols, rng).light
    depth = depth_below(
        scene.truth,
        scene.light.shape,
        plan.most_radius_px,
        recipe.bench.na_lens,
        recipe.apex.leans_deg,
    )
    through = stack(scene.light, other, depth, SS, _shooter(recipe), plan, rng)
    return _taken(through, recipe, scene, kind, seed)
