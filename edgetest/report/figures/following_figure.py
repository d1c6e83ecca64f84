"""Both outlines of an edge, before and after, laid together, and what became of each damage."""

from dataclasses import dataclass

import numpy as np

from edgetest.report.figures.plot_style import ACCENT, FAINT, GREY, INK, drawn_in_look, series

MOST_NAMED = 24  # places with words: more are not read, the table has all
LETTER = 0.0125  # of the figure's width, of one letter of a label as it is drawn
WIDE, TALL = 6.4, 3.4  # inches
HEAD = 0.16  # of the height of the curves, each row of words above them
FULL_UM = 10.0  # a growth so large is written in whole µm
# The second is drawn wide and beneath: where both agree, each is seen.
STROKES = {"before": (0, 0.9, 3), "after": (1, 2.6, 2)}
COLOURS = {"new": ACCENT, "grown": ACCENT, "unknown": INK}


@dataclass(frozen=True)
class _Label:
    """Words for a place on the x axis, mm, with their own middle and the row they stand in."""

    place: float
    middle: float
    words: str
    row: int
    colour: str


@drawn_in_look
def plot_following(before, after, following):
    """Both outlines over the place along the edge, each damage with its state in words.

    Parameters
    ----------
    before, after : ProfileMeasurement
        Measured ones.
    following : Following
        Of the two.

    Returns
    -------
    matplotlib Axes
        Place in mm on the first picture's scale, departure from the edge's line in µm, chips
        downwards. Grey: what only one picture shows. Where the two could not be laid together
        there is one pair of axes for each, and this is the upper.
    """
    if following.accepted:
        return _together(before, after, following)
    return _apart(before, after, following)


def words_of_following(following):
    """The figure in words, for who cannot see it."""
    places = [
        f"{kind[:-1]} at {one.position_um / 1000:.2f} mm {_state(one)}"
        for kind in ("chips", "rolls")
        for one in getattr(following, kind)
    ]
    named = "; ".join(places[:MOST_NAMED]) or "no damage"
    more = f"; and {len(places) - MOST_NAMED} more" if len(places) > MOST_NAMED else ""
    how = "laid together" if following.accepted else "one above the other, not laid together"
    return f"Outlines of the edge before and after, {how}: {named}{more}"


def _state(one):
    """State with its growth: "grown 12 µm"."""
    word = {"same": "old", "unknown": "unknown"}.get(one.word, one.word)
    if one.word in ("grown", "shrunk"):
        by = abs(one.growth_um)
        return f"{word} {by:.{0 if by >= FULL_UM else 1}f} µm"
    return word


def _together(before, after, following):
    """One pair of axes, both outlines on the first one's scale."""
    (ax,) = _axes(1)
    there = following.laid.on_first(after.position_um) / 1000
    here = before.position_um / 1000
    _outlines(ax, [(here, before, "before"), (there, after, "after")])
    low, high = (end / 1000 for end in following.laid.overlap(
        (before.position_um[0], before.position_um[-1]),
        (after.position_um[0], after.position_um[-1])))  # fmt: skip
    ends = min(here[0], there[0]), max(here[-1], there[-1])
    for start, stop in ((ends[0], low), (high, ends[1])):
        ax.axvspan(start, stop, fc=FAINT, ec=GREY, alpha=0.5, lw=0.5, zorder=0,
                   label="on one picture only" if stop > start else None)  # fmt: skip
    ax.set_xlim(*ends)
    _name(ax, (*following.chips, *following.rolls))
    ax.set_xlabel("place along the edge, as on the first picture (mm)")
    return ax


def _apart(before, after, following):
    """A pair of axes for each outline; every state is unknown."""
    both = _axes(2)
    for ax, shown, name in zip(both, (before, after), STROKES, strict=True):
        place = shown.position_um / 1000
        _outlines(ax, [(place, shown, name)])
        ax.set_xlim(place[0], place[-1])
        its = [one for one in (*following.chips, *following.rolls) if getattr(one, name)]
        _name(ax, its)
    both[0].set_title("not laid together: new or old is unknown")
    both[1].set_xlabel("place along the edge, each picture's own (mm)")
    return both[0]


def _axes(count):
    """Axes of a new figure, one above the other."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDE, TALL if count == 1 else 1.5 * TALL), layout="constrained")
    return np.atleast_1d(figure.subplots(count, 1))


def _outlines(ax, lines):
    """Outlines, told apart by colour, width and name."""
    for place, shown, name in lines:
        number, width, layer = STROKES[name]
        ax.plot(place, shown.departure_um, color=series(number).colour, lw=width, label=name,
                zorder=layer)  # fmt: skip
    ax.axhline(0, color=GREY, lw=0.6, zorder=1)
    ax.set_ylabel("from the edge's line (µm)")


def _name(ax, places):
    """Words above the outlines, a thin line down to each place."""
    low, high = ax.get_ylim()
    labels = _rows(ax.get_xlim(), places)
    rows = 1 + max((one.row for one in labels), default=-1)
    step = HEAD * (high - low)
    # Room below for the names of the outlines, above for the rows of words.
    ax.set_ylim(low - 1.2 * step, high + rows * step)
    _legend(ax)
    for one in labels:
        y = high + (one.row + 0.5) * step
        ax.plot([one.place] * 2, [0, y - 0.35 * step], color=one.colour, lw=0.6, zorder=1)
        ax.text(one.middle, y, one.words, ha="center", va="center", fontsize=8, color=one.colour,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6}, zorder=5)  # fmt: skip
    if len(places) > len(labels):
        ax.set_title(f"the {len(labels)} deepest of {len(places)} places are named")


def _legend(ax):
    """Names of the outlines below them, each once."""
    named = {name: handle for handle, name in zip(*ax.get_legend_handles_labels(), strict=True)}
    ax.legend(named.values(), named, loc="lower right", ncols=len(named))


def _rows(limits, places):
    """Labels of the deepest places, each in the lowest row where it does not lie on another."""
    deepest = sorted(places, key=_depth, reverse=True)[:MOST_NAMED]
    wide = limits[1] - limits[0]
    ends: list[float] = []
    labels: list[_Label] = []
    for one in sorted(deepest, key=lambda item: item.position_um):
        words, place = _state(one), one.position_um / 1000
        half = LETTER * (len(words) + 1.5) * wide / 2
        middle = float(np.clip(place, limits[0] + half, limits[1] - half))
        row = next((k for k, end in enumerate(ends) if end <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half]
        labels.append(_Label(place, middle, words, row, COLOURS.get(one.word, GREY)))
    return labels


def _depth(one):
    """The greater of its depths."""
    return max(side.depth_um for side in (one.before, one.after) if side)
