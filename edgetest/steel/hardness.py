"""How hard is it: Rockwell readings and file brackets together, for the piece and for the lot."""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.stats.censoring import normal_log_between
from edgetest.steel.hardness_readings import (
    HIGHEST_HRC,
    LOWEST_HRC,
    USUAL_ERRORS,
    hardness_readings,
)

NOTICEABLE_HRC = 3.0  # a difference worth notice; common practice
_GRID = np.arange(LOWEST_HRC, HIGHEST_HRC + 0.1, 0.2)
_OFFSETS = np.linspace(-2.5, 2.5, 11)  # error of the file set, in its own standard deviations
_SPREADS = np.linspace(0.05, 4.0, 24)  # piece-to-piece spread, in units of its prior scale


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
    reading_sd_hrc: float
    doubts: tuple[Doubt, ...]
    grid_hrc: np.ndarray = field(repr=False)
    piece_density: np.ndarray = field(repr=False)  # (pieces, grid), rows sum to one
    lot_mean: Estimate | None = None
    piece_sd: Estimate | None = None
    next_piece: Estimate | None = None
    next_density: np.ndarray | None = field(default=None, repr=False)
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


def _likelihood(readings, errors):
    """Likelihood of one piece's readings, shape (grid, offsets of the file set)."""
    log_l = np.zeros((_GRID.size, _OFFSETS.size))
    for is_exact, a, b in zip(readings.exact, readings.low, readings.high, strict=True):
        if is_exact:
            log_l += -0.5 * ((a - _GRID[:, None]) / errors.reading_sd_hrc) ** 2
        else:
            shift = errors.file_tolerance_hrc * _OFFSETS - _GRID[:, None]
            feel = errors.file_feel_hrc
            log_l += normal_log_between((a + shift) / feel, (b + shift) / feel)
    return log_l


def fit_hardness(
    *, value=None, lower=None, upper=None, piece=None, errors=USUAL_ERRORS, level=0.95
):
    """Hardness from numbers and file brackets, by Bayes' rule on a grid.

    A reading is normal about the piece's hardness; a bracket says between which files it
    lies (interval-censored), the set of files being off by one shared error. Pieces vary
    normally about the lot (a random effect). The prior is flat in hardness over the C scale,
    half normal in the piece-to-piece spread. A piece is judged by its own readings alone;
    the lot only where at least two pieces were read.

    Parameters
    ----------
    value : array_like, shape (n,), optional
        Readings, HRC; nan where only a bracket is known.
    lower, upper : array_like, shape (n,), optional
        Bounds, HRC; nan or infinite where open.
    piece : array_like of str, shape (n,), optional
        Which piece each reading was made on; one piece where left out.
    errors : HardnessErrors
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
    readings = hardness_readings(value, lower, upper, piece)
    ratio = readings.birge_ratio(errors.reading_sd_hrc)
    widened = replace(errors, reading_sd_hrc=errors.reading_sd_hrc * ratio)
    names = readings.pieces
    log_l = np.stack([_likelihood(readings.of(name), widened) for name in names])
    l_piece = np.exp(log_l - log_l.max(axis=(1, 2), keepdims=True))
    offset_prior = np.exp(-0.5 * _OFFSETS**2)
    offset_prior /= offset_prior.sum()
    own = l_piece @ offset_prior
    own /= own.sum(axis=1, keepdims=True)

    method = "readings and file brackets, grid posterior"
    result = HardnessResult(
        pieces=tuple(
            PieceHardness(name, readings.of(name).exact.size, _estimate(density, level, method))
            for name, density in zip(names, own, strict=True)
        ),
        reading_sd_hrc=widened.reading_sd_hrc,
        doubts=_doubts(readings, ratio),
        grid_hrc=_GRID,
        piece_density=own,
    )
    if len(names) == 1:
        return replace(result, doubts=(*result.doubts, doubt("one_piece")))
    mean, spread, following, differ = _lot(l_piece, offset_prior, errors.piece_spread_hrc)
    tau = errors.piece_spread_hrc * _SPREADS
    shares = [0.5, 0.5 - level / 2, 0.5 + level / 2]
    middle, least, most = np.interp(shares, np.cumsum(spread), tau).tolist()
    return replace(
        result,
        lot_mean=_estimate(mean, level, method),
        piece_sd=Estimate(middle, least, most, "HRC", level, "grid posterior, half-normal prior"),
        next_piece=_estimate(following, level, method),
        doubts=(*result.doubts, *([doubt("pieces_differ")] if differ else [])),
        next_density=following,
        lot_mean_sd_hrc=_moments(mean)[1],
    )


def _lot(l_piece, offset_prior, scale_hrc):
    """Hierarchical normal model on the grid: posteriors of lot mean, spread and a further piece.

    And whether the softest and the hardest piece differ noticeably, more likely than not.
    """
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


def _doubts(readings, ratio):
    """What the kind of readings leaves open."""
    codes = []
    if not readings.exact.any():
        codes.append("brackets_only")
        if np.isinf(readings.high).all():
            codes.append("open_upward")
        if np.isinf(readings.low).all():
            codes.append("open_downward")
    scatter = (doubt("readings_scatter", where=Where(value=float(ratio))),) if ratio > 1 else ()
    return (*doubts_of(codes), *scatter)
