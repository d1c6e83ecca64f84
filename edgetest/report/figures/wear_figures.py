"""Figures of wear: a blade's curve, all blades side by side, what the fit leaves over.

Every function takes a result, draws it and returns the Axes; none works out a statistic
beyond the mean of the readings that it marks, and saving is the caller's.
"""

from dataclasses import replace

import numpy as np

from edgetest.report.figures.panel_rows import (
    EDGE,
    FOOT,
    TALL,
    panel_columns,
    panel_rows,
    row_height,
)
from edgetest.report.figures.plot_style import (
    ACCENT,
    GREY,
    INK,
    PAPER,
    axis_label,
    drawn_in_look,
    new_axes,
    reading_words,
    series,
)
from edgetest.report.figures.wear_marks import LEFT_OUT, by_station, own_limit, wear_marks
from edgetest.report.letters import short_names, shorten

PAGE_WIDTH_IN = 7.2  # a little wider than the text, so letters come out a little smaller
AT_EDGE = 0.985  # of a picture's height: where what lies above it is drawn
_LEFT, _RIGHT, _GAP = 0.58, 0.2, 0.16  # right: half of the last number below an axis


@drawn_in_look
def plot_wear(
    fit, *, limit=None, reading="edge_width_um", readings=(), style=0, title=None, ax=None
):
    """Readings of one blade, its wear curve and band, the limit and the life.

    Small hollow marks are the readings (a marker per station), filled marks the mean
    of a stage; the curve is solid where the blade was cut and dashed beyond. The life
    lies on the limit line with its interval.

    Parameters
    ----------
    fit : CurveFit
        The fitted blade.
    limit : float, optional
        Reading at which the edge counts as dull; the life's own limit if not given.
    reading : str
        Column name of the reading, for the axis label with its unit.
    readings : sequence of UsedReading
        The study's readings; of them this run's bounds are drawn as triangles that point
        to where the reading lies, or bars between two bounds, and what was left out as
        crosses. The curve's own numbers need none of it.
    style : int
        Which of the house's series styles the curve takes.
    title : str, optional
        Heading; the blade's name if not given.
    ax : matplotlib Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    matplotlib Axes
    """
    alone = ax is None
    if alone:
        ax = new_axes(4.6, 3.2)
    limit = limit if limit is not None else own_limit(fit)
    look = series(style)
    marks = wear_marks(fit, look=look, limit=limit, readings=readings)
    draw_wear(ax, marks, look, size=1.0)
    if limit is not None:
        name_limit(ax, limit, reading, fontsize=8)
    if alone:
        _name_marks(ax, marks, look)
    ax.set(xlabel="cuts", ylabel=axis_label(reading))
    ax.set_title(shorten(fit.blade if title is None else title, 34))
    return ax


@drawn_in_look
def plot_wear_panel(
    blades,
    heat_treatments,
    *,
    limit=None,
    reading="edge_width_um",
    readings=(),
    columns=4,
    width_in=None,
    order=(),
):
    """All blades side by side on the same axes scale, heat treatment by heat treatment.

    Parameters
    ----------
    blades : sequence of CurveFit
    heat_treatments : sequence of str
        Heat treatment of each blade, same order; groups keep the order of appearance.
    limit, reading, readings
        As in `plot_wear`.
    columns : int
        Blades in a row, at most.
    width_in : float, optional
        Width of the figure, inches; that of a page if not given.
    order : sequence of str
        Heat treatments in the order in which they take the house's series; others follow.

    Returns
    -------
    numpy array of matplotlib Axes
        One for each blade, grouped, in the order drawn.
    """
    from matplotlib.figure import Figure

    width_in = width_in or PAGE_WIDTH_IN
    groups = _grouped(blades, heat_treatments)
    columns = panel_columns(groups, columns)
    size = 0.8 if columns > 3 else 0.9
    wide = (width_in - _LEFT - _RIGHT - _GAP * (columns - 1)) / columns
    ids = [fit.blade for fit in blades]
    names = dict(zip(ids, short_names(ids, int(wide * 13)), strict=True))
    looks = {its: series(n) for n, its in enumerate(dict.fromkeys([*order, *heat_treatments]))}
    rows = list(panel_rows(groups, columns))
    height = EDGE + sum(row_height(heads) for _, heads, _ in rows)
    figure = Figure(figsize=(width_in, height))
    axes, top = [], height
    for treatment, heads, members in rows:
        if heads:
            _head_group(figure, top, treatment, looks[treatment])
        top -= row_height(heads)
        for place, fit in enumerate(members):
            box = np.array([_LEFT + place * (wide + _GAP), top + FOOT, wide, TALL])
            ax = figure.add_axes((box / [width_in, height, width_in, height]).tolist())
            reach, look = limit or own_limit(fit), looks[treatment]
            marks = wear_marks(fit, look=look, limit=reach, readings=readings)
            draw_wear(ax, marks, look, size=size)
            ax.set_title(names[fit.blade], fontsize=8.5, pad=3, fontweight="normal")
            ax.tick_params(labelleft=place == 0)
            if place == 0:
                _label_row(ax, reading, reach)
            axes.append(ax)
    for ax in axes[-len(members) :]:
        ax.set_xlabel("cuts", fontsize=8.5)
    share_scales(axes)
    return np.array(axes, dtype=object)


