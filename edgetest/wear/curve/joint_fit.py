"""Iteratively reweighted joint fit: curves, scatter (REML) and the shared power in turn."""

from dataclasses import dataclass
from math import log

import numpy as np

from edgetest.wear.curve.batch_fit import Curves, fit_shapes
from edgetest.wear.curve.bounded_readings import update_bounds, update_weights
from edgetest.wear.curve.profile_likelihood import Pull
from edgetest.wear.curve.scatter import (
    Scatter,
    estimate_scatter,
    predicted_effects,
    stage_means,
    weigh,
)

WORN_VOLUME = 2.0  # power of the width of a wedge that loses the same volume with every cut
PRIOR_SD = 0.5  # of log p: 95 % of p between 0.75 and 5.3 where it is expected about 2
POWER = 1  # place of log p in the wedge law's psi
ROUNDS = 40


@dataclass(frozen=True)
class Fitted:
    """A study's fit. Arrays have one row a blade.

    `own` are the psi each blade has for itself; `log_power` is None for laws without a power,
    `power_var` 0 where it was set. `blades` are the cells as they entered (bounds as numbers).
    `cov` covers (log scale, own psi) at the given power, `drift` is their move per log power.
    """

    law: object
    blades: tuple
    own: list[int]
    log_power: float | None
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

    @property
    def power_var(self):
        """Variance of log p, 0 where it was set."""
        return self.scatter.power_var

    def full_covariance(self, i):
        """Covariance of blade i over (log scale, psi), the shared power's part in it."""
        k = self.psi.shape[1] + 1
        full = np.zeros((k, k))
        n = len(self.own) + 1
        full[:n, :n] = self.cov[i]
        if self.power_var > 0:
            move = np.r_[self.drift[i], 1.0]
            full += self.power_var * np.outer(move, move)
        return full


def fit_blades(law, blades, *, log_power=None, about=WORN_VOLUME, robust=False, stated_df=None):
    """Fit every blade, the scatter they share, and (wedge, no `log_power`) the power they share.

    Parameters
    ----------
    law : Law
    blades : sequence of Cells
        At least one stage more than parameters among them.
    log_power : float, optional
        Sets the wedge law's log p.
    about : float
        Where the prior expects p: log p normal about its log with SD `PRIOR_SD`.
    robust : bool
        Take readings far from their curve less seriously.
    stated_df : float, optional
        Degrees of freedom behind the readings' stated uncertainties.

    Returns
    -------
    Fitted
    """
    wedge = law.name == "wedge"
    shared = wedge and log_power is None
    own = [0] if wedge else list(range(len(law.psi_names)))
    blades, mean, unknown = list(blades), log(about), Scatter(1.0, 0.0, 0.0, np.zeros((3, 3)))
    curves = pack(blades, unknown)
    if shared:
        log_power = _first_power(law, curves, mean)
    shapes, scatter = fit_shapes(law, curves, held=_held(law, log_power)), unknown
    bends = robust or any(b.bounded.any() for b in blades)
    for _ in range(ROUNDS):
        before = (log_power, shapes.psi, scatter)
        shapes = fit_shapes(law, curves, held=_held(law, log_power), start=shapes.psi.copy())
        residuals = _residuals(law, blades, shapes)
        slopes = _slopes(law, blades, shapes)
        scatter = estimate_scatter(
            blades,
            residuals,
            [_own_slopes(s, own) for s in slopes],
            **_prior_on_power(slopes, shared),
            start=None if scatter is unknown else scatter,
            stated_df=stated_df,
        )
        if bends:
            blades = [
                _reweigh(b, scatter, r, robust) for b, r in zip(blades, residuals, strict=True)
            ]
        curves = pack(blades, scatter)
        if shared:
            log_power = _next_power(law, curves, shapes.psi, log_power, mean)
        if not _moved(before, (log_power, shapes.psi, scatter)):
            break
    shapes = fit_shapes(law, curves, held=_held(law, log_power), start=shapes.psi.copy())
    slopes = _slopes(law, blades, shapes)
    return Fitted(
        law=law,
        blades=tuple(blades),
        own=own,
        log_power=log_power if wedge else None,
        scatter=scatter,
        curves=curves,
        **vars(shapes),
        slopes=slopes,
        **_covariances(blades, scatter, slopes, own),
        prior_mean=mean,
    )


def _held(law, log_power):
    """The psi that is not fitted blade by blade: the wedge law's log power."""
    return {POWER: log_power} if law.name == "wedge" else {}


def _prior_on_power(slopes, shared):
    """What the scatter is to know of a power that all blades share."""
    if not shared:
        return {}
    return {"shared": [s[:, POWER] for s in slopes], "shared_precision": PRIOR_SD**-2}


