"""The mean strokes of a piece over boards: each counts once, however much of it was chopped."""

import numpy as np

from edgetest.doubts import doubt


def mean_of_boards(counts):
    """The mean over boards of the mean of each.

    Of as many pieces of each board it is the mean of all pieces.

    Parameters
    ----------
    counts : sequence of (float, str)
        Strokes of each piece, and its board.

    Returns
    -------
    float
    """
    of_boards: dict[str, list[float]] = {}
    for strokes, board in counts:
        of_boards.setdefault(board, []).append(strokes)
    return float(np.mean([np.mean(strokes) for strokes in of_boards.values()]))


def boards_once(blade, counts, where):
    """That boards gave unlike numbers of pieces, where the mean of all pieces is another one.

    Parameters
    ----------
    blade : str
    counts : sequence of (float, str)
        As `mean_of_boards` takes them.
    where : Where

    Yields
    ------
    Doubt
    """
    mean, plain = mean_of_boards(counts), float(np.mean([strokes for strokes, _ in counts]))
    told = {"mean": f"{mean:.1f}", "all": f"{plain:.1f}"}
    if told["mean"] != told["all"]:
        yield doubt("boards_counted_once", where=where, blade=blade, **told)
