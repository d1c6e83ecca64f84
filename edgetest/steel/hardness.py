"""How hard is it: Rockwell readings and file brackets together, for the piece and for the lot."""

from dataclasses import dataclass, field

import numpy as np
from scipy.special import chdtrc

from edgetest.doubts import Doubt, Where, doubt, doubts_of, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.steel.hardness_interval import log_interval

# The C scale serves from 20 HRC; nothing a bladesmith makes lies above 70.
LOWEST_HRC, HIGHEST_HRC = 20.0, 70.0
NOTICEABLE_HRC = 3.0  # a difference worth notice; common practice
_GRID = np.arange(LOWEST_HRC, HIGHEST_HRC + 0.1, 0.2)
_OFFSETS = np.linspace(-2.5, 2.5, 11)  # error of the file set, in its own standard deviations
_SPREADS = np.linspace(0.05, 4.0, 24)  # piece-to-piece spread, in units of its prior scale


def file_bracket(skates_hrc=None, bites_hrc=None):
    """Bounds on hardness from the hardest file that skated and the softest that bit.

    Parameters
    ----------
    skates_hrc : float or None
        Rated hardness of the hardest file that skated: the steel is harder. None where the
        softest file already bit.
    bites_hrc : float or None
        Rated hardness of the softest file that bit: the steel is softer. None where all
        files skated.

    Returns
    -------
    tuple of float
        (lower, upper) in HRC, infinite where open.

    Raises
    ------
    UnusableInput
        If neither is given, or a file that bites is not harder than one that skates.
    """
    if skates_hrc is None and bites_hrc is None:
        raise UnusableInput("no file given", "file bracket", "give the file that bit or skated")
    lower = -np.inf if skates_hrc is None else float(skates_hrc)
    upper = np.inf if bites_hrc is None else float(bites_hrc)
    if lower >= upper:
        what = f"the {lower:g} HRC file skated but the softer {upper:g} HRC file bit"
        raise UnusableInput(what, "file bracket", "try both files again on clean metal")
    return lower, upper


@dataclass(frozen=True)
class PieceHardness:
    """Hardness of one piece from its own readings."""

    piece: str
    readings: int
    hardness: Estimate


