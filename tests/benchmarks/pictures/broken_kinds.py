"""Which pictures show no width that anybody should trust? Their kinds, each with its cause."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.draws import between, either
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.pupil import APERTURES
from tests.benchmarks.pictures.recipe import Picture, made, taken
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.surface import Apex
from tests.benchmarks.pictures.targets import render_ruling

# Blur of at most this share of the land's width leaves it measurable.
MILD = 0.25


def _blurred(recipe, lens, cause, rng):
    """A picture through a lens; good where the lens still leaves the land measurable."""
    shot = made(replace(recipe, lens=lens), rng)
    return replace(shot, cause=cause if shot.blur_px > MILD * shot.width_px else "")


def defocused(rng) -> Picture:
    """Discs of defocus of up to 30 px, by every shape of aperture."""
    land = between(rng, 6, 40)
    recipe = plain_recipe(rng, land)
    lens = replace(
        recipe.lens,
        disc_px=float(rng.choice([-1, 1])) * between(rng, 2, 30),
        aperture=str(rng.choice(APERTURES)),
        stop=float(rng.uniform(0.3, 0.6)),
        defocus_ratio=between(rng, 1 / 3, 3) if either(rng, 0.25) else 1.0,
    )
    return _blurred(recipe, lens, "out of focus", rng)


def soft(rng) -> Picture:
    """Defocus so mild that the land can be measured all the same: discs of up to half its width."""
    land = between(rng, 10, 40)
    recipe = plain_recipe(rng, land)
    lens = replace(
        recipe.lens,
        disc_px=float(rng.choice([-1, 1]) * land * rng.uniform(0.1, 0.45)),
        aperture=str(rng.choice(APERTURES)),
        stop=float(rng.uniform(0.3, 0.6)),
    )
    return _blurred(recipe, lens, "out of focus", rng)


def shaken(rng) -> Picture:
    """The blade moved while it was photographed: up to 12 px, any way."""
    recipe = plain_recipe(rng)
    lens = replace(
        recipe.lens, motion_px=float(rng.uniform(3, 12)), motion_deg=float(rng.uniform(0, 180))
    )
    return _blurred(recipe, lens, "motion", rng)


def overexposed(rng) -> Picture:
    """The land clipped at 1.05 to 4 times full scale, with a halo."""
    recipe = plain_recipe(rng)
    camera = replace(
        recipe.camera,
        exposure=between(rng, 1.05, 4),
        bloom=float(rng.uniform(0.01, 0.15)),
        bloom_px=float(rng.uniform(15, 60)),
    )
    lens = replace(recipe.lens, glare=float(rng.uniform(0, 0.08)))
    return made(replace(recipe, camera=camera, lens=lens, cause="overexposed"), rng)


def dark(rng) -> Picture:
    """Hardly any light: the land at 0.2 to 2 % of full scale."""
    recipe = plain_recipe(rng)
    camera = replace(recipe.camera, exposure=between(rng, 0.002, 0.02))
    return made(replace(recipe, camera=camera, cause="too dark"), rng)


def noisy(rng) -> Picture:
    """So few electrons that the noise outdoes the picture; four in ten show nothing but noise."""
    recipe = plain_recipe(rng)
    camera = replace(
        recipe.camera, full_well=between(rng, 2, 40), read_noise=float(rng.uniform(5, 15))
    )
    nothing = either(rng, 0.4)
    shown = replace(
        recipe, camera=camera, cause="noise", change=lambda light, _: light * (not nothing)
    )
    return made(shown, rng)


def leaving(rng) -> Picture:
    """The edge runs off the top or bottom on its way, or has one border outside all along."""
    place = draws.bench(rng, size=(480, 640))
    land = between(rng, 9, 60)
    recipe = plain_recipe(rng, land, place)
    side = int(rng.choice([-1, 1]))
    half = place.rows / 2
    if either(rng, 0.6):
        tilt = float(rng.choice([-1, 1]) * rng.uniform(15, 40))
        along = float(rng.uniform(-0.35, 0.35)) * place.cols  # where it crosses top or bottom
        angle = np.radians(tilt)
        offset = np.cos(angle) * (side * half - np.tan(angle) * along)
    else:
        tilt = float(rng.uniform(-1, 1))
        offset = side * (half + land * rng.uniform(-0.4, 0.2))
    line = replace(recipe.edge, tilt_deg=tilt, offset_um=float(offset * place.um_per_px))
    return made(replace(recipe, edge=line, cause="edge leaves the picture"), rng)


def partial(rng) -> Picture:
    """The edge covers a part of the picture's length; the width of that part is its truth."""
    recipe = plain_recipe(rng)
    length = float(rng.uniform(0.15, 0.6))
    start = float(rng.choice([0.0, 1 - length, rng.uniform(0, 1 - length)]))
    line = replace(recipe.edge, span=(start, start + length))
    return made(replace(recipe, edge=line, cause="edge ends in the picture"), rng)