def _covariances(blades, scatter, slopes, own):
    """Covariance of each blade's own parameters, and their move per log power."""
    cov, drift = [], []
    for blade, slope in zip(blades, slopes, strict=True):
        jac = _own_slopes(slope, own)
        weighted = weigh(blade, scatter, jac)
        cov.append(np.linalg.pinv(jac.T @ weighted, hermitian=True))
        drift.append(-cov[-1] @ (weighted.T @ slope[:, -1]))
    return {"cov": cov, "drift": drift}


def pack(blades, scatter):
    """The blades' stage means as padded curves, weighted by what scatters."""
    n_stages = max(len(b.stages) for b in blades)
    cuts, mean = np.zeros((2, len(blades), n_stages))
    root = np.zeros((len(blades), n_stages, n_stages))
    for i, b in enumerate(blades):
        s = len(b.stages)
        cuts[i, :s] = b.stages
        mean[i, :s], root[i, :s, :s] = stage_means(b, scatter)
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


def _reweigh(blade, scatter, residuals, robust):
    """Bounds and far-out readings as the present curve sees them."""
    effects = predicted_effects(blade, scatter, residuals)
    if robust:
        blade = update_weights(blade, residuals - effects, scatter.residual_var)
    return update_bounds(blade, blade.log_value - residuals + effects, scatter.residual_var)


def _moved(before, now):
    """Whether the fit still changes by more than it matters."""
    if now[0] is not None and abs(now[0] - before[0]) > 1e-5:
        return True
    sd_before, sd_now = np.sqrt(before[2].parts), np.sqrt(now[2].parts)
    if np.abs(sd_before - sd_now).max() > 1e-4 * sd_now.max():
        return True
    return bool(np.abs(before[1] - now[1]).max() > 1e-4)


def power_profile(law, curves, log_powers, start=None):
    """Sum of squares of every curve at each log power (B, G)."""
    n, g = len(curves.cuts), len(log_powers)
    many = curves.take(np.repeat(np.arange(n), g))
    start = None if start is None else np.repeat(start, g, axis=0)
    shapes = fit_shapes(law, many, held={POWER: np.tile(log_powers, n)}, start=start)
    return shapes.sse.reshape(n, g)


def _prior(log_powers, mean):
    return ((log_powers - mean) / PRIOR_SD) ** 2


def _first_power(law, curves, mean):
    """A log power to begin with, while the scatter is unknown."""
    grid = mean + np.linspace(-2.0, 2.0, 17)
    stages = (np.abs(curves.root).sum(axis=2) > 0).sum()
    df = max(stages - 2 * len(curves.cuts), 1)
    goal = df * np.log(np.maximum(power_profile(law, curves, grid).sum(axis=0), 1e-300))
    return float(grid[np.argmin(goal + _prior(grid, mean))])


def _next_power(law, curves, psi, near, mean):
    """Mode of the shared log power, by successive parabolic interpolation of its profile."""
    step = 0.05
    for _ in range(8):
        grid = near + step * np.array([-1.0, 0.0, 1.0])
        start = psi.copy()
        goal = power_profile(law, curves, grid, start).sum(axis=0) + _prior(grid, mean)
        bend = goal[0] - 2 * goal[1] + goal[2]
        move = (goal[0] - goal[2]) / (2 * bend) if bend > 0 else np.sign(goal[0] - goal[2])
        near += step * float(np.clip(move, -4, 4))
        near = float(np.clip(near, mean - 2.5, mean + 2.5))
        if abs(move) * step < 1e-6 or (abs(move) < 0.2 and step < 0.02):
            break
        if abs(move) < 1:
            step = max(step / 4, 0.01)
    return near


def power_pulls(fitted, stretch):
    """Profile likelihood of each blade's power by the other blades and the prior.

    Parameters
    ----------
    fitted : Fitted
    stretch : ndarray (B,)
        Quantile used for each blade over the normal one: the prior is not stretched by a
        scatter known from few readings, so that its deviance is raised by as much.

    Returns
    -------
    Pull
    """
    u = np.sqrt(fitted.power_var)
    grid = fitted.log_power + u * np.linspace(-5.0, 5.0, 21)
    sse = power_profile(fitted.law, fitted.curves, grid, fitted.psi)
    others = sse.sum(axis=0) - sse + np.outer(stretch**2, _prior(grid, fitted.prior_mean))
    return Pull(POWER, grid, np.stack([_signed_root(grid, row) for row in others]))


def _signed_root(grid, goal):
    """Signed root of the deviance: the rise above the minimum, negative to its left."""
    i = int(np.clip(np.argmin(goal), 1, len(grid) - 2))
    bend = goal[i - 1] - 2 * goal[i] + goal[i + 1]
    move = float(np.clip((goal[i - 1] - goal[i + 1]) / (2 * bend), -1, 1)) if bend > 0 else 0.0
    lowest = goal[i] - bend * move**2 / 2
    centre = grid[i] + move * (grid[1] - grid[0])
    return np.sign(grid - centre) * np.sqrt(np.maximum(goal - lowest, 0.0))