@dataclass(frozen=True)
class HardnessResult:
    """Hardness of each piece and, where more than one was read, of the lot."""

    pieces: tuple[PieceHardness, ...]
    lot_mean: Estimate | None
    piece_sd: Estimate | None
    next_piece: Estimate | None
    reading_sd_hrc: float
    doubts: tuple[Doubt, ...]
    grid_hrc: np.ndarray = field(repr=False)
    piece_density: np.ndarray = field(repr=False)  # (pieces, grid), rows sum to one
    next_density: np.ndarray | None = field(repr=False)
    lot_mean_sd_hrc: float | None = None

    @property
    def scope(self):
        """What the headline number speaks of: one piece, or a further piece of the lot."""
        return "piece" if self.next_density is None else "lot"

    @property
    def hardness(self):
        """The headline: the piece where there is one, a further piece of the lot where several."""
        return self.pieces[0].hardness if self.next_piece is None else self.next_piece

    def density(self, piece=None):
        """Weights on `grid_hrc` for a named piece, or for the headline."""
        if piece is None:
            return self.piece_density[0] if self.next_density is None else self.next_density
        names = [p.piece for p in self.pieces]
        if piece not in names:
            known = ", ".join(names)
            raise UnusableInput(f"piece {piece!r} has no reading", "piece", f"known are {known}")
        return self.piece_density[names.index(piece)]

    def probability_in_range(self, lower_hrc=-np.inf, upper_hrc=np.inf, *, piece=None):
        """Probability that the true hardness lies between two bounds (HRC)."""
        return _mass(self.density(piece), lower_hrc, upper_hrc)

    def moments(self, piece=None):
        """Mean and standard deviation of the true hardness, HRC."""
        return _moments(self.density(piece))

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "scope": self.scope,
            "hardness_hrc": self.hardness.to_dict(),
            "pieces": [
                {"piece": p.piece, "readings": p.readings, "hardness_hrc": p.hardness.to_dict()}
                for p in self.pieces
            ],
            "lot_mean_hrc": self.lot_mean.to_dict() if self.lot_mean else None,
            "piece_sd_hrc": self.piece_sd.to_dict() if self.piece_sd else None,
            "reading_sd_hrc": plain(self.reading_sd_hrc),
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a piece."""
        import pandas as pd

        rows = [
            {
                "piece": p.piece,
                "readings": p.readings,
                "hardness_hrc": p.hardness.value,
                "low_hrc": p.hardness.low,
                "high_hrc": p.hardness.high,
            }
            for p in self.pieces
        ]
        return pd.DataFrame(rows)

    def summary(self):
        """The hardness as a maker reads it out."""
        if self.scope == "piece":
            return f"Piece {self.pieces[0].piece}: {self.hardness.summary()}."
        return (
            f"{len(self.pieces)} pieces; a further piece of the lot is expected at "
            f"{self.hardness.summary()}."
        )


def _mass(density, lower, upper):
    """Probability between bounds, the grid cells cut where a bound falls inside them."""
    half = (_GRID[1] - _GRID[0]) / 2
    share = (np.minimum(_GRID + half, upper) - np.maximum(_GRID - half, lower)) / (2 * half)
    return float(np.clip(share, 0, 1) @ density)


def _moments(density):
    """Mean and standard deviation of a density on the grid, HRC."""
    mean = density @ _GRID
    return float(mean), float(np.sqrt(density @ (_GRID - mean) ** 2))


def _quantiles(density, probabilities):
    """Hardness below which the given shares of a density lie."""
    half = (_GRID[1] - _GRID[0]) / 2
    edges = np.append(_GRID - half, _GRID[-1] + half)
    return np.interp(probabilities, np.append(0.0, np.cumsum(density)), edges)


def _estimate(density, level, method):
    """Median and central interval of a density."""
    low, middle, high = _quantiles(density, [0.5 - level / 2, 0.5, 0.5 + level / 2]).tolist()
    return Estimate(middle, low, high, "HRC", level, method)


def _columns(value, lower, upper, piece):
    """The readings as equal arrays of bounds and piece labels, checked once."""
    given = [np.atleast_1d(x) for x in (value, lower, upper, piece) if x is not None]
    if not given or given[0].size == 0:
        raise UnusableInput("no reading", "hardness", "give a number or a file bracket")
    n = given[0].size
    if any(x.size != n for x in given):
        raise UnusableInput("columns differ in length", "hardness", "give one entry a reading")
    value = np.full(n, np.nan) if value is None else np.atleast_1d(value).astype(float)
    low = np.full(n, np.nan) if lower is None else np.atleast_1d(lower).astype(float)
    high = np.full(n, np.nan) if upper is None else np.atleast_1d(upper).astype(float)
    piece = np.full(n, "1") if piece is None else np.atleast_1d(piece).astype(str)
    exact = np.isfinite(value)
    low = np.where(exact, value, np.where(np.isnan(low), -np.inf, low))
    high = np.where(exact, value, np.where(np.isnan(high), np.inf, high))
    for i in range(n):
        where = f"hardness, reading {i + 1}"
        if np.isinf(low[i]) and np.isinf(high[i]):
            raise UnusableInput("neither number nor bound", where, "give one or leave it out")
        if low[i] > high[i]:
            what = f"lower bound {low[i]:g} above upper {high[i]:g}"
            raise UnusableInput(what, where, "swap the two")
        for bound in (low[i], high[i]):
            if np.isfinite(bound) and not LOWEST_HRC <= bound <= HIGHEST_HRC:
                mend = f"give {LOWEST_HRC:g} to {HIGHEST_HRC:g}, or the bound it passed"
                raise UnusableInput(f"{bound:g} HRC is off the C scale", where, mend)
    return exact, low, high, piece


def _likelihood(exact, low, high, sd_hrc, feel_hrc, tolerance_hrc):
    """Likelihood of one piece's readings, shape (grid, offsets of the file set)."""
    log_l = np.zeros((_GRID.size, _OFFSETS.size))
    for is_exact, a, b in zip(exact, low, high, strict=True):
        if is_exact:
            log_l += -0.5 * ((a - _GRID[:, None]) / sd_hrc) ** 2
        else:
            shift = tolerance_hrc * _OFFSETS - _GRID[:, None]
            log_l += log_interval((a + shift) / feel_hrc, (b + shift) / feel_hrc)
    return log_l


def _scatter_ratio(exact, value, piece, sd_hrc):
    """Birge ratio of readings within pieces, 1.0 where their scatter is as stated."""
    squares, df = 0.0, 0
    for name in np.unique(piece):
        own = value[exact & (piece == name)]
        squares += ((own - own.mean()) ** 2).sum() if own.size else 0.0
        df += max(own.size - 1, 0)
    squares /= sd_hrc**2
    return np.sqrt(squares / df) if df and chdtrc(df, squares) < 0.01 else 1.0


