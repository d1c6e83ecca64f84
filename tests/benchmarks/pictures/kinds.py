"""Which kinds of picture are there to judge a measurement by? The catalogue, good and broken.

``KINDS`` maps each name to its maker; ``picture(kind, seed)`` calls it. Even seeds are for tuning,
odd ones for judging: whatever was chosen while looking at even ones is told by the odd ones.
"""

from collections.abc import Callable
from dataclasses import replace
from zlib import crc32

import numpy as np

from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.broken_kinds import BROKEN, MILD
from tests.benchmarks.pictures.draws import between, either
from tests.benchmarks.pictures.greysteps import CAMERAS, TONES
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.recipe import Picture, made, taken
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.surface import Apex, Burr
from tests.benchmarks.pictures.targets import render_needle

# The finest pixels, and the largest aperture, of an objective that stands far off (dry, from
# memory): nothing smaller is shown by going nearer.
FINEST_UM = 0.15
FINEST_NA = 0.28
WRONG_LAMPS = ("one lamp dark", "ring light", "lamps along the edge")


def plain(rng) -> Picture:
    """Good focus, little texture, small tilt and bow."""
    return made(plain_recipe(rng), rng)


def hard(rng) -> Picture:
    """Everything of a bench at once: still a picture that a person would call usable."""
    place = draws.bench(rng, (0.7, 2.2))
    land = between(rng, 8, 60)
    recipe = plain_recipe(rng, land, place, tilt=30.0, recurve_px=15.0, bow_px=12.0)
    lens = replace(
        recipe.lens,
        lateral_px=float(rng.uniform(0, 0.8)),
        lateral_deg=float(rng.uniform(0, 360)),
        axial_px=float(rng.uniform(-0.5, 0.5)),
        vignetting=float(rng.uniform(0, 0.3)),
        distortion=float(rng.uniform(-0.01, 0.01)),
        glare=float(rng.uniform(0, 0.08)),
        spherical=float(rng.uniform(0, 0.3)) if either(rng, 0.3) else 0.0,
        defocus_ratio=between(rng, 0.6, 1.6) if either(rng, 0.4) else 1.0,
    )
    return made(
        replace(
            recipe,
            ground=draws.hard_ground(rng, place.um_per_px),
            lens=lens,
            camera=draws.hard_camera(rng),
        ),
        rng,
    )


def chipped(rng) -> Picture:
    """As plain, with one to four damages of every sort."""
    land = between(rng, 12, 60)
    recipe = plain_recipe(rng, land)
    hurt = draws.damages(rng, recipe.bench, land, int(rng.integers(1, 5)))
    return made(replace(recipe, damages=hurt), rng)


def dusty(rng) -> Picture:
    """As plain, with much dust and no damage."""
    recipe = plain_recipe(rng)
    dusted = replace(
        recipe.ground, dust=int(rng.integers(15, 70)), dust_bright=float(rng.uniform(0, 0.6))
    )
    return made(replace(recipe, ground=dusted), rng)


def wide(rng) -> Picture:
    """Lands of 60 to 200 pixels."""
    return made(plain_recipe(rng, between(rng, 60, 200)), rng)


def narrow(rng) -> Picture:
    """Lands of 2 to 8 pixels."""
    return _resolved(made(plain_recipe(rng, between(rng, 2, 8)), rng))


def corners(rng) -> Picture:
    """A land whose corners are rounded by a tenth of its width up to as much as its width."""
    recipe = plain_recipe(rng)
    flat = recipe.apex.flat_um
    apex = replace(recipe.apex, form="corners", radius_um=float(flat * between(rng, 0.1, 1.0)))
    return made(replace(recipe, apex=apex), rng)


def _resolved(shot):
    """Told to be too small where the blur leaves no width to be measured."""
    return replace(shot, cause="too small" if shot.blur_px > MILD * shot.width_px else "")


