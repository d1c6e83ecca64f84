"""Figures that decide: lives side by side, the ratio against 1, power against blades."""

from math import ceil

import numpy as np

from edgetest.report.figures.level_marks import level_band
from edgetest.report.figures.life_rows import life_rows, ratio_rows
from edgetest.report.figures.plot_style import (
    ACCENT,
    FAINT,
    GREY,
    INK,
    PAPER,
    drawn_in_look,
    log_ticks,
    new_axes,
    series,
)
from edgetest.report.figures.wear_figures import PAGE_WIDTH_IN
from edgetest.report.letters import short_names

ROW_IN = 0.235
EACH = "blades in each heat treatment"


@drawn_in_look
def plot_lives(
    blades, heat_treatments, *, groups=(), reading="edge_width_um", styles=None, ax=None
):
    """Life of every blade with its interval, and of every heat treatment below its blades.

    Parameters
    ----------
    blades : sequence of CurveFit
        Blades without a life are left out.
    heat_treatments : sequence of str
        Heat treatment of each blade, same order.
    groups : sequence of dict
        `groups` of a comparison: treatment, blades and life {cuts, low, high}.
    reading : str
        Column name of the reading, for the axis label.
    styles : dict of str to int, optional
        Series style of each heat treatment; in the order of appearance if not given.

    Returns
    -------
    matplotlib Axes
        Logarithmic in cuts. A hollow mark is extrapolated; an arrow has no upper end.
    """
    drawn = life_rows(blades, heat_treatments, groups, reading, styles=styles)
    rows = drawn.rows
    if ax is None:
        ax = _tall_axes(len(rows))
    for y, row in enumerate(rows):
        _draw_row(ax, y, row, drawn.high, lowest=drawn.low)
        if row.of_all:
            ax.axhspan(y - 0.5, y + 0.5, color=FAINT, alpha=0.35, lw=0, zorder=0)
    ax.set_yticks(range(len(rows)), short_names([row.name for row in rows], 30))
    for label, row in zip(ax.get_yticklabels(), rows, strict=True):
        label.set_fontweight("bold" if row.of_all else "normal")
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    _log_axis(ax, drawn.low, drawn.high)
    ax.set_xlabel(drawn.label)
    return ax


@drawn_in_look
def plot_ratio(comparison, *, ax=None):
    """The ratio of lives with its interval, the line of no difference, the practical margin.

    Parameters
    ----------
    comparison : Comparison or dict
        The comparison or its `to_dict()`.

    Returns
    -------
    matplotlib Axes
        Logarithmic in the ratio; the shaded strip is too small a difference to matter.
    """
    drawn = ratio_rows(_plain(comparison))
    rows, margin = drawn.rows, drawn.margin
    if ax is None:
        ax = _tall_axes(len(rows) + 1)
    if margin:
        ax.axvspan(1 / (1 + margin), 1 + margin, color=FAINT, alpha=0.6, lw=0, zorder=0)
        ax.annotate(
            f"within {margin * 100:g} %: too little to matter", (1, 1),
            xycoords=("data", "axes fraction"), xytext=(0, 3), textcoords="offset points",
            ha="center", color=GREY, fontsize=7.5,
        )  # fmt: skip
    ax.axvline(1, color=INK, lw=1.0, ls=(0, (4, 2)), zorder=1)
    for y, row in enumerate(rows):
        _draw_row(ax, y, row, drawn.high, lowest=drawn.low)
    ax.set_yticks(range(len(rows)), [row.name for row in rows])
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    _log_axis(ax, drawn.low, drawn.high)
    ax.set_xlabel(drawn.label)
    return ax


@drawn_in_look
def plot_comparison(comparison, blades, heat_treatments, *, reading="edge_width_um", width_in=None):
    """Lives above, their ratio below: the answer of a study in one picture.

    Returns
    -------
    tuple of matplotlib Axes
        That of the lives and that of the ratio.
    """
    from matplotlib.figure import Figure

    numbers = _plain(comparison)
    heights = _heights(numbers, blades, heat_treatments, reading)
    width_in = width_in or PAGE_WIDTH_IN
    figure = Figure(figsize=(width_in, sum(heights) + 0.25), layout="constrained")
    lives, ratio = figure.subplots(2, 1, height_ratios=heights)
    plot_lives(blades, heat_treatments, groups=numbers["groups"], reading=reading, ax=lives)
    plot_ratio(numbers, ax=ratio)
    return lives, ratio


def comparison_height_in(comparison, blades, heat_treatments, *, reading="edge_width_um"):
    """How tall `plot_comparison` draws, inches."""
    return sum(_heights(_plain(comparison), blades, heat_treatments, reading)) + 0.25


def _heights(numbers, blades, heat_treatments, reading):
    """Heights of the two panels, inches."""
    above = len(life_rows(blades, heat_treatments, numbers["groups"], reading).rows)
    below = len(ratio_rows(numbers).rows)
    return [(above + 0.6) * ROW_IN + 0.5, (below + 0.6) * ROW_IN + 0.6]


@drawn_in_look
def plot_lives_in_parts(blades, heat_treatments, *, order=(), reading="edge_width_um", tallest_in):
    """Lives of many blades in as many figures as keep each below a height, all on one scale.

    Heat treatments take the house's series in the `order` named, others after them.

    Returns
    -------
    list of matplotlib Axes
    """
    most = max(int((tallest_in - 0.65) / ROW_IN - 0.6), 1)
    order = list(dict.fromkeys([*order, *heat_treatments]))
    rows = sorted(zip(blades, heat_treatments, strict=True), key=lambda row: order.index(row[1]))
    rows = [row for row in rows if row[0].life is not None]
    most = ceil(len(rows) / max(ceil(len(rows) / most), 1))  # the last figure is no stub
    drawn = []
    for first in range(0, len(rows), most or 1):
        fits, names = zip(*rows[first : first + most], strict=True)
        styles = {name: order.index(name) for name in names}
        drawn.append(plot_lives(fits, names, reading=reading, styles=styles))
    if drawn:
        ends = [ax.get_xlim() for ax in drawn]
        for ax in drawn:
            _log_axis(ax, min(low for low, _ in ends), max(high for _, high in ends))
    return drawn


