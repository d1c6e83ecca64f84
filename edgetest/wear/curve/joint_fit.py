"""Iteratively reweighted joint fit: curves, scatter (REML) and the powers in turn."""

from dataclasses import dataclass, field
from functools import cached_property
from math import log
from typing import Any

import numpy as np

from edgetest.wear.curve.batch_fit import Curves, Shapes, fit_shapes
from edgetest.wear.curve.bounded_readings import update_bounds, update_weights
from edgetest.wear.curve.fits_at_hand import fitted_once
from edgetest.wear.curve.laws import Law
from edgetest.wear.curve.power_profiles import POWER, POWER_STEPS, power_profile
from edgetest.wear.curve.scatter import FLOOR, Scatter, estimate_scatter
from edgetest.wear.curve.single_readings import off_neighbours, one_reading_a_stage
from edgetest.wear.curve.treatment_powers import PRIOR_SD, TreatmentPowers, powers_together
from edgetest.wear.curve.weighing import Weighing

WORN_VOLUME = 2.0  # power of the width of a wedge that loses the same volume with every cut
ROUNDS = 40


@dataclass(frozen=True)
class Fitted:
    """A study's fit. Arrays have one row a blade.

    `own` are the psi each blade has for itself; `log_power` (T,) by heat treatment is None for
    laws without a power, `power_cov` (T, T) zero where it was set. `blades` are the cells as they
    entered (bounds as numbers). `cov` covers (log scale, own psi) at the given power, `drift` is
    their move per log power. `powers` about `prior_mean`, and what the readings alone say of them:
    `precision` and `pull` as `powers_together` takes them.
    """

    law: Law
    blades: tuple
    own: list[int]
    log_power: np.ndarray | None
    power_cov: np.ndarray
    powers: TreatmentPowers | None
    precision: np.ndarray
    pull: np.ndarray
    scatter: Scatter
    curves: Curves
    log_scale: np.ndarray
    psi: np.ndarray
    sse: np.ndarray
    at_end: np.ndarray
    slopes: list
    cov: list
    drift: list
    prior_mean: float = log(WORN_VOLUME)

    @cached_property
    def weighing(self):
        """How the readings of each blade count together."""
        return Weighing.of(self.blades, self.scatter)

    @cached_property
    def own_slopes(self):
        """Slopes of the log readings by the blades' own parameters, as `Weighing` takes them."""
        return self.weighing.by_stage([_own_slopes(s, self.own) for s in self.slopes])

    @property
    def group(self):
        """Number of each blade's heat treatment (B,)."""
        return np.array([blade.group for blade in self.blades])

    @property
    def powers_tried(self):
        """Log powers (T, G) about each heat treatment's own, at which it is profiled."""
        sd = np.sqrt(np.diag(self.power_cov))
        return np.asarray(self.log_power)[:, None] + sd[:, None] * POWER_STEPS

    @cached_property
    def at_powers(self):
        """Sums of squares (B, G) of the curves at `powers_tried`."""
        return power_profile(self.law, self.curves, self.powers_tried[self.group], self.psi)

    @property
    def power_set(self):
        """Whether the power is one that the readings did not choose."""
        return self.log_power is not None and self.powers is None

    @property
    def power_var(self):
        """Variance of log p of each blade's heat treatment (B,), 0 where it was set."""
        return np.diag(self.power_cov)[self.group]

    def full_covariance(self, i):
        """Covariance of blade i over (log scale, psi), the shared power's part in it."""
        k = self.psi.shape[1] + 1
        full = np.zeros((k, k))
        n = len(self.own) + 1
        full[:n, :n] = self.cov[i]
        if self.powers is not None:
            move = np.r_[self.drift[i], 1.0]
            full += self.power_var[i] * np.outer(move, move)
        return full


