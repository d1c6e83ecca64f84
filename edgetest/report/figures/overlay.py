"""Pictures of a measurement, so that a person can disagree with it.

The photograph with the path along the edge, both fitted sides, the stretches that were
left out, the chips numbered, a scale bar of stated length and a sentence beneath. Points
are (row, column) in pixels of the photograph.
"""

from dataclasses import dataclass
from math import floor, log10
from pathlib import Path

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_encode
from edgetest.report.figures.plot_style import INK, PAPER

# Bright on a photograph of steel, and apart from each other in grey as well.
SIDES = (255, 170, 60)
PATH = (120, 220, 255)
LEFT_OUT = (255, 90, 160)
DARK = (16, 20, 24)
LIGHT = (255, 255, 255)
REFUSED = (178, 58, 22)
BAR_LENGTHS = (1.0, 2.0, 5.0)


@dataclass(frozen=True)
class _Canvas:
    """The enlarged or reduced cut of a photograph that is drawn on."""

    pixels: np.ndarray
    origin_rc: np.ndarray
    scale: float
    unit: float

    def points(self, rc):
        """(n, 2) points of the photograph as (n, 2) x, y of the canvas."""
        rc = np.asarray(rc, dtype=float).reshape(-1, 2)
        return ((rc - self.origin_rc + 0.5) * self.scale - 0.5)[:, ::-1]


def draw_overlay(
    picture,
    measurement=None,
    *,
    um_per_px=None,
    crop=False,
    tall=0.5,
    window=None,
    width_px=None,
    sentence=None,
    refusal=None,
    size=1.0,
):
    """The photograph with what was measured drawn on it.

    Parameters
    ----------
    picture : Picture or array
        As `edgetest.store.images.read_picture` gives it, or linear light 0..1 (rows, columns).
    measurement : ApexMeasurement or ProfileMeasurement, optional
        What was measured; a refused one has its reason written on the picture. Without
        it there is the photograph and, given a scale, its bar.
    um_per_px : float, optional
        Scale for the bar; that of the measurement if not given. No scale, no bar.
    crop : bool
        Cut to the neighbourhood of the edge.
    tall : float
        Least height of a cut as a share of its width, and the other way about.
    window : (int, int, int, int), optional
        First row, first column, end row and end column to show, in place of a cut.
    width_px : int, optional
        Width of the picture that comes back; if not given, at least 1200 pixels by whole
        multiples and never smaller than the photograph.
    sentence : str, optional
        Words beneath; the measurement's own summary if not given.
    refusal : str, optional
        Why there is no measurement, where none was begun (no scale, for instance).
    size : float
        Of letters and lines; above 1 for a picture that will be shown small.

    Returns
    -------
    array, shape (rows, columns, 3), uint8
        RGB.
    """
    grey = np.asarray(getattr(picture, "grey", picture), dtype=np.float32)
    window = window or _window(grey.shape, measurement, crop, tall)
    canvas = _canvas(grey, window, width_px, size)
    um_per_px = um_per_px or getattr(measurement, "um_per_px", None)
    if measurement is not None and measurement.status == "refused":
        refusal = " ".join(reason.text for reason in measurement.reasons)
    if measurement is not None and not refusal:
        if hasattr(measurement, "contour_rc"):
            _draw_profile(canvas, measurement)
        else:
            _draw_apex(canvas, measurement)
    if um_per_px and np.isfinite(um_per_px):
        _draw_bar(canvas, um_per_px)
    if refusal:
        _write_plate(canvas, f"Not measured. {refusal}")
        return _with_sentence(canvas, sentence or "")
    if sentence is None:
        sentence = measurement.summary() if measurement is not None else ""
        sentence = sentence[:1].upper() + sentence[1:]
    return _with_sentence(canvas, sentence)


def bar_length_um(width_um):
    """Length of the scale bar for a picture so wide: 1, 2 or 5 times a power of ten.

    Between a tenth and a quarter of the picture.
    """
    most = width_um / 4
    decade = 10.0 ** floor(log10(most))
    return max(n * decade for n in BAR_LENGTHS if n * decade <= most)


def bar_words(length_um):
    """The bar's length as written beside it: "50 µm", "2 mm"."""
    return f"{length_um / 1000:g} mm" if length_um >= 1000 else f"{length_um:g} µm"


def _window(shape, measurement, crop, tall):
    """(top, left, bottom, right) of the part that is shown."""
    path = getattr(measurement, "centre_rc", None)
    if path is None:
        path = getattr(measurement, "contour_rc", None)
    if not crop or path is None or len(path) == 0:
        return 0, 0, shape[0], shape[1]
    path = np.asarray(path, dtype=float)
    top, left = path.min(axis=0)
    bottom, right = path.max(axis=0)
    reach = max(right - left, bottom - top)
    wide = float(np.nanmean(getattr(measurement, "width_px", [reach / 12])))
    margin = max(1.5 * wide, 0.02 * reach)
    # A level edge would leave a strip: show some height as well.
    spare_r = max(margin, (tall * (right - left) - (bottom - top)) / 2)
    spare_c = max(0.05 * reach, (tall * (bottom - top) - (right - left)) / 2)
    return (
        max(0, int(top - spare_r)),
        max(0, int(left - spare_c)),
        min(shape[0], int(bottom + spare_r) + 1),
        min(shape[1], int(right + spare_c) + 1),
    )


