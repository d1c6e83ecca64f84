"""One look for every figure, overlay and page: colours, markers, lines, letters."""

from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from io import BytesIO
from math import floor, log10
from textwrap import wrap
from threading import RLock
from typing import Any

from edgetest.report.figures.figure_letters import has_letters_without_form, letters_set
from edgetest.study.words import name_of_reading

INK = "#1d2327"
GREY = "#5c666d"
FAINT = "#d5dade"
PAPER = "#ffffff"
NARROW_LABEL = 30  # signs of 9 pt beside the names of blades
NARROW_IN = 3.7  # as wide as a phone at the same size of letters
ACCENT = "#b5431a"
"""The one accent: the colour of steel at forging heat, for the limit and the answer."""


@dataclass(frozen=True)
class Series:
    """How one series is drawn; colour, marker and line each tell it apart alone."""

    colour: str
    marker: str
    line: str | tuple[int, tuple[float, ...]]


# Ordered so that neighbours differ in lightness too: they stay apart in a photocopy.
SERIES = (
    Series("#14476b", "o", "-"),
    Series("#d9762b", "s", (0, (6, 2))),
    Series("#57b8a0", "^", (0, (1, 1.4))),
    Series("#6b2450", "D", (0, (7, 2, 1.5, 2))),
    Series("#e6cc66", "v", (0, (3, 1.5))),
    Series("#6f7d88", "P", (0, (7, 2, 1.5, 2, 1.5, 2))),
)

STATION_MARKERS = ("o", "s", "^", "D", "v", "P", "X", "*")

UNITS = {
    "um": "µm",
    "mm": "mm",
    "gf": "gf",
    "n": "N",
    "g": "g",
    "deg": "°",
    "hrc": "HRC",
    "c": "°C",
    "pct": "%",
    "s": "s",
}

_LETTERS = ["DejaVu Sans", "sans-serif"]
_RC: dict[Any, Any] = {
    "font.family": _LETTERS,
    "font.size": 9.0,
    "text.color": INK,
    "axes.edgecolor": GREY,
    "axes.labelcolor": INK,
    "axes.labelsize": 9.0,
    "axes.titlesize": 9.5,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.linewidth": 0.7,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": False,
    "axes.unicode_minus": True,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": 8.5,
    "ytick.labelsize": 8.5,
    "xtick.major.width": 0.7,
    "ytick.major.width": 0.7,
    "xtick.major.size": 3.0,
    "ytick.major.size": 3.0,
    "legend.frameon": False,
    "legend.fontsize": 8.5,
    "legend.handlelength": 2.6,
    "lines.linewidth": 1.6,
    "lines.markersize": 5.0,
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "text.parse_math": False,  # a name with two dollar signs is a name
    "svg.fonttype": "path",
    "svg.hashsalt": "edgetest",
    "path.simplify": True,
}
_TURN = RLock()  # rcParams are shared by every session of the app


@contextmanager
def in_look():
    """Draw inside this block with the house style; one thread at a time."""
    from matplotlib import rc_context

    with _TURN, rc_context(_RC):
        yield


def drawn_in_look(draw):
    """Wrap a plot function so that whatever it makes is in the house style."""

    @wraps(draw)
    def plot(*args, **options):
        with in_look():
            return draw(*args, **options)

    return plot


def new_axes(width_in, height_in):
    """Axes of a new figure."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width_in, height_in), layout="constrained").subplots()


def series(index):
    """Style of the series at `index`; after the last one they begin again."""
    return SERIES[index % len(SERIES)]


def reading_words(reading):
    """A reading's column as words and unit: "edge_width_um" is ("edge width", "µm")."""
    words, _, last = reading.rpartition("_")
    if words and last in UNITS:
        return name_of_reading(reading), UNITS[last]
    return reading.replace("_", " "), ""


def axis_label(reading):
    """A reading's column as an axis says it: "edge width (µm)"."""
    words, unit = reading_words(reading)
    return f"{words} ({unit})" if unit else words


def log_ticks(low, high):
    """Ticks of a logarithmic axis at numbers a maker would say: 50, 70, 100, 150, 200."""
    for steps in ((1, 2, 5), (1, 1.5, 2, 3, 5, 7), (1, 1.2, 1.4, 1.6, 1.8, 2, 2.5, 3, 4, 5, 6, 8)):
        decades = range(floor(log10(low)) - 1, floor(log10(high)) + 2)
        at = [s * 10.0**d for d in decades for s in steps]
        ticks = [t for t in at if low * 0.999 <= t <= high * 1.001]
        if len(ticks) >= 4:
            return ticks
    return ticks


def svg_bytes(figure):
    """The figure as SVG, the same bytes each time; letters as outlines."""
    with in_look(), letters_set(figure):
        return _as_svg(figure)


def screen_svg_bytes(figure):
    """The figure as SVG for a browser.

    Letters are outlines; where no font of this machine has one of them, all letters are text,
    for which the browser finds fonts of its own.
    """
    if not has_letters_without_form(figure):
        return svg_bytes(figure)
    from matplotlib import rc_context

    with in_look(), letters_set(figure, as_typed=True), rc_context({"svg.fonttype": "none"}):
        return _as_svg(figure)


def _as_svg(figure):
    buffer = BytesIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return buffer.getvalue()


def can_be_narrow(figure, width_in):
    """Whether a figure is wider than that and is laid out anew when its width changes."""
    return figure.get_layout_engine() is not None and figure.get_figwidth() > width_in


def narrow_svg_bytes(figure, width_in):
    """The figure for a browser, drawn again so narrow, with letters as large; then as it was.

    A figure whose places are given in inches cannot be laid out anew and is only made smaller.
    """
    if not can_be_narrow(figure, width_in):
        return screen_svg_bytes(figure)
    wide, tall = figure.get_size_inches()
    labels = [(ax, ax.get_xlabel()) for ax in figure.axes]
    figure.set_size_inches(width_in, tall)
    try:
        for ax, label in labels:
            ax.set_xlabel(_in_lines(label))
        return screen_svg_bytes(figure)
    finally:
        figure.set_size_inches(wide, tall)
        for ax, label in labels:
            ax.set_xlabel(label)


def _in_lines(label):
    """A label of an axis in lines that a phone has room for, broken before its brackets."""
    if len(label) <= NARROW_LABEL:
        return label
    parts = label.replace(" (", "\n(").split("\n")
    return "\n".join(line for part in parts for line in wrap(part, NARROW_LABEL))


def png_bytes(figure, *, dpi=200):
    """The figure as PNG at `dpi`, for a chat or a screen that takes no SVG."""
    with in_look(), letters_set(figure):
        buffer = BytesIO()
        figure.savefig(buffer, format="png", dpi=dpi, metadata={"Software": None})
    return buffer.getvalue()
