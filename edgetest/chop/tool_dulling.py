"""Does each tool's edge dull, what dulling would its pieces show, and how many would show less?

Every tool has a slope of its own, log strokes per 100 strokes made, with the prior that the
slope of all together has. The test is thought to go on as it went: the same pieces again, on
other boards of the same kind, with the edge as it stands now: one that was touched up goes on
from the strokes that it made since.
"""

from dataclasses import dataclass, replace
from math import ceil, exp, log, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.special import stdtrit

from edgetest.chop.count_design import CountDesign, Severed, check_billets, design_of
from edgetest.chop.count_results import ToolDulling, loss_estimate
from edgetest.chop.strokes_to_third import EARLY_POWER, strokes_to_third
from edgetest.errors import UnusableInput
from edgetest.stats.power import noncentral_power
from edgetest.stats.regression import NORMAL_DF, NormalPrior, RateFit, fit_rate

CHANCE = 0.8  # that a test shows what it is asked to show; common practice
AIMS_PCT = (50.0, 20.0, 10.0, 5.0, 2.0)  # the next of these below what is shown by now is aimed at
LEAST_KNOWN = 1e-9  # what the pieces know of a slope, 1 / variance, beside what rounding leaves
MOST_PIECES = 100  # of a tool; beyond, no number is given
MOST_PCT = 100.0  # a test that shows only more than this shows nothing of use


@dataclass(frozen=True)
class OwnSlopes:
    """The regression with a slope for each tool: `places` are their columns, by tool."""

    fit: RateFit
    places: dict[str, int]

    def of(self, name):
        """A tool's own change per 100 chops, in log, as a `LogContrast`."""
        return self.fit.contrast(np.eye(len(self.fit.params))[self.places[name]])


def own_slopes(design, billets, spread="moderated"):
    """Each tool's own dulling, by the regression of all pieces.

    Parameters
    ----------
    design : CountDesign
        With a column of dulling.
    billets : Severed
    spread : str
        See `edgetest.stats.regression.fit_rate`.

    Returns
    -------
    OwnSlopes

    Raises
    ------
    UnusableInput
        If the pieces cannot be fitted so.
    """
    matrix, prior, places = _own_columns(design, billets)
    fit = fit_rate(matrix, billets.chops, billets.exposure, spread=spread, prior=prior,
                   unfinished=billets.standing)  # fmt: skip
    return OwnSlopes(fit, places)


def dulling_by_tool(billets, *, reference_hardness_n=3200.0, spread="moderated", level=0.95):
    """Dulling of each tool, and the pieces that would show less of it than these do.

    Parameters
    ----------
    billets : Billets
    reference_hardness_n : float
        As for `edgetest.chop.counts.fit_counts`; the answer does not hang on it.
    spread : str
    level : float
        Coverage of each tool's interval.

    Returns
    -------
    tuple of ToolDulling
        In the order of the tools; empty where nobody noted the strokes before each piece.

    References
    ----------
    .. [1] P. McCullagh, J. A. Nelder, Generalized Linear Models, 2nd ed. (1989), ch. 9: the
       information X' diag(mean / dispersion) X, here with the priors' precisions.
    .. [2] D. B. Owen, "A survey of properties and applications of the noncentral
       t-distribution", Technometrics 10 (1968) 445-478: the chance of showing a difference.
    """
    known = check_billets(billets)
    design = design_of(known, reference_hardness_n)
    if design.dulling is None:
        return ()
    try:
        own = own_slopes(design, known, spread)
        early = own_slopes(_dulling_early(design, known), known, spread)
    except UnusableInput:
        return ()
    test = _Test(known, design, own, early, reference_hardness_n, level)
    return tuple(test.told(name) for name in design.names)


def _own_columns(design, billets):
    """Matrix and prior with the slope of all together replaced by one of each tool."""
    shared = design.matrix[:, design.dulling]
    rest = np.delete(np.arange(design.matrix.shape[1]), design.dulling)
    own = [(billets.blade == name) * shared for name in design.names]
    n = len(own)
    prior = NormalPrior(
        np.append(design.prior.mean[rest], np.zeros(n)),
        np.append(design.prior.sd[rest], np.full(n, design.prior.sd[design.dulling])),
    )
    places = {name: len(rest) + i for i, name in enumerate(design.names)}
    return np.column_stack([design.matrix[:, rest], *own]), prior, places


def _dulling_early(design, billets):
    """The design with the root of the strokes made in their place: most is lost at first."""
    matrix = design.matrix.copy()
    middle = billets.chops_before + billets.chops / 2
    matrix[:, design.dulling] = (middle / 100) ** EARLY_POWER
    return replace(design, matrix=matrix)


