"""Figures of a chop test: the tool drawn to scale, chops a billet, depth, kick and ringing.

Every function takes a result of `edgetest.study.chop.chop_analysis`, draws it and returns the Axes;
saving is the caller's. Places run from the butt, mm.
"""

import numpy as np

from edgetest.report.figures.chop_labels import (
    board_words,
    label_boards,
    legend_name,
    legend_of_strokes,
    raise_top,
)
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
from edgetest.report.wording import in_units, interval_words
from edgetest.units import MM_PER_INCH

PAGE_WIDTH_IN, SMALL_IN = 7.2, (3.5, 2.2)
WOOD, STEEL = "#e9e2d5", "#e3e7ea"
MOST_REACH = 1.25  # of the tool's length; our choice
_LETTER_MM_PER_IN = 0.070  # width of a letter as a share of an inch, for placing labels


@drawn_in_look
def plot_balance(result, blade, *, width_in=PAGE_WIDTH_IN, ringing=True, units="metric"):
    """A tool to scale with grip, balance point, percussion centre, strike point and nodes.

    Parameters
    ----------
    result : ChopResult
    blade : str
    width_in : float
        Width of the figure, inches.
    ringing : bool
        Show beneath how it bends when it rings across its flat, where the shape is known.
    units : {"metric", "inch", "both"}
        Of places; the ruler is in inches where they are in inches alone.

    Returns
    -------
    matplotlib Axes
    """
    from matplotlib.figure import Figure

    shape, tool = result.outlines.get(blade), result.tool(blade)
    prediction = tool.predicted if tool else None
    hold = result.handling.get(blade)
    upper, lower, length = _contour(shape, hold, result.study and result.study.blade(blade))
    marks = _marks(tool, hold)
    marks = [(*mark[:4], in_units(mark[4], units)) for mark in marks]
    reach = _reach(length, marks)
    per_in = 1.03 * reach / width_in  # the same both ways: the tool is drawn to scale
    edges = (-0.01 * reach, 1.02 * reach)
    places = _label_places(marks, edges, per_in)
    rows = _label_rows(marks, places, per_in)
    levels = max(rows, default=-1) + 1
    head = 15.0 * per_in / 72
    top = max(upper[1]) + (levels + 0.45) * head
    mode = ringing and prediction is not None and prediction.flat is not None
    bottom = min(lower[1]) - 0.36 * per_in - (0.46 * per_in if mode else 0)
    figure = Figure(figsize=(width_in, (top - bottom) / per_in))
    ax = figure.add_axes((0, 0, 1, 1))
    ax.set(xlim=edges, ylim=(bottom, top))
    ax.set_axis_off()
    _draw_tool(ax, shape, upper, lower)
    if hold is not None and hold.handle_front_mm is not None:
        ax.plot([hold.handle_front_mm] * 2, _across(upper, lower, hold.handle_front_mm),
                color=GREY, lw=0.8, ls=(0, (2, 2)))  # fmt: skip
    labels = list(zip(places, rows, strict=True))
    _draw_marks(ax, marks, labels, upper, lower, head)
    floor = min(lower[1]) - 0.12 * per_in
    _ruler(ax, length, floor, per_in, inch=units == "inch")
    if mode and prediction is not None:
        _draw_mode(ax, prediction.flat, floor - 0.52 * per_in, per_in, units)
    return ax


def _reach(length, marks):
    """How far the drawing goes: the tool, and every mark with its bar, if not far beyond it."""
    ends = [end for _, place, _, high, _ in marks for end in (place, high)]
    return min(max([length, *(end for end in ends if end is not None)]), MOST_REACH * length)


