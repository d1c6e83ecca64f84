"""Back-lit photographs of a blade's side with known chips and rolls, for tests and samples."""

import cv2
import numpy as np

from edgetest.photo.render.camera import expose

SHAPES = ("notch", "bowl", "round", "dent", "step")


def departure(x, shape):
    """Depth (0..1) of a departure at x in [-1, 1]; 0 outside.

    "notch" is a V, "bowl" a parabola, "round" half an ellipse, "dent" a raised cosine,
    "step" a flat bottom with steep sides.
    """
    x = np.clip(np.abs(x), 0, 1)
    if shape == "notch":
        return 1 - x
    if shape == "bowl":
        return 1 - x * x
    if shape == "round":
        return np.sqrt(1 - x * x)
    if shape == "dent":
        return 0.5 + 0.5 * np.cos(np.pi * x)
    return np.clip((1 - x) / 0.3, 0, 1)


def render_profile(
    *,
    shape=(720, 960),
    um_per_px=2.0,
    side="bottom",
    tilt_deg=0.0,
    curve=0.0,
    recurve=0.0,
    tip=False,
    damage=(),
    roughness_px=0.1,
    rough_length_px=12.0,
    bright=0.85,
    dark=0.04,
    uneven=0.0,
    dust=0,
    dust_on_edge=0,
    inverse=False,
    rng=None,
    edge_rng=None,
    edge_start_px=0.0,
    edge_kept=1.0,
    **camera,
):
    """Silhouette of a blade against the light (`camera` goes to `camera.expose`).

    Parameters
    ----------
    shape : (int, int)
        Rows and columns.
    um_per_px : float
        Scale, µm.
    side : {"bottom", "top", "left", "right"}
        Where the blade comes from.
    tilt_deg : float
        Lean of the edge.
    curve, recurve : float
        Rise of the edge's middle (a belly), and of its S, as shares of the picture's width.
    tip : bool
        The blade ends inside the picture.
    damage : sequence of dict
        Each {position (0..1 along the edge), length_px, depth_px (> 0 chip, < 0 roll), shape}.
    roughness_px, rough_length_px : float
        Standard deviation and correlation length of the ground edge.
    bright, dark, uneven : float
        Light of ground and blade; share of light lost across the ground.
    dust : int
        Specks on the ground, none so near the edge that it would pass for damage.
    dust_on_edge : int
        Specks that lie on the sound edge, from all but free of it to half sunk in.
    inverse : bool
        Bright blade before a dark ground.
    rng : numpy.random.Generator
        For roughness, dust and the camera's noise.
    edge_rng : numpy.random.Generator, optional
        For the roughness, where another picture shows the same edge: same seed, same roughness.
    edge_start_px : float
        How far along that edge the picture begins, in whole quarters of a pixel.
    edge_kept : float
        Share of that edge's roughness which is still there; the rest is worn anew.

    Returns
    -------
    (ndarray of uint8 or uint16, dict)
        The picture and its truth: chips and rolls with position, length (where it exceeds a
        tenth of the depth), depth and area, µm; positions from the left or upper end.
    """
    rng = np.random.default_rng(0) if rng is None else rng
    turned = side in ("left", "right")
    rows, cols = shape[::-1] if turned else shape
    outline, edge, depth = _outline(rows, cols, tilt_deg, curve, recurve, tip, damage,
                                    roughness_px, rough_length_px, rng,
                                    (edge_rng, edge_start_px, edge_kept))  # fmt: skip
    cover = _fill(outline, rows, cols)
    ground = np.full((rows, cols), bright, np.float32)
    if uneven:
        y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
        turn = rng.uniform(0, 2 * np.pi)
        ramp = (x / cols - 0.5) * np.cos(turn) + (y / rows - 0.5) * np.sin(turn)
        ground *= 1 - uneven * np.clip(0.5 + ramp, 0, 1)
    for _ in range(dust):
        where = int(rng.uniform(0, cols)), int(rng.uniform(0, rows))
        size, light = int(rng.uniform(1, 5)), float(rng.uniform(0.2, 0.6))
        left, top = max(0, where[0] - 25), max(0, where[1] - 25)
        if not cover[top : where[1] + 25, left : where[0] + 25].any():
            cv2.circle(ground, where, size, light, -1)
    if dust_on_edge:
        _lay_dust(ground, outline[: depth.size][depth == 0], dust_on_edge, rng)
    light = ground * (1 - cover) + dark * cover
    if inverse:
        light = bright + dark - light
    turns = {"bottom": 0, "left": 3, "top": 2, "right": 1}[side]
    picture = expose(np.ascontiguousarray(np.rot90(light, turns)), rng=rng, **camera)
    turned_end = side in ("top", "right")  # the picture's left or upper end of the edge
    return picture, _truth(edge, depth, damage, um_per_px, turned_end)


