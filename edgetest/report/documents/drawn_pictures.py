"""How does a figure get into a document: on paper, on a wide screen and on a phone?"""

import re
from functools import partial

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
    """Put a figure among a document's pictures; how a screen shows it is drawn when it is asked.

    Parameters
    ----------
    pictures : dict
        Takes the figure under `file` for paper, and what draws it for screens.
    file : str
    figure : matplotlib Figure
    narrow : callable, optional
        Returns the figure as it is drawn for a phone, where laying the wide one out anew is not
        enough.
    """
    pictures[file] = svg_bytes(figure)
    if has_letters_without_form(figure):  # else a screen shows the drawing for paper
        pictures[SCREEN + file] = partial(screen_svg_bytes, figure)
    if narrow is not None:
        pictures[NARROW + file] = lambda: screen_svg_bytes(narrow())
    elif can_be_narrow(figure, NARROW_IN):
        pictures[NARROW + file] = partial(narrow_svg_bytes, figure, NARROW_IN)


def on_paper(pictures):
    """The pictures that a page of paper shows, by file name."""
    return {file: data for file, data in pictures.items() if not file.startswith((SCREEN, NARROW))}


def on_screens(pictures):
    """The pictures that a page for browsers shows, by file name, the narrow ones among them."""
    drawn = {file: data() if callable(data) else data for file, data in pictures.items()}
    shown = {file: drawn.get(SCREEN + file, data) for file, data in on_paper(drawn).items()}
    return shown | {file: data for file, data in drawn.items() if file.startswith(NARROW)}


def least_widths(pictures):
    """How many CSS pixels a figure without a narrow drawing needs at least, by file name."""
    found = {}
    for file, data in pictures.items():
        wide = re.search(rb'<svg[^>]* width="([\d.]+)pt"', data[:2000])
        if file.startswith(NARROW) or NARROW + file in pictures or not wide:
            continue
        found[file] = round(float(wide[1]) / 72 * LEAST_PX_PER_IN)
    return found