def flat_light(rng) -> Picture:
    """Bevels as bright as the land, nearly."""
    recipe = plain_recipe(rng)
    haze = between(rng, 15, 150)

    def hazy(light, rng):
        return (light + haze) / (1 + haze)

    if either(rng, 0.5):
        return made(replace(recipe, change=hazy, cause="no contrast"), rng)
    light = replace(recipe.lighting, alpha=0.20, na_lamp=max(recipe.lighting.na_lamp, 0.15))
    apex = replace(recipe.apex, leans_deg=draws.leans(rng, 2.0, 5.0))
    return made(replace(recipe, apex=apex, lighting=light, cause="no contrast"), rng)


def inverted(rng) -> Picture:
    """A dark land between bright bevels: low lamps, and bevels that lean half as much as they."""
    recipe = plain_recipe(rng)
    light = draws.ring_light(rng, recipe.bench, 66.0, 75.0)
    lean = light.theta_deg / 2
    apex = replace(recipe.apex, leans_deg=draws.leans(rng, lean - 4, lean + 4))
    return made(replace(recipe, apex=apex, lighting=light, cause="inverted", metered=True), rng)


def two_bands(rng) -> Picture:
    """Micro-bevels shine, the land between them does not: two bands where one is looked for."""
    recipe = plain_recipe(rng, between(rng, 8, 30))
    light = draws.ring_light(rng, recipe.bench, 56.0, 66.0)
    lean = light.theta_deg / 2
    strip = float(recipe.apex.flat_um * rng.uniform(0.6, 1.5))
    apex = Apex(
        "flat",
        recipe.apex.flat_um,
        0.0,
        draws.leans(rng, 65.0),
        (strip, strip),
        (float(lean + rng.normal(0, 1)), float(lean + rng.normal(0, 1))),
    )
    shown = replace(recipe, apex=apex, lighting=light, cause="several edges", metered=True)
    return made(shown, rng)


def several(rng) -> Picture:
    """Two edges in one picture."""
    recipe = plain_recipe(rng, between(rng, 9, 40))
    away = int(recipe.bench.rows * rng.uniform(0.25, 0.4)) * int(rng.choice([-1, 1]))
    gain = float(rng.uniform(0.7, 1.0))

    def twice(light, rng):
        other = np.roll(light, away * recipe.bench.ss, axis=0)[:, ::-1]
        return np.maximum(light, gain * other)

    return made(replace(recipe, change=twice, cause="several edges"), rng)


def glints(rng) -> Picture:
    """A ground face with shining scratches, and no worn edge."""
    recipe = plain_recipe(rng, 0.05)
    face = replace(
        recipe.ground, scratches=int(rng.integers(20, 120)), bevel_sd=float(rng.uniform(0.2, 0.5))
    )
    return made(replace(recipe, ground=face, cause="glints"), rng)


def faceless(rng) -> Picture:
    """Ground steel from border to border, no edge anywhere."""
    recipe = plain_recipe(rng)
    far = 4.0 * recipe.bench.rows * recipe.bench.um_per_px
    line = replace(recipe.edge, offset_um=far)
    face = replace(recipe.ground, bevel_sd=float(rng.uniform(0.1, 0.5)), dust=10)
    gain = between(rng, 3, 20)

    def lit(light, rng):
        return np.minimum(light * gain, 2.0)

    return made(replace(recipe, edge=line, ground=face, change=lit, cause="no edge"), rng)


def micrometer(rng) -> Picture:
    """A stage micrometer instead of an edge."""
    recipe = replace(plain_recipe(rng), cause="ruling")
    place = recipe.bench
    frame = Frame(place.rows, place.cols, place.um_per_px, place.ss)
    pitch_um = float(rng.choice([10.0, 20.0, 50.0, 100.0]))
    while pitch_um < 10 * place.um_per_px:
        pitch_um *= 2
    turn = float(rng.uniform(-3, 3) if either(rng, 0.5) else 90 + rng.uniform(-3, 3))
    scene = render_ruling(
        pitch_um,
        pitch_um * float(rng.uniform(0.12, 0.4)),
        frame,
        rng,
        tilt_deg=turn,
        bright_lines=either(rng, 0.5),
        dust=int(rng.integers(0, 8)),
    )
    return replace(taken(scene.light, recipe, rng), ruling=scene.truth)


BROKEN: dict[str, Callable[[np.random.Generator], Picture]] = {
    "soft": soft,
    "defocused": defocused,
    "motion": shaken,
    "overexposed": overexposed,
    "dark": dark,
    "noise": noisy,
    "leaving": leaving,
    "partial": partial,
    "no contrast": flat_light,
    "inverted": inverted,
    "two bands": two_bands,
    "several": several,
    "glints": glints,
    "no edge": faceless,
    "micrometer": micrometer,
}
