"""How often would a test of two tools show a true ratio: simulated piece by piece, chop by chop."""

from dataclasses import dataclass
from math import exp, inf, log, nan

import numpy as np
from scipy.optimize import brentq

from edgetest.chop.chop_power import DEPTH_SD
from edgetest.chop.count_design import BOARD_SD, Billets
from edgetest.chop.counts import compared_alone
from edgetest.chop.depth import SingleChops, fit_depths
from edgetest.errors import UnusableInput
from edgetest.stats.power import power_by_width
from edgetest.stats.regression import USUAL_SPREAD

LARGEST_RATIO = 20.0  # beyond it no ratio is looked for


@dataclass(frozen=True)
class ToolTests:
    """Simulated tests of two tools: log ratio less the true one, and half its interval."""

    off: np.ndarray
    half: np.ndarray
    method: str

    def power(self, ratio):
        """Chance that the interval leaves out 1, on the side of a true ratio.

        Parameters
        ----------
        ratio : float
            Above 0.

        Returns
        -------
        Power
        """
        return power_by_width(self.off, self.half, log(ratio), method=self.method)

    def ratio_shown(self, power):
        """The least ratio above 1 that such tests show with a chance; inf for none."""

        def short(log_ratio):
            return self.power(exp(log_ratio)).value - power

        if short(log(LARGEST_RATIO)) < 0:
            return inf
        return exp(brentq(short, 0.0, log(LARGEST_RATIO), xtol=1e-3))


def simulated_tests(
    strokes, ratio, rng, *, piece_cv=USUAL_SPREAD.cv, level=0.95, studies=200, step=None
):
    """Tests of two tools on the same boards, each by the ratio of `fit_counts`, as of a real one.

    Parameters
    ----------
    strokes : sequence of float, length n
        Strokes that each tool's pieces take, one piece of a board each.
    ratio : float
        True ratio of strokes, above 0.
    rng : numpy.random.Generator
    piece_cv : float
        Scatter between pieces of one board beyond counting chance.
    level : float
    studies : int
    step : callable(), optional
        Called after each simulated test.

    Returns
    -------
    ToolTests
    """
    middle, shift = np.log(np.asarray(strokes, dtype=float)), log(ratio)
    return _tests(lambda: _one_test(middle, shift, rng, piece_cv, level), shift, studies, step)


def simulated_depths(chops, ratio, rng, *, depth_sd=DEPTH_SD, level=0.95, studies=200, step=None):
    """Tests of two tools by single chops in turn on one board, each through `fit_depths`.

    Parameters
    ----------
    chops : sequence of int
        Measured chops of each tool, by their number.
    ratio : float
        True ratio of depths, above 0.
    rng : numpy.random.Generator
    depth_sd : float
        Scatter of one log depth about its tool's line.
    level : float
    studies : int
    step : callable(), optional
        Called after each simulated test.

    Returns
    -------
    ToolTests
    """
    before, shift = np.asarray(chops, dtype=float) - 1, log(ratio)

    def one():
        own = np.array([-shift / 2, shift / 2])[:, None]
        depth = np.exp(3.0 + own + depth_sd * rng.standard_normal((2, len(before))))
        found = fit_depths(
            SingleChops(
                blade=["first"] * len(before) + ["second"] * len(before),
                chop=np.tile(before, 2).tolist(),
                depth_mm=depth.ravel().tolist(),
            ),
            level=level,
        )
        second = next(pair for pair in found.ratios if pair.first == "second")
        return second.ratio

    return _tests(one, shift, studies, step)


def _tests(one, shift, studies, step):
    """What the intervals of so many tests came to; nan and inf where a test had none."""
    off, half, method = np.full(studies, nan), np.full(studies, inf), ""
    for i in range(studies):
        try:
            found = one()
        except UnusableInput:
            found = None
        if found is not None:
            off[i] = log(found.value) - shift
            half[i] = (log(found.high) - log(found.low)) / 2
            method = found.method
        if step:
            step()
    return ToolTests(off, half, method)


def _one_test(middle, shift, rng, piece_cv, level):
    """The ratio of the second tool to the first in one simulated test."""
    pieces = len(middle)
    wood = BOARD_SD * rng.standard_normal(pieces)
    piece = piece_cv * rng.standard_normal((2, pieces))
    halves = np.array([-shift / 2, shift / 2])[:, None]
    chops = np.maximum(rng.poisson(np.exp(middle + wood + halves + piece)), 1)
    before = np.cumsum(chops, axis=1) - chops
    (found,), _ = compared_alone(
        Billets(
            blade=["first"] * pieces + ["second"] * pieces,
            chops=chops.ravel(),
            area_cm2=np.tile(
                100 * np.exp(middle - middle.mean()), 2
            ).tolist(),  # a larger piece takes more
            chops_before=before.ravel(),
            board=[f"board {j}" for j in range(pieces)] * 2,
        ),
        against="first",
        level=level,
    )
    return found.ratio