def _contour(shape, hold, blade):
    """Upper and lower outline as (x, y); without a shape, a thin bar as long as is known."""
    if shape is None:
        length = (hold and hold.length_mm) or (blade and blade.length_mm)
        length = length or _known_reach(hold, blade)
        x = np.array([0.0, length])
        return (x, np.full(2, 4.0)), (x, np.full(2, -4.0)), length
    centre = shape.centre_mm if shape.centre_mm is not None else np.zeros_like(shape.x_mm)
    upper = (shape.x_mm, centre + shape.width_mm / 2)
    lower = (shape.x_mm, centre - shape.width_mm / 2)
    return upper, lower, float(shape.x_mm[-1])


def _known_reach(hold, blade):
    """How far from the butt a tool without a typed length goes for sure: its edge, if noted."""
    if hold is None:
        return 1.0
    edge = blade.edge_length_mm if blade and hold.handle_front_mm is not None else None
    ends = (hold.strike_mm, hold.grip_mm, hold.handle_front_mm + edge if edge else 0.0)
    return float(max(ends))


def _across(upper, lower, x):
    """Lower and upper outline at one place."""
    return [float(np.interp(x, *lower)), float(np.interp(x, *upper))]


def _draw_tool(ax, shape, upper, lower):
    """Steel and the parts on it."""
    ax.fill_between(upper[0], lower[1], upper[1], color=STEEL, lw=0)
    for part in shape.parts[:1] if shape is not None else ():
        x = np.linspace(part.from_mm, part.to_mm, 60)
        low, high = np.interp(x, *lower), np.interp(x, *upper)
        ax.fill_between(x, low, high, color=WOOD, lw=0)
        for end in (0, -1):
            ax.plot([x[end]] * 2, [low[end], high[end]], color=GREY, lw=0.6)
    x = np.concatenate([upper[0], lower[0][::-1], upper[0][:1]])
    y = np.concatenate([upper[1], lower[1][::-1], upper[1][:1]])
    ax.plot(x, y, color=INK, lw=1.3, solid_joinstyle="round")


def _marks(tool, hold):
    """What is marked on the tool: (kind, place, low, high, words), in the order of the tool."""
    if hold is None:
        return []
    found = [("grip", hold.grip_mm, None, None, "grip")]
    balance = tool.balance if tool is not None else None
    if balance is not None:
        for kind, one, words in (
            ("balance", balance.balance_mm, "balance point"),
            ("percussion", balance.percussion_mm, "percussion centre"),
        ):
            if kind == "percussion" and balance.percussion_off:
                continue
            value = interval_words(one.value, one.low, one.high)[0]
            found.append((kind, one.value, one.low, one.high, f"{words} {value} mm"))
    elif hold.balance_mm is not None:
        found.append(("balance", hold.balance_mm, None, None,
                      f"balance point {hold.balance_mm:g} mm"))  # fmt: skip
    found.append(("strike", hold.strike_mm, None, None, f"strikes at {hold.strike_mm:g} mm"))
    return sorted(found, key=lambda mark: mark[1])


def _label_places(marks, edges, per_in):
    """The middle of each label: above its mark, or as near as the edges of the picture let it."""
    halves = [len(words) * _LETTER_MM_PER_IN * per_in / 2 for *_, words in marks]
    left, right = edges
    return [
        min(max(mark[1], left + half), right - half)
        for mark, half in zip(marks, halves, strict=True)
    ]


