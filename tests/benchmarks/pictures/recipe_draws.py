"""What does a plain picture of a worn edge need? The recipe that the other kinds begin with."""

from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.draws import between
from tests.benchmarks.pictures.recipe import Recipe


def plain_recipe(rng, land_px=None, place=None, tilt=6.0, **line) -> Recipe:
    """A flat land under light through the objective, in focus, by a camera that writes sRGB.

    Parameters
    ----------
    land_px
        Width of the land in pixels; 9 to 60 where it is not told.
    place
        The `draws.Bench`; drawn where it is not told.
    tilt
        Most that the edge leans, in degrees; `line` goes to `draws.edge` beside it.
    """
    place = place or draws.bench(rng)
    land_px = land_px or between(rng, 9, 60)
    return Recipe(
        bench=place,
        apex=draws.flat_apex(rng, land_px * place.um_per_px),
        edge=draws.edge(rng, place, tilt, land_px=land_px, **line),
        ground=draws.ground(rng, place.um_per_px),
        lighting=draws.on_axis(rng, place),
        lens=place.lens,
        camera=draws.camera(rng),
    )
