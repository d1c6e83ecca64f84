"""Pictures of a measurement, so that a person can disagree with it.

The photograph with the path along the edge, both fitted sides, the stretches that were
left out, damage numbered, a scale bar of stated length and a sentence beneath. A notch's number
stands in a triangle that points into the land, a lip's in one that points out of it, a roll's in
a square, that of damage seen from the side in a disc. Points are (row, column) in pixels of the
photograph.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.report.figures.picture_canvas import (
    badge,
    canvas_of,
    draw_bar,
    line,
    polyline,
    stroke,
    with_sentence,
    write_plate,
)

# Bright on a photograph of steel, and apart from each other in grey as well.
SIDES = (255, 170, 60)
PATH = (120, 220, 255)
LEFT_OUT = (255, 90, 160)


@dataclass(frozen=True)
class View:
    """Which part of a photograph is shown, and how large.

    Parameters
    ----------
    crop : bool
        Cut to the neighbourhood of the edge.
    tall : float
        Least height of a cut as a share of its width, and the other way about.
    window : (int, int, int, int), optional
        First row, first column, end row and end column to show, in place of a cut.
    width_px : int, optional
        Width of the picture that comes back; if not given, at least 1200 pixels by whole
        multiples and never smaller than the photograph.
    size : float
        Of letters and lines; above 1 for a picture that will be shown small.
    """

    crop: bool = False
    tall: float = 0.5
    window: tuple[int, int, int, int] | None = None
    width_px: int | None = None
    size: float = 1.0


WHOLE = View()


def draw_overlay(
    picture, measurement=None, *, view=WHOLE, um_per_px=None, sentence=None, refusal=None
):
    """The photograph with what was measured drawn on it.

    Parameters
    ----------
    picture : Picture or array
        As `edgetest.store.images.read_picture` gives it, or linear light 0..1 (rows, columns).
    measurement : ApexMeasurement, ProfileMeasurement or CrestSize, optional
        What was measured; a refused one has its reason written on the picture. Without
        it there is the photograph and, given a scale, its bar.
    view : View
    um_per_px : float, optional
        Scale for the bar; that of the measurement if not given. No scale, no bar.
    sentence : str, optional
        Words beneath; the measurement's own summary if not given.
    refusal : str, optional
        Why there is no measurement, where none was begun (no scale, for instance), or in other
        words than its own.

    Returns
    -------
    array, shape (rows, columns, 3), uint8
        RGB.
    """
    grey = np.asarray(getattr(picture, "grey", picture), dtype=np.float32)
    window = view.window or _window(grey.shape, measurement, view)
    canvas = canvas_of(grey, window, view.width_px, view.size)
    um_per_px = um_per_px or getattr(measurement, "um_per_px", None)
    if measurement is not None and measurement.status == "refused" and not refusal:
        refusal = " ".join(reason.text for reason in measurement.reasons)
    if measurement is not None and not refusal:
        _draw(canvas, measurement)
    if um_per_px and np.isfinite(um_per_px):
        draw_bar(canvas, um_per_px)
    if refusal:
        write_plate(canvas, f"Not measured. {refusal}")
        return with_sentence(canvas, sentence or "")
    if sentence is None:
        sentence = measurement.summary() if measurement is not None else ""
        sentence = sentence[:1].upper() + sentence[1:]
    return with_sentence(canvas, sentence)


def draw_result(picture, result, measurement, *, view=WHOLE, words=str):
    """The photograph of a result with its measurement drawn on it, or why there is none.

    Parameters
    ----------
    picture : Picture or array
    result : PhotoResult or SideViewResult
    measurement : ApexMeasurement or ProfileMeasurement, optional
        The result's own, with its arrays.
    view : View
    words : callable
        What a reason why there is none becomes where it is read.

    Returns
    -------
    array, shape (rows, columns, 3), uint8
        As `draw_overlay`, without a sentence beneath.
    """
    scale = (result.numbers.get("scale") or {}).get("um_per_px")
    reasons = () if result.measured else result.numbers["reasons"]
    why = " ".join(words(each["text"]) for each in reasons) or None
    return draw_overlay(picture, measurement, view=view, um_per_px=scale, sentence="", refusal=why)


def draw_ruling(picture, lines_rc, *, view=WHOLE):
    """A photograph of a stage micrometer with the lines that were found.

    Parameters
    ----------
    picture : Picture or array
        As for `draw_overlay`.
    lines_rc : array, shape (n, 2, 2)
        Row and column of both ends of each line.
    view : View

    Returns
    -------
    array, shape (rows, columns, 3), uint8
        RGB.
    """
    grey = np.asarray(getattr(picture, "grey", picture), dtype=np.float32)
    canvas = canvas_of(grey, (0, 0, *grey.shape), view.width_px, view.size)
    for ends in lines_rc:
        line(canvas, ends, LEFT_OUT, 2.0, outline=False)
    return canvas.pixels


def _window(shape, measurement, view):
    """(top, left, bottom, right) of the part that is shown."""
    path = _path_of(measurement)
    if not view.crop or path is None or len(path) == 0:
        return 0, 0, shape[0], shape[1]
    path = np.asarray(path, dtype=float)
    top, left = path.min(axis=0)
    bottom, right = path.max(axis=0)
    reach = max(right - left, bottom - top)
    wide = float(np.nanmean(getattr(measurement, "width_px", [reach / 12])))
    margin = max(1.5 * wide, 0.02 * reach)
    # A level edge would leave a strip: show some height as well.
    spare_r = max(margin, (view.tall * (right - left) - (bottom - top)) / 2)
    spare_c = max(0.05 * reach, (view.tall * (bottom - top) - (right - left)) / 2)
    return (
        max(0, int(top - spare_r)),
        max(0, int(left - spare_c)),
        min(shape[0], int(bottom + spare_r) + 1),
        min(shape[1], int(right + spare_c) + 1),
    )


def _draw(canvas, measurement):
    """What was measured, as its kind asks."""
    if hasattr(measurement, "contour_rc"):
        _draw_profile(canvas, measurement)
    elif hasattr(measurement, "crest"):
        _draw_lines(canvas, measurement.crest)
    else:
        _draw_apex(canvas, measurement)


def _path_of(measurement):
    """Points of what was found, or None."""
    lines = getattr(measurement, "crest", None)
    if lines is not None:
        return np.concatenate([lines.first_rc, lines.second_rc])
    path = getattr(measurement, "centre_rc", None)
    return path if path is not None else getattr(measurement, "contour_rc", None)


def _draw_lines(canvas, lines):
    """Both glints of a crest, where they were found."""
    used = np.asarray(lines.used, dtype=bool)
    for side in (lines.first_rc, lines.second_rc):
        if len(side) != len(used):
            line(canvas, side, SIDES, 1.0)
            continue
        for stretch in _runs(~used):
            line(canvas, side[stretch], LEFT_OUT, 1.0, dashed=True)
        for stretch in _runs(used):
            line(canvas, side[stretch], SIDES, 1.5)


def _draw_apex(canvas, measured):
    used = np.asarray(measured.used, dtype=bool)
    for stretch in _runs(~used):
        for side in (measured.left_rc, measured.right_rc):
            line(canvas, side[stretch], LEFT_OUT, 1.0, dashed=True)
        _cross_out(canvas, measured, stretch)
    for stretch in _runs(used):
        line(canvas, measured.centre_rc[stretch], PATH, 0.7, dashed=True, outline=False)
        for side in (measured.left_rc, measured.right_rc):
            line(canvas, side[stretch], SIDES, 1.5)
    for number, chip in enumerate(measured.chips, start=1):
        _number(canvas, measured, measured.centre_rc, chip, number)


def _draw_profile(canvas, measured):
    line(canvas, measured.reference_rc, PATH, 0.9, dashed=True)
    line(canvas, measured.contour_rc, SIDES, 1.5)
    for number, fault in enumerate((*measured.chips, *measured.rolls), start=1):
        _number(canvas, measured, measured.reference_rc, fault, number)


def _length_along(path_rc):
    steps = np.hypot(*np.diff(np.asarray(path_rc, dtype=float), axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _at(path_rc, along_um, position_um):
    """Point of the path at a position along the edge."""
    path_rc = np.asarray(path_rc, dtype=float)
    return np.array([np.interp(position_um, along_um, path_rc[:, k]) for k in (0, 1)])


def _runs(mask):
    """Slices of the stretches where the mask holds, two points or more."""
    mask = np.asarray(mask, dtype=bool)
    turns = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(int)))
    for start, stop in zip(turns[::2], turns[1::2], strict=True):
        if stop - start > 1:
            yield slice(start, stop)


def _cross_out(canvas, measured, stretch):
    """Slanting strokes over a stretch that was left out, as on a drawing."""
    left = canvas.points(measured.left_rc[stretch])
    right = canvas.points(measured.right_rc[stretch])
    along = _length_along(left[:, ::-1])
    step = 14 * canvas.unit
    for at in np.arange(step / 2, along[-1], step):
        a = np.array([np.interp(at, along, left[:, k]) for k in (0, 1)])
        b = np.array([np.interp(min(at + step / 2, along[-1]), along, right[:, k]) for k in (0, 1)])
        if np.isfinite([a, b]).all():
            polyline(canvas, [a, b], LEFT_OUT, max(1, round(canvas.unit)))


def _number(canvas, measured, path_rc, fault, number):
    """A numbered plate square beside the edge, with a short stroke to the place."""
    along = np.asarray(measured.position_um, dtype=float)
    near = fault.position_um + np.array([-0.01, 0.0, 0.01]) * along[-1]
    before, foot, after = canvas.points([_at(path_rc, along, place) for place in near])
    normal = np.array([after[1] - before[1], before[0] - after[0]])
    normal = normal / max(float(np.hypot(*normal)), 1e-9)
    # On its own side of the land, else towards the top of the picture.
    if normal[1] > 0:
        normal = -normal
    kind = str(getattr(fault, "kind", ""))
    if kind in ("notch", "lip"):
        path = canvas.points([_at(measured.right_rc, along, fault.position_um)])[0] - foot
        normal = normal * np.sign(fault.side * (path @ normal) or 1.0)
    radius = 13 * canvas.unit
    wide = float(np.nanmean(getattr(measured, "width_px", [0.0]))) / 2
    reach = (wide + fault.depth_um / measured.um_per_px) * canvas.scale + 2.2 * radius
    room = np.array(canvas.pixels.shape[1::-1]) - radius
    head = foot + normal * reach
    if not ((radius <= head) & (head <= room)).all():
        normal = -normal
        head = np.clip(foot + normal * reach, radius, room)
    stroke(canvas, foot, head)
    outward = float(np.arctan2(normal[1], normal[0]))
    corners, turn = {
        "notch": (3, outward + np.pi), "lip": (3, outward), "roll": (4, outward + np.pi / 4)
    }.get(kind, (0, 0.0))  # fmt: skip
    badge(canvas, head, radius, str(number), corners=corners, turn=turn)