@drawn_in_look
def plot_power(
    blades,
    power,
    *,
    target=0.8,
    labels=None,
    each=EACH,
    standard_errors=None,
    through=None,
    ax=None,
):
    """Chance of seeing a difference against the blades of each heat treatment.

    Parameters
    ----------
    blades : array_like, shape (n,)
        Blades of each heat treatment.
    power : array_like, shape (n,) or (k, n)
        Power between 0 and 1; one row for each true ratio.
    target : float
        The power that is wanted, drawn as a line.
    labels : sequence of str, optional
        A name for each row, such as "lives differ by 20 %".
    each : str
        What is counted, where it is not blades.
    standard_errors : array_like, shape of `power`, optional
        Of chances that were simulated: a bar of 95 % stands at each.
    through : array_like, shape of `power`, optional
        Chances of the line that goes through the simulated ones; default: from one to the next.
    """
    ax = ax if ax is not None else new_axes(4.6, 3.0)
    if standard_errors is not None and np.any(standard_errors):
        reach = 1.96 * np.atleast_2d(standard_errors)
        for low_to_high in zip(np.atleast_2d(power) - reach, np.atleast_2d(power) + reach,
                               strict=True):  # fmt: skip
            low, high = (100 * np.clip(end, 0, 1) for end in low_to_high)
            ax.vlines(blades, low, high, color=GREY, lw=1.2)
        ax.set_title("bars: 95 % of the simulation", loc="right", fontsize=8)
    lines = np.atleast_2d(power if through is None else through)
    for number, row in enumerate(np.atleast_2d(power)):
        look = series(number)
        ax.plot(blades, 100 * lines[number], ls=look.line, color=look.colour,
                label=labels[number] if labels else None)  # fmt: skip
        ax.plot(blades, 100 * row, look.marker, color=look.colour, mec=PAPER, mew=0.6)
    ax.axhline(100 * target, color=ACCENT, lw=1.0, ls=(0, (1, 2)))
    ax.annotate(
        f"{target * 100:g} % wanted", (0, 100 * target), xycoords=("axes fraction", "data"),
        xytext=(3, 3), textcoords="offset points", color=ACCENT, fontsize=8,
    )  # fmt: skip
    ax.set(xlabel=each, ylabel="chance of seeing it (%)", ylim=(0, 103))
    ax.xaxis.get_major_locator().set_params(integer=True)
    if labels:
        ax.legend(loc="lower right")
    return ax


def _plain(comparison):
    return comparison if isinstance(comparison, dict) else comparison.to_dict()


def _draw_row(ax, y, row, far, *, lowest=0):
    """One interval with its mark; an open end becomes an arrow at the frame."""
    look, value = row.look, row.marked
    ends = [row.start(lowest), row.high if row.closed else far]
    ax.plot(ends, [y, y], color=look.colour, lw=look.lw, solid_capstyle="butt")
    if not row.closed:
        ax.plot([far], [y], ">", color=look.colour, ms=5, clip_on=False)
    if value is None:
        return
    fill, rim, mew = (PAPER, look.colour, 1.2) if look.hollow else (look.colour, PAPER, 0.8)
    ax.plot([value], [y], look.marker, mfc=fill, mec=rim, mew=mew, ms=look.ms)


def _log_axis(ax, low, high):
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    ax.set_xscale("log")
    ax.set_xlim(low, high)
    ax.xaxis.set_major_locator(FixedLocator(log_ticks(low, high)))
    ax.xaxis.set_minor_locator(NullLocator())
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
    ax.grid(axis="x", color=FAINT, lw=0.6)
    ax.set_axisbelow(True)


def _tall_axes(rows):
    return new_axes(PAGE_WIDTH_IN, (rows + 0.6) * ROW_IN + 0.65)


@drawn_in_look
def plot_ratio_by_limit(levels, *, limit=None, reading="edge_width_um", pair=None, ax=None):
    """The ratio of lives against the limit that ends them, with its band.

    Parameters
    ----------
    levels : sequence of dict
        `limit`, `estimate`, `low`, `high` of each, as `AtLevel.to_dict` tells them.
    limit : float, optional
        The limit of the study, marked.
    reading : str
        Column of the log, for the axis.
    pair : tuple of str, optional
        Heat treatment whose lives are divided, and the one by whose.
    ax : Axes, optional

    Returns
    -------
    Axes
        Logarithmic both ways; the dashed line is no difference.
    """
    ax = ax if ax is not None else new_axes(PAGE_WIDTH_IN, 2.3)
    band = level_band(levels, limit=limit, reading=reading, pair=pair)
    ax.fill_between(band.at, band.low, band.high, color=ACCENT, alpha=0.18, lw=0)
    ax.plot(band.at, band.value, color=ACCENT, lw=1.8, marker="D", ms=4)
    ax.axhline(1, color=GREY, lw=1, ls="--")
    if limit is not None:
        ax.axvline(limit, color=INK, lw=1, ls=":")
    _log_axis(ax, *band.ends)
    ax.set(xlabel=band.label, ylabel="\n".join(band.of_pair), yscale="log")
    ticks = log_ticks(min(*band.low, 1.0), max(*band.high, 1.0))
    ax.set_yticks(ticks, [f"{tick:g}" for tick in ticks])
    ax.minorticks_off()
    return ax
