"""From a study's fit to each blade's life: cuts to the limit, its interval, what it rests on.

A life up to `REACH` times the blade's last cuts is read from the curve as its readings bear it out
(`predicted_curve`), whatever the law. Beyond, the blade is known to last longer than the last
reading that was still short of the limit; what the law makes of the life is kept beside.
"""

from dataclasses import replace
from math import inf, log

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, doubts_of
from edgetest.wear.curve.blade_life import Life
from edgetest.wear.curve.curve_crossing import CrossingsSought, crossings
from edgetest.wear.curve.law_lives import FLAT, df_with_power, exp_or_inf, lives_by_law
from edgetest.wear.curve.power_estimates import power_root
from edgetest.wear.curve.predicted_curve import predicted_curves

LEAST_CUTS = 0.5  # a low end below this is told as 0
REACH = 1.3  # times the last cuts: beyond about 2, ratios of differing shapes are wrong too often


def blade_lives(fitted, departed, limits):
    """Life of every blade, and what is doubtful about it.

    Parameters
    ----------
    fitted : Fitted
        The curves as they follow their law.
    departed : Fitted
        As they depart from it.
    limits : LifeLimits

    Returns
    -------
    list of (Life or None, tuple of Doubt)
    """
    law = lives_by_law(fitted, limits)
    curves = predicted_curves(departed)
    last = np.array([b.stages[-1] for b in fitted.blades])
    log_limit = np.log(limits.value)
    sought = CrossingsSought(curves, log_limit, last, limits.of_fresh)
    df = np.zeros(len(last))

    def quantile_of(log_life):
        from scipy.special import stdtrit

        found = _degrees(departed, curves, np.minimum(log_life, np.log(last)), limits.of_fresh)
        df[:] = np.minimum(found, law.df)  # a path has readings to lean on no more than its law
        return stdtrit(df, 0.5 + limits.level / 2)

    found = _with_limit_error(crossings(sought, quantile_of), limits)
    root = power_root(departed.power_cov)
    out: list[tuple[Life | None, tuple[Doubt, ...]]] = []
    for i, blade in enumerate(fitted.blades):
        if not law.beyond_fresh[i]:
            where = Where(blade=blade.blade, value=float(limits.value[i]))
            out.append((None, (doubt("limit_not_beyond_fresh", where=where),)))
            continue
        by_law = _by_law(fitted, law, limits, i)
        life = _life(by_law, found, limits, i, df[i], found.by_power[i] * root[blade.group])
        out.append((life, _doubts(fitted, i, life, law.moves[i])))
    return out


def _degrees(fitted, curves, log_cuts, of_fresh):
    """Degrees of freedom (B,) of the curves' errors at the cuts, a power's share in them."""
    cuts = np.exp(log_cuts)
    _, own_se, by_power = curves.at(cuts[:, None], of_fresh=of_fresh)
    slopes = fitted.law.slopes(cuts[:, None], fitted.psi)[:, 0]
    fresh = np.full(len(cuts), 0.0 if of_fresh else 1.0)
    gradients = np.column_stack([fresh, slopes[:, fitted.own]])
    _, out = fitted.weighing.effective_df(fitted.own_slopes, gradients, at=cuts)
    part = (by_power[:, 0] ** 2) * curves.power_var
    return df_with_power(out, own_se[:, 0] ** 2, part, curves.power_var)


def _with_limit_error(found, limits):
    """Crossings with the doubt about scale and limit in their ends."""
    from scipy.special import ndtri

    scale = 0.0 if limits.of_fresh else limits.shared_scale_u
    wider = float(ndtri(0.5 + limits.level / 2)) * np.hypot(scale, limits.relative_u) / found.slope
    with np.errstate(invalid="ignore"):
        low = found.life - np.hypot(found.life - found.low, wider)
        high = found.life + np.hypot(found.high - found.life, wider)
    known = np.isfinite(found.life)
    return replace(
        found, low=np.where(known, low, found.low), high=np.where(known, high, found.high)
    )