def _fitted(rng, radius_um, shown_px):
    """A bench that shows a radius `shown_px` large, by a finer lens where it takes one."""
    place = draws.bench(rng)
    pitch = max(radius_um / between(rng, *shown_px), FINEST_UM)
    airy_um = draws.AIRY_UM / min(draws.AIRY_UM / (place.lens.airy_px * pitch), FINEST_NA)
    lens = replace(place.lens, airy_px=airy_um / pitch)
    return replace(place, um_per_px=pitch, na_lens=draws.AIRY_UM / airy_um, lens=lens)


def crest(rng) -> Picture:
    """A fully round apex of radius 5 to 40 um under light through the objective."""
    radius = between(rng, 5, 40)
    recipe = plain_recipe(rng, 30.0, _fitted(rng, radius, (20, 150)))
    apex = Apex("round", 0.0, radius, draws.leans(rng))
    light = replace(recipe.lighting, alpha=between(rng, 0.05, 0.20))
    return _resolved(made(replace(recipe, apex=apex, lighting=light), rng))


def burr(rng) -> Picture:
    """A land with a burr along a part of one border."""
    recipe = plain_recipe(rng)
    start = float(rng.uniform(0, 0.7))
    ridge = Burr(
        side=int(rng.choice([-1, 1])),
        width_um=between(rng, 1.5, 6) * recipe.bench.um_per_px,
        offset_um=float(rng.uniform(-3, 4)) * recipe.bench.um_per_px,
        lean_deg=float(rng.uniform(0, 60)),
        from_=start,
        to=float(min(1.0, start + rng.uniform(0.15, 0.8))),
        raggedness=float(rng.uniform(0.1, 0.5)),
    )
    return made(replace(recipe, apex=replace(recipe.apex, burr=ridge)), rng)


def microbevelled(rng) -> Picture:
    """A land between micro-bevels that lean less than the bevels, and stay darker than the land."""
    recipe = plain_recipe(rng)
    pitch = recipe.bench.um_per_px
    both = either(rng, 0.6)
    strip = between(rng, 5, 40)
    apex = replace(
        recipe.apex,
        micro_um=(float(max(strip, 3 * pitch)), float(max(strip, 3 * pitch)) if both else 0.0),
        micro_leans_deg=(float(rng.uniform(30, 50)), float(rng.uniform(30, 50))),
    )
    return made(replace(recipe, apex=apex), rng)


def tones(rng) -> Picture:
    """Plain pictures through each of the cameras, with grey steps and further exposures."""
    recipe = plain_recipe(rng)
    curve = TONES[str(rng.choice(list(TONES)))]
    camera = replace(
        recipe.camera,
        tone=curve.tone,
        tone_parameter=curve.tone_parameter,
        local_contrast=float(rng.uniform(0.1, 0.4)) if curve.local_contrast else 0.0,
        local_px=float(rng.uniform(20, 60)),
        exposure=float(rng.uniform(1.2, 2.4)) if curve.tone == "shouldered" else 0.8,
    )
    return made(replace(recipe, camera=camera, steps=True, exposures=(0.3, 0.55)), rng)


def cameras(rng) -> Picture:
    """Plain pictures by whole cameras: a telephone, a cheap microscope, a laboratory's."""
    made_by = CAMERAS[str(rng.choice(list(CAMERAS)))]
    exposure = made_by.exposure * float(rng.uniform(0.6, 1.1))
    return made(replace(plain_recipe(rng), camera=replace(made_by, exposure=exposure)), rng)


def _lit(rng, light, cause):
    recipe = plain_recipe(rng)
    flat = recipe.apex.flat_um
    form = str(rng.choice(["flat", "corners", "round"], p=[0.4, 0.35, 0.25]))
    radius = {"flat": 0.0, "corners": flat * between(rng, 0.05, 0.6), "round": flat / 2}[form]
    apex = Apex(form, flat, float(radius), draws.leans(rng, 40.0))
    return made(
        replace(recipe, apex=apex, lighting=light(rng, recipe.bench), metered=True, cause=cause),
        rng,
    )


