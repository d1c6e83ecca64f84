"""Which kinds of single side view are there? Recipes, and the picture of a kind from a seed."""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.side_pictures.edges import draw_edge, outline_um
from tests.benchmarks.side_pictures.harm import Harm
from tests.benchmarks.side_pictures.side_lighting import Light
from tests.benchmarks.side_pictures.side_shot import (
    compose,
    draw_camera,
    draw_optics,
    taken,
)
from tests.benchmarks.side_pictures.side_truth import SideView, seen_truth
from tests.benchmarks.side_pictures.strewn import (
    drop,
    dust,
    fibre,
    glint,
    places,
    second_body,
)
from tests.benchmarks.side_pictures.view import View

# Widest and deepest damage, µm.
WIDEST_UM, DEEPEST_UM, NARROWEST_UM = 800.0, 300.0, 20.0
# A blade brighter than this share of the ground hides its outline here and there.
SEEN_LIGHT = 0.5


@dataclass(frozen=True)
class Recipe:
    """What a kind of picture is drawn from: ranges (low, high) unless a number is named.

    ``sigma_px`` roughness; ``harms`` how many; ``rolls`` share of rolls among them; ``deep_px``
    depth; ``forms`` of chips; ``turn`` and ``bend`` (over the whole picture) in degrees; ``blade``
    light of the blade; ``slope`` of the ground's light; ``blur`` px; ``strewn`` how many of each
    of the named things lie there; ``end`` 'tip' or 'heel'; ``sharpened`` a hard-working phone.
    """

    sigma_px: tuple[float, float] = (0.05, 0.25)
    harms: tuple[int, int] = (1, 4)
    rolls: float = 0.3
    deep_px: tuple[float, float] = (3.0, 60.0)
    forms: tuple[str, ...] = ("bowl", "vee", "ragged")
    lean: tuple[float, float] = (0.0, 0.0)
    fold: tuple[float, float] = (0.0, 0.0)
    turn: tuple[float, float] = (-4.0, 4.0)
    bend: tuple[float, float] = (-3.0, 3.0)
    upright: bool = False
    blade: tuple[float, float] = (0.01, 0.06)
    slope: tuple[float, float] = (0.0, 0.2)
    bands: tuple[int, int] = (0, 0)
    blur: tuple[float, float] = (0.0, 0.0)
    strewn: tuple[str, ...] = ()
    count: tuple[int, int] = (1, 5)
    end: str = ""
    sharpened: bool = False


PLAIN = Recipe()
SINGLES = {
    "plain": PLAIN,
    "curved": Recipe(bend=(-28.0, 28.0)),
    "turned": Recipe(turn=(-24.0, 24.0), upright=True),
    "blurred": Recipe(blur=(1.5, 4.0), deep_px=(4.0, 60.0)),
    "rough": Recipe(sigma_px=(0.4, 1.3), deep_px=(4.0, 60.0)),
    "ragged": Recipe(sigma_px=(0.1, 0.5), forms=("ragged",), rolls=0.0),
    "hooked": Recipe(rolls=1.0, lean=(0.7, 2.0), deep_px=(4.0, 40.0)),
    "folds": Recipe(rolls=1.0, fold=(0.4, 1.1), deep_px=(4.0, 40.0)),
    "dust": Recipe(harms=(0, 3), strewn=("dust", "fibre")),
    "drops": Recipe(harms=(0, 3), strewn=("drop",), count=(1, 3)),
    "glints": Recipe(harms=(0, 3), strewn=("glint",)),
    "front": Recipe(blade=(0.1, 1.0), harms=(0, 4)),
    "bands": Recipe(bands=(1, 4)),
    "uneven": Recipe(slope=(0.4, 1.1)),
    "second": Recipe(harms=(0, 3), strewn=("second body",), count=(1, 1)),
    "tip": Recipe(end="tip", harms=(0, 3)),
    "heel": Recipe(end="heel", harms=(0, 3)),
    "phone": Recipe(sharpened=True),
    "small": Recipe(deep_px=(0.8, 3.0), harms=(2, 5)),
    "sound": Recipe(harms=(0, 0), sigma_px=(0.05, 0.9), slope=(0.0, 0.5)),
}  # fmt: skip


