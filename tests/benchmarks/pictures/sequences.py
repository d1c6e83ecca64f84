"""What does a walk along the edge, or through focus, leave on the card? Surveys and focus stacks.

A survey: overlapping frames along one edge, cut from one long scene. A focus stack: frames of one
leaning scene, the focus one step further in each. Both with the truth of where each frame stood.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.benchmarks.pictures.framing import defocused, focus_bank, placing, seen

# Makes a file of the light that reaches the sensor, (rows * ss, columns * ss).
Shoot = Callable[[np.ndarray, np.random.Generator], bytes]

FRAME = (420, 560)  # rows and columns of a survey's frames
OTHER_FRAME = (480, 640)  # of every second frame where a survey has two sizes
STACK_FRAME = (420, 560)
MARGIN = 60  # pixels of scene beyond the frames, for turns and shifts


@dataclass(frozen=True)
class SurveyPlan:
    """How somebody walks along the edge.

    Attributes
    ----------
    frames
        How many.
    least_shift, most_shift
        Share of the frame's width by which each frame lies further along; the rest overlaps.
    turn_deg
        Most that a frame is turned, either way.
    zoom_step
        Growth of the magnification from frame to frame.
    two_sizes
        Every second frame is larger, at the same pixels per micrometre.
    foreign
        Which frame is of another edge, if any.
    gap
        Which frame lies so far along that nothing of the one before is in it, if any.
    """

    frames: int = 5
    least_shift: float = 0.3
    most_shift: float = 0.7
    turn_deg: float = 0.0
    zoom_step: float = 0.0
    two_sizes: bool = False
    foreign: int | None = None
    gap: int | None = None


@dataclass(frozen=True)
class Survey:
    """Frames along one edge, and where each lay.

    Attributes
    ----------
    frames
        Files, in the order of taking.
    to_scene
        One 3 by 3 matrix a frame: from its pixels (x, y) to those of the scene.
    shapes
        (rows, columns) of each frame.
    cause
        '', 'foreign frame' or 'gap'.
    """

    frames: tuple[bytes, ...]
    to_scene: tuple[np.ndarray, ...]
    shapes: tuple[tuple[int, int], ...]
    plan: SurveyPlan
    cause: str

    def step(self, index: int) -> np.ndarray:
        """Matrix from pixels of frame `index + 1` to pixels of frame `index`."""
        return np.linalg.inv(self.to_scene[index]) @ self.to_scene[index + 1]

    def shift_px(self, index: int) -> np.ndarray:
        """Where the middle of frame `index + 1` lies, from the middle of frame `index`: (x, y)."""
        middles = [
            np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2, 1.0])
            for shape in self.shapes[index : index + 2]
        ]
        return (self.step(index) @ middles[1] - middles[0])[:2]


def scene_size(plan: SurveyPlan) -> tuple[int, int]:
    """Rows and columns of a scene that a walk stays within."""
    walk = (plan.frames - 1) * plan.most_shift + (0.9 if plan.gap is not None else 0)
    shape = OTHER_FRAME if plan.two_sizes else FRAME
    return shape[0] + 2 * MARGIN, int(walk * FRAME[1] + shape[1] + 2 * MARGIN)


def survey(
    scene: np.ndarray,
    other: np.ndarray | None,
    ss: int,
    shoot: Shoot,
    plan: SurveyPlan,
    rng: np.random.Generator,
) -> Survey:
    """Walk along a scene's light, frame by frame.

    Parameters
    ----------
    scene
        Light of `scene_size(plan)` pixels, `ss` samples to the pixel each way.
    other
        Light of another edge, of a frame's size and its margins, for a foreign frame.
    """
    along = MARGIN + (OTHER_FRAME if plan.two_sizes else FRAME)[1] / 2
    height = scene.shape[0] / ss / 2
    frames, matrices, shapes = [], [], []
    for index in range(plan.frames):
        shape = OTHER_FRAME if plan.two_sizes and index % 2 else FRAME
        if index:
            share = 1.15 if index == plan.gap else rng.uniform(plan.least_shift, plan.most_shift)
            along += share * FRAME[1]
        middle = (along, height + rng.uniform(-0.03, 0.03) * shape[0])
        turn = rng.uniform(-1, 1) * plan.turn_deg if index else 0.0
        matrix = placing(middle, turn, (1 + plan.zoom_step) ** index, shape)
        if index == plan.foreign:
            light = seen(other, ss, placing(_middle(other, ss), turn, 1.0, shape), shape)
        else:
            light = seen(scene, ss, matrix, shape)
        frames.append(shoot(light, rng))
        matrices.append(matrix)
        shapes.append(shape)
    cause = "foreign frame" if plan.foreign is not None else "gap" if plan.gap is not None else ""
    return Survey(tuple(frames), tuple(matrices), tuple(shapes), plan, cause)


def _middle(light, ss):
    return (light.shape[1] / ss - 1) / 2, (light.shape[0] / ss - 1) / 2


@dataclass(frozen=True)
class StackPlan:
    """How somebody focuses through a leaning edge.

    Attributes
    ----------
    frames
        How many, the focus one equal step further in each.
    most_radius_px
        Radius of the disc of defocus at the end that lies farthest from focus.
    shift_px
        Most that a frame is shifted, either way, along and across.
    zoomed
        Which frame is larger by `zoom`, if any.
    foreign
        Which frame is of another edge, if any.
    """

    frames: int = 7
    most_radius_px: float = 12.0
    shift_px: float = 0.0
    zoomed: int | None = None
    zoom: float = 1.006
    foreign: int | None = None


@dataclass(frozen=True)
class Stack:
    """Frames through focus, and what was sharp in each.

    Attributes
    ----------
    frames
        Files, in the order of taking.
    radius_px
        (frames, columns): radius of the disc of defocus on the land, by column of the scene.
    to_scene
        One 3 by 3 matrix a frame: from its pixels (x, y) to those of the unshifted frame.
    cause
        '' or 'foreign frame'.
    """

    frames: tuple[bytes, ...]
    radius_px: np.ndarray
    to_scene: tuple[np.ndarray, ...]
    plan: StackPlan
    cause: str


def stack(
    scene: np.ndarray,
    other: np.ndarray | None,
    depth: np.ndarray,
    ss: int,
    shoot: Shoot,
    plan: StackPlan,
    rng: np.random.Generator,
) -> Stack:
    """Focus through a scene's light.

    Parameters
    ----------
    scene, other
        Light of `STACK_FRAME` and `MARGIN` all round, `ss` samples to the pixel each way.
    depth
        Depth below the highest point of the land, of the shape of `scene`, in units in which the
        land runs from 0 to 1; what lies deeper than 1 is held to the blur of the bevels.
    """
    rows, columns = (size + 2 * MARGIN for size in STACK_FRAME)
    most = plan.most_radius_px * ss
    bank = focus_bank(scene, most)
    foreign_bank = None if plan.foreign is None else focus_bank(other, most)
    land = depth.min(axis=0)  # the land lies nearest to the lens in every column
    frames, matrices, radii = [], [], []
    for index, focus in enumerate(np.linspace(0, 1, plan.frames)):
        used = foreign_bank if index == plan.foreign else bank
        light = defocused(used, most, np.minimum(np.abs(depth - focus), 1.0) * most)
        zoom = plan.zoom if index == plan.zoomed else 1.0
        shift = rng.uniform(-1, 1, 2) * plan.shift_px if index else np.zeros(2)
        middle = np.array([(columns - 1) / 2, (rows - 1) / 2])
        matrix = placing(middle + shift, 0.0, zoom, STACK_FRAME)
        frames.append(shoot(seen(light, ss, matrix, STACK_FRAME), rng))
        matrices.append(np.linalg.inv(placing(middle, 0.0, 1.0, STACK_FRAME)) @ matrix)
        radii.append(plan.most_radius_px * np.abs(land - focus).reshape(columns, ss).mean(axis=1))
    inner = np.array(radii)[:, MARGIN : MARGIN + STACK_FRAME[1]]
    cause = "" if plan.foreign is None else "foreign frame"
    return Stack(tuple(frames), inner, tuple(matrices), plan, cause)


SURVEYS: dict[str, SurveyPlan] = {
    "straight": SurveyPlan(),
    "turned": SurveyPlan(turn_deg=1.5),
    "growing": SurveyPlan(zoom_step=0.006, turn_deg=0.5),
    "two sizes": SurveyPlan(two_sizes=True, turn_deg=0.7),
    "little overlap": SurveyPlan(least_shift=0.65, turn_deg=0.7),
    "long": SurveyPlan(frames=9, turn_deg=1.0, zoom_step=0.002),
    "foreign": SurveyPlan(foreign=2),
    "gap": SurveyPlan(gap=3),
}
STACKS: dict[str, StackPlan] = {
    "steady": StackPlan(),
    "few": StackPlan(frames=5, most_radius_px=8.0),
    "many": StackPlan(frames=9, most_radius_px=18.0),
    "shifted": StackPlan(shift_px=3.0),
    "one zoomed": StackPlan(zoomed=3),
    "foreign": StackPlan(foreign=2),
}
