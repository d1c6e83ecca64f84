"""The ruled boxes of a PDF's pages as they are drawn, with the words in them: in mm, y upwards."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

MM = 72 / 25.4
NEAR = 0.3  # mm: thickness of a line and rounding


@dataclass(frozen=True)
class Ruled:
    """A box between four drawn lines."""

    left: float
    low: float
    right: float
    high: float
    words: str

    @property
    def width(self):
        return self.right - self.left

    @property
    def height(self):
        return self.high - self.low


def ruled_boxes(page):
    """Every box of a page that words stand in, from top to bottom and left to right."""
    lines, words = _drawn(page)
    upright = [(x0, min(y0, y1), max(y0, y1)) for x0, y0, x1, y1 in lines if abs(x0 - x1) < NEAR]
    level = [(y0, min(x0, x1), max(x0, x1)) for x0, y0, x1, y1 in lines if abs(y0 - y1) < NEAR]
    found = {}
    for x, y, text in words:
        sides = _around(x, [at for at, low, high in upright if low - NEAR <= y <= high + NEAR])
        ends = _around(y, [at for at, low, high in level if low - NEAR <= x <= high + NEAR])
        if sides and ends:
            key = tuple(round(value, 1) for value in (sides[0], ends[0], sides[1], ends[1]))
            found.setdefault(key, {}).setdefault(round(y), []).append(text)
    boxes = [Ruled(*key, _read(found[key])) for key in found]
    return sorted(boxes, key=lambda box: (-box.high, box.left))


def _read(lines):
    """The words of a box, line by line."""
    said = " ".join("".join(lines[y]) for y in sorted(lines, reverse=True))
    return " ".join(said.split())


def _around(value, places):
    """The nearest place on either side; None where there is none."""
    places = sorted(places)
    if bisect_left(places, value) == 0 or bisect_right(places, value) == len(places):
        return None
    return places[bisect_left(places, value) - 1], places[bisect_right(places, value)]


def _drawn(page):
    """Straight lines as (x0, y0, x1, y1), and (x, y, text) of every piece of text."""
    lines, words, pen = [], [], [(0.0, 0.0)]

    def at(matrix, x, y):
        return ((matrix[0] * x + matrix[2] * y + matrix[4]) / MM,
                (matrix[1] * x + matrix[3] * y + matrix[5]) / MM)  # fmt: skip

    def stroke(operator, operands, matrix, _):
        if operator in (b"m", b"l"):
            here = at(matrix, float(operands[0]), float(operands[1]))
            if operator == b"l":
                lines.append((*pen[0], *here))
            pen[0] = here

    def text(said, matrix, text_matrix, *_):
        if said.strip():
            words.append((*at(matrix, text_matrix[4], text_matrix[5]), said))

    page.extract_text(visitor_operand_before=stroke, visitor_text=text)
    return lines, words
