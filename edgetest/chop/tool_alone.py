"""How well would so many pieces tell the mean strokes of one tool alone? By simulated tests."""

from math import exp, inf, log

import numpy as np

from edgetest.chop.as_chopped import BOARDS_SD, PIECES_SD, Piece, as_chopped
from edgetest.chop.notch import PieceSection

LARGEST_FACTOR = 10.0  # beyond it the pieces tell nothing
SECTION = PieceSection(50.0, 50.0)  # all pieces alike: its size does not matter


def typical_factor(strokes, boards, rng, *, level=0.95, studies=40):
    """How far the interval of a tool's mean strokes reaches either side, as a factor.

    Parameters
    ----------
    strokes : float
        That a piece takes.
    boards : sequence of str
        The board of each piece.
    rng : numpy.random.Generator
    level : float
    studies : int

    Returns
    -------
    float
        Median of simulated tests that go through `as_chopped`, pieces and boards scattering as
        usual (`PIECES_SD`, `BOARDS_SD`); inf beyond `LARGEST_FACTOR`.
    """
    names = list(dict.fromkeys(boards))
    place = np.array([names.index(name) for name in boards])
    logs = []
    for _ in range(studies):
        wood = BOARDS_SD.middle * rng.standard_normal(len(names))[place]
        piece = PIECES_SD.middle * rng.standard_normal(len(place))
        counts = np.maximum(np.round(np.exp(log(strokes) + wood + piece)), 1.0)
        pieces = [
            Piece("tool", float(count), True, SECTION, board=board)
            for count, board in zip(counts, boards, strict=True)
        ]
        (found,) = as_chopped(pieces, level=level)
        mean = found.strokes_per_piece
        logs.append(log(mean.high / mean.low) / 2)
    half = float(np.median(logs))
    return exp(half) if half < log(LARGEST_FACTOR) else inf