def ring(rng) -> Picture:
    """Any apex under a ring of lamps."""
    return _lit(rng, draws.ring_light, "ring light")


def dome(rng) -> Picture:
    """Any apex under a dome."""
    return _lit(rng, draws.dome_light, "dome light")


def turned(rng) -> Picture:
    """The edge at any angle; a third of them upright."""
    recipe = plain_recipe(rng)
    size = (480, 640) if either(rng, 0.6) else (640, 480)
    place = replace(recipe.bench, rows=size[0], cols=size[1], ss=2)
    angle = 90.0 * int(rng.choice([1, -1])) if either(rng, 0.34) else float(rng.uniform(-90, 90))
    line = replace(recipe.edge, offset_um=float(rng.uniform(-60, 60)) * place.um_per_px)
    return made(replace(recipe, bench=place, edge=line, turn_deg=angle), rng)


def _between_lamps(rng):
    """A recipe of a crest or a land with round corners under two lamps across it."""
    recipe = plain_recipe(rng, 30.0)
    light = draws.sectors(rng, recipe.bench)
    radius = between(rng, 10, 40) * recipe.bench.um_per_px
    flat = 0.0 if either(rng, 0.5) else radius * rng.uniform(0.3, 2.0)
    apex = Apex("corners" if flat else "round", float(flat), float(radius), draws.leans(rng))
    return replace(recipe, apex=apex, lighting=light, metered=True)


def sides(rng) -> Picture:
    """An edge under two lamps across it; its partner is a needle in the same light and lens."""
    recipe = _between_lamps(rng)
    subject = made(recipe, rng)
    return replace(subject, partner=_needle(recipe, rng))


def wrong_lamps(rng) -> Picture:
    """As `sides`, but one lamp is dark, the ring stands open, or the lamps lie along the edge."""
    recipe = _between_lamps(rng)
    light, cause = recipe.lighting, str(rng.choice(WRONG_LAMPS))
    if cause == "one lamp dark":
        light = replace(light, sector_closed=int(rng.choice([-1, 1])))
    elif cause == "ring light":
        light = replace(light, kind="ring", sector_turn_deg=0.0)
    else:
        light = replace(light, sector_turn_deg=float(rng.uniform(50, 130)))
    recipe = replace(recipe, lighting=light, cause=cause)
    subject = made(recipe, rng)
    return replace(subject, partner=_needle(recipe, rng))


def _needle(recipe, rng, shine=(0.02, 0.10)):
    """A needle of known thickness under the light, the lens and the camera of a recipe."""
    place = recipe.bench
    frame = Frame(place.rows, place.cols, place.um_per_px, place.ss)
    alpha = between(rng, *shine)  # polished, or slightly rough
    scene = render_needle(
        float(rng.uniform(300, 500)), recipe.lighting, frame, alpha, rng, recipe.edge.tilt_deg
    )
    alone = taken(scene.light, recipe, rng)
    return replace(alone, kind="needle", needle=scene.truth, lighting=recipe.lighting)


GOOD: dict[str, Callable[[np.random.Generator], Picture]] = {
    "plain": plain,
    "hard": hard,
    "chipped": chipped,
    "dusty": dusty,
    "wide": wide,
    "narrow": narrow,
    "corners": corners,
    "round": crest,
    "burr": burr,
    "micro-bevel": microbevelled,
    "tones": tones,
    "cameras": cameras,
    "ring": ring,
    "dome": dome,
    "turned": turned,
    "sides": sides,
}
KINDS: dict[str, Callable[[np.random.Generator], Picture]] = {
    **GOOD,
    **BROKEN,
    "wrong lamps": wrong_lamps,
}


def picture(kind: str, seed: int) -> Picture:
    """A picture of a kind; the same seed gives the same picture.

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    maker = KINDS[kind]
    rng = np.random.default_rng([seed, crc32(kind.encode())])
    return replace(maker(rng), kind=kind, seed=seed)
