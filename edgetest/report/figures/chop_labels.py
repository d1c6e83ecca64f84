"""What do the figures of a chop test write at their axes, and where is room for it?"""

from math import ceil, radians, sin

from edgetest.chop.species import wood_group
from edgetest.report.figures.figure_letters import letters_set
from edgetest.report.letters import shorten

LEGEND_LETTERS = 26  # of a name in a legend
MOST_COLUMNS = 3  # of a legend
MARK_IN, ARROW_IN = 0.06, 0.25  # that half a mark and an arrow reach above a count
MOST_ROOM = 0.75  # of an axis that goes to legend and arrows
LETTERS_PER_IN = 11  # of labels along an axis
TURNED_DEG = 70.0  # labels along an axis that would run into each other
LINE_IN = 0.15  # that a line of a turned label takes along it
PLOT_SHARE = 0.88  # of a figure's width that its axis takes


def label_boards(ax, words):
    """Boards along the axis, turned where they would run into each other.

    Where two lines each have no room they stand upright, the boards without their woods; where
    that has none, each second board is named, or each third, and so on.
    """
    ax.set_xticks(range(len(words)), words)
    letters = max((len(line) for each in words for line in each.split("\n")), default=0)
    if letters * len(words) <= LETTERS_PER_IN * ax.figure.get_figwidth():
        return
    lines = max(each.count("\n") + 1 for each in words)
    room_in = PLOT_SHARE * ax.figure.get_figwidth() / len(words)
    if lines * LINE_IN <= room_in * sin(radians(TURNED_DEG)):  # side by side, each at its mark
        ax.set_xticks(range(len(words)), words, rotation=TURNED_DEG, ha="right", va="center",
                      rotation_mode="anchor")  # fmt: skip
        return
    step = ceil(LINE_IN / room_in)
    upright = [each.split("\n")[0] for each in words[::step]]
    ax.set_xticks(range(0, len(words), step), upright)
    ax.tick_params(axis="x", labelrotation=90)


def legend_name(result, blade):
    """A blade's title where it has one and it fits a legend, else its id and how it begins.

    A name that begins with a line stands behind a blank: a legend leaves it out otherwise.
    """
    known = result.study.blade(blade) if result.study else None
    title = (known.title if known else "") or blade
    title, blade = (f" {each}" if each.startswith("_") else each for each in (title, blade))
    if len(title) <= LEGEND_LETTERS:
        return title
    named = f"{blade}: {title.split(',')[0]}"
    return named if len(named) <= LEGEND_LETTERS else shorten(blade, LEGEND_LETTERS)


def board_words(result, board):
    """A board and its woods, a line each; in one where its name tells the wood."""
    woods = dict.fromkeys(
        piece.wood.name for piece in result.pieces if piece.wood and piece.board == board
    )
    groups = list(dict.fromkeys(wood_group(name) for name in woods))
    new = [each for each in groups if each.casefold() not in board.casefold()]
    told = groups if new and len(groups) > 1 else new  # of two woods on one board both are told
    return "\n".join([shorten(board, 16), *(shorten(each, 16) for each in told)])


def legend_of_strokes(ax):
    """The legend of an axis of strokes in as few lines as its names fit the axes, as drawn.

    Returns
    -------
    Legend
    """
    names = len(ax.get_legend_handles_labels()[1])
    for columns in range(min(names, MOST_COLUMNS), 0, -1):
        legend = ax.legend(loc="upper left", borderaxespad=0.1, handlelength=1.2, ncols=columns,
                           labelspacing=0.25, columnspacing=1.2)  # fmt: skip
        legend.set_in_layout(False)  # it stands in the axes, whose size is asked for here
        if _laid_out(ax).width <= ax.bbox.width:
            break
    return legend


def _laid_out(ax):
    """The legend's box, None without one, once the figure is laid out as it will be drawn."""
    with letters_set(ax.figure):  # each name in a font that has its letters
        ax.figure.draw_without_rendering()
        legend = ax.get_legend()
        return None if legend is None else legend.get_window_extent()


def raise_top(ax, stood):
    """Raise an axis of strokes until its legend and the arrows lie on no mark, as it is drawn.

    Parameters
    ----------
    ax : Axes
        With its legend, its labels and all its marks.
    stood : sequence of float
        Strokes of the pieces that still stood: an arrow stands above each.
    """
    top = ax.get_ylim()[1]
    legend = _laid_out(ax)  # long names of boards leave the axes less of the figure
    dots_an_in = ax.figure.dpi
    legend_in = legend.height / dots_an_in if legend is not None else 0.0
    ax.set_ylim(0, top_of_strokes(ax.bbox.height / dots_an_in, legend_in, top, stood))


def top_of_strokes(axes_in, legend_in, top, stood):
    """The upper end of an axis of strokes, with room for a legend and for arrows.

    Parameters
    ----------
    axes_in, legend_in : float
        Heights of the axes and of the legend as they are drawn.
    top : float
        Greatest number of strokes.
    stood : sequence of float
        Strokes of the pieces that still stood: an arrow stands above each.
    """
    taken = (legend_in + MARK_IN) / axes_in
    tops = [(top, taken), *((count, taken + ARROW_IN / axes_in) for count in stood)]
    return max(max(count, 1e-9) / (1 - min(room, MOST_ROOM)) for count, room in tops)