def _label_rows(marks, places, per_in):
    """A row for each label so that none runs into another; from the right, lowest first."""
    rows: list[int] = []
    ends: list[float] = []
    for (*_, words), place in zip(reversed(marks), reversed(places), strict=True):
        half = len(words) * _LETTER_MM_PER_IN * per_in / 2
        row = next((k for k, end in enumerate(ends) if place + half < end), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = place - half - 0.06 * per_in
        rows.append(row)
    return rows[::-1]


def _draw_marks(ax, marks, labels, upper, lower, head):
    """The marks with their labels on leaders above the tool."""
    roof = max(upper[1])
    for (kind, place, low, high, words), (at, row) in zip(marks, labels, strict=True):
        foot, ridge = _across(upper, lower, place)
        middle = 0.0 if foot < 0 < ridge else (foot + ridge) / 2
        colour = ACCENT if kind == "percussion" else INK
        height = roof + (row + 0.5) * head
        start = middle if kind != "strike" else ridge
        ax.plot([place, place], [start, height], color=GREY, lw=0.6, zorder=2)
        if kind == "strike":
            ax.annotate("", (place, foot), (place, ridge), zorder=4,
                        arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.4,
                                    "shrinkA": 0, "shrinkB": 0})  # fmt: skip
        elif kind == "grip":
            ax.plot([place] * 2, [foot, ridge], color=INK, lw=5, alpha=0.35, solid_capstyle="butt")
        elif kind == "balance":
            _quartered(ax, place, middle, head * 0.36)
        else:
            if low is not None and np.isfinite([low, high]).all():
                ax.plot([low, high], [middle] * 2, color=ACCENT, lw=3, zorder=4,
                        solid_capstyle="butt")  # fmt: skip
            ax.plot(place, middle, "D", color=ACCENT, ms=5.5, mec=PAPER, mew=0.8, zorder=5)
        ax.text(at, height, words, ha="center", va="bottom", color=colour, fontsize=8.5,
                bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6}, zorder=3)  # fmt: skip


def _quartered(ax, x, y, radius):
    """The draughtsman's mark for a centre of mass."""
    from matplotlib.patches import Circle, Wedge

    ax.add_patch(Circle((x, y), radius, facecolor=PAPER, edgecolor=INK, lw=1, zorder=5))
    for start in (0, 180):
        ax.add_patch(Wedge((x, y), radius, start, start + 90, facecolor=INK, zorder=6))


def _ruler(ax, length, floor, per_in, *, inch=False):
    """A rule from the butt: a number every 50 mm, or every two inches."""
    ax.plot([0, length], [floor] * 2, color=GREY, lw=0.7)
    tick = 0.045 * per_in
    step, each, unit = (MM_PER_INCH / 2, 4, "in") if inch else (10.0, 5, "mm")
    for number in range(int(length / step + 1e-6) + 1):
        place, whole = number * step, number % each == 0
        ax.plot([place] * 2, [floor, floor - tick * (1.6 if whole else 0.8)], color=GREY, lw=0.6)
        if whole:
            words = f"{place / (MM_PER_INCH if inch else 1):g}"
            words = f"{words} {unit}" if number == each else words
            side = "left" if place == 0 else "right" if place > 0.99 * length else "center"
            ax.text(place, floor - 2.1 * tick, words, ha=side, va="top", fontsize=7.5, color=GREY)


def _draw_mode(ax, ringing, level, per_in, units):
    """First bending across the flat, its height not to scale, and its still points."""
    mode, tall = ringing.mode, 0.13 * per_in
    ax.plot(mode.x_mm[[0, -1]], [level] * 2, color=FAINT, lw=0.8)
    ax.plot(mode.x_mm, level + tall * mode.shape, color=GREY, lw=1.2)
    ax.plot(mode.x_mm, level - tall * mode.shape, color=GREY, lw=0.7, ls=(0, (3, 2)))
    for node in mode.nodes_mm:
        ax.plot(node, level, "o", ms=5.5, mfc=PAPER, mec=INK, mew=1.2, zorder=5)
        words = in_units(f"node {node:.0f} mm", units)
        ax.text(node, level + 0.09 * per_in, words, ha="center", va="bottom",
                fontsize=7.5, color=INK,
                bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.4})  # fmt: skip


