"""Figures of one photograph: its width along the edge, and the scale it is measured with."""

import numpy as np

from edgetest.photo.linear_light import srgb_decode
from edgetest.report.figures.plot_style import (
    ACCENT,
    FAINT,
    GREY,
    INK,
    drawn_in_look,
    new_axes,
    series,
)


@drawn_in_look
def plot_width_along_edge(measurement, *, ax=None):
    """Width against the place on the edge, with what was left out and the damage.

    Parameters
    ----------
    measurement : ApexMeasurement
        A measured one.
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        Both axes in µm. Grey: stretches left out. Numbered bars: damage, as in the overlay, with
        the first letter of its kind (n, l, r).
    """
    ax = ax if ax is not None else new_axes(6.0, 2.8)
    along = np.asarray(measurement.position_um, dtype=float)
    width = np.asarray(measurement.width_px, dtype=float) * measurement.um_per_px
    used = np.asarray(measurement.used, dtype=bool)
    look = series(0)
    ax.plot(along, np.where(used, width, np.nan), color=look.colour, lw=1.1, zorder=3)
    for first, last in _stretches(~used):
        ax.axvspan(along[first], along[last - 1], color=FAINT, alpha=0.6, lw=0, zorder=0)
    summary = measurement.width_um
    if summary is not None:
        ax.axhspan(summary.low, summary.high, color=ACCENT, alpha=0.18, lw=0, zorder=1)
        ax.axhline(summary.mean, color=ACCENT, lw=1.2, zorder=2)
    top = 1.25 * np.nanmax(np.where(used, width, np.nan), initial=1.0)
    for number, chip in enumerate(measurement.chips, start=1):
        ends = chip.position_um + np.array([-0.5, 0.5]) * chip.length_um
        ax.plot(ends, [0.93 * top] * 2, color=INK, lw=3, solid_capstyle="butt", zorder=4)
        ax.annotate(
            f"{chip.kind[0]}{number}", (chip.position_um, 0.93 * top), xytext=(0, 3),
            textcoords="offset points", ha="center", fontsize=8,
        )  # fmt: skip
    ax.set(xlabel="place along the edge (µm)", ylabel="edge width (µm)", ylim=(0, top))
    ax.set_xlim(along[0], along[-1])
    return ax


@drawn_in_look
def plot_survey(survey, *, ax=None):
    """Width along a whole edge, from overlapping photographs.

    Parameters
    ----------
    survey : Survey
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        Place in mm, width in µm, with the interval of the mean; a photograph's part begins at
        each faint upright line, and damage is numbered, with the first letter of its kind.
    """
    ax = ax if ax is not None else new_axes(6.0, 2.8)
    along, width = survey.strip.position_um / 1000, survey.strip.width_um
    ax.axhspan(survey.low_um, survey.high_um, color=ACCENT, alpha=0.18, lw=0, zorder=1)
    ax.axhline(survey.mean_um, color=ACCENT, lw=1.2, zorder=2)
    for start in np.flatnonzero(np.diff(survey.strip.frame)) + 1:
        ax.axvline(along[start], color=FAINT, lw=1.0, zorder=0)
    ax.plot(along, width, color=series(0).colour, lw=1.1, zorder=3)
    top = 1.25 * float(width.max())
    for number, chip in enumerate(survey.chips, start=1):
        ax.annotate(
            f"{chip['kind'][0]}{number}", (chip["position_um"] / 1000, 0.93 * top), ha="center",
            fontsize=8, color=INK,
        )  # fmt: skip
    ax.set(xlabel="place along the edge (mm)", ylabel="edge width (µm)", ylim=(0, top))
    ax.set_xlim(along[0], along[-1])
    return ax


@drawn_in_look
def plot_scale(scale, *, um_per_px_in_file=None, ax=None):
    """A scale with its interval, direction by direction, beside what the file says.

    Parameters
    ----------
    scale : Scale
        From a ruling, from marks, or a number.
    um_per_px_in_file : float, optional
        Scale stored in the picture's file, drawn as a bare mark: it has no interval.
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
    """
    rows = [("scale", scale.um_per_px, scale.low, scale.high)]
    for axis in scale.axes:
        half = 1.96 * axis.relative_u * axis.um_per_px
        name = f"{axis.lines_used} lines, across {axis.rotation_deg:.1f}°"
        rows.append((name, axis.um_per_px, axis.um_per_px - half, axis.um_per_px + half))
    count = len(rows) + (um_per_px_in_file is not None)
    ax = ax if ax is not None else new_axes(6.0, 0.9 + 0.3 * count)
    for y, (_, value, low, high) in enumerate(rows):
        colour = ACCENT if y == 0 else series(0).colour
        ax.plot([low, high], [y, y], color=colour, lw=2.4 if y == 0 else 1.6)
        ax.plot([value], [y], "D" if y == 0 else "o", color=colour, mec="white", ms=6)
    labels = [row[0] for row in rows]
    if um_per_px_in_file is not None:
        ax.plot([um_per_px_in_file], [len(rows)], "x", color=GREY, ms=7, mew=1.6)
        labels.append("stored in the file")
    ax.set_yticks(range(count), labels)
    ax.set_ylim(count - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    ax.ticklabel_format(axis="x", useOffset=False)
    ax.grid(axis="x", color=FAINT, lw=0.6)
    ax.set_axisbelow(True)
    ax.set_xlabel("µm per pixel, with 95 % intervals")
    return ax


def _stretches(mask):
    """Start and end (exclusive) of each run of True."""
    turns = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(int)))
    return zip(turns[::2].tolist(), turns[1::2].tolist(), strict=True)


@drawn_in_look
def plot_tone(steps, *, ax=None):
    """The tone curve of a camera through its grey steps, beside the sRGB curve.

    Parameters
    ----------
    steps : ToneSteps
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        Light over stored value, both in percent of full scale.
    """
    ax = ax if ax is not None else new_axes(4.6, 3.6)
    places = np.linspace(0, 1, len(steps.curve))
    ax.plot(100 * places, 100 * srgb_decode(places), "--", color=GREY, lw=1.2, label="sRGB")
    ax.plot(100 * places, 100 * np.array(steps.curve), color=ACCENT, lw=2, label="this camera")
    ax.plot(100 * np.array(steps.stored), 100 * np.array(steps.light), "o", color=INK, ms=4.5,
            label="grey steps")  # fmt: skip
    ax.set(xlabel="stored value (% of full scale)", ylabel="light (% of full scale)")
    ax.legend(frameon=False)
    return ax
