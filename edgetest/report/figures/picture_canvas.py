"""What pictures are drawn with: a canvas, lines with a rim, a scale bar, panes and letters.

Points are (row, column) in pixels of the photograph; the canvas turns them into its own.
"""

from dataclasses import dataclass
from math import floor, log10
from pathlib import Path

import cv2
import numpy as np

from edgetest.photo.linear_light import srgb_encode
from edgetest.report.figures.plot_style import INK, PAPER

DARK = (16, 20, 24)
LIGHT = (255, 255, 255)
REFUSED = (178, 58, 22)
BAR_LENGTHS = (1.0, 2.0, 5.0)
SUBPIXEL_BITS = 4  # OpenCV draws at sixteenths of a pixel


@dataclass(frozen=True)
class Canvas:
    """The enlarged or reduced cut of a photograph that is drawn on."""

    pixels: np.ndarray
    origin_rc: np.ndarray
    scale: float
    unit: float

    def points(self, rc):
        """(n, 2) points of the photograph as (n, 2) x, y of the canvas."""
        rc = np.asarray(rc, dtype=float).reshape(-1, 2)
        return ((rc - self.origin_rc + 0.5) * self.scale - 0.5)[:, ::-1]


def canvas_of(grey, window, width_px, letters):
    """The part of a picture within `window`, `width_px` wide, with a unit for lines and letters."""
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
    return Canvas(np.ascontiguousarray(pixels), np.array([top, left], float), scale, unit)


def polyline(canvas, points_xy, colour, thickness):
    """A line through points of the canvas, finer than its pixels."""
    fixed = sixteenths(points_xy).reshape(-1, 1, 2)
    cv2.polylines(canvas.pixels, [fixed], False, colour, thickness, cv2.LINE_AA, SUBPIXEL_BITS)


def sixteenths(points_xy):
    """Places in the fixed point that OpenCV draws at."""
    return np.rint(np.asarray(points_xy) * 2**SUBPIXEL_BITS).astype(np.int32)


def line(canvas, rc, colour, width, *, dashed=False, outline=True):
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
            polyline(canvas, piece, stroke, thickness)


def _dashes(points, length):
    """Pieces of a line, dash and gap of one length."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    pieces = []
    for start in np.arange(0.0, along[-1], 2 * length):
        at = np.linspace(start, min(start + length, along[-1]), 8)
        pieces.append(np.column_stack([np.interp(at, along, points[:, k]) for k in (0, 1)]))
    return pieces


def stroke(canvas, a, b):
    """A short bright stroke with a dark rim."""
    for colour, width in ((DARK, 3.2), (LIGHT, 1.4)):
        polyline(canvas, [a, b], colour, max(1, round(width * canvas.unit)))


def badge(canvas, centre_xy, radius, words, *, corners=0, turn=0.0):
    """A bright plate with words in it: a disc, or a regular shape of so many corners.

    `turn` is where its first corner lies, radians from the right, clockwise.
    """
    angle = turn + 2 * np.pi * np.arange(corners or 48) / (corners or 48)
    rim = np.column_stack([np.cos(angle), np.sin(angle)])
    # A shape of few corners is as large as the disc.
    reach = radius * {3: 1.45, 4: 1.2}.get(corners, 1.0)
    points = sixteenths(np.asarray(centre_xy) + reach * rim).reshape(-1, 1, 2)
    cv2.fillPoly(canvas.pixels, [points], LIGHT, cv2.LINE_AA, SUBPIXEL_BITS)
    width = max(1, round(canvas.unit))
    cv2.polylines(canvas.pixels, [points], True, DARK, width, cv2.LINE_AA, SUBPIXEL_BITS)
    write(canvas.pixels, words, centre_xy, 15 * canvas.unit, DARK, anchor="mm")


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


def draw_bar(canvas, um_per_px):
    """A scale bar of a round length in the lower right corner."""
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
    write(canvas.pixels, words, middle, 17 * unit, LIGHT, anchor="mm")


def _plate(pixels, left, top, right, bottom, strength):
    """A dark pane to write on."""
    rows = slice(max(0, round(top)), max(0, round(bottom)))
    columns = slice(max(0, round(left)), max(0, round(right)))
    pane = pixels[rows, columns].astype(float)
    pixels[rows, columns] = (pane * (1 - strength) + np.array(DARK) * strength).astype(np.uint8)


def write_plate(canvas, words):
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
        write(canvas.pixels, line, at, size, LIGHT, anchor="lm")


def with_sentence(canvas, sentence):
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
        write(strip, line, at, size, _rgb(INK), anchor="lm")
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


def write(pixels, words, at_xy, size, colour, *, anchor):
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