@drawn_in_look
def plot_residuals(fit, *, style=0, ax=None):
    """What the curve leaves over, reading by reading, against the cuts.

    Residuals are of the logarithm, so 0.1 is a reading about 10 % above its curve.
    """
    ax = ax if ax is not None else new_axes(4.6, 2.6)
    look = series(style)
    for _, marker, here in by_station(fit.station):
        ax.plot(
            np.asarray(fit.cuts)[here], 100 * np.asarray(fit.residuals)[here],
            marker, mfc="none", mec=look.colour, ms=4.5, mew=0.9,
        )  # fmt: skip
    ax.axhline(0, color=GREY, lw=0.8)
    reach = 1.15 * np.nanmax(np.abs(100 * np.asarray(fit.residuals)), initial=1.0)
    ax.set(xlabel="cuts", ylabel="reading above its curve (%)", ylim=(-reach, reach))
    ax.set_title(shorten(fit.blade, 34))
    return ax


def _head_group(figure, top_in, treatment, look):
    """A heat treatment's name with the mark of its series, above its blades."""
    width, height = figure.get_size_inches()
    from matplotlib.lines import Line2D

    y = (top_in - 0.17) / height
    mark = Line2D(
        [0.1 / width, 0.27 / width, 0.44 / width], [y, y, y], color=look.colour, lw=1.8,
        marker=look.marker, ms=6, mec=PAPER, markevery=[1], transform=figure.transFigure,
    )  # fmt: skip
    figure.add_artist(mark)
    figure.text(
        _LEFT / width, y, shorten(treatment, 84), color=INK, fontweight="bold",
        fontsize=9.5, va="center_baseline",
    )  # fmt: skip


def _label_row(ax, reading, limit):
    """What the first panel of a row says for all of it."""
    ax.set_ylabel(axis_label(reading), fontsize=8.5)
    if limit:
        name_limit(ax, limit, reading, fontsize=7)


def draw_wear(ax, marks, look, *, size, spots=True, ink=INK):
    """Draw readings, curve, limit line and life of one blade, without any words.

    Parameters
    ----------
    ax : matplotlib Axes
    marks : WearMarks
    look : Series
    size : float
        Of marks and lines, times the house's own.
    spots : bool
        Whether the single readings are drawn, or the means of the stages alone.
    ink : str
        Colour of the life on the limit line.
    """
    _draw_readings(ax, marks, look, size, spots)
    _draw_curve(ax, marks, look, size)
    if marks.limit is not None:
        ax.axhline(marks.limit, color=ACCENT, lw=1.0, ls=(0, (1, 2)), zorder=1)
        if marks.life is not None:
            _draw_life(ax, marks, replace(look, colour=ink), size)
    ax.set_xlim(-0.02 * marks.end, 1.03 * marks.end)
    _draw_noted(ax, marks, look, size=size)
    ax.set_ylim(0, 1.05 * marks.top or None)
    _keep_crosses_in(ax)


def name_limit(ax, limit, reading, *, fontsize):
    """Write "limit 12 µm" on the limit line."""
    from matplotlib.patheffects import withStroke

    unit = reading_words(reading)[1]
    ax.annotate(
        f"limit {limit:g} {unit}".rstrip(), (0, limit), xycoords=("axes fraction", "data"),
        xytext=(3, 3), textcoords="offset points", color=ACCENT, fontsize=fontsize, zorder=8,
        path_effects=[withStroke(linewidth=2, foreground=PAPER)],
    )  # fmt: skip


