"""Figures of an unknown steel: chances, heats; carbon and hardness across a ground section.

Every function takes a result, draws it and returns the Axes; saving is the caller's.
"""

from typing import Any

from edgetest.estimate import chance
from edgetest.report.figures.plot_style import (
    ACCENT,
    GREY,
    INK,
    PAPER,
    drawn_in_look,
    new_axes,
    series,
)
from edgetest.report.letters import shorten
from edgetest.steel.steel_titles import DONE_TITLES

_HATCHES = ("", "//", "..", "xx")  # told apart in a photocopy too
STACKED_IN = 5.0  # two rows of names beside their bars need more
GROUND_OFF = "#e9dfd8"
_CASE_IN, _ROW_IN = (3.4, 3.0), 0.21
ROOM = 1.32  # of a whole bar: "over 99 %" stands behind it, clear of what is beside the panel
LEAST_BAR = 0.01  # chances below are drawn as one bar, "all others"
FEW_BARS = 3  # beyond, so are those that no sentence tells: the names of small ones hide the large
LEAST_OF_MANY = 0.05
LEAST_NAMED = 0.12  # a share of a heat's bar below this has no number in it


@drawn_in_look
def plot_chances(rows, *, title="", ax=None):
    """Chances as bars, likeliest first.

    Parameters
    ----------
    rows : sequence of (code, title, chance)
        As `SteelResult.families` and `.explanations` give them; small ones are drawn together.
    title : str
        Above the bars.
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        The likeliest bar has the accent's colour; a number stands at each.
    """
    shown = likely_rows(rows)
    if small := sum(row[2] for row in rows if row not in shown):
        shown.append(("rest", "all others", small))
    if ax is None:
        ax = new_axes(3.4, 0.8 + _ROW_IN * len(shown))
    for y, (_, _, share) in enumerate(shown):
        ax.barh(y, share, 0.62, color=ACCENT if y == 0 else series(0).colour, lw=0)
        ax.annotate(
            chance(share), (share, y), xytext=(4, 0), textcoords="offset points", va="center",
            fontsize=7.5, color=INK,
        )  # fmt: skip
    ax.set_yticks(range(len(shown)), [shorten(name, 30) for _, name, _ in shown])
    ax.set_ylim(len(shown) - 0.4, -0.6)
    ax.set_xlim(0, ROOM)
    ax.set_xticks([0, 0.5, 1.0], ["0", "50", "100 %"])
    ax.tick_params(axis="y", length=0)
    if title:
        ax.set_title(title, fontsize=8.5)
    return ax


def likely_rows(rows):
    """The rows that have a bar of their own: of many those of 5 % or more."""
    shown = [row for row in rows if row[2] >= LEAST_BAR]
    return shown if len(shown) <= FEW_BARS else [row for row in shown if row[2] >= LEAST_OF_MANY]


@drawn_in_look
def plot_heats(heats, *, piece=None, ax=None):
    """What was done in each heat: one bar a heat, cut into its chances.

    Parameters
    ----------
    heats : sequence of HeatBelief
    piece : str, optional
        Named above the bars, where there are several pieces.
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
    """
    if ax is None:
        ax = new_axes(6.0, 0.9 + _ROW_IN * len(heats))
    for y, heat in enumerate(heats):
        left = 0.0
        for k, (code, words) in enumerate(DONE_TITLES.items()):
            share = heat.chances[code]
            ax.barh(y, share, 0.62, left=left, color=series(k).colour, edgecolor=PAPER, lw=0.8,
                    hatch=_HATCHES[k], label=words if y == 0 else None)  # fmt: skip
            if share >= LEAST_NAMED:
                ax.annotate(
                    chance(share), (left + share / 2, y), ha="center", va="center", fontsize=7.5,
                    color=INK,
                    bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.9},
                )  # fmt: skip
            left += share
    names = [f"{heat.coupon}, heat {heat.heat}" for heat in heats]
    ax.set_yticks(range(len(heats)), [shorten(name, 24) for name in names])
    ax.set_ylim(len(heats) - 0.4, -0.6)
    ax.set_xlim(0, 1)
    ax.set_xticks([0, 0.5, 1.0], ["0", "50", "100 %"])
    ax.tick_params(axis="y", length=0)
    narrow = ax.figure.get_figwidth() < STACKED_IN
    between = "\n" if narrow else " "
    whose = f" of {shorten(piece, 24)}" if piece else ""
    ax.set_title(f"What was done{between}in each heat{whose}", fontsize=8.5)
    ax.figure.legend(
        *ax.get_legend_handles_labels(), loc="outside lower center", fontsize=7.5,
        ncols=2 if narrow else 4,
    )  # fmt: skip
    return ax


