"""How do the blades of several heat treatments wear, all on one pair of axes?"""

from dataclasses import dataclass

import numpy as np

from edgetest.report.figures.plot_style import (
    GREY,
    PAPER,
    Series,
    axis_label,
    drawn_in_look,
    new_axes,
    series,
)
from edgetest.report.figures.wear_figures import PAGE_WIDTH_IN, draw_wear, name_limit
from edgetest.report.figures.wear_marks import WearMarks, own_limit, wear_marks
from edgetest.report.letters import shorten
from edgetest.report.wording import life_interval

PLACES = 48  # places at which the height of what is drawn is kept, for a closer look


@dataclass(frozen=True)
class DrawnBlade:
    """One blade of the figure: its marks, its heat treatment's look, its life in words."""

    marks: WearMarks
    treatment: str
    look: Series
    life: str


@dataclass(frozen=True)
class WearTogether:
    """All blades on one pair of axes, heat treatment by heat treatment.

    `tops`, shape (PLACES + 1,), is the height of the highest mark or band about each of as many
    places from 0 to `end` cuts.
    """

    blades: tuple[DrawnBlade, ...]
    reading: str
    limit: float | None
    end: float
    tops: np.ndarray

    def treatments(self):
        """Look of each heat treatment, in the order drawn."""
        return {drawn.treatment: drawn.look for drawn in self.blades}


def wear_together(
    blades, heat_treatments, *, order=(), limit=None, reading="edge_width_um", readings=()
):
    """What the figure of all blades shows.

    Parameters
    ----------
    blades : sequence of CurveFit
    heat_treatments : sequence of str
        Heat treatment of each blade, same order.
    order : sequence of str
        Heat treatments in the order in which they take the house's series; others follow.
    limit : float, optional
        Reading at which the edge counts as dull; the lives' own limit if not given.
    reading : str
        Column name of the reading.
    readings : sequence of UsedReading
        The study's, for bounds and what was left out.

    Returns
    -------
    WearTogether
    """
    names = list(dict.fromkeys([*order, *heat_treatments]))
    drawn = []
    for number, treatment in enumerate(names):
        for fit, its in zip(blades, heat_treatments, strict=True):
            if its == treatment:
                look = series(number)
                own = limit if limit is not None else own_limit(fit)
                marks = wear_marks(fit, look=look, limit=own, readings=readings)
                drawn.append(DrawnBlade(marks, treatment, look, _life_words(fit)))
    limits = [one.marks.limit for one in drawn if one.marks.limit is not None]
    end = max(one.marks.end for one in drawn)
    return WearTogether(
        tuple(drawn), reading, limits[0] if limits else None, end, _tops(drawn, end)
    )


@drawn_in_look
def plot_wear_together(together, *, title=None, ax=None):
    """All blades on one pair of axes: curve and band, means of the stages, limit and lives.

    Parameters
    ----------
    together : WearTogether
    title : str, optional
        Heading; none if not given.
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        Colour and marker tell the heat treatments apart; dashed beyond the last stage.
    """
    ax = ax if ax is not None else new_axes(PAGE_WIDTH_IN, 3.9)
    for drawn in together.blades:
        draw_wear(ax, drawn.marks, drawn.look, size=0.9, spots=False, ink=drawn.look.colour)
    if together.limit is not None:
        name_limit(ax, together.limit, together.reading, fontsize=8)
    _legend(ax, together.treatments())
    ax.set(xlabel="cuts", ylabel=axis_label(together.reading))
    ax.set_xlim(-0.02 * together.end, 1.03 * together.end)
    ax.set_ylim(0, 1.04 * float(together.tops.max()))
    if title:
        ax.set_title(shorten(title, 60))
    return ax


def _legend(ax, looks):
    """Heat treatments with their marks, and what a cross is, where there is one."""
    from matplotlib.lines import Line2D

    handles = [
        Line2D([], [], color=look.colour, marker=look.marker, mec=PAPER, label=shorten(name, 40))
        for name, look in looks.items()
    ]
    if any(line.get_marker() == "x" for line in ax.lines):
        handles.append(Line2D([], [], ls="", marker="x", color=GREY, label="left out"))
    if len(handles) > 1:
        ax.legend(handles=handles, loc="lower right", facecolor=PAPER, frameon=True,
                  edgecolor="none", framealpha=0.85)  # fmt: skip


def _life_words(fit):
    """Life and interval in words, as the table of the lives says them."""
    value, interval = life_interval(fit.to_dict()["life"])
    return f"{value} ({interval})" if interval else value


def _tops(drawn, end):
    """Height of the highest mark or band about each place."""
    tops = np.zeros(PLACES + 1)
    for cuts, height in _heights(drawn):
        known = np.isfinite(height)
        place = np.clip(np.round(cuts[known] / end * PLACES), 0, PLACES).astype(int)
        np.maximum.at(tops, place, height[known])
    # Where nothing lies at a place, its neighbours' height is room enough.
    return np.maximum(tops, max(tops.max() * 0.05, 1e-9))


def _heights(drawn):
    """Places and upper ends of all that is drawn, blade by blade."""
    for one in drawn:
        marks = one.marks
        pieces = [marks.inside] + ([marks.beyond] if marks.beyond is not None else [])
        for piece in pieces:
            yield piece.cuts, np.minimum(piece.high, marks.top)
        yield marks.means.cuts, marks.means.value
        for spots in marks.readings:
            yield spots.cuts, spots.value
        for each in marks.noted:
            yield np.array([each.cuts], float), np.array([each.high], float)
        if marks.limit is not None:
            places = np.linspace(0, marks.end, PLACES + 1)
            yield places, np.full(PLACES + 1, marks.limit)
