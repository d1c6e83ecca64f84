"""How does a figure get into a document: on paper, on a wide screen and on a phone?"""

import re
from functools import cache, partial

from edgetest.report.figures.figure_letters import has_letters_without_form
from edgetest.report.figures.plot_style import (
    NARROW_IN,
    can_be_narrow,
    narrow_svg_bytes,
    screen_svg_bytes,
    svg_bytes,
)

SCREEN, NARROW = "screen.", "narrow."  # before the name of a figure's file
# CSS pixels an inch of a figure: its letters of 9 pt are then 11 px high, the smallest that is
# read at arm's length without effort (common practice, no source).
LEAST_PX_PER_IN = 88


def put_figure(pictures, file, figure, *, narrow=None):
    """Put a figure among a document's pictures; each of its drawings is made when it is asked for.

    Parameters
    ----------
    pictures : dict
        Takes what draws the figure, under `file` for paper and under other names for screens.
    file : str
    figure : matplotlib Figure
    narrow : callable, optional
        Returns the figure as it is drawn for a phone, where laying the wide one out anew is not
        enough.
    """
    pictures[file] = paper = cache(partial(svg_bytes, figure))
    pictures[SCREEN + file] = partial(_wide_screen, figure, paper)
    if narrow is not None:
        pictures[NARROW + file] = lambda: screen_svg_bytes(narrow())
    elif can_be_narrow(figure, NARROW_IN):
        pictures[NARROW + file] = partial(narrow_svg_bytes, figure, NARROW_IN)


def on_paper(pictures):
    """The pictures that a page of paper shows, by file name."""
    return {file: _drawn(data) for file, data in pictures.items() if _for_paper(file)}


def on_screens(pictures):
    """The pictures that a page for browsers shows, by file name, the narrow ones among them."""
    named = {file: SCREEN + file if SCREEN + file in pictures else file
             for file in pictures if _for_paper(file)}  # fmt: skip
    named |= {file: file for file in pictures if file.startswith(NARROW)}
    return {file: _drawn(pictures[name]) for file, name in named.items()}


def _wide_screen(figure, paper):
    """The drawing for paper, but where a browser has letters that no font of this machine has."""
    drawn = paper()  # a figure that was drawn knows the names beside its axes
    return screen_svg_bytes(figure) if has_letters_without_form(figure) else drawn


def _for_paper(file):
    return not file.startswith((SCREEN, NARROW))


def _drawn(data):
    return data() if callable(data) else data


def least_widths(pictures):
    """How many CSS pixels a figure without a narrow drawing needs at least, by file name."""
    found = {}
    for file, data in pictures.items():
        wide = re.search(rb'<svg[^>]* width="([\d.]+)pt"', data[:2000])
        if file.startswith(NARROW) or NARROW + file in pictures or not wide:
            continue
        found[file] = round(float(wide[1]) / 72 * LEAST_PX_PER_IN)
    return found