def _canvas(grey, window, width_px, letters):
    top, left, bottom, right = window
    cut = grey[top:bottom, left:right]
    if width_px is None:
        scale = max(1.0, float(np.ceil(1200 / cut.shape[1])))
    else:
        scale = width_px / cut.shape[1]
    size = (round(cut.shape[1] * scale), round(cut.shape[0] * scale))
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    if scale != 1:
        cut = cv2.resize(np.ascontiguousarray(cut), size, interpolation=how)
    shown = np.rint(255 * srgb_encode(np.clip(cut, 0, 1))).astype(np.uint8)
    pixels = np.repeat(shown[:, :, None], 3, axis=2)
    unit = letters * max(size) / 1200
    return _Canvas(np.ascontiguousarray(pixels), np.array([top, left], float), scale, unit)


def _draw_apex(canvas, measured):
    used = np.asarray(measured.used, dtype=bool)
    for stretch in _runs(~used):
        for side in (measured.left_rc, measured.right_rc):
            _line(canvas, side[stretch], LEFT_OUT, 1.0, dashed=True)
        _cross_out(canvas, measured, stretch)
    for stretch in _runs(used):
        _line(canvas, measured.centre_rc[stretch], PATH, 0.7, dashed=True, outline=False)
        for side in (measured.left_rc, measured.right_rc):
            _line(canvas, side[stretch], SIDES, 1.5)
    for number, chip in enumerate(measured.chips, start=1):
        _number(canvas, measured, measured.centre_rc, chip, number)


def _draw_profile(canvas, measured):
    _line(canvas, measured.reference_rc, PATH, 0.9, dashed=True)
    _line(canvas, measured.contour_rc, SIDES, 1.5)
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


def _line(canvas, rc, colour, width, *, dashed=False, outline=True):
    """A line with a dark rim, so that it is seen on bright land and dark bevel alike."""
    points = canvas.points(rc)
    points = points[np.isfinite(points).all(axis=1)]
    if len(points) < 2:
        return
    pieces = _dashes(points, 9 * canvas.unit) if dashed else [points]
    thick = max(2 if width > 1 else 1, round(width * canvas.unit))
    strokes = [(DARK, thick + max(2, round(1.6 * canvas.unit)))] if outline else []
    for stroke, thickness in [*strokes, (colour, thick)]:
        for piece in pieces:
            fixed = np.rint(piece * 16).astype(np.int32).reshape(-1, 1, 2)
            cv2.polylines(canvas.pixels, [fixed], False, stroke, thickness, cv2.LINE_AA, 4)


