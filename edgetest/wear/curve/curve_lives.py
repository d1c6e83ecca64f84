"""From a study's fit to each blade's life: cuts to the limit, its interval, what it rests on."""

from math import exp, inf, log

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of
from edgetest.wear.curve.curve_result import Life
from edgetest.wear.curve.joint_fit import POWER, PRIOR_SD, power_pulls
from edgetest.wear.curve.profile_likelihood import Profiled, least_life, profile_life
from edgetest.wear.curve.scatter import effective_df

FLAT = 1e-3  # a curve that moves less than this (log) over its stages shows no wear


def blade_lives(
    fitted, limit, *, of_fresh=False, limit_u=0.0, shared_scale_u=0.0, level=0.95, spare=1
):
    """Life of every blade, and what is doubtful about it.

    Parameters
    ----------
    fitted : Fitted
    limit : array_like, shape (B,) or float
        Reading that ends a life, or (`of_fresh`) that many times the blade's fresh reading.
    of_fresh : bool
        See `limit`.
    limit_u : array_like, shape (B,) or float
        Relative standard uncertainty of each blade's own limit.
    shared_scale_u : float
        Relative standard uncertainty of a scale that all readings share.
    level : float
        Coverage of the intervals.
    spare : int
        Stages beyond parameters in the study: degrees of freedom where no life is found.

    Returns
    -------
    list of (Life or None, tuple of Doubt)
    """
    from scipy.special import ndtri, stdtrit

    law, n = fitted.law, len(fitted.blades)
    limit = np.broadcast_to(np.asarray(limit, dtype=float), n)
    limit_u = np.broadcast_to(np.asarray(limit_u, dtype=float), n)
    log_limit = np.log(limit) + (fitted.log_scale if of_fresh else 0.0)
    target = log_limit - fitted.log_scale
    with np.errstate(all="ignore"):
        log_life = np.log(law.cuts_at(target, fitted.psi))
    last = np.array([b.stages[-1] for b in fitted.blades])
    moves = np.abs([law.log_shape(last[i : i + 1], fitted.psi[i])[0] for i in range(n)])
    beyond_fresh = law.direction * target > 0
    flat = beyond_fresh & ((moves < FLAT) | np.isposinf(log_life))
    finite = beyond_fresh & ~flat & np.isfinite(log_life)
    own, scale, by_law, by_limit = np.zeros((4, n))
    df = np.full(n, float(max(spare, 1)))
    for i in np.flatnonzero(finite).tolist():
        own[i], df[i], scale[i], by_law[i] = _uncertainty(
            fitted, i, log_life[i], of_fresh, shared_scale_u
        )
        rate = law.rate(np.exp(log_life[i : i + 1]), fitted.psi[i])[0]
        by_limit[i] = abs(limit_u[i] / rate)
    quantile, z = stdtrit(df, 0.5 + level / 2), float(ndtri(0.5 + level / 2))
    sought = _profiled(fitted, target if of_fresh else log_limit, of_fresh, quantile / z)
    low, high = _ends(sought, fitted, log_life, np.hypot(own, by_law), quantile, finite, flat)
    with np.errstate(invalid="ignore"):
        wider = z * np.hypot(scale, by_limit)
        low = np.where(finite, log_life - np.hypot(log_life - low, wider), low)
        high = np.where(finite, log_life + np.hypot(high - log_life, wider), high)
    log_life, own = np.where(finite, log_life, inf), np.where(finite, own, inf)
    out: list[tuple[Life | None, tuple[Doubt, ...]]] = []
    for i, blade in enumerate(fitted.blades):
        if not beyond_fresh[i]:
            where = Where(blade=blade.blade, value=float(limit[i]))
            out.append((None, (doubt("limit_not_beyond_fresh", where=where),)))
            continue
        short = law.direction * (log_limit[i] - fitted.curves.log_value[i, _last(blade)])
        life = Life(
            cuts=_exp(log_life[i]),
            low=_exp(low[i]),
            high=_exp(high[i]),
            extrapolated=bool(log_life[i] > log(max(last[i], 1e-300))),
            censored=bool(short > 0),
            limit=float(limit[i] * np.exp(fitted.log_scale[i]) if of_fresh else limit[i]),
            log_life=float(log_life[i]),
            log_life_se=float(np.hypot(own[i], by_limit[i])),
            df=float(df[i]),
            log_life_shared_u=float(scale[i]),
            log_life_law_u=float(by_law[i]),
            last_stage=float(last[i]),
            level=level,
            between_stages=_between_stages(fitted, i, log_limit[i]),
        )
        out.append((life, _doubts(fitted, i, life, moves[i])))
    return out


