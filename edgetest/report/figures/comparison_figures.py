"""Figures that decide: lives side by side, the ratio against 1, power against blades."""

from math import isfinite

import numpy as np

from edgetest.report.figures.plot_style import (
    ACCENT,
    FAINT,
    GREY,
    INK,
    PAPER,
    drawn_in_look,
    log_ticks,
    reading_words,
    series,
)
from edgetest.report.figures.wear_figures import PAGE_WIDTH_IN
from edgetest.report.letters import short_names, shorten

ROW_IN = 0.235


@drawn_in_look
def plot_lives(blades, heat_treatments, *, groups=(), reading="edge_width_um", ax=None):
    """Life of every blade with its interval, and of every heat treatment below its blades.

    Parameters
    ----------
    blades : sequence of CurveFit
        Blades without a life are left out.
    heat_treatments : sequence of str
        Heat treatment of each blade, same order.
    groups : sequence of dict
        `groups` of a comparison: treatment and life {cuts, low, high}.
    reading : str
        Column name of the reading, for the axis label.

    Returns
    -------
    matplotlib Axes
        Logarithmic in cuts. A hollow mark is extrapolated; an arrow has no upper end.
    """
    rows = _rows(blades, heat_treatments, groups)
    if ax is None:
        ax = _tall_axes(len(rows))
    ends = [n for row in rows for n in row[3:6] if n is not None and isfinite(n) and n > 0]
    low, high = min(ends) / 1.12, max(ends) * 1.12
    for y, (kind, _, number, value, least, most, flags) in enumerate(rows):
        look = series(number)
        if kind == "treatment":
            _interval(ax, y, value, least, most, high, INK, "D", lw=3.0, ms=7)
            ax.axhspan(y - 0.5, y + 0.5, color=FAINT, alpha=0.35, lw=0, zorder=0)
        else:
            _interval(ax, y, value, least, most, high, look.colour, look.marker, flags=flags)
    ax.set_yticks(range(len(rows)), short_names([row[1] for row in rows], 30))
    for label, row in zip(ax.get_yticklabels(), rows, strict=True):
        label.set_fontweight("bold" if row[0] == "treatment" else "normal")
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    _log_axis(ax, low, high)
    lives = [fit.life for fit in blades if fit.life is not None]
    words, unit = reading_words(reading)
    limit = f" to {lives[0].limit:g} {unit} {words}" if lives else ""
    ax.set_xlabel(f"life{limit} (cuts, log scale)".replace("  ", " "))
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
    numbers = _plain(comparison)
    pairs = ratio_rows(numbers)
    if ax is None:
        ax = _tall_axes(len(pairs) + 1)
    margin = (numbers.get("practical") or {}).get("margin") or 0.0
    ends = [n for _, *row in pairs for n in row if n is not None and isfinite(n) and n > 0]
    low = min([*ends, 1 / (1 + margin)]) / 1.15
    high = max([*ends, 1 + margin]) * 1.15
    if margin:
        ax.axvspan(1 / (1 + margin), 1 + margin, color=FAINT, alpha=0.6, lw=0, zorder=0)
        ax.annotate(
            f"within {margin * 100:g} %: too little to matter", (1, 1),
            xycoords=("data", "axes fraction"), xytext=(0, 3), textcoords="offset points",
            ha="center", color=GREY, fontsize=7.5,
        )  # fmt: skip
    ax.axvline(1, color=INK, lw=1.0, ls=(0, (4, 2)), zorder=1)
    for y, (_, value, least, most) in enumerate(pairs):
        _interval(ax, y, value, least, most, high, ACCENT, "D", lw=2.6, ms=7, lowest=low)
    ax.set_yticks(range(len(pairs)), [label for label, *_ in pairs])
    ax.set_ylim(len(pairs) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    _log_axis(ax, low, high)
    ax.set_xlabel("ratio of lives (log scale; 1 is no difference)")
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
    above = len(_rows(blades, heat_treatments, numbers["groups"]))
    below = len(ratio_rows(numbers))
    width_in = width_in or PAGE_WIDTH_IN
    heights = [(above + 0.6) * ROW_IN + 0.5, (below + 0.6) * ROW_IN + 0.6]
    figure = Figure(figsize=(width_in, sum(heights) + 0.25), layout="constrained")
    lives, ratio = figure.subplots(2, 1, height_ratios=heights)
    plot_lives(blades, heat_treatments, groups=numbers["groups"], reading=reading, ax=lives)
    plot_ratio(numbers, ax=ratio)
    return lives, ratio


@drawn_in_look
def plot_power(blades, power, *, target=0.8, labels=None, ax=None):
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
    """
    ax = ax if ax is not None else _axes_of(4.6, 3.0)
    for number, row in enumerate(np.atleast_2d(power)):
        look = series(number)
        ax.plot(
            blades, 100 * row, marker=look.marker, ls=look.line, color=look.colour, mec=PAPER,
            mew=0.6, label=labels[number] if labels else None,
        )  # fmt: skip
    ax.axhline(100 * target, color=ACCENT, lw=1.0, ls=(0, (1, 2)))
    ax.annotate(
        f"{target * 100:g} % wanted", (0, 100 * target), xycoords=("axes fraction", "data"),
        xytext=(3, 3), textcoords="offset points", color=ACCENT, fontsize=8,
    )  # fmt: skip
    ax.set(xlabel="blades in each heat treatment", ylabel="chance of seeing it (%)", ylim=(0, 103))
    ax.xaxis.get_major_locator().set_params(integer=True)
    if labels:
        ax.legend(loc="lower right")
    return ax


def ratio_rows(numbers):
    """Label, value and ends of each ratio: the pairs of the first family, or the one there is."""
    pairs = numbers.get("pairs") or [numbers]
    family = pairs[0].get("family")
    return [
        (
            f"{shorten(pair['second'])} : {shorten(pair['first'])}",
            *(pair["ratio"][key] for key in ("estimate", "low", "high")),
        )
        for pair in pairs
        if pair.get("family") == family
    ]


def _plain(comparison):
    return comparison if isinstance(comparison, dict) else comparison.to_dict()


def _rows(blades, heat_treatments, groups):
    """(kind, name, group number, value, low, high, life) from top to bottom."""
    order = list(dict.fromkeys([*(g["treatment"] for g in groups), *heat_treatments]))
    rows = []
    for number, treatment in enumerate(order):
        for fit, its in zip(blades, heat_treatments, strict=True):
            if its == treatment and fit.life is not None:
                life = fit.life
                rows.append(("blade", fit.blade, number, life.cuts, life.low, life.high, life))
        for group in groups:
            life = group.get("life")
            if group["treatment"] == treatment and life:
                ends = (life["cuts"], life["low"], life["high"])
                rows.append(("treatment", treatment, number, *ends, None))
    return rows


def _interval(
    ax, y, value, low, high, far, colour, marker, *, lw=1.6, ms=5.5, flags=None, lowest=0
):
    """One interval with its mark; an open end becomes an arrow at the frame."""
    closed = high is not None and isfinite(high)
    start = low if low is not None and isfinite(low) else lowest or value
    ax.plot([start, high if closed else far], [y, y], color=colour, lw=lw, solid_capstyle="butt")
    if not closed:
        ax.plot([far], [y], ">", color=colour, ms=5, clip_on=False)
    if value is None or not isfinite(value):
        return
    fill = PAPER if flags is not None and flags.extrapolated else colour
    ax.plot([value], [y], marker, mfc=fill, mec=colour if fill == PAPER else PAPER,
            mew=1.2 if fill == PAPER else 0.8, ms=ms)  # fmt: skip


def _log_axis(ax, low, high):
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    ax.set_xscale("log")
    ax.set_xlim(low, high)
    ax.xaxis.set_major_locator(FixedLocator(log_ticks(low, high)))
    ax.xaxis.set_minor_locator(NullLocator())
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
    ax.grid(axis="x", color=FAINT, lw=0.6)
    ax.set_axisbelow(True)


def _axes_of(width_in, height_in):
    from matplotlib.figure import Figure

    return Figure(figsize=(width_in, height_in), layout="constrained").subplots()


def _tall_axes(rows):
    return _axes_of(PAGE_WIDTH_IN, (rows + 0.6) * ROW_IN + 0.65)