@drawn_in_look
def plot_case(case, *, title=None, axes=None):
    """Carbon and, below it, hardness and retained austenite across the section, ground faces drawn.

    Parameters
    ----------
    case : CaseResult
    title : str, optional
        Name of the section.
    axes : pair of matplotlib Axes, optional

    Returns
    -------
    pair of matplotlib Axes
        Carbon and hardness against depth. What the grinder takes is shaded and hatched, the
        finished faces are solid lines, and the dashed line is what counts as hard: after the
        temper (blue); dotted is straight from the quench. Below, the share of retained
        austenite, on the same numbers in %.
    """
    alone = axes is None  # a caption names the bands of a smaller picture
    if alone:
        from matplotlib.figure import Figure

        figure = Figure(figsize=_CASE_IN, layout="constrained")
        axes = figure.subplots(2, 1, sharex=True)
    carbon, hardness = axes
    style, stays = series(0), series(1)
    for ax, rows, target in (
        (carbon, case.carbon_pct, case.target_pct),
        (hardness, case.tempered_hrc, case.wanted.hardness_hrc),
    ):
        _band(ax, case.depth_mm, rows, style.colour)
        ax.axhline(target, color=ACCENT, lw=1.0, ls=(0, (4, 2)))
        _draw_grind(ax, case)
        ax.set_xlim(0, case.thickness_mm)
    carbon.set_ylim(0, max(1.25, float(case.carbon_pct.max()) * 1.08))
    _band(hardness, case.depth_mm, case.austenite_pct, stays.colour)
    if case.wanted.temper is not None:
        hardness.plot(case.depth_mm, case.hardness_hrc[1], color=style.colour, lw=1.0, ls=":")
    hardness.set_ylim(0, 72)
    carbon.set_ylabel("carbon\n(%)")
    hardness.set_ylabel("HRC;\naustenite (%)")
    hardness.set_xlabel("depth from the face, as packed (mm)")
    carbon.tick_params(labelbottom=False)
    if alone:
        _name_bands(hardness, case, style.colour, stays.colour)
    if title:
        carbon.set_title(shorten(title, 24), fontsize=8.5)
    return carbon, hardness


def _band(ax, depth_mm, rows, colour):
    """Middle and interval of a quantity across the section."""
    low, middle, high = rows
    ax.fill_between(depth_mm, low, high, color=colour, alpha=0.2, lw=0)
    ax.plot(depth_mm, middle, color=colour)


def _name_bands(ax, case, hard, stays):
    """What the bands of the lower picture are, in the gap between them."""
    after = "tempered" if case.wanted.temper else "as quenched"
    words = (
        (f"hard from {case.wanted.hardness_hrc:g} HRC, {after}", 0.46, ACCENT),
        ("dotted: straight from the quench", 0.35, hard) if case.wanted.temper else None,
        ("retained austenite, %", 0.24, stays),
    )
    for text, y, colour in filter(None, words):
        ax.annotate(
            text, (0.5, y), xycoords="axes fraction", ha="center", va="center", fontsize=7,
            color=colour, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.8},
        )  # fmt: skip


def _draw_grind(ax, case):
    """What is ground away, and the faces that are left."""
    first, second = case.ground_mm
    for start, end, face in (
        (0.0, first, first),
        (second, case.thickness_mm, second),
    ):
        if end > start:
            ax.axvspan(
                start, end, facecolor=GROUND_OFF, edgecolor=GREY, hatch="///", alpha=0.55, lw=0,
                zorder=0,
            )  # fmt: skip
            ax.axvline(face, color=INK, lw=1.3)


@drawn_in_look
def plot_verdict(result, *, width_in=7.2):
    """The verdict in one picture: families, explanations, and what was done in each heat.

    Parameters
    ----------
    result : SteelResult
        With something seen of the piece (`result.weighed`).
    width_in : float
        Under `STACKED_IN` the parts stand one below the other.

    Returns
    -------
    matplotlib Axes
        That of the families.
    """
    from matplotlib.figure import Figure

    heats = result.heats()
    stacked = width_in < STACKED_IN
    rows = [len(likely_rows(rows)) for rows in (result.families(), result.explanations())]
    tall = [0.65 + _ROW_IN * (count + 1) for count in (rows if stacked else [max(rows)])]
    below = [0.75 + (0.2 if stacked else 0.0) + _ROW_IN * len(heats)] if heats else []
    figure = Figure(figsize=(width_in, sum(tall) + sum(below)), layout="constrained")
    names = ["families", "explanations"]
    layout: list[Any] = [[name] for name in names] if stacked else [names]
    if heats:
        layout.append(["heats"] if stacked else ["heats", "heats"])
    panels = figure.subplot_mosaic(layout, height_ratios=[*tall, *below])
    if heats:
        piece = result.asked.piece if result.others else None
        plot_heats(heats, piece=piece, ax=panels["heats"])
    plot_chances(result.families(), title="What it may serve for", ax=panels["families"])
    plot_chances(result.explanations(), title="What it may be", ax=panels["explanations"])
    return panels["families"]


@drawn_in_look
def plot_cases(cases, *, width_in=7.2):
    """Up to two sections of a pack side by side.

    Parameters
    ----------
    cases : sequence of (str, CaseResult)
        Name and case of each section.

    Returns
    -------
    matplotlib Axes
        That of the first section's carbon.
    """
    from matplotlib.figure import Figure

    cases = list(cases)[:2]
    figure = Figure(figsize=(width_in, 2.4), layout="constrained")
    names = range(len(cases))
    panels = figure.subplot_mosaic(
        [[f"carbon {k}" for k in names], [f"hardness {k}" for k in names]]
    )
    for k, (name, case) in enumerate(cases):
        pair = panels[f"carbon {k}"], panels[f"hardness {k}"]
        plot_case(case, title=f"{name}, {case.thickness_mm:g} mm", axes=pair)
        pair[1].set_xlabel("depth, as packed (mm)")
        for ax in pair if k else ():
            ax.set_ylabel("")
            ax.tick_params(labelleft=False)
    return panels["carbon 0"]