@dataclass(frozen=True)
class _Test:
    """A test as it was chopped, and as it would be if it went on so."""

    billets: Severed
    design: CountDesign
    own: OwnSlopes
    early: OwnSlopes
    reference_hardness_n: float
    level: float

    def told(self, name):
        """A tool's dulling, and where it is not seen what would show it."""
        slope = self.own.of(name)
        loss = loss_estimate(slope, self.level)
        own = self.billets.blade == name
        pieces = int(own.sum())
        made = float((self.billets.chops_before + self.billets.chops)[own].max())
        seen = loss.low > 0 or loss.high < 0
        shows = None if seen else self._least_shown(name)
        first = float(
            self.billets.chops[own][np.argmin(np.asarray(self.billets.chops_before)[own])]
        )
        told = {"level": self.level, "shown": seen or shows is not None}
        third = strokes_to_third(slope, self.early.of(name), made, first, **told)
        if seen:
            return ToolDulling(name, pieces, loss, third_more=third)
        aim = next((pct for pct in AIMS_PCT if shows is None or pct < shows), None)
        more = self._pieces_more(name, aim) if aim else None
        strokes = None if more is None else round(more * float(self.billets.chops[own].mean()))
        return ToolDulling(name, pieces, loss, shows, aim, more, strokes, third)

    def _least_shown(self, name):
        """The least dulling, % per 100 chops, that such a test shows in most cases, or None."""
        variance = self._variance(name, 0)

        def short(shift):
            return CHANCE - self._chance(variance, shift)

        most = log(1 + MOST_PCT / 100)
        if short(most) > 0:
            return None
        return 100 * (exp(brentq(short, 1e-6, most)) - 1)

    def _pieces_more(self, name, aim_pct):
        """Further pieces with each tool that would show a dulling, or None beyond the most."""
        shift = log(1 + aim_pct / 100)
        low, high = 0, MOST_PIECES
        if self._chance(self._variance(name, high), shift) < CHANCE:
            return None
        while high - low > 1:
            middle = (low + high) // 2
            enough = self._chance(self._variance(name, middle), shift) >= CHANCE
            low, high = (low, middle) if enough else (middle, high)
        return high

    def _chance(self, variance, shift):
        """Chance that the interval of a slope with this variance lies above none.

        The prior draws the slope towards none: it is v * J times what the pieces alone say,
        J = 1/v - 1/prior sd² being what they know, with a standard error of 1/sqrt(J).
        """
        known = 1 / variance - 1 / self.design.prior.sd[self.design.dulling] ** 2
        if known <= LEAST_KNOWN:
            return 0.0
        df = min(self.own.fit.df_interval, NORMAL_DF)
        reach = stdtrit(df, 0.5 + self.level / 2) / sqrt(variance * known)
        return float(noncentral_power(shift * sqrt(known), df, reach))

    def _variance(self, name, more):
        """Variance of a tool's slope after so many more pieces with each tool."""
        billets = _gone_on(self.billets, self._mean, more)
        design = design_of(billets, self.reference_hardness_n)
        matrix, prior, places = _own_columns(design, billets)
        weight = billets.chops / self.own.fit.dispersion
        information = matrix.T @ (weight[:, None] * matrix) + np.diag(1 / prior.sd**2)
        at = places[name]
        return float(np.linalg.inv(information)[at, at])

    @property
    def _mean(self):
        """Strokes that the regression expects of each piece."""
        matrix, _, _ = _own_columns(self.design, self.billets)
        return self.billets.exposure * np.exp(matrix @ self.own.fit.params)


def _gone_on(billets, mean, more):
    """The pieces with the strokes expected of them, and `more` with each tool after them."""
    names = list(dict.fromkeys(billets.blade.tolist()))
    pieces = {name: int((billets.blade == name).sum()) for name in names}
    since, run, now = _work(billets, names)
    left = {name: count + more for name, count in pieces.items()}
    kept = []
    for turn in range(1 + max(ceil(more / count) for count in pieces.values())):
        for i, name in enumerate(billets.blade):
            if left[name]:
                left[name] -= 1
                kept.append((i, turn))
    at, turns = np.array(kept).T
    return replace(
        billets,
        blade=billets.blade[at],
        chops=mean[at],
        area_cm2=billets.area_cm2[at],
        exposure=billets.exposure[at],
        standing=np.zeros(len(at), bool),
        hardness_n=None if billets.hardness_n is None else billets.hardness_n[at],
        chops_before=np.where(
            turns == 0, billets.chops_before[at], now[at] + since[at] + (turns - 1) * run[at]
        ),
        board=tuple(f"{billets.board[i]} {turn}" for i, turn in kept) if billets.board else (),
    )


def _work(billets, names):
    """By piece: strokes from its tool's first piece to it, those of all, and the edge's by now.

    Where the edge was touched up its strokes begin anew; the work that the pieces are does not.
    """
    since, run, now = (np.zeros(len(billets.chops)) for _ in range(3))
    for name in names:
        own = billets.blade == name
        before, chops = billets.chops_before[own], billets.chops[own]
        steps = np.where(np.diff(before) < chops[:-1], chops[:-1], np.diff(before))
        since[own] = np.append(0.0, np.cumsum(steps))
        run[own] = since[own][-1] + chops[-1]
        now[own] = before[-1] + chops[-1]
    return since, run, now