def fit_hardness(
    *,
    value=None,
    lower=None,
    upper=None,
    piece=None,
    reading_sd_hrc=1.0,
    file_tolerance_hrc=1.0,
    file_feel_hrc=1.0,
    piece_spread_hrc=1.5,
    level=0.95,
):
    """Hardness from numbers and file brackets, one entry a reading.

    A reading is normal about the piece's hardness; a bracket says between which files it
    lies, the set of files being off by one shared error. Pieces vary normally about the
    lot. The posterior is worked out on a grid: flat in hardness over the C scale, half
    normal in the piece-to-piece spread. A piece is judged by its own readings alone; the
    lot only where at least two pieces were read.

    Parameters
    ----------
    value : array_like, shape (n,), optional
        Readings, HRC; nan where only a bracket is known.
    lower, upper : array_like, shape (n,), optional
        Bounds, HRC; nan or infinite where open (see `file_bracket`).
    piece : array_like of str, shape (n,), optional
        Which piece each reading was made on; one piece where left out.
    reading_sd_hrc : float
        Standard uncertainty of one Rockwell reading (1 HRC: common practice).
    file_tolerance_hrc : float
        Standard uncertainty of the file set's own hardness, shared by its files.
    file_feel_hrc : float
        Standard uncertainty of judging one file as skating or biting.
    piece_spread_hrc : float
        Scale of the prior for the piece-to-piece standard deviation.
    level : float
        Coverage of the intervals.

    Returns
    -------
    HardnessResult

    Raises
    ------
    UnusableInput
        If there is no reading, bounds are crossed, or a number is off the C scale.
    """
    errors = {
        "reading_sd_hrc": reading_sd_hrc,
        "file_feel_hrc": file_feel_hrc,
        "piece_spread_hrc": piece_spread_hrc,
    }
    for name, sd in errors.items():
        if not sd > 0:
            raise UnusableInput(f"{sd:g} HRC", name, "give a standard uncertainty above zero")
    exact, low, high, piece = _columns(value, lower, upper, piece)
    ratio = _scatter_ratio(exact, low, piece, reading_sd_hrc)
    sd_hrc = reading_sd_hrc * ratio
    names = list(dict.fromkeys(piece.tolist()))
    log_l = np.stack(
        [
            _likelihood(exact[own], low[own], high[own], sd_hrc, file_feel_hrc, file_tolerance_hrc)
            for own in (piece == name for name in names)
        ]
    )
    l_piece = np.exp(log_l - log_l.max(axis=(1, 2), keepdims=True))
    offset_prior = np.exp(-0.5 * _OFFSETS**2)
    offset_prior /= offset_prior.sum()
    own = l_piece @ offset_prior
    own /= own.sum(axis=1, keepdims=True)

    method = "readings and file brackets, grid posterior"
    pieces = tuple(
        PieceHardness(p, int((piece == p).sum()), _estimate(own[j], level, method))
        for j, p in enumerate(names)
    )
    doubts = _doubts(exact, low, high, ratio)
    if len(names) == 1:
        return HardnessResult(
            pieces, None, None, None, sd_hrc, (*doubts, doubt("one_piece")), _GRID, own, None
        )
    mean, spread, following, differ = _lot(l_piece, offset_prior, piece_spread_hrc)
    if differ:
        doubts = (*doubts, doubt("pieces_differ"))
    edges = np.cumsum(spread)
    tau = piece_spread_hrc * _SPREADS
    middle, least, most = np.interp([0.5, 0.5 - level / 2, 0.5 + level / 2], edges, tau).tolist()
    return HardnessResult(
        pieces,
        _estimate(mean, level, method),
        Estimate(middle, least, most, "HRC", level, "grid posterior, half-normal prior"),
        _estimate(following, level, method),
        sd_hrc,
        doubts,
        _GRID,
        own,
        following,
        _moments(mean)[1],
    )


def _lot(l_piece, offset_prior, scale_hrc):
    """Densities of the lot's mean, its spread and a further piece; and whether pieces differ."""
    gaps = (_GRID[:, None] - _GRID) ** 2
    joint = np.empty((_SPREADS.size, _GRID.size, _OFFSETS.size))
    kernels = []
    for k, spread in enumerate(_SPREADS):
        kernel = np.exp(-0.5 * gaps / (spread * scale_hrc) ** 2)
        kernel /= kernel.sum(axis=0)  # columns: density over the piece, given the lot's mean
        kernels.append(kernel)
        joint[k] = np.prod([kernel.T @ one for one in l_piece], axis=0) * offset_prior
        joint[k] *= np.exp(-0.5 * spread**2)
    joint /= joint.sum()
    by_mean = joint.sum(axis=2)
    following = sum(kernel @ row for kernel, row in zip(kernels, by_mean, strict=True))

    evidence = l_piece.sum(axis=1).prod(axis=0) * offset_prior
    evidence /= evidence.sum()
    given_offset = l_piece / l_piece.sum(axis=1, keepdims=True)
    centres = np.einsum("pgo,g,o->p", given_offset, _GRID, evidence)
    soft, hard = given_offset[centres.argmin()], given_offset[centres.argmax()]
    apart = (_GRID[:, None] - _GRID) > NOTICEABLE_HRC
    probability = np.einsum("ho,hs,so,o->", hard, apart.astype(float), soft, evidence)
    return by_mean.sum(axis=0), joint.sum(axis=(1, 2)), following, probability > 0.5


def _doubts(exact, low, high, ratio):
    """What the kind of readings leaves open."""
    codes = []
    if not exact.any():
        codes.append("brackets_only")
        if np.isinf(high).all():
            codes.append("open_upward")
        if np.isinf(low).all():
            codes.append("open_downward")
    scatter = (doubt("readings_scatter", where=Where(value=float(ratio))),) if ratio > 1 else ()
    return (*doubts_of(codes), *scatter)
