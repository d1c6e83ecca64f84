"""How does an edge wear between two lamps? A study of pictures whose W30 is known at every stage.

Invented data: apexes with corners as round as the land is wide, worn so that the square of W30
grows evenly with the cuts.
"""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.pictures import draws
from tests.benchmarks.pictures.camera import Camera
from tests.benchmarks.pictures.draws import AIRY_UM, Bench
from tests.benchmarks.pictures.lamps import Lighting
from tests.benchmarks.pictures.lens import Lens
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.recipe import made, taken
from tests.benchmarks.pictures.recipe_draws import plain_recipe
from tests.benchmarks.pictures.surface import Apex
from tests.benchmarks.pictures.targets import render_needle

UM_PER_PX, AIRY_PX = 0.8, 2.0
THETA_DEG = 60.0
NEEDLE_UM = 300.0
CAMERA = Camera(file="png", colour=False)

STUDY = """title = "Two heat treatments between two lamps"
protocol = "sisal_rope_two_lamps"
invented = true
limit = 25

[scale]
um_per_px = {scale}
light = "two sectors"
needle = "photos/needle.png"
needle_diameter_mm = {needle}
lens_distance_mm = 9000
lamp_distance_mm = 9000

[scales.front]
um_per_px = {scale}
light = "on-axis"
lens_na = {na:.3f}
"""


@dataclass(frozen=True)
class Wear:
    """Growth of the square of W30, µm² a cut, by blade; stages; radius over W30; fresh W30."""

    growth: dict[str, float]
    stages: tuple[int, ...] = (0, 50, 100, 200, 400)
    roundness: float = 0.5
    fresh_um: float = 4.0

    def w30_um(self, blade, cuts):
        """W30 of a blade by the law."""
        return float(np.sqrt(self.fresh_um**2 + self.growth[blade] * cuts))

    def life(self, blade, limit_um):
        """Cuts at which a blade reaches a limit."""
        return (limit_um**2 - self.fresh_um**2) / self.growth[blade]


# Two blades of each of two heat treatments, one of which wears half as fast.
TWO_TREATMENTS = Wear({"S1": 4.0, "S2": 4.3, "H1": 2.0, "H2": 2.1}, stages=(0, 100, 200, 400))


def microscope():
    """A lens and camera that see a crest of 4 µm and a needle of 300 µm."""
    lens = Lens(airy_px=AIRY_PX, disc_px=0.0, vignetting=0.05, glare=0.01)
    return Bench(360, 480, UM_PER_PX, 3, AIRY_UM / (UM_PER_PX * AIRY_PX), lens)


def lamps(place):
    """Two sectors straight across the edge."""
    return Lighting(
        kind="sectors", na_lamp=0.08, na_lens=place.na_lens, alpha=0.08, theta_deg=THETA_DEG
    )


def picture_of(w30_um, roundness, place, light, rng):
    """An apex of a W30 whose corners make up a share of it."""
    radius = roundness * w30_um
    form = "round" if roundness == 1 else "corners"
    apex = Apex(form, w30_um - radius, radius, (70.0, 70.0))
    recipe = plain_recipe(rng, 30.0, place=place, tilt=2.0, bow_px=1.0)
    recipe = replace(recipe, apex=apex, lighting=light, metered=True, camera=CAMERA)
    return made(recipe, rng)


def needle_of(place, light, rng):
    """The needle in the same light."""
    recipe = plain_recipe(rng, 30.0, place=place)
    recipe = replace(recipe, lighting=light, metered=True, camera=CAMERA)
    frame = Frame(place.rows, place.cols, place.um_per_px, place.ss)
    scene = render_needle(NEEDLE_UM, light, frame, 0.05, rng, 0.0)
    return taken(scene.light, recipe, rng)


def write_series(folder, wear, seed=1, on_axis=False):
    """A study in a folder: pictures, needle, study.toml and log.

    Parameters
    ----------
    folder : Path
        Empty.
    wear : Wear
        A blade's first letter is its heat treatment.
    seed : int
    on_axis : bool
        Whether every place is photographed in light through the lens, too.

    Returns
    -------
    dict of str to SceneTruth
        What is true of each photograph: its apex wanders a little about the law.
    """
    rng = np.random.default_rng(seed)
    place = microscope()
    light = lamps(place)
    photos = folder / "photos"
    photos.mkdir(parents=True)
    (photos / "needle.png").write_bytes(needle_of(place, light, rng).data)
    treatments = "".join(
        f'[[heat_treatments]]\nid = "{name}"\n' for name in sorted({b[0] for b in wear.growth})
    )
    blades = "".join(
        f'[[blades]]\nid = "{blade}"\nheat_treatment = "{blade[0]}"\nincluded_angle_deg = 30\n'
        for blade in wear.growth
    )
    text = STUDY.format(scale=UM_PER_PX, needle=NEEDLE_UM / 1000, na=place.na_lens)
    (folder / "study.toml").write_text(f"{text}\n{treatments}{blades}", encoding="utf-8")
    rows, truths = ["blade,cuts,station_mm,photo,scale"], {}
    for blade in wear.growth:
        for cuts in wear.stages:
            w30 = wear.w30_um(blade, cuts)
            views = {"": light}
            if on_axis:
                views["front"] = draws.on_axis(rng, place)
            for scale, lit in views.items():
                name = f"{blade}_{cuts}{scale}.png"
                one = picture_of(w30, wear.roundness, place, lit, rng)
                (photos / name).write_bytes(one.data)
                rows.append(f"{blade},{cuts},20,{name},{scale}")
                truths[name] = one.truth
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return truths