def _dashes(points, length):
    """Pieces of a line, dash and gap of one length."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    pieces = []
    for start in np.arange(0.0, along[-1], 2 * length):
        at = np.linspace(start, min(start + length, along[-1]), 8)
        pieces.append(np.column_stack([np.interp(at, along, points[:, k]) for k in (0, 1)]))
    return pieces


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
            ends = np.rint(np.array([a, b]) * 16).astype(np.int32).reshape(-1, 1, 2)
            thick = max(1, round(canvas.unit))
            cv2.polylines(canvas.pixels, [ends], False, LEFT_OUT, thick, cv2.LINE_AA, 4)


def _number(canvas, measured, path_rc, fault, number):
    """A numbered disc square beside the edge, with a short stroke to the place."""
    along = np.asarray(measured.position_um, dtype=float)
    near = fault.position_um + np.array([-0.01, 0.0, 0.01]) * along[-1]
    before, foot, after = canvas.points([_at(path_rc, along, place) for place in near])
    normal = np.array([after[1] - before[1], before[0] - after[0]])
    normal = normal / max(float(np.hypot(*normal)), 1e-9)
    normal = -normal if normal[1] > 0 else normal  # towards the top of the picture
    radius = 13 * canvas.unit
    wide = float(np.nanmean(getattr(measured, "width_px", [0.0]))) / 2
    reach = (wide + fault.depth_um / measured.um_per_px) * canvas.scale + 2.2 * radius
    room = np.array(canvas.pixels.shape[1::-1]) - radius
    head = foot + normal * reach
    if not ((radius <= head) & (head <= room)).all():
        head = np.clip(foot - normal * reach, radius, room)
    _stroke(canvas, foot, head)
    centre = tuple(int(v) for v in np.rint(head * 16))
    cv2.circle(canvas.pixels, centre, round(radius * 16), LIGHT, -1, cv2.LINE_AA, 4)
    cv2.circle(
        canvas.pixels, centre, round(radius * 16), DARK, max(1, round(canvas.unit)), cv2.LINE_AA, 4
    )
    _write(canvas.pixels, str(number), head, 15 * canvas.unit, DARK, anchor="mm")


def _stroke(canvas, a, b):
    ends = np.rint(np.array([a, b]) * 16).astype(np.int32).reshape(-1, 1, 2)
    for colour, width in ((DARK, 3.2), (LIGHT, 1.4)):
        thick = max(1, round(width * canvas.unit))
        cv2.polylines(canvas.pixels, [ends], False, colour, thick, cv2.LINE_AA, 4)


def _draw_bar(canvas, um_per_px):
    rows, columns = canvas.pixels.shape[:2]
    length_um = bar_length_um(columns / canvas.scale * um_per_px)
    length = length_um / um_per_px * canvas.scale
    unit = canvas.unit
    pad, tall = 12 * unit, 5 * unit
    words = bar_words(length_um)
    plate_h = tall + 24 * unit + 2 * pad * 0.7
    right, bottom = columns - pad, rows - pad
    left, top = right - length - 2 * pad, bottom - plate_h
    _plate(canvas.pixels, left, top, right, bottom, 0.72)
    x0, y1 = right - pad - length, bottom - pad * 0.8
    cv2.rectangle(
        canvas.pixels,
        (round(x0), round(y1 - tall)),
        (round(x0 + length) - 1, round(y1)),
        LIGHT,
        -1,
    )
    middle = np.array([x0 + length / 2, y1 - tall - 13 * unit])
    _write(canvas.pixels, words, middle, 17 * unit, LIGHT, anchor="mm")


def _plate(pixels, left, top, right, bottom, strength):
    """A dark pane to write on."""
    rows = slice(max(0, round(top)), max(0, round(bottom)))
    columns = slice(max(0, round(left)), max(0, round(right)))
    pane = pixels[rows, columns].astype(float)
    pixels[rows, columns] = (pane * (1 - strength) + np.array(DARK) * strength).astype(np.uint8)


def _write_plate(canvas, words):
    """Words across the middle of a picture that was refused."""
    rows, columns = canvas.pixels.shape[:2]
    size = 24 * canvas.unit
    lines = _wrapped(words, size, columns - 4 * size)
    tall = (len(lines) * 1.35 + 1.3) * size
    top = max(0.0, (rows - tall) / 2)
    _plate(canvas.pixels, 0, top, columns, top + tall, 0.85)
    bar = max(2, round(5 * canvas.unit))
    cv2.rectangle(canvas.pixels, (0, round(top)), (bar, round(top + tall)), REFUSED, -1)
    for number, line in enumerate(lines):
        at = np.array([2 * size, top + (0.65 + 0.675 + number * 1.35) * size])
        _write(canvas.pixels, line, at, size, LIGHT, anchor="lm")


def _with_sentence(canvas, sentence):
    """The picture with its sentence on paper beneath."""
    if not sentence:
        return canvas.pixels
    columns = canvas.pixels.shape[1]
    size = 20 * canvas.unit
    lines = _wrapped(sentence, size, columns - 2 * size)
    strip = np.empty((round((len(lines) * 1.4 + 1.1) * size), columns, 3), dtype=np.uint8)
    strip[:] = _rgb(PAPER)
    for number, line in enumerate(lines):
        at = np.array([size, (0.55 + 0.7 + number * 1.4) * size])
        _write(strip, line, at, size, _rgb(INK), anchor="lm")
    return np.vstack([canvas.pixels, strip])


def _rgb(colour):
    return tuple(int(colour[k : k + 2], 16) for k in (1, 3, 5))


def _font(size):
    import matplotlib
    from PIL import ImageFont

    file = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
    return ImageFont.truetype(str(file), max(8, round(size)))


def _wrapped(words, size, width):
    font = _font(size)
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and font.getlength(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _write(pixels, words, at_xy, size, colour, *, anchor):
    """Words drawn into the pixels in place."""
    from PIL import Image, ImageDraw

    font, at = _font(size), np.asarray(at_xy, dtype=float)
    measure = ImageDraw.Draw(Image.new("RGB", (1, 1)))
    left, top, right, bottom = measure.textbbox(tuple(at), words, font=font, anchor=anchor)
    x, y = max(0, int(left) - 1), max(0, int(top) - 1)  # only this part is converted
    patch = pixels[y : int(bottom) + 2, x : int(right) + 2]
    if patch.size:
        image = Image.fromarray(patch)
        place = (float(at[0]) - x, float(at[1]) - y)
        ImageDraw.Draw(image).text(place, words, fill=colour, font=font, anchor=anchor)
        patch[:] = np.asarray(image)
