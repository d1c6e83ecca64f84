"""Drawings for the guide's pages on borders, moving a study, several machines and validation.

Called by make_pictures.py; alone: python -m tests.browser.drawn_pictures
"""

import tempfile
from pathlib import Path

from matplotlib.patches import FancyBboxPatch

from edgetest.report.figures.plot_style import ACCENT, FAINT, GREY, INK, SERIES, in_look
from edgetest.study.validation.validate_set import validate_set
from tests.browser.wear_pictures import blank, keep_figure
from tests.study.validation.known_edges import SCALES, validation_set

PHONE_IN = 4.2  # so wide that letters of 9 pt can be read at 390 px
BLUE, ORANGE = SERIES[0].colour, SERIES[1].colour
# What the page of borders says of each part: published data, made data, a real bench.
HELD_AGAINST = (
    ("scale", False, True),
    ("edge width", False, True),
    ("lives, ratios", True, True),
    ("strokes, chips", True, True),
    ("swing, balance", True, True),
    ("hardness", True, True),
    ("case of a pack", True, False),
    ("chance of a steel", False, True),
)
MACHINES = (
    ("first machine", "edgetest workers", "hands out photographs,\nmeasures, keeps widths"),
    ("second machine", "edgetest workers --join …", "measures"),
    ("third machine", "edgetest workers --join …", "measures"),
)


def borders():
    """Every part of the program against what it was held to."""
    with in_look():
        figure, ax = blank(PHONE_IN, 2.9)
        for row, (part, *held) in enumerate(HELD_AGAINST):
            ax.axhline(row + 0.5, color=FAINT, lw=0.8)
            ax.text(-0.05, row, part, ha="right", va="center")
            for column, ever in enumerate((*held, False)):
                if ever:
                    ax.plot(column + 0.5, row, "o", color=BLUE, ms=9)
                else:
                    ax.text(column + 0.5, row, "never", ha="center", va="center", color=ACCENT)
        for column, name in enumerate(("published\ndata", "made\ndata", "a real\nbench")):
            ax.text(column + 0.5, -0.75, name, ha="center", va="bottom", weight="bold")
        ax.set(xlim=(-1.5, 3), ylim=(len(HELD_AGAINST) - 0.5, -2.2))
        ax.axis("off")
        keep_figure(figure, "borders.webp")


def box(ax, left, low, size, lines, colour=FAINT):
    """A box with lines of text, the first one bold."""
    wide, high = size
    ax.add_patch(FancyBboxPatch(
        (left, low), wide, high, boxstyle="round,pad=0,rounding_size=0.06",
        facecolor="white", edgecolor=colour, lw=1.8,
    ))  # fmt: skip
    step = high / (len(lines) + 0.4)
    for number, line in enumerate(lines):
        ax.text(left + wide / 2, low + high - (number + 0.7) * step, line, ha="center",
                va="center", weight="normal" if number else "bold")  # fmt: skip


def arrow(ax, start, end, words="", colour=GREY):
    """An arrow, and what goes along it."""
    ax.annotate("", end, start, arrowprops={"arrowstyle": "-|>", "color": colour, "lw": 1.8})
    middle = [(a + b) / 2 for a, b in zip(start, end, strict=True)]
    ax.text(middle[0], middle[1] + 0.08, words, ha="center", va="bottom", color=INK)


def moved_study():
    """What a zip takes to the other machine, and what is carried by hand."""
    with in_look():
        figure, ax = blank(PHONE_IN, 2.3)
        packed = ["the study", "facts, log, photographs", "corrections, history",
                  "measurements"]  # fmt: skip
        for left, colour in ((0, BLUE), (2.75, BLUE)):
            box(ax, left, 0.85, (1.75, 1.25), packed, colour)
            box(ax, left, 0, (1.75, 0.6), ["sealed names"], ORANGE)
        arrow(ax, (1.8, 1.45), (2.7, 1.45), "zip")
        arrow(ax, (1.8, 0.3), (2.7, 0.3), "by hand", ORANGE)
        ax.text(0.87, 2.2, "this machine", ha="center", weight="bold")
        ax.text(3.62, 2.2, "the other one", ha="center", weight="bold")
        ax.set(xlim=(-0.05, 4.55), ylim=(-0.05, 2.4))
        ax.axis("off")
        keep_figure(figure, "moved_study.webp")


def machines():
    """One machine that hands out photographs, and two that measure them with it."""
    with in_look():
        figure, ax = blank(PHONE_IN, 2.6)
        places = ((1.05, 1.45), (0, 0), (2.4, 0))
        for (left, low), (name, command, does) in zip(places, MACHINES, strict=True):
            box(ax, left, low, (2.1, 0.95), [name, command, *does.split("\n")],
                BLUE if low else ORANGE)  # fmt: skip
        arrow(ax, (1.7, 1.4), (1.1, 1.0))
        arrow(ax, (2.5, 1.4), (3.2, 1.0))
        ax.text(2.13, 1.17, "photographs", ha="center", va="center")
        ax.set(xlim=(-0.05, 4.55), ylim=(-0.05, 2.45))
        ax.axis("off")
        keep_figure(figure, "machines.webp")


def references(folder):
    """Six rendered edges under two microscopes, one of them with a scale that is 10 % wrong."""
    said = {**SCALES, "toy": 1.1 * SCALES["toy"]}
    scored = validate_set(validation_set(folder / "references", said=said))
    with in_look():
        figure, ax = blank(PHONE_IN, 2.5)
        for number, name in enumerate(said):
            rows = [row for row in scored.part("widths").rows if row.setup == name]
            known = [row.reference for row in rows]
            off, low, high = (
                [100 * (getattr(row, end) / row.reference - 1) for row in rows]
                for end in ("value", "low", "high")
            )
            look = SERIES[number]
            reach = [[a - b for a, b in zip(off, low, strict=True)],
                     [b - a for a, b in zip(off, high, strict=True)]]  # fmt: skip
            words = "scale right" if said[name] == SCALES[name] else "scale 10 % wrong"
            ax.errorbar(known, off, reach, fmt=look.marker, color=look.colour, capsize=3,
                        label=f"{name}, {words}")  # fmt: skip
        ax.axhline(0, color=INK, lw=1)
        ax.set(xlabel="width by the reference (µm)", ylabel="measured, % off", ylim=(-8, 22))
        ax.legend(loc="upper right", ncols=2, columnspacing=1, handletextpad=0.3)
        keep_figure(figure, "references.webp")


def make_drawn_pictures():
    """Draw all of them."""
    borders()
    moved_study()
    machines()
    with tempfile.TemporaryDirectory() as folder:
        references(Path(folder))


if __name__ == "__main__":
    make_drawn_pictures()