def _name_marks(ax, marks, look):
    """Say what the marks are, where a figure stands alone."""
    from matplotlib.lines import Line2D

    if len(marks.readings) > 6:
        return
    hollow = {"ls": "", "mfc": "none", "mec": look.colour, "ms": 4}
    handles = [
        Line2D([], [], ls="", marker=look.marker, color=look.colour, label=marks.means.name),
        *(
            Line2D([], [], marker=spots.marker, label=f"station {spots.name}".strip(), **hollow)
            for spots in marks.readings
        ),
    ]
    ax.legend(handles=handles, loc="lower right", fontsize=7.5, labelspacing=0.3)


def _draw_readings(ax, marks, look, size, singly):
    for spots in marks.readings if singly else ():
        ax.plot(
            spots.cuts, spots.value, spots.marker, mfc="none", mec=look.colour, mew=0.7,
            ms=3.6 * size, alpha=0.6, zorder=2,
        )  # fmt: skip
    ax.plot(
        marks.means.cuts, marks.means.value, look.marker, color=look.colour, ms=5.2 * size,
        mec=PAPER, mew=0.7, zorder=4,
    )  # fmt: skip


def _draw_noted(ax, marks, look, *, size):
    """A run's bounds and what was left out of it."""
    mark = {"mfc": "none", "ms": 5 * size, "mec": look.colour, "mew": 0.9, "ls": "", "zorder": 4}
    for each in marks.noted:
        if each.kind == LEFT_OUT:
            ax.plot(
                [each.cuts], [each.low], "x", color=GREY, ms=5 * size, mew=1.1, zorder=4,
                label=f"_{LEFT_OUT} {each.low!r}",
            )  # fmt: skip
        elif each.kind == "between":
            ends = [each.low, each.high]
            ax.plot([each.cuts] * 2, ends, "_-", color=look.colour, ms=6 * size, lw=1.1)
        else:
            ax.plot([each.cuts], [each.low], "^" if each.kind == "at least" else "v", **mark)


def _draw_curve(ax, marks, look, size):
    inside, beyond = marks.inside, marks.beyond
    ax.fill_between(inside.cuts, inside.low, inside.high, color=look.colour, alpha=0.16, lw=0)
    ax.plot(inside.cuts, inside.value, color=look.colour, lw=1.7 * size, zorder=3)
    if beyond is not None:
        ax.fill_between(beyond.cuts, beyond.low, beyond.high, color=look.colour, alpha=0.08, lw=0)
        ax.plot(
            beyond.cuts, beyond.value, color=look.colour, lw=1.4 * size, ls=(0, (3, 2)), zorder=3
        )


def _draw_life(ax, marks, look, size):
    """The life on the limit line; an arrow where an end lies outside the picture."""
    bar, limit, ink = marks.life, marks.limit, look.colour
    if bar.low is not None:
        ax.plot(
            [bar.low, bar.high], [limit] * 2, color=ink, lw=2.2 * size, zorder=5,
            solid_capstyle="butt",
        )  # fmt: skip
        ax.plot([bar.low], [limit], "|", color=ink, ms=7 * size, mew=1.4 * size, zorder=5)
    if bar.closed:
        ax.plot([bar.high], [limit], "|", color=ink, ms=7 * size, mew=1.4 * size, zorder=5)
    else:
        ax.plot([marks.end], [limit], ">", color=ink, ms=5 * size, zorder=6, clip_on=False)
    if bar.value is not None:
        fill = PAPER if bar.hollow else ink
        ax.plot(
            [bar.value], [limit], look.marker, mfc=fill, mec=INK, ms=5.6 * size, mew=1.1, zorder=7
        )


def _grouped(blades, heat_treatments):
    groups: dict[str, list] = {}
    for fit, treatment in zip(blades, heat_treatments, strict=True):
        groups.setdefault(treatment, []).append(fit)
    return groups


def share_scales(axes):
    """Give all panels, of one figure or several, the widest limits that one of them needs."""
    right = max(ax.get_xlim()[1] for ax in axes)
    top = max(ax.get_ylim()[1] for ax in axes)
    for ax in axes:
        ax.set(xlim=(-0.02 * right, right), ylim=(0, top))
        _keep_crosses_in(ax)


def _keep_crosses_in(ax):
    """Draw what is left out and lies above the picture at its upper edge."""
    top = ax.get_ylim()[1]
    for line in ax.lines:
        if str(line.get_label()).startswith(f"_{LEFT_OUT} "):
            height = float(str(line.get_label()).rpartition(" ")[2])
            line.set_ydata([min(height, AT_EDGE * top)])