def _profiled(fitted, log_limit, of_fresh, stretch):
    """The blades' curves as their lives are profiled, a shared power judged by the others."""
    shared = fitted.power_var > 0
    held = [POWER] if fitted.log_power is not None and not shared else []
    pull = power_pulls(fitted, stretch) if shared else None
    return Profiled(fitted.law, fitted.curves, fitted.psi, log_limit, held, pull, of_fresh)


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


def _last(blade):
    return len(blade.stages) - 1


def _exp(x):
    return exp(x) if x < 700 else inf


def _uncertainty(fitted, i, log_life, of_fresh, shared_scale_u):
    """Own standard error of log life, its df, the shared scale's part, the power's part."""
    law, psi = fitted.law, fitted.psi[i]
    at = np.exp(np.array([log_life]))
    slope, rate = law.slopes(at, psi)[0], law.rate(at, psi)[0]
    fresh = 0.0 if of_fresh else 1.0
    gradient = -np.r_[fresh, slope[fitted.own]] / rate
    jac = np.column_stack([np.ones(len(fitted.slopes[i])), fitted.slopes[i][:, fitted.own]])
    variance, df = effective_df(fitted.blades[i], fitted.scatter, jac, gradient)
    scale = -law.direction * fresh * shared_scale_u / abs(rate)
    bend = 0.0
    if fitted.power_var > 0:
        bend = (gradient @ fitted.drift[i] - slope[POWER] / rate) * np.sqrt(fitted.power_var)
        # Both parts rest on the same estimate of the scatter, so that their chance errors add;
        # what the prior knows about the power has no degrees of freedom to lose.
        from_readings = 1 - fitted.power_var / PRIOR_SD**2
        df *= ((variance + bend**2) / (variance + max(from_readings, 0.0) * bend**2)) ** 2
    return float(np.sqrt(variance)), float(df), float(scale), float(bend)


def _between_stages(fitted, i, log_limit):
    """Cuts at which the curve, bent to pass through the stages, first crosses the limit."""
    s = len(fitted.blades[i].stages)
    cuts, mean = fitted.curves.cuts[i, :s], fitted.curves.log_value[i, :s]
    worn = fitted.law.direction * (mean - log_limit)
    beyond = np.flatnonzero((worn[1:] >= 0) & (worn[:-1] < 0))
    if not len(beyond):
        return None
    k = int(beyond[0])
    n = np.linspace(cuts[k], cuts[k + 1], 101)
    curve = fitted.log_scale[i] + fitted.law.log_shape(n, fitted.psi[i])
    left = mean[k : k + 2] - curve[[0, -1]]
    bent = fitted.law.direction * (curve + np.interp(n, cuts[k : k + 2], left) - log_limit)
    j = int(np.argmax(bent[1:] >= -1e-12))  # the first step that ends beyond the limit
    return float(n[j] - bent[j] * (n[j + 1] - n[j]) / (bent[j + 1] - bent[j]))


def _misses_crossing(fitted, i, life):
    """Whether curve and stages cross the limit apart: by three SD, or by a third in any case."""
    if life.between_stages is None or not life.between_stages > 0 or life.cuts == inf:
        return False
    blade, scatter = fitted.blades[i], fitted.scatter
    at_stage = scatter.residual_var / blade.n_stations + scatter.stage_var
    rate = fitted.law.rate(np.array([life.cuts]), fitted.psi[i])[0]
    spread = np.hypot(np.sqrt(at_stage) / rate, life.log_life_se)
    return bool(abs(log(life.between_stages) - life.log_life) > min(3 * spread + 0.02, 0.35))


def _doubts(fitted, i, life, moves):
    """What is doubtful about this life; each arose at the blade's last stage."""
    codes = []
    if life.extrapolated:
        codes.append("extrapolated")
    if life.censored:
        codes.append("stopped_before_limit")
    if life.cuts == inf:
        codes.append("no_wear_seen" if moves < FLAT else "never_reaches_limit")
    elif life.high == inf:
        codes.append("no_upper_end")
    if fitted.log_power is not None and life.extrapolated and fitted.power_var == 0:
        codes.append("power_fixed")
    if _misses_crossing(fitted, i, life):
        codes.append("curve_misses_the_crossing")
    if fitted.at_end[i] and moves >= FLAT:
        codes.append("fresh_not_seen" if fitted.log_power is not None else "shape_not_seen")
    blade = fitted.blades[i]
    last = float(np.exp(fitted.curves.log_value[i, _last(blade)]))
    return doubts_of(codes, where=Where(blade=blade.blade, stage=life.last_stage, value=last))
