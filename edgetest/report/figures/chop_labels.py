"""What do the figures of a chop test write at their axes, and where is room for it?"""

from edgetest.chop.species import wood_group
from edgetest.report.letters import shorten

LEGEND_LETTERS = 26  # of a name in a legend
TWO_COLUMNS = 32  # letters of two names of a legend that stand side by side
LETTERS_PER_IN = 11  # of labels along an axis


def label_boards(ax, words):
    """Boards along the axis, turned where they would run into each other."""
    ax.set_xticks(range(len(words)), words)
    letters = max((len(line) for each in words for line in each.split("\n")), default=0)
    if letters * len(words) > LETTERS_PER_IN * ax.figure.get_figwidth():
        ax.tick_params(axis="x", labelrotation=60)


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


def columns_of_legend(labels):
    """Columns of a legend: two where three names or more are short."""
    return 2 if len(labels) > 2 and 2 * max(map(len, labels)) <= TWO_COLUMNS else 1


def top_of_strokes(height_in, lines, top, stood):
    """The upper end of an axis of strokes, with room for a legend and for arrows.

    Parameters
    ----------
    height_in : float
        Of the figure.
    lines : int
        Of the legend.
    top : float
        Greatest number of strokes.
    stood : sequence of float
        Strokes of the pieces that still stood: an arrow stands above each.
    """
    # A line of the legend is 0.16 in high, an arrow 0.4; what is not the axes' is 0.7 in.
    tall = max(height_in - 0.7, 0.5)
    taken = 0.16 * lines / tall
    tops = [(top, taken), *((count, taken + 0.4 / tall) for count in stood)]
    return 1.12 * max(max(count, 1e-9) / (1 - min(room, 0.7)) for count, room in tops)
