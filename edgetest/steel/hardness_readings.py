"""Rockwell numbers and file brackets as equal columns, checked once, and how sure each is."""

from dataclasses import dataclass

import numpy as np
from scipy.special import chdtrc

from edgetest.errors import UnusableInput

# The C scale serves from 20 HRC; nothing a bladesmith makes lies above 70.
LOWEST_HRC, HIGHEST_HRC = 20.0, 70.0
SCATTER_SHARE = 0.01  # scatter is called too wide where chance gives it more seldom than this


@dataclass(frozen=True)
class HardnessErrors:
    """Standard uncertainties, HRC: common practice, no source."""

    reading_sd_hrc: float = 1.0  # of one Rockwell reading
    file_tolerance_hrc: float = 1.0  # of the file set's own hardness, shared by its files
    file_feel_hrc: float = 1.0  # of judging one file as skating or biting
    piece_spread_hrc: float = 1.5  # scale of the prior for the piece-to-piece spread

    def __post_init__(self):
        for name in ("reading_sd_hrc", "file_feel_hrc", "piece_spread_hrc"):
            sd = getattr(self, name)
            if not sd > 0:
                raise UnusableInput(f"{sd:g} HRC", name, "give a standard uncertainty above zero")


USUAL_ERRORS = HardnessErrors()


@dataclass(frozen=True)
class HardnessReadings:
    """Readings, one entry each: an exact one has equal bounds, an open bound is infinite."""

    exact: np.ndarray
    low: np.ndarray
    high: np.ndarray
    piece: np.ndarray

    @property
    def pieces(self):
        """Names of the pieces in the order met."""
        return list(dict.fromkeys(self.piece.tolist()))

    def of(self, name):
        """The readings of one piece."""
        own = self.piece == name
        return HardnessReadings(self.exact[own], self.low[own], self.high[own], self.piece[own])

    def birge_ratio(self, sd_hrc):
        """Birge ratio of exact readings within pieces; 1.0 where their scatter is as stated."""
        squares, df = 0.0, 0
        for name in self.pieces:
            own = self.of(name)
            values = own.low[own.exact]
            squares += ((values - values.mean()) ** 2).sum() if values.size else 0.0
            df += max(values.size - 1, 0)
        squares /= sd_hrc**2
        return np.sqrt(squares / df) if df and chdtrc(df, squares) < SCATTER_SHARE else 1.0


def hardness_readings(value=None, lower=None, upper=None, piece=None):
    """Numbers and brackets as readings; see `edgetest.steel.hardness.fit_hardness`.

    Raises
    ------
    UnusableInput
        If there is no reading, bounds are crossed, or a number is off the C scale.
    """
    given = [np.atleast_1d(x) for x in (value, lower, upper, piece) if x is not None]
    if not given or given[0].size == 0:
        raise UnusableInput("no reading", "hardness", "give a number or a file bracket")
    n = given[0].size
    if any(x.size != n for x in given):
        raise UnusableInput("columns differ in length", "hardness", "give one entry a reading")
    value, lower, upper = (
        np.full(n, np.nan) if x is None else np.atleast_1d(x).astype(float)
        for x in (value, lower, upper)
    )
    piece = np.full(n, "1") if piece is None else np.atleast_1d(piece).astype(str)
    exact = np.isfinite(value)
    low = np.where(exact, value, np.where(np.isnan(lower), -np.inf, lower))
    high = np.where(exact, value, np.where(np.isnan(upper), np.inf, upper))
    for number, ends in enumerate(zip(low, high, strict=True), 1):
        _check(*ends, where=f"hardness, reading {number}")
    return HardnessReadings(exact, low, high, piece)


def off_the_c_scale(hrc):
    """What is wrong with a hardness that no C scale reads, and how to mend it; None where none."""
    if LOWEST_HRC <= hrc <= HIGHEST_HRC:
        return None
    what = f"{hrc:g} HRC is off the C scale, {LOWEST_HRC:g} to {HIGHEST_HRC:g} HRC"
    if hrc < LOWEST_HRC:
        return what, f'read it again; write "<{LOWEST_HRC:g}" where it is softer than the scale'
    return what, 'read it again; where the file 60 skated and no harder one was tried, write ">60"'


def _check(low, high, *, where):
    """Raise where a reading's bounds say nothing, are crossed, or lie off the scale."""
    if np.isinf(low) and np.isinf(high):
        raise UnusableInput("neither number nor bound", where, "give one or leave it out")
    if low > high:
        raise UnusableInput(f"lower bound {low:g} above upper {high:g}", where, "swap the two")
    for bound in (low, high):
        if np.isfinite(bound) and (told := off_the_c_scale(float(bound))):
            raise UnusableInput(told[0], where, told[1])
