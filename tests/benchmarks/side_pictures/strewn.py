"""What lies about an edge that is no damage? Dust, fibres, drops, a second body, the end.

Invented from how such things look.
"""

import numpy as np

from tests.benchmarks.side_pictures.edges import line_um
from tests.benchmarks.side_pictures.painting import blob, strand
from tests.benchmarks.side_pictures.side_lighting import Glint
from tests.benchmarks.side_pictures.side_shot import Body


def places(rng, count, low, high, apart, taken=()):
    """Up to ``count`` places between two, no two nearer than ``apart``, and clear of ``taken``.

    ``taken`` holds pairs of a place and how far about it must stay free.
    """
    found: list[float] = []
    for _ in range(60 * count):
        if len(found) == count:
            break
        at = float(rng.uniform(low, high))
        if all(abs(at - one) > apart for one in found) and all(
            abs(at - one) > free + apart / 2 for one, free in taken
        ):
            found.append(at)
    return found


def dust(rng, edge, view, at):
    """A grain that sticks out beyond the edge at a place, and the reach of it, µm."""
    u = view.um_per_px
    radius = float(np.exp(rng.uniform(np.log(3 * u), np.log(14 * u))))
    height = float(line_um(edge, at)) + radius * rng.uniform(0.1, 0.95)
    middle = view.to_px([[at, height]])[0]
    grain = blob(rng, middle, radius / u, rng.uniform(0.1, 0.4))
    body = Body(grain, rng.uniform(0.03, 0.3), rng.uniform(0.75, 1.0), rng.uniform(0.0, 0.8))
    return body, ("dust", at, 1.5 * radius)


def fibre(rng, edge, view, at):
    """A fibre that begins on the blade and runs out over the ground, or lies along the edge."""
    u = view.um_per_px
    length = rng.uniform(40.0, 250.0) * u
    width = max(rng.uniform(8.0, 22.0), 1.2 * u)
    heading = rng.uniform(-0.9, 0.9) - np.pi / 2
    if rng.random() < 0.3:
        heading = rng.choice([0.0, np.pi]) + rng.uniform(-0.3, 0.3)
    start = view.to_px([[at, float(line_um(edge, at)) - rng.uniform(0.0, 10.0) * u]])[0]
    ribbon = strand(rng, start, heading, length / u, width / u)
    body = Body(ribbon, rng.uniform(0.05, 0.4), rng.uniform(0.6, 1.0), rng.uniform(0.2, 1.2))
    away = np.abs(ribbon[:, 0] - start[0]).max() * u
    return body, ("fibre", at, max(float(away), 3 * width))


def drop(rng, edge, view, at):
    """A drop that hangs on the edge: a dark rim with light through its middle."""
    u = view.um_per_px
    half = rng.uniform(12.0, 55.0) * u
    high = half * rng.uniform(0.25, 0.8)
    turn = np.linspace(0, 2 * np.pi, 80, endpoint=False)
    squeeze = 1 + 0.08 * np.cos(turn + rng.uniform(0, 6.3)) + 0.05 * np.cos(2 * turn)
    along = at + half * squeeze * np.cos(turn)
    up = np.where(np.sin(turn) > 0, high, rng.uniform(0.5, 1.2) * half) * squeeze * np.sin(turn)
    body = Body(view.to_px(np.stack([along, float(line_um(edge, at)) + up], 1)),
                rng.uniform(0.02, 0.12), rng.uniform(0.8, 1.0), rng.uniform(0.2, 0.8),
                rng.uniform(0.5, 1.0) if rng.random() < 0.8 else 0.0)  # fmt: skip
    return body, ("drop", at, 1.3 * half)


def glint(rng, edge, view, at, blade):
    """A bright spot on the bevel that touches the edge."""
    u = view.um_per_px
    along = float(np.exp(rng.uniform(np.log(4 * u), np.log(60 * u))))
    across = float(np.exp(rng.uniform(np.log(4 * u), np.log(30 * u))))
    height = float(line_um(edge, at)) - across * rng.uniform(0.2, 0.95)
    light = max(rng.uniform(0.35, 1.4), 2 * blade)
    return Glint(at, height, along, across, light), ("glint", at, 1.5 * along)


def second_body(rng, view, edge):
    """A rest, a thumb or another blade in the picture; the stretch that it hides, if any."""
    kind = str(rng.choice(["rest", "thumb", "blade"]))
    cols, rows = view.cols, view.rows
    light = rng.uniform(0.02, 0.25)
    if kind == "blade":  # comes from the other side of the picture, its edge towards ours
        low = rng.uniform(0.06, 0.2) * rows
        x = np.linspace(-10, cols + 10, 200)
        y = (
            low
            + (x / cols - 0.5) * rng.uniform(-0.08, 0.08) * cols
            + rng.standard_normal(200) * 0.3
        )
        outline = np.concatenate([np.stack([x, y], 1), [[cols + 10, -50], [-10, -50]]])
        return Body(outline, light, 1.0, rng.uniform(0.0, 2.0)), None
    if kind == "thumb":  # a round tip from one side of the picture, over the ground or the edge
        half = rng.uniform(0.08, 0.18) * cols
        into = rng.uniform(0.08, 0.2) * cols
        left = rng.random() < 0.5
        covers = rng.random() < 0.5
        middle_y = rows * (rng.uniform(0.3, 0.6) if covers else rng.uniform(-0.02, 0.05))
        turn = np.linspace(-np.pi / 2, np.pi / 2, 60)
        x = np.concatenate([[-50.0], into * np.cos(turn), [-50.0]])
        y = middle_y + np.concatenate([[-half], half * np.sin(turn), [half]])
        outline = np.stack([x if left else cols - x, y], 1)
        hidden = ("second body", 0.0 if left else cols, into) if covers else None
        return Body(outline, light + 0.1, 1.0, rng.uniform(1.0, 4.0)), _place(view, hidden)
    width = rng.uniform(0.06, 0.15) * cols  # a post that crosses the whole picture
    x = rng.uniform(0.15, 0.85) * cols
    lean = rng.uniform(-0.1, 0.1) * rows
    outline = np.array([[x + lean, -20], [x + lean + width, -20], [x + width, rows + 20],
                        [x, rows + 20]])  # fmt: skip
    return (Body(outline, light, 1.0, rng.uniform(0.5, 3.0)),
            _place(view, ("second body", x + width / 2, width / 2 + abs(lean))))  # fmt: skip


def _place(view, hidden):
    """A stretch told by columns as places on the edge, µm."""
    if hidden is None:
        return None
    kind, column, half = hidden
    return kind, view.middle_um + (column - view.cols / 2) * view.um_per_px, half * view.um_per_px