def single(kind, seed):
    """The picture of a kind from a seed: a `SideView`."""
    recipe = SINGLES[kind]
    rng = np.random.default_rng([1501, seed, list(SINGLES).index(kind)])
    view = _draw_view(rng, recipe)
    picture_um = view.cols * view.um_per_px
    sigma = rng.uniform(*recipe.sigma_px) * view.um_per_px
    edge, _ = draw_edge(rng, 1.5 * picture_um, sigma, 1.4 * sigma)
    view = replace(view, middle_um=0.75 * picture_um)
    ends = _ends(rng, recipe.end, view, edge)
    inside = view.stretch_um(*ends)
    light = Light(
        blade=float(np.exp(rng.uniform(*np.log(recipe.blade)))),
        texture=rng.uniform(0.1, 0.4),
        slope=rng.uniform(*recipe.slope),
        mottle=rng.uniform(0.0, 0.012),
        bands=int(rng.integers(recipe.bands[0], recipe.bands[1] + 1)),
    )
    things, foreign, light = _strewn(rng, recipe, edge, view, inside, light)
    spoilt = [(at, reach) for _, at, reach in foreign]
    edge = replace(edge, harms=draw_harms(rng, recipe, view, edge, inside, spoilt))
    over = int(rng.choice([0, 2, 4, 6]) + (recipe.upright and rng.random() < 0.5))
    camera = draw_camera(rng)
    if recipe.sharpened:
        camera = replace(camera, sharpen=rng.uniform(0.8, 2.2), denoise="bilateral",
                         quality=int(rng.integers(76, 90)))  # fmt: skip
    optics = draw_optics(rng, rng.uniform(*recipe.blur))
    if recipe.slope[1] > 0.9:
        optics = replace(optics, vignetting=rng.uniform(0.2, 0.5))
    scene = compose(rng, view, blade_px(edge, view, ends, recipe.end), edge.harms, light, things)
    return SideView(
        data=taken(rng, scene, optics, camera, over),
        told_um_per_px=view.um_per_px,
        **seen_truth(edge, view, over, ends, foreign, light.blade < SEEN_LIGHT),
    )


def _draw_view(rng, recipe):
    """A picture's size, scale and how the edge lies in it."""
    cols = int(rng.integers(10, 17)) * 80
    rows = int(cols * rng.uniform(0.6, 0.75)) // 2 * 2
    u = float(np.exp(rng.uniform(np.log(2.5), np.log(15.0))))
    bend = rng.uniform(*recipe.bend) / (cols * u / 1000)
    if abs(recipe.bend[1]) > 10:  # a curve worth the name, and where it bends more and less
        bend = float(np.sign(bend)) * max(abs(bend), 8 / (cols * u / 1000))
    change = rng.uniform(-0.6, 0.6) * bend / (cols * u / 1000)
    turn = rng.uniform(*recipe.turn)
    if recipe.turn[1] > 10:
        turn = float(np.sign(turn)) * max(abs(turn), 6.0)
    return View(cols, rows, u, 0.0, rng.uniform(0.4, 0.58), turn, (bend, change))


def draw_harms(rng, recipe, view, edge, inside, spoilt=()):
    """Damage inside a stretch of the edge, clear of what is spoilt."""
    low, high = inside
    count = int(rng.integers(recipe.harms[0], recipe.harms[1] + 1))
    if not count:
        return ()
    made = [draw_harm(rng, recipe, view.um_per_px, edge.sigma_um) for _ in range(count)]
    apart = 1.4 * max(harm.reach_um for harm in made)
    margin = 0.75 * max(harm.reach_um for harm in made) + 10 * view.um_per_px
    if high - margin <= low + margin:
        return ()
    at = places(rng, count, low + margin, high - margin, apart, spoilt)
    return tuple(replace(harm, at_um=one) for harm, one in zip(made, at, strict=False))