@fitted_once
def fit_blades(
    law,
    blades,
    *,
    log_power=None,
    about=WORN_VOLUME,
    robust=False,
    stated_df=None,
    start=None,
):
    """Fit every blade, the scatter they share, and (wedge, no `log_power`) the powers.

    Parameters
    ----------
    law : Law
    blades : sequence of Cells
        At least one stage more than parameters among them; numbered by heat treatment.
    log_power : float, optional
        Sets the wedge law's log p.
    about : float
        Where the prior expects p: the mean log p normal about its log with SD `PRIOR_SD`.
    robust : bool
        Take readings far from their curve less seriously.
    stated_df : float, optional
        Degrees of freedom behind the readings' stated uncertainties.
    start : Fitted, optional
        The blades as their law alone fits them: they are fitted as curves that depart from it.

    Returns
    -------
    Fitted
    """
    wedge, mean = law.name == "wedge", log(about)
    shared = wedge and log_power is None
    now = _first(law, list(blades), log_power, mean) if start is None else _departing(start)
    bends = robust or any(b.bounded.any() for b in now.blades)
    for _ in range(ROUNDS):
        before = (now.log_power, now.shapes.psi, now.scatter)
        now.refit()
        residuals = _residuals(law, now.blades, now.shapes)
        slopes = _slopes(law, now.blades, now.shapes)
        now.scatter = estimate_scatter(
            now.blades,
            residuals,
            [_own_slopes(s, now.own) for s in slopes],
            shared=[s[:, POWER] for s in slopes] if shared else None,
            start=now.scatter,
            stated_df=stated_df,
            path_unit=now.path_unit,
            least_residual_var=now.least_residual_var,
        )
        if bends:
            now.blades = _reweighed(Weighing.of(now.blades, now.scatter), residuals, robust)
        now.curves = pack(Weighing.of(now.blades, now.scatter))
        if shared:
            now.move_powers(mean)
        if not _moved(before, (now.log_power, now.shapes.psi, now.scatter)):
            break
    now.refit()
    slopes = _slopes(law, now.blades, now.shapes)
    return Fitted(
        law=law,
        blades=tuple(now.blades),
        own=now.own,
        log_power=now.log_power if wedge else None,
        power_cov=now.powers.cov if now.powers else np.zeros((len(now.log_power),) * 2),
        powers=now.powers,
        precision=now.scatter.precision,
        pull=now.pull,
        scatter=now.scatter,
        curves=now.curves,
        **vars(now.shapes),
        slopes=slopes,
        **_covariances(Weighing.of(now.blades, now.scatter), slopes, now.own),
        prior_mean=mean,
    )


@dataclass
class _Fitting:
    """A fit on its way; `path_unit` where the curves depart from their law."""

    law: Law
    blades: list
    scatter: Any
    curves: Curves
    log_power: np.ndarray
    shapes: Shapes
    path_unit: float | None = None
    least_residual_var: float = FLOOR
    powers: TreatmentPowers | None = None
    pull: np.ndarray = field(default_factory=lambda: np.empty(0))
    moved: np.ndarray | None = None
    ease: float = 1.0

    @property
    def own(self):
        """The psi that each blade has for itself."""
        return [0] if self.law.name == "wedge" else list(range(len(self.law.psi_names)))

    def refit(self):
        """Fit the shapes anew, each from where it is."""
        group = np.array([blade.group for blade in self.blades])
        held = _held(self.law, self.log_power, group)
        self.shapes = fit_shapes(self.law, self.curves, held=held, start=self.shapes.psi.copy())

    def move_powers(self, mean):
        """Move the powers to where readings and prior have them."""
        scatter = self.scatter
        self.pull = scatter.pull + scatter.precision * (self.log_power - mean)
        self.powers = powers_together(scatter.precision, self.pull)
        move = np.clip(mean + self.powers.shift - self.log_power, -0.5, 0.5)
        if self.moved is not None and move @ self.moved < 0:  # to and fro: half the way
            self.ease = max(self.ease / 2, 0.125)
        self.moved = move
        self.log_power = np.clip(self.log_power + self.ease * move, mean - 2.5, mean + 2.5)


