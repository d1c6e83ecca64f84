"""How often would a chop comparison show a true ratio: simulated, and given to the comparison."""

from dataclasses import dataclass
from math import inf, log, sqrt

import numpy as np

from edgetest.chop.count_design import BOARD_SD, Billets
from edgetest.chop.counts import compared_alone
from edgetest.chop.depth import SingleChops, fit_depths
from edgetest.errors import UnusableInput
from edgetest.stats.power import power_by_width
from edgetest.stats.regression import USUAL_SPREAD

# Log depth of one chop about its blade's line; common practice, no source.
DEPTH_SD = 0.15


@dataclass(frozen=True)
class ChopsExpected:
    """What is believed of blades, wood and strokes before a chop test.

    Attributes
    ----------
    sd_blades : float
        Scatter of log chops (or log depth) between blades of one heat treatment.
    strokes : float
        Chops that a piece takes.
    pieces : int
        Pieces that a blade severs, one of every board; billets or studs.
    piece_cv : float
        Scatter from piece to piece beyond counting chance.
    chops : tuple of int
        Measured chops of a blade, by their number, for single chops; () for pieces.
    depth_sd : float
        Scatter of one log depth about its blade's line.
    """

    sd_blades: float
    strokes: float = 20.0
    pieces: int = 3
    piece_cv: float = USUAL_SPREAD.cv
    chops: tuple[int, ...] = ()
    depth_sd: float = DEPTH_SD

    @property
    def reading_se(self):
        """Standard uncertainty of a blade's log figure from its pieces or chops alone."""
        if self.chops:
            return self.depth_sd / sqrt(len(self.chops))
        return sqrt((1 / self.strokes + self.piece_cv**2) / self.pieces)


def chop_power(blades, ratio, expected, rng, *, level=0.95, studies=200, step=None):
    """Chance that the chop comparison shows a true ratio of chops to sever, or of depths.

    Every simulated test goes through `fit_counts` or `fit_depths` as a real one does.

    Parameters
    ----------
    blades : tuple of int
        Blades of each heat treatment, two or more; the second's ratio to the first counts.
    ratio : float
        True ratio, above 0.
    expected : ChopsExpected
    rng : numpy.random.Generator
    level : float
    studies : int
    step : callable(), optional
        Called after each simulated study.

    Returns
    -------
    Power
    """
    made = _depth_test if expected.chops else _count_test
    middles, halves, method = np.full(studies, np.nan), np.full(studies, inf), ""
    for i in range(studies):
        try:
            found = made(blades, log(ratio), expected, rng, level)
        except UnusableInput:
            found = None
        if found is not None:
            low, high = log(found.low), log(found.high)
            middles[i], halves[i] = log(found.value) - log(ratio), (high - low) / 2
            method = found.method
        if step:
            step()
    return power_by_width(middles, halves, log(ratio), method=method)


def _blades_of(blades):
    """Blade and heat treatment of every blade, the reference's first."""
    pairs = [(f"{t}.{i}", f"treatment {t}") for t, n in enumerate(blades) for i in range(n)]
    names, treatments = zip(*pairs, strict=True)
    return np.array(names), np.array(treatments), np.repeat(np.arange(len(blades)), blades)


def _count_test(blades, shift, expected, rng, level):
    """One simulated test of severed pieces, as `fit_counts` answers it."""
    names, treatments, place = _blades_of(blades)
    pieces = expected.pieces
    mean = log(expected.strokes) + shift * (place == 1)
    mean = mean + expected.sd_blades * rng.standard_normal(len(names))
    wood = BOARD_SD * rng.standard_normal(pieces)
    piece = expected.piece_cv * rng.standard_normal((len(names), pieces))
    chops = np.maximum(rng.poisson(np.exp(mean[:, None] + wood + piece)), 1)
    before = np.cumsum(chops, axis=1) - chops
    _, found = compared_alone(
        Billets(
            blade=np.repeat(names, pieces).tolist(),
            chops=chops.ravel(),
            area_cm2=[100.0] * chops.size,
            chops_before=before.ravel(),
            board=[f"board {j}" for j in range(pieces)] * len(names),
            treatment=np.repeat(treatments, pieces).tolist(),
        ),
        level=level,
    )
    return next((r.ratio for r in found if r.first == "treatment 1"), None)


def _depth_test(blades, shift, expected, rng, level):
    """One simulated test of single chops, as `fit_depths` answers it."""
    names, treatments, place = _blades_of(blades)
    chops = np.array(expected.chops, dtype=float)
    own = shift * (place == 1) + expected.sd_blades * rng.standard_normal(len(names))
    depth = own[:, None] + expected.depth_sd * rng.standard_normal((len(names), len(chops)))
    found = fit_depths(
        SingleChops(
            blade=np.repeat(names, len(chops)).tolist(),
            chop=np.tile(chops - 1, len(names)).tolist(),
            depth_mm=np.exp(3.0 + depth.ravel()),
            treatment=np.repeat(treatments, len(chops)).tolist(),
        ),
        level=level,
    )
    pairs = [r for r in found.ratios if r.scope == "heat_treatments"]
    return next((r.ratio for r in pairs if r.first == "treatment 1"), None)
