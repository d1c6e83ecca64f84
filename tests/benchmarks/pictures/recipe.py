"""How does a recipe become a picture with its truth? Subject, light, lens and camera, in order."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.pictures.camera import Camera, develop
from tests.benchmarks.pictures.draws import Bench
from tests.benchmarks.pictures.framing import placing, seen
from tests.benchmarks.pictures.grain import Ground
from tests.benchmarks.pictures.greysteps import grey_steps
from tests.benchmarks.pictures.ground_scene import SceneTruth, render_scene
from tests.benchmarks.pictures.lamps import Lighting
from tests.benchmarks.pictures.lens import Lens, bent_points, edge_rise, expose
from tests.benchmarks.pictures.profile_light import Frame
from tests.benchmarks.pictures.surface import Apex, Damage, Edge
from tests.benchmarks.pictures.targets import NeedleTruth, RulingTruth

# A metering camera holds this share of the picture below full scale, and never opens for a
# picture that is darker than that (invented).
METERED_AT = 0.99
METERED_DARK = 0.5


@dataclass(frozen=True)
class Recipe:
    """Everything that a picture is made of.

    Attributes
    ----------
    turn_deg
        The whole blade turned before the lens; 90 stands the edge upright.
    change
        What is done to the light before the lens: haze, a second edge, or nothing.
    exposures
        Further exposures of the same view, as shares of the camera's own.
    metered
        Whether the camera lets in less where something is brighter than the land.
    steps
        Whether a picture of grey steps by the same camera goes with it.
    """

    bench: Bench
    apex: Apex
    edge: Edge
    ground: Ground
    lighting: Lighting
    lens: Lens
    camera: Camera
    damages: tuple[Damage, ...] = ()
    turn_deg: float = 0.0
    change: Callable[[np.ndarray, np.random.Generator], np.ndarray] | None = None
    cause: str = ""
    metered: bool = False
    exposures: tuple[float, ...] = ()
    steps: bool = False


@dataclass(frozen=True)
class GreySteps:
    """A picture of patches of known light by the same camera.

    Attributes
    ----------
    luminances
        (n,) light of each patch; the clean land is 1.
    boxes
        (n, 4) first and last + 1 row, then column, of the inner part of each patch.
    """

    data: bytes
    luminances: np.ndarray
    boxes: np.ndarray


@dataclass(frozen=True)
class Picture:
    """A file as a camera wrote it, and all that is true of it.

    Attributes
    ----------
    um_per_px
        Micrometres of the blade to a pixel of the file.
    cause
        Why it shows no width that anybody should trust; '' for a good picture.
    tone
        The tone chain in words.
    truth
        Of the subject before the lens, in pixels of the scene; None where no edge was drawn.
    blur_px
        Blur of lens and pixel across the edge, as a Gaussian's deviation, in pixels of the file.
    to_file
        3 by 3 matrix from pixels (x, y) of the scene to those of the file, distortion left out.
    file_shape
        Rows and columns of the file.
    needle, ruling
        Truth of a needle or of a stage micrometer that lies in the edge's place.
    partner
        A needle in the same light, through the same lens and camera.
    """

    data: bytes
    kind: str
    seed: int
    um_per_px: float
    cause: str
    tone: str
    blur_px: float
    truth: SceneTruth | None = None
    lighting: Lighting | None = None
    apex: Apex | None = None
    edge: Edge | None = None
    ground: Ground | None = None
    lens: Lens | None = None
    camera: Camera | None = None
    clipped: float = 0.0
    dark_level: float = 0.0
    land_level: float = 1.0
    to_file: np.ndarray | None = None
    file_shape: tuple[int, int] = (0, 0)
    grey_steps: GreySteps | None = None
    exposures: tuple[tuple[float, bytes], ...] = ()
    needle: NeedleTruth | None = None
    ruling: RulingTruth | None = None
    partner: "Picture | None" = None

    @property
    def width_px(self) -> float:
        """Full width at half height of the clean land, across it, in pixels of the file."""
        return float("nan") if self.truth is None else self.truth.width_um / self.um_per_px

    def borders(self) -> tuple[np.ndarray, np.ndarray]:
        """Clean borders as points (n, 2), x and y, in pixels of the file, distortion and all."""
        found = []
        for y in (self.truth.y1, self.truth.y2):
            points = np.column_stack([np.arange(len(y)), y, np.ones(len(y))])
            points = (points[np.isfinite(y)] @ self.to_file.T)[:, :2]
            found.append(bent_points(points, self.file_shape, self.lens))
        return found[0], found[1]


def _turned_scene(recipe, rng):
    """Light of a blade at any angle: a larger scene, and the frame turned in it."""
    place, shape = recipe.bench, (recipe.bench.rows, recipe.bench.cols)
    reach = int(np.hypot(*shape)) + 12
    frame = Frame(reach, reach, place.um_per_px, place.ss)
    scene = _rendered(recipe, frame, rng)
    middle = ((reach - 1) / 2, (reach - 1) / 2)
    matrix = placing(middle, -recipe.turn_deg, 1.0, shape)
    return seen(scene.light, place.ss, matrix, shape), scene.truth, np.linalg.inv(matrix)


def _rendered(recipe, frame, rng):
    return render_scene(
        recipe.apex, recipe.edge, recipe.damages, recipe.ground, recipe.lighting, frame, rng
    )


def light_of(recipe, rng):
    """Light of a recipe before the lens, its truth, and the way from scene to frame."""
    place = recipe.bench
    if recipe.turn_deg:
        light, truth, matrix = _turned_scene(recipe, rng)
    else:
        frame = Frame(place.rows, place.cols, place.um_per_px, place.ss)
        scene = _rendered(recipe, frame, rng)
        light, truth, matrix = scene.light, scene.truth, np.eye(3)
    if recipe.change is not None:
        light = recipe.change(light, rng).astype(np.float32)
    return light, truth, matrix


def taken(light, recipe, rng):
    """The picture that a recipe's lens and camera take of a light: all but the subject's truth."""
    place = recipe.bench
    irradiance = expose(light, place.ss, recipe.lens)
    across = 90 + recipe.edge.tilt_deg + recipe.turn_deg
    blur = edge_rise(recipe.lens, place.ss, across)
    photo = develop(irradiance, recipe.camera, rng, blur)
    others = tuple(
        (share, develop(irradiance, _exposed(recipe.camera, share), rng).data)
        for share in recipe.exposures
    )
    steps = GreySteps(*grey_steps(recipe.camera, rng)) if recipe.steps else None
    scale = np.diag([photo.scale_x, photo.scale_y, 1.0])
    scale[:2, 2] = (photo.scale_x - 1) / 2, (photo.scale_y - 1) / 2
    return Picture(
        data=photo.data,
        kind="",
        seed=0,
        um_per_px=place.um_per_px / float(np.sqrt(photo.scale_x * photo.scale_y)),
        cause=recipe.cause,
        tone=photo.tone,
        blur_px=photo.blur_px,
        lens=recipe.lens,
        camera=recipe.camera,
        clipped=photo.clipped,
        dark_level=photo.dark_level,
        land_level=photo.land_level,
        to_file=scale,
        file_shape=tuple(
            round(n * s) for n, s in ((place.rows, photo.scale_y), (place.cols, photo.scale_x))
        ),
        grey_steps=steps,
        exposures=others,
    )


def _exposed(camera, share):
    return replace(camera, exposure=camera.exposure * share)


def made(recipe, rng) -> Picture:
    """The picture of a recipe, with its truth."""
    light, truth, matrix = light_of(recipe, rng)
    if recipe.metered:
        brightest = float(np.quantile(light[::4, ::4], METERED_AT))
        recipe = replace(recipe, camera=_exposed(recipe.camera, 1 / max(brightest, METERED_DARK)))
    return replace(
        (plain := taken(light, recipe, rng)),
        truth=truth,
        lighting=recipe.lighting,
        apex=recipe.apex,
        edge=recipe.edge,
        ground=recipe.ground,
        to_file=plain.to_file @ matrix,
    )
