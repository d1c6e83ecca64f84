"""Would the strokes of each board have been reckoned rightly from the pieces of the others?"""

from dataclasses import dataclass
from math import hypot, log

import numpy as np

from edgetest.chop.as_chopped import BOARDS_SD, DAY_SD, PIECES_SD, Piece, alike, counts_of
from edgetest.estimate import Estimate
from edgetest.stats.whole_counts import fit_whole_counts

SELDOM = 0.05  # chance that a sane log has any such board: shared over its cells (Bonferroni)


@dataclass(frozen=True)
class Miss:
    """Like pieces of one blade on one board, and their mean strokes reckoned from other boards."""

    pieces: tuple[Piece, ...]
    strokes: Estimate

    @property
    def apart(self):
        """How far off the reckoned strokes are, log scale."""
        mean = float(np.mean([piece.strokes for piece in self.pieces]))
        return log(mean / self.strokes.value)


def missed_boards(design, pieces, prior):
    """Pieces that the other boards would not have foretold, the farthest off first.

    Parameters
    ----------
    design : ndarray (n, k)
        Row of each piece, as it is reckoned with.
    pieces : sequence of Piece
    prior : NormalPrior
        Of the k coefficients.

    Returns
    -------
    tuple of Miss
        Pieces still standing miss where they already took more than would be reckoned.
    """
    cells = [own for cell in alike(pieces) for own in _by_board(pieces, cell)]
    level, found = 1 - SELDOM / max(len(cells), 1), []
    fits = {}
    for cell in cells:
        board = pieces[cell[0]].board
        if board not in fits:
            fits[board] = _without(design, pieces, prior, board)
        if fits[board] is None:
            continue
        one = _foretold(fits[board], design[cell].mean(axis=0), len(cell), level)
        mean = float(np.mean([pieces[i].strokes for i in cell]))
        fell = all(pieces[i].severed for i in cell)
        if mean > one.high or (fell and mean < one.low):
            found.append(Miss(tuple(pieces[i] for i in cell), one))
    return tuple(sorted(found, key=lambda miss: -abs(miss.apart)))


def _by_board(pieces, cell):
    """Like pieces, those of each board by themselves."""
    boards = dict.fromkeys(pieces[i].board for i in cell)
    return [[i for i in cell if pieces[i].board == board] for board in boards]


def _without(design, pieces, prior, board):
    """The regression without one board; None where a blade has no other, or no board is named."""
    keep = [i for i, piece in enumerate(pieces) if piece.board != board]
    blades = {piece.blade for piece in pieces if piece.severed}
    if not board or {pieces[i].blade for i in keep if pieces[i].severed} != blades:
        return None
    counts = counts_of([pieces[i] for i in keep])
    return fit_whole_counts(design[keep], counts, prior=prior, within=PIECES_SD, between=BOARDS_SD)


def _foretold(fit, row, pieces, level):
    """Mean strokes of so many pieces of one new board."""
    within, between = float(fit.weight @ fit.within), float(fit.weight @ fit.between)
    scatter = hypot(DAY_SD, hypot(within / pieces**0.5, between))
    return fit.mean_count(row, extra_sd=scatter, level=level, unit="strokes a piece")
