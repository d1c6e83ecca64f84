"""Figures of an unknown steel: odds by criterion; carbon and hardness across a ground section.

Every function takes a result, draws it and returns the Axes; saving is the caller's.
"""

from edgetest.estimate import chance
from edgetest.report.figures.plot_style import (
    ACCENT,
    FAINT,
    GREY,
    INK,
    PAPER,
    drawn_in_look,
    new_axes,
    series,
)
from edgetest.report.letters import shorten

CRITERIA = {
    "life": "life",
    "hardness": "hardness",
    "damage": "damage",
    "edge": "edge hard through",
    "cracking": "survives quench",
}
GROUND_OFF = "#e9dfd8"
_CASE_IN, _ODDS_ROW_IN = (3.4, 3.0), 0.42


@drawn_in_look
def plot_odds(verdict, *, ax=None):
    """Odds that each criterion holds, and all of them together.

    Parameters
    ----------
    verdict : Verdict
    ax : matplotlib Axes, optional

    Returns
    -------
    matplotlib Axes
        A dark bar is full use, the light bar about it light work or better; a criterion
        without evidence is a hollow bar.
    """
    known = any(c.evidence for c in verdict.criteria)
    rows = [
        ("all together", verdict.probability_fit, verdict.probability_light_or_better, known),
        *(
            (CRITERIA[c.name], c.probability_full, c.probability_light, c.evidence)
            for c in verdict.criteria
        ),
    ]
    if ax is None:
        ax = new_axes(3.4, 0.8 + _ODDS_ROW_IN * len(rows))
    colour = series(0).colour
    for y, (_, full, light, evidence) in enumerate(rows):
        if not evidence:
            ax.barh(y, 1.0, 0.5, color="none", edgecolor=GREY, lw=0.8, ls=(0, (2, 2)))
            ax.annotate("no evidence yet", (0.5, y), ha="center", va="center", color=GREY,
                        fontsize=7.5)  # fmt: skip
            continue
        dark = ACCENT if y == 0 else colour
        ax.barh(y, light, 0.56, color=dark, alpha=0.28, lw=0)
        ax.barh(y, full, 0.32, color=dark, lw=0)
        _name_odds(ax, y, full)
    ax.axhline(0.5, color=FAINT, lw=0.8)
    ax.set_yticks(range(len(rows)), [row[0] for row in rows])
    ax.get_yticklabels()[0].set_fontweight("bold")
    ax.set_ylim(len(rows) - 0.45, -0.55)
    ax.set_xlim(0, 1)
    ax.set_xticks([0, 0.25, 0.5, 0.75, 1.0], ["0", "25", "50", "75", "100 %"])
    ax.tick_params(axis="y", length=0)
    ax.set_xlabel("odds of full use (pale: light work)")
    return ax


def _name_odds(ax, y, full):
    """The odds of full use beside or inside its bar, never over both ends."""
    inside = full > 0.5
    ground = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8}
    ax.annotate(
        chance(full), (full, y), xytext=(-4 if inside else 4, 0), textcoords="offset points",
        ha="right" if inside else "left", va="center", fontsize=7.5,
        color=PAPER if inside else INK,
        bbox=None if inside else ground,
    )  # fmt: skip


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
    carbon.set_ylabel("carbon (%)")
    hardness.set_ylabel("HRC; austenite (%)")
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
def plot_verdict(verdict, cases=(), *, width_in=7.2):
    """Odds by criterion, and beside them up to two sections: the verdict in one picture.

    Parameters
    ----------
    verdict : Verdict
    cases : sequence of (str, CaseResult)
        Name and case of each section; the first two are drawn.

    Returns
    -------
    matplotlib Axes
        That of the odds.
    """
    from matplotlib.figure import Figure

    cases = list(cases)[:2]
    if not cases:
        rows = 1 + len(verdict.criteria)
        figure = Figure(figsize=(width_in, 0.75 + 0.3 * rows), layout="constrained")
        return plot_odds(verdict, ax=figure.subplots())
    figure = Figure(figsize=(width_in, 2.75), layout="constrained")
    names = range(len(cases))
    panels = figure.subplot_mosaic(
        [["odds", *(f"carbon {k}" for k in names)], ["odds", *(f"hardness {k}" for k in names)]],
        width_ratios=[1.0, *([0.8] * len(cases))],
    )
    plot_odds(verdict, ax=panels["odds"])
    for k, (name, case) in enumerate(cases):
        pair = panels[f"carbon {k}"], panels[f"hardness {k}"]
        plot_case(case, title=f"{name}, {case.thickness_mm:g} mm", axes=pair)
        pair[1].set_xlabel("depth, as packed (mm)")
        for ax in pair if k else ():
            ax.set_ylabel("")
            ax.tick_params(labelleft=False)
    return panels["odds"]