def draw_harm(rng, recipe, u, sigma_um):
    """One damage of the recipe's sizes, at place 0, for pixels of ``u`` µm."""
    roll = rng.random() < recipe.rolls
    least = max(recipe.deep_px[0] * u, 3.0 * sigma_um)
    most = min(max(recipe.deep_px[1] * u, least), DEEPEST_UM)
    small = recipe.deep_px[1] < 5
    aspect = np.exp(rng.uniform(np.log(0.1 if small else 0.15), np.log(0.3 if small else 0.7)))
    reach = float(np.exp(rng.uniform(np.log(10 * u), np.log(130 * u))))
    reach = float(np.clip(reach, NARROWEST_UM, WIDEST_UM))
    deep = float(np.clip(reach * aspect, min(least, most), most))
    reach = max(reach, 1.2 * deep)
    seed = int(rng.integers(2**31))
    if not roll:
        form = str(rng.choice(recipe.forms))
        return Harm("chip", form, 0.0, reach, deep, seed)
    deep = min(deep, 0.45 * reach)
    lean = float(rng.uniform(*recipe.lean) * rng.choice([-1, 1])) if recipe.lean[1] else 0.0
    bright = rng.uniform(*recipe.fold) if recipe.fold[1] else 0.0
    form = str(rng.choice(["swelling", "lip"]))
    dip = not lean and not bright and rng.random() < 0.25
    deep = min(deep, 0.12 * reach) if dip else deep
    bulge = 0.0
    if lean and rng.random() < 0.5:  # curled up into a bead
        lean, bulge = 0.4 * lean, rng.uniform(0.2, 1.0)
    return Harm("roll", "swelling" if dip else form, 0.0, reach, deep, seed,
                not dip, lean, bulge, bright)  # fmt: skip


def _ends(rng, end, view, edge):
    """First and last place of the edge, µm."""
    picture_um = view.cols * view.um_per_px
    reach = rng.uniform(0.05, 0.38) * picture_um
    if end == "tip":
        return 0.0, view.middle_um + reach
    if end == "heel":
        return view.middle_um - reach, edge.length_um
    return 0.0, edge.length_um


def blade_px(edge, view, ends, end=""):
    """Closed outline of the blade in pixels: its edge between the ends, then round behind it."""
    low, high = ends
    outline = outline_um(edge, low, high, 0.2 * view.um_per_px)
    far = 2.5 * view.rows * view.um_per_px
    behind = np.array([[high, -far], [low, -far]])
    if end:
        rng = np.random.default_rng(int(1000 * high))
        lean = np.radians(rng.uniform(18, 50) if end == "tip" else rng.uniform(65, 105))
        nose = rng.uniform(2.0, 20.0) * view.um_per_px
        run = np.linspace(0, 3 * view.cols * view.um_per_px, 4000)
        bow = nose * (1 - np.exp(-run / nose))  # the nose is round
        back = np.stack([high - run * np.cos(lean) + bow, -run * np.sin(lean)], 1)
        back[:, 1] += outline[-1, 1]
        if end == "tip":
            behind = np.concatenate([back[1:], [[low, -run[-1] * np.sin(lean)]]])
        else:
            front = np.stack([low + high - back[:, 0], back[:, 1] - outline[-1, 1]
                              + outline[0, 1]], 1)[::-1]  # fmt: skip
            behind = np.concatenate([[[high, -far * 3]], front[:-1]])
    return view.to_px(np.concatenate([outline, behind]))


def _strewn(rng, recipe, edge, view, inside, light):
    """Bodies before the ground, their truth, and the light with its glints."""
    u = view.um_per_px
    bodies, foreign, glints = [], [], []
    low, high = inside
    for kind in recipe.strewn:
        if kind == "second body":
            body, hidden = second_body(rng, view, edge)
            bodies.append(body)
            foreign += [hidden] if hidden else [("second body", view.middle_um, 0.0)]
            continue
        count = int(rng.integers(recipe.count[0], recipe.count[1] + 1))
        taken_up = [(at, reach) for _, at, reach in foreign]
        for at in places(rng, count, low + 40 * u, high - 40 * u, 60 * u, taken_up):
            if kind == "glint":
                spot, truth = glint(rng, edge, view, at, light.blade)
                glints.append(spot)
            else:
                maker = {"dust": dust, "fibre": fibre, "drop": drop}[kind]
                body, truth = maker(rng, edge, view, at)
                bodies.append(body)
            foreign.append(truth)
    return bodies, foreign, replace(light, glints=tuple(glints))