@drawn_in_look
def plot_chops(
    result, *, blades=None, ax=None, title="Chops to sever", size_in=SMALL_IN, legend=True
):
    """Strokes for every severed piece, board by board.

    `blades` are those to show, all if not given.
    """
    ax = ax if ax is not None else new_axes(*size_in)
    boards = list(dict.fromkeys(_board_of(piece) for piece in result.pieces))
    names = [
        name
        for name in dict.fromkeys(piece.blade for piece in result.pieces)
        if blades is None or name in blades
    ]
    for number, name in enumerate(names):
        _draw_pieces(ax, result, name, boards, _spread(number, len(names), 0.1))
    label_boards(ax, [board_words(result, board) for board in boards])
    ax.set(ylabel="strokes for a piece", xlim=(-0.6, len(boards) - 0.4))
    stood = [one.chops for one in result.pieces if one.blade in names and not one.severed]
    if stood:
        ax.plot([], [], color="0.3", marker=_arrow(), ls="none", label=STILL_STOOD)
    ax.set_title(title)
    if legend and names:
        legend_of_strokes(ax)
    raise_top(ax, stood)
    return ax


def _arrow():
    """A mark that points upwards."""
    from matplotlib.path import Path

    return Path([(0, -1), (0, 1), (-0.5, 0.2), (0.5, 0.2), (0, 1)])


STILL_STOOD = "still stood"  # what an arrow at a piece's mark says


@drawn_in_look
def plot_depths(result, *, blades=None, ax=None, title="Depth of one chop", size_in=SMALL_IN):
    """Depth of single chops against the chops made before, with each blade's fitted line.

    `blades` are those to show, all if not given.
    """
    ax = ax if ax is not None else new_axes(*size_in)
    lines = [line for line in result.report.depths.blades if blades is None or line.name in blades]
    most = max((chop.chops_before for chop in result.chops), default=1)
    x = np.linspace(0, most, 80)
    for line in lines:
        style = series(result.blades.index(line.name))
        for through, marker in ((False, style.marker), (True, "^")):
            here = _chops_of(result, line.name, through)
            ax.plot([c.chops_before for c in here], [c.depth_mm for c in here], marker, ls="none",
                    ms=4, mfc="none", color=style.colour)  # fmt: skip
        loss = line.loss_pct_per_100_chops
        kept = 1 - loss.value / 100 if loss else 1.0
        ax.plot(x, line.fresh_mm.value * kept ** (x / 100), color=style.colour, ls=style.line)
        ax.plot([], [], marker=style.marker, color=style.colour, ls=style.line,
                label=legend_name(result, line.name))  # fmt: skip
    ax.set(xlabel="chops made before", ylabel="depth (mm)", xlim=(-2, None))
    ax.set_ylim(0, 1.05 * max((chop.depth_mm for chop in result.chops), default=1.0))
    ax.set_title(title)
    ax.legend(loc="lower left", borderaxespad=0.1, labelspacing=0.25)
    return ax


def _chops_of(result, blade, through):
    """A blade's single chops that went through its piece, or those that did not."""
    return [chop for chop in result.chops if (chop.blade, chop.through) == (blade, through)]


def _draw_pieces(ax, result, blade, boards, aside):
    """A blade's pieces as marks; an arrow upwards where one still stands."""
    style = series(result.blades.index(blade))
    mine = [piece for piece in result.pieces if piece.blade == blade]
    marks = list(_marks_by_board(mine, boards, aside))
    x, y = [mark[0] for mark in marks], [mark[1] for mark in marks]
    ax.plot(x, y, style.marker, color=style.colour, label=legend_name(result, blade), ls="none")
    for at, chops, severed in marks:
        if not severed:
            ax.annotate("", (at, chops), (0, 15), textcoords="offset points",
                        arrowprops={"arrowstyle": "<-", "color": style.colour, "lw": 1.4,
                                    "shrinkA": 0, "shrinkB": 0})  # fmt: skip


def _board_of(piece):
    return piece.board or "billets"


def _marks_by_board(pieces, boards, aside):
    """Place, strokes and whether severed of each piece, side by side on its board."""
    for number, board in enumerate(boards):
        here = [piece for piece in pieces if _board_of(piece) == board]
        for place, piece in enumerate(here):
            at = number + _spread(place, len(here)) + aside
            yield at, piece.chops, piece.severed


def _spread(place, count, step=0.2):
    """Offset of one of some marks about the middle of its group."""
    return step * (place - (count - 1) / 2)