def _lay_dust(ground, edge, number, rng):
    """Round specks, more or less dark, on the edge (its points x, y; the blade lies below)."""
    rows, cols = ground.shape
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    for point in edge[rng.integers(len(edge) // 10, len(edge) * 9 // 10, number)]:
        radius, shown = rng.uniform(2, 6), rng.uniform(0.0, 0.9)
        away = np.hypot(x - point[0], y - (point[1] - shown * radius))
        share = np.clip(radius + 0.5 - away, 0, 1)
        ground *= 1 - share * (1 - rng.uniform(0.05, 0.6))


def _outline(rows, cols, tilt_deg, curve, recurve, tip, damage, rough, rough_length, rng, edge):
    """Blade's outline as a polygon, the arc along its edge, and the departures, pixels."""
    x = np.arange(-80, cols + 80, 0.25)
    t = (x - cols / 2) / cols
    y = rows / 2 + np.tan(np.deg2rad(tilt_deg)) * (x - cols / 2)
    y = y - curve * cols * (1 - 4 * t * t) + recurve * cols * np.sin(2 * np.pi * t)
    if tip:
        x, y = x[x < 0.85 * cols], y[x < 0.85 * cols]
    slope = np.gradient(y, x)
    norm = np.hypot(1, slope)
    arc = np.concatenate([[0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    inside = (x >= 0) & (x <= cols - 1) & (y >= 0) & (y <= rows - 1)
    arc = arc - arc[inside][0]
    length = arc[inside][-1]
    depth = np.zeros_like(x)
    for item in damage:
        place = item["position"] * length
        here = departure((arc - place) / (item["length_px"] / 2), item["shape"])
        here[np.abs(arc - place) > item["length_px"] / 2] = 0
        depth += item["depth_px"] * here
    own, (edge_rng, start, kept) = _rough(arc, rough, rough_length, rng), edge
    if edge_rng is not None:
        shared = _rough(arc, rough, rough_length, edge_rng, start)
        own = kept * shared + np.sqrt(1 - kept**2) * own
    shift = depth + own
    # The blade lies below the edge (rows grow downwards): its inward normal is (-slope, 1).
    edge_x, edge_y = x - shift * slope / norm, y + shift / norm
    if tip:
        back = np.array([[-100, edge_y[-1] + 0.45 * rows]])
    else:
        back = np.array([[cols + 100, rows + 200], [-100, rows + 200]])
        back[0, 1] = max(back[0, 1], edge_y[-1] + 50)
        back[1, 1] = max(back[1, 1], edge_y[0] + 50)
    outline = np.vstack([np.stack([edge_x, edge_y], axis=-1), back])
    return outline, (arc, length), depth


def _rough(arc, sd, length, rng, start=0.0):
    """Smooth random waviness of standard deviation `sd`, from `start` px along its edge on."""
    if sd <= 0:
        return np.zeros_like(arc)
    step = float(np.mean(np.diff(arc)))
    skipped = round(start / 0.25)
    white = rng.normal(size=skipped + arc.size)
    reach = np.arange(-int(4 * length / step), int(4 * length / step) + 1) * step
    kernel = np.exp(-((reach / length) ** 2))
    wave = np.convolve(white, kernel, mode="same")[skipped:]
    return sd * wave / wave.std()


def _fill(outline, rows, cols):
    """Share of each pixel that the polygon covers: exact areas, added up along each row.

    Each piece of outline inside one pixel gives that pixel the area to its right and all
    pixels further right its whole height; the sum along the row is the coverage.
    """
    x, y = (outline + 0.5).T
    pieces = np.stack([x, y, np.roll(x, -1), np.roll(y, -1)])
    pieces = _split(_split(pieces, 0), 1)
    x0, y0, x1, y1 = pieces
    column, row = np.floor((x0 + x1) / 2).astype(int), np.floor((y0 + y1) / 2).astype(int)
    inside = (row >= 0) & (row < rows) & (column < cols)
    column, row = np.maximum(column, -1)[inside], row[inside]
    height = (y1 - y0)[inside]
    right = np.clip(column + 1 - (x0 + x1)[inside] / 2, 0, 1)
    area = np.zeros((rows, cols + 2))
    np.add.at(area, (row, column + 1), height * right)
    np.add.at(area, (row, column + 2), height * (1 - right))
    return np.minimum(np.abs(np.cumsum(area, axis=1)[:, 1:-1]), 1).astype(np.float32)


def _split(pieces, axis):
    """Straight pieces (x0, y0, x1, y1) cut wherever they cross a whole number of one axis."""
    start, end = pieces[axis], pieces[axis + 2]
    low, high = np.floor(np.minimum(start, end)), np.ceil(np.maximum(start, end))
    number = np.maximum(high - low, 1).astype(int)
    which = np.repeat(np.arange(number.size), number)
    order = np.arange(which.size) - np.repeat(np.cumsum(number) - number, number)
    run = np.where(end == start, 1.0, end - start)
    rising = np.sign(run)[which]
    first = np.where(run > 0, low, high)[which] + rising * order
    share = np.clip((np.stack([first, first + rising]) - start[which]) / run[which], 0, 1)
    share[:, (end == start)[which]] = [[0.0], [1.0]]
    x0, y0, x1, y1 = pieces[:, which]
    return np.stack([x0 + share[0] * (x1 - x0), y0 + share[0] * (y1 - y0),
                     x0 + share[1] * (x1 - x0), y0 + share[1] * (y1 - y0)])  # fmt: skip


def _truth(edge, depth, damage, um_per_px, turned_end):
    """Chips and rolls in µm, plain numbers."""
    length = edge[1]
    chips: list[dict] = []
    rolls: list[dict] = []
    for item in damage:
        x = np.linspace(-1, 1, 4001)
        one = departure(x, item["shape"])
        over = np.mean(one > 0.1) * item["length_px"]
        place = item["position"]
        found = {
            "position_um": (1 - place if turned_end else place) * length * um_per_px,
            "length_um": float(over * um_per_px),
            "depth_um": abs(item["depth_px"]) * um_per_px,
            "area_um2": float(one.mean() * item["length_px"] * abs(item["depth_px"]))
            * um_per_px**2,
        }
        (chips if item["depth_px"] > 0 else rolls).append(found)
    return {
        "um_per_px": float(um_per_px),
        "edge_length_um": float(length * um_per_px),
        "chips": sorted(chips, key=lambda found: found["position_um"]),
        "rolls": sorted(rolls, key=lambda found: found["position_um"]),
        "largest_px": float(np.abs(depth).max()),
    }
