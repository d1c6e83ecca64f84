"""Do two tools differ alike over every wood and size? One-way F test of their log ratios."""

from dataclasses import dataclass, replace
from math import exp, log

import numpy as np

from edgetest.chop.as_chopped import PIECES_SD, alike

SELDOM = 0.01  # a spread of the ratios that chance brings less often than this is said
USUAL_PIECES = 4  # pieces that the usual scatter counts as; a choice
ROUNDING = 1 / 12  # variance of a count about its whole number


@dataclass(frozen=True)
class RatioOfKind:
    """Strokes of the first tool over those of the second, for pieces of one wood and size."""

    words: str
    ratio: float


def ratios_by_piece(pieces, first, second, overall):
    """Ratios of two tools by wood and size, and the chance that these and their own are one.

    Parameters
    ----------
    pieces : sequence of Piece
    first, second : str
        The two tools.
    overall : float
        Their ratio over all pieces, also those whose like the other tool did not sever; it is not
        looked at where a piece still stood.

    Returns
    -------
    kinds : tuple of RatioOfKind
        Of every wood and size that both severed, in the order of the log.
    p : float
        The smaller of two, each doubled (Bonferroni): of the F test among the kinds, and of
        Student's t of their mean against `overall`; 1 where no kind tells. The scatter of pieces
        is pooled over all kinds with the usual one (`PIECES_SD`, as four pieces).

    References
    ----------
    .. [1] W. G. Cochran, "The combination of estimates from different experiments",
       Biometrics 10 (1954) 101-129 (weighted sum of squares about the common value).
    """
    both = _kinds(pieces, first, second)
    kinds = tuple(
        RatioOfKind(
            f"{mine[0].wood or 'wood not noted'}, {mine[0].section.summary()}",
            exp(_logs(mine).mean() - _logs(theirs).mean()),
        )
        for mine, theirs in both
    )
    whole = all(one.severed for one in pieces if one.blade in (first, second))
    return kinds, _chance(both, kinds, log(overall) if whole else None) if kinds else 1.0


def _kinds(pieces, first, second):
    """Pieces of every wood and size that both tools severed, all of them, a list a tool."""
    mine = [one for one in pieces if one.blade in (first, second)]
    kinds = alike([replace(one, blade="") for one in mine])
    cells = [[[mine[i] for i in kind if mine[i].blade == blade] for blade in (first, second)]
             for kind in kinds if all(mine[i].severed for i in kind)]  # fmt: skip
    return [pair for pair in cells if all(pair)]


def _chance(both, kinds, log_overall):
    """Chance that the kinds, and the ratio of all pieces where it is given, are one."""
    from scipy.special import fdtrc, stdtr

    scatter, df = _scatter([_logs(cell) for pair in both for cell in pair])
    value = np.log([one.ratio for one in kinds])
    weight = np.array([1 / sum(_variance(cell, scatter) for cell in pair) for pair in both])
    middle, free = np.average(value, weights=weight), len(kinds) - 1
    spread = float(np.sum(weight * (value - middle) ** 2))
    chances = [2 * float(fdtrc(free, df, spread / free))] if free else []
    if log_overall is not None:
        away = abs(middle - log_overall) * np.sqrt(weight.sum())
        chances.append(4 * float(stdtr(df, -away)))
    return min([1.0, *chances])


def _logs(cell):
    """Log strokes per area of some pieces."""
    return np.array([log(one.strokes / one.section.area_cm2) for one in cell])


def _scatter(logs):
    """Variance of one piece's log count within its kind, and its degrees of freedom."""
    within = sum(float(((each - each.mean()) ** 2).sum()) for each in logs)
    df = sum(len(each) - 1 for each in logs) + USUAL_PIECES
    return (within + USUAL_PIECES * PIECES_SD.middle**2) / df, df


def _variance(cell, scatter):
    """Variance of a mean log count."""
    rounding = ROUNDING * sum(1 / one.strokes**2 for one in cell) / len(cell)
    return (scatter + rounding) / len(cell)