def _first(law, blades, log_power, mean):
    """Where a fit begins: the readings' scatter unknown."""
    group = np.array([blade.group for blade in blades])
    curves = pack(Weighing.of(blades, Scatter(1.0, 0.0, 0.0, np.zeros((3, 3)))))
    power = np.full(group.max() + 1, log_power or 0.0)
    if law.name == "wedge" and log_power is None:
        power = _first_powers(law, curves, group, mean)
    shapes = fit_shapes(law, curves, held=_held(law, power, group))
    return _Fitting(law, blades, None, curves, power, shapes)


def _departing(start):
    """Where a fit of curves that depart from their law begins: at the law's own."""
    shapes = Shapes(start.log_scale, start.psi, start.sse, start.at_end)
    unit = max(float(blade.stages[-1]) for blade in start.blades)
    power = np.zeros(start.group.max() + 1) if start.log_power is None else start.log_power
    least = FLOOR
    if one_reading_a_stage(start.blades):
        left = _residuals(start.law, start.blades, start)
        least = max(min(start.scatter.residual_var, off_neighbours(start.blades, left)), FLOOR)
    return _Fitting(
        start.law, list(start.blades), start.scatter, start.curves, power, shapes, unit, least
    )


def _held(law, log_power, group):
    """The psi that is not fitted blade by blade: the log power of its heat treatment."""
    return {POWER: log_power[group]} if law.name == "wedge" else {}


def _covariances(weighing, slopes, own):
    """Covariance of each blade's own parameters, and their move per log power."""
    cov, drift = [], []
    for i, slope in enumerate(slopes):
        jac = _own_slopes(slope, own)
        weighted = weighing.times(i, jac)
        cov.append(np.linalg.pinv(jac.T @ weighted, hermitian=True))
        drift.append(-cov[-1] @ (weighted.T @ slope[:, -1]))
    return {"cov": cov, "drift": drift}


def pack(weighing):
    """The blades' stage means as padded curves, weighted by what scatters."""
    mean, root = weighing.stage_means()
    cuts = np.zeros(mean.shape)
    for i, b in enumerate(weighing.blades):
        cuts[i, : len(b.stages)] = b.stages
    return Curves(cuts, mean, root)


def _slopes(law, blades, shapes):
    return [law.slopes(b.cuts, psi) for b, psi in zip(blades, shapes.psi, strict=True)]


def _own_slopes(slopes, own):
    return np.column_stack([np.ones(len(slopes)), slopes[:, own]])


def _residuals(law, blades, shapes):
    return [
        b.log_value - shapes.log_scale[i] - law.log_shape(b.cuts, shapes.psi[i])
        for i, b in enumerate(blades)
    ]


def _reweighed(weighing, residuals, robust):
    """Bounds and far-out readings as the present curve sees them."""
    residual_var, out = weighing.scatter.residual_var, []
    for i, blade in enumerate(weighing.blades):
        effects = weighing.predicted_effects(i, residuals[i])
        if robust:
            blade = update_weights(blade, residuals[i] - effects, residual_var)
        out.append(update_bounds(blade, blade.log_value - residuals[i] + effects, residual_var))
    return out


def _moved(before, now):
    """Whether the fit still changes by more than it matters."""
    if before[2] is None or len(before[2].parts) != len(now[2].parts):
        return True
    if np.abs(now[0] - before[0]).max() > 1e-4:
        return True
    sd_before, sd_now = np.sqrt(before[2].parts), np.sqrt(now[2].parts)
    if np.abs(sd_before - sd_now).max() > 1e-4 * sd_now.max():
        return True
    return bool(np.abs(before[1] - now[1]).max() > 1e-4)


def _first_powers(law, curves, group, mean):
    """Log powers (T,) to begin with, while the scatter is unknown."""
    grid = mean + np.linspace(-2.0, 2.0, 9)
    profile = power_profile(law, curves, grid)
    stages = (np.abs(curves.root).sum(axis=2) > 0).sum(axis=1)
    out = np.empty(group.max() + 1)
    for t in range(len(out)):
        these = group == t
        df = max(stages[these].sum() - 2 * these.sum(), 1)
        goal = df * np.log(np.maximum(profile[these].sum(axis=0), 1e-300))
        out[t] = grid[np.argmin(goal + ((grid - mean) / PRIOR_SD) ** 2)]
    return out