def _by_law(fitted, law, limits, i):
    """The life as the law alone has it."""
    blade, root = fitted.blades[i], power_root(fitted.power_cov)
    last, log_life = float(blade.stages[-1]), float(law.log_life[i])
    log_limit = float(limits.log_limit(fitted)[i])
    mean = fitted.curves.log_value[i, len(blade.stages) - 1]
    scale = 0.0 if limits.of_fresh else limits.shared_scale_u / abs(law.rate[i])
    return Life(
        cuts=exp_or_inf(log_life),
        low=exp_or_inf(law.low[i]),
        high=exp_or_inf(law.high[i]),
        extrapolated=bool(log_life > log(max(last, 1e-300))),
        censored=bool(fitted.law.direction * (log_limit - mean) > 0),
        limit=float(np.exp(log_limit)),
        log_life=log_life,
        log_life_se=float(np.hypot(law.own_se[i], limits.relative_u[i] / law.rate[i])),
        df=float(law.df[i]),
        log_life_shared_u=-fitted.law.direction * scale,
        log_life_law_u=tuple((law.by_power[i] * root[blade.group]).tolist()),
        last_stage=last,
        level=limits.level,
    )


def _life(by_law, found, limits, i, df, by_factor):
    """The life as read from the curve, or (beyond reach) what is known of it."""
    last, log_life = by_law.last_stage, float(found.life[i])
    least = min(float(found.low[i]), log(max(last, 1e-300)))
    if log_life > log(REACH * max(last, 1e-300)):
        return replace(
            by_law,
            low=float(last) if least == log(max(last, 1e-300)) else exp_or_inf(least),
            high=inf,
            extrapolated=True,
            log_life_law_u=(0.0,) * len(by_law.log_life_law_u),  # a bound owes nothing to the law
            beyond_reach=True,
            least_log_life=least,
            by_law=by_law,
        )
    own, slope = found.own_se[i], found.slope[i]
    scale = 0.0 if limits.of_fresh else limits.shared_scale_u / slope
    sign = np.sign(by_law.log_life_shared_u) or 1.0
    return replace(
        by_law,
        cuts=exp_or_inf(log_life),
        low=exp_or_inf(found.low[i]),
        high=exp_or_inf(found.high[i]),
        extrapolated=bool(log_life > log(max(last, 1e-300))),
        log_life=log_life,
        log_life_se=float(np.hypot(own, limits.relative_u[i]) / slope),
        df=float(df),
        log_life_shared_u=float(sign * scale),
        log_life_law_u=tuple((-by_factor / slope).tolist()),
        least_log_life=least,
        by_law=by_law,
    )


def _open_end(life, moves):
    """Why a life has no upper end, where it has none and that is not said already."""
    if life.cuts == inf:
        return ["no_wear_seen" if moves < FLAT else "never_reaches_limit"]
    if life.high < inf or life.beyond_reach:
        return []
    past = not (life.extrapolated or life.censored)
    return ["not_surely_past" if past else "no_upper_end"]


def _doubts(fitted, i, life, moves):
    """What is doubtful about this life; each arose at the blade's last stage."""
    codes = []
    if life.beyond_reach:
        codes.append("beyond_reach")
    elif life.extrapolated:
        codes.append("extrapolated")
    elif life.censored:
        codes.append("stopped_before_limit")
    codes += _open_end(life, moves)
    if fitted.power_set and life.extrapolated:
        codes.append("power_fixed")
    blade = fitted.blades[i]
    not_read = min(blade.stages) > 0
    if fitted.log_power is not None and not_read:
        codes.append("fresh_not_read")
        codes += ["no_lower_end"] if life.low < LEAST_CUTS else []
    elif fitted.at_end[i] and moves >= FLAT:
        codes.append("fresh_too_fine" if fitted.log_power is not None else "shape_not_seen")
    last = float(np.exp(fitted.curves.log_value[i, len(blade.stages) - 1]))
    return doubts_of(codes, where=Where(blade=blade.blade, stage=life.last_stage, value=last))
