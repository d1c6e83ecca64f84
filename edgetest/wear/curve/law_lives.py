"""Lives by the law alone: profile-likelihood intervals of the fitted curves' crossings."""

from dataclasses import dataclass
from math import exp, inf

import numpy as np

from edgetest.wear.curve.power_profiles import POWER, power_pulls
from edgetest.wear.curve.profile_likelihood import Profiled, least_life, profile_life
from edgetest.wear.curve.treatment_powers import PRIOR_SD

FLAT = 1e-3  # a curve that moves less than this (log) over its stages shows no wear


@dataclass(frozen=True)
class LifeLimits:
    """Limits of the blades' lives and what is doubtful about them, each (B,).

    `value` is a reading, or (`of_fresh`) a multiple of the blade's fresh reading; `relative_u`
    its standard uncertainty; `shared_scale_u` that of a scale that all readings share; `level`
    of the intervals; `spare`: stages beyond parameters, degrees of freedom where no life is found.
    """

    value: np.ndarray
    relative_u: np.ndarray
    of_fresh: bool = False
    shared_scale_u: float = 0.0
    level: float = 0.95
    spare: int = 1

    def log_limit(self, fitted):
        """Log readings (B,) that end the lives by a fit."""
        return np.log(self.value) + (fitted.log_scale if self.of_fresh else 0.0)


@dataclass(frozen=True)
class LawLives:
    """Lives by the law alone, arrays (B,): log life (inf where none), ends, and its errors.

    `beyond_fresh`: whether the limit lies beyond the fresh reading; `moves`: how far the curve
    moves (log) over its stages.
    """

    log_life: np.ndarray
    low: np.ndarray
    high: np.ndarray
    own_se: np.ndarray
    df: np.ndarray
    rate: np.ndarray
    by_power: np.ndarray
    beyond_fresh: np.ndarray
    moves: np.ndarray


def lives_by_law(fitted, limits):
    """Life of every blade as its fitted law has it.

    Parameters
    ----------
    fitted : Fitted
    limits : LifeLimits

    Returns
    -------
    LawLives
    """
    from scipy.special import ndtri, stdtrit

    law, n = fitted.law, len(fitted.blades)
    target = limits.log_limit(fitted) - fitted.log_scale
    with np.errstate(all="ignore"):
        log_life = np.log(law.cuts_at(target, fitted.psi))
    last = np.array([b.stages[-1] for b in fitted.blades])
    moves = np.abs(law.log_shape(last[:, None], fitted.psi)[:, 0])
    beyond_fresh = law.direction * target > 0
    flat = beyond_fresh & ((moves < FLAT) | np.isposinf(log_life))
    finite = beyond_fresh & ~flat & np.isfinite(log_life)
    own, by_power = np.zeros((2, n))
    rate, df = np.ones(n), np.full(n, float(max(limits.spare, 1)))
    if finite.any():
        with np.errstate(divide="ignore", invalid="ignore"):  # of flat curves nothing is kept
            found = _uncertainty(fitted, np.where(finite, log_life, np.log(last)), limits.of_fresh)
        own, df, by_power, rate = (
            np.where(finite, new, old)
            for new, old in zip(found, (own, df, by_power, rate), strict=True)
        )
    quantile, z = stdtrit(df, 0.5 + limits.level / 2), float(ndtri(0.5 + limits.level / 2))
    spread = np.hypot(own, by_power * np.sqrt(fitted.power_var))
    sought = _profiled(fitted, limits, quantile / z)
    low, high = _ends(sought, fitted, log_life, spread, quantile, finite, flat)
    wider = z * _limit_error(limits, rate)
    with np.errstate(invalid="ignore"):
        low = np.where(finite, log_life - np.hypot(log_life - low, wider), low)
        high = np.where(finite, log_life + np.hypot(high - log_life, wider), high)
    log_life, own = np.where(finite, log_life, inf), np.where(finite, own, inf)
    return LawLives(log_life, low, high, own, df, rate, by_power, beyond_fresh, moves)


def _limit_error(limits, rate):
    """Standard error of log life by scale and limit."""
    scale = 0.0 if limits.of_fresh else limits.shared_scale_u
    return np.hypot(scale, limits.relative_u) / np.abs(rate)


def _profiled(fitted, limits, stretch):
    """The blades' curves as their lives are profiled, a shared power judged by the others."""
    shared = fitted.powers is not None
    held = [POWER] if fitted.power_set else []
    pull = power_pulls(fitted, stretch) if shared else None
    log_limit = np.log(limits.value)
    return Profiled(fitted.law, fitted.curves, fitted.psi, log_limit, held, pull, limits.of_fresh)


def _ends(sought, fitted, log_life, spread, quantile, finite, flat):
    """Profile-likelihood ends of log life: both where it is finite, the lower where it is not."""
    low, high = np.full(len(log_life), -inf), np.full(len(log_life), inf)
    if finite.any():
        low[finite], high[finite] = profile_life(
            sought.take(finite), log_life[finite], spread[finite], quantile[finite]
        )
    if flat.any():
        these, sse = sought.take(flat), fitted.sse[flat]
        if these.pull:
            sse = sse + these.pull.evaluate(these.psi)[0] ** 2
        last = np.array([blade.stages[-1] for blade in fitted.blades])[flat]
        furthest = np.log(np.maximum(last, 1e-9)) + 6.0
        low[flat] = least_life(these, furthest, sse, quantile[flat])
    return low, high


def _uncertainty(fitted, log_life, of_fresh):
    """Of log life (B,): own standard error, its df, change per log power; rate of the curve."""
    law, at = fitted.law, np.exp(log_life)[:, None]
    slope, rate = law.slopes(at, fitted.psi)[:, 0], law.rate(at, fitted.psi)[:, 0]
    fresh = np.full(len(rate), 0.0 if of_fresh else 1.0)
    gradient = -np.column_stack([fresh, slope[:, fitted.own]]) / rate[:, None]
    variance, df = fitted.weighing.effective_df(fitted.own_slopes, gradient)
    bend = np.zeros(len(rate))
    if fitted.powers is not None:
        bend = (gradient * np.stack(fitted.drift)).sum(axis=1) - slope[:, POWER] / rate
        df = df_with_power(df, variance, bend**2 * fitted.power_var, fitted.power_var)
    return np.sqrt(variance), df, bend, rate


def df_with_power(df, variance, by_power, power_var):
    """Degrees of freedom of `variance` with the power's part `by_power` beside it.

    Both parts rest on the same estimate of the scatter, so that their chance errors add; what
    the prior knows about the power has no degrees of freedom to lose.
    """
    from_readings = np.maximum(1 - power_var / PRIOR_SD**2, 0.0)
    share = variance + from_readings * by_power
    share = np.maximum(share, 1e-3 * (variance + by_power) + 1e-300)
    return df * np.maximum((variance + by_power) / share, 1.0) ** 2


def exp_or_inf(x):
    """Exponential that ends at infinity."""
    return exp(x) if x < 700 else inf
