"""Wear curves of a study: one law, a curve and a life per blade, one power for all blades."""

from dataclasses import dataclass, replace
from math import inf, log

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.wear.batch import Curves, fit_shapes
from edgetest.wear.interval import profile_life
from edgetest.wear.laws import LAWS
from edgetest.wear.readings import cells, gather
from edgetest.wear.results import (
    CurveFit,
    Life,
    StudyFit,
    estimate_from_log,
    life_interval,
)
from edgetest.wear.scatter import (
    Scatter,
    effective_df,
    estimate_scatter,
    stage_means,
)

LOG_POWER_PRIOR = (log(2.0), 0.5)  # 95 % of p between 0.75 and 5.3: weak, around worn volume
POWER = 1  # place of log p in the wedge law's psi


@dataclass(frozen=True)
class _Fitted:
    """The study's fit at one power."""

    log_power: float
    scatter: Scatter
    curves: Curves
    log_scale: np.ndarray
    psi: np.ndarray
    at_end: np.ndarray


def fit_study(
    blade,
    cuts,
    value,
    *,
    lower=None,
    upper=None,
    station=None,
    relative_u=None,
    limit=None,
    law="wedge",
    power=None,
    shared_scale_u=0.0,
    level=0.95,
    unit="µm",
):
    """Fit one law to every blade of a study; life to `limit` with its interval.

    Parameters
    ----------
    blade, cuts, value : array_like, shape (n,)
        Label of the blade, cumulative cuts, and the reading (`unit`; nan where only bounds are
        known); one element a reading.
    lower, upper : array_like, shape (n,), optional
        Bounds of readings written '>x', '<x' or 'a-b', nan elsewhere.
    station : sequence of str, optional
        Place along the edge; the same name at every stage is the same place.
    relative_u : array_like, shape (n,), optional
        Each reading's own relative standard uncertainty.
    limit : float, optional
        Reading at which the blade counts as dull, same unit.
    law : str
        Name in `edgetest.wear.laws.LAWS`.
    power : float, optional
        Fixes the wedge law's p; left out, the blades of the study share one p, estimated with
        a weak prior (log p normal about log 2, SD 0.5).
    shared_scale_u : float
        Relative standard uncertainty of a scale that all readings share.
    level : float
        Coverage of the intervals.
    unit : str
        Unit of the readings, for the parameters.

    Returns
    -------
    StudyFit

    Raises
    ------
    UnusableInput
        An unknown law, a power or limit not above 0, arrays that do not fit together.
    """
    chosen = _law(law, power, limit)
    data = gather(
        blade, cuts, value, lower=lower, upper=upper, station=station, relative_u=relative_u
    )
    names = list(dict.fromkeys(data.blade))
    groups = {name: np.flatnonzero(data.blade == name) for name in names}
    gathered = {}
    for name, rows in groups.items():
        rows = rows[np.isfinite(data.value[rows])]
        made = (
            cells(
                data.cuts[rows],
                np.log(data.value[rows]),
                data.station[rows],
                data.relative_u[rows] ** 2,
            )
            if len(rows)
            else None
        )
        gathered[name] = made
    needed = 2 if chosen.name == "wedge" else 3
    fit_names = [n for n, c in gathered.items() if c is not None and len(c.stages) >= needed]
    blades = [gathered[n] for n in fit_names]
    spare = sum(len(c.stages) - needed for c in blades)
    if spare < 1:
        fits = tuple(_unfitted(name, groups[name], data, law, level) for name in names)
        return StudyFit(law, None, fits, ("too_few_stages",), limit, np.nan, level)
    shared_power = chosen.name == "wedge" and power is None
    fitted = _fit(chosen, blades, log(power) if power else None, shared_power)
    done = _describe(
        chosen,
        fit_names,
        blades,
        fitted,
        groups,
        data,
        limit,
        shared_scale_u,
        level,
        unit,
        shared_power,
        spare,
    )
    if chosen.name == "wedge" and abs(fitted.log_power - log(2.0)) > 1e-12:
        plain = _fit(chosen, blades, log(2.0), False)
        beside = _describe(
            chosen,
            fit_names,
            blades,
            plain,
            groups,
            data,
            limit,
            shared_scale_u,
            level,
            unit,
            False,
            spare,
        )
        done = {n: replace(f, life_power_2=beside[n].life) for n, f in done.items()}
    fits = tuple(done.get(n) or _unfitted(n, groups[n], data, law, level) for n in names)
    estimate, warnings = _power(chosen, blades, fitted, power, shared_power, level, spare)
    station_cv = float(np.sqrt(fitted.scatter.station_var))
    return StudyFit(law, estimate, fits, warnings, limit, station_cv, level)


def _law(law, power, limit):
    if law not in LAWS:
        raise UnusableInput(f'no law "{law}"', "law", f"choose one of {', '.join(LAWS)}")
    if power is not None and not power > 0:
        raise UnusableInput(
            f"{power} is no power", "power", "choose a number above 0, 2 for worn volume"
        )
    if limit is not None and not limit > 0:
        raise UnusableInput(
            f"{limit} is no limit", "limit", "give the reading that counts as dull, above 0"
        )
    return LAWS[law]


def _pack(blades, scatter):
    """The blades' stage means as padded curves."""
    n_stages = max(len(b.stages) for b in blades)
    cuts, mean = np.zeros((2, len(blades), n_stages))
    root = np.zeros((len(blades), n_stages, n_stages))
    for i, b in enumerate(blades):
        s = len(b.stages)
        cuts[i, :s] = b.stages
        mean[i, :s], root[i, :s, :s] = stage_means(b, scatter)
    return Curves(cuts, mean, root)


def _cell_slopes(law, blades, psi, own):
    """Per blade: derivatives of the log curve at the cells, (N, 1 + len(own)) and (N, k)."""
    slopes = [law.slopes(b.stages[b.stage], psi[i]) for i, b in enumerate(blades)]
    return [np.column_stack([np.ones(len(s)), s[:, own]]) for s in slopes], slopes


def _residuals(law, blades, log_scale, psi):
    return [
        b.log_value - log_scale[i] - law.log_shape(b.stages[b.stage], psi[i])
        for i, b in enumerate(blades)
    ]


def _fit(law, blades, log_power, shared_power):
    """Alternate between curves and scatter until both stand still."""
    own = [0] if law.name == "wedge" else list(range(len(law.psi_names)))
    curves = _pack(blades, Scatter(1.0, 0.0, 0.0, np.zeros((3, 3))))
    if shared_power:
        log_power = _find_power(law, curves, None)
    scatter = None
    for _ in range(6):
        held = {POWER: log_power} if law.name == "wedge" else {}
        shapes = fit_shapes(law, curves, held=held)
        jac, slopes = _cell_slopes(law, blades, shapes.psi, own)
        scatter = estimate_scatter(
            blades,
            _residuals(law, blades, shapes.log_scale, shapes.psi),
            jac,
            shared=[s[:, POWER] for s in slopes] if shared_power else None,
            shared_precision=LOG_POWER_PRIOR[1] ** -2,
            start=scatter,
        )
        curves = _pack(blades, scatter)
        last, moved = log_power, 0.0
        if shared_power:
            log_power = _find_power(law, curves, log_power)
            moved = abs(log_power - last)
        if moved < 1e-4:
            break
    held = {POWER: log_power} if law.name == "wedge" else {}
    shapes = fit_shapes(law, curves, held=held, start=shapes.psi.copy())
    return _Fitted(log_power, scatter, curves, shapes.log_scale, shapes.psi, shapes.at_end)


def power_profile(law, curves, log_powers):
    """Sum of squares of all curves together at each log power (G,)."""
    n, g = len(curves.cuts), len(log_powers)
    many = curves.take(np.repeat(np.arange(n), g))
    shapes = fit_shapes(law, many, held={POWER: np.tile(log_powers, n)})
    return shapes.sse.reshape(n, g).sum(axis=0)


def _find_power(law, curves, near):
    """Log power that fits all blades and the prior best; scatter unknown at the first call."""
    mean, sd = LOG_POWER_PRIOR
    grid = mean + np.linspace(-2.0, 2.0, 17) if near is None else near + np.linspace(-0.3, 0.3, 7)
    df = max((np.abs(curves.root).sum(axis=2) > 0).sum() - 2 * len(curves.cuts), 1)
    for width in (1.0, 0.1, 0.01):
        sse = power_profile(law, curves, grid)
        fit = df * np.log(np.maximum(sse, 1e-300)) if near is None else sse
        goal = fit + ((grid - mean) / sd) ** 2
        i = int(np.argmin(goal))
        step = grid[1] - grid[0]
        centre = grid[i]
        if 0 < i < len(grid) - 1:
            bend = goal[i - 1] - 2 * goal[i] + goal[i + 1]
            if bend > 0:
                centre += step * np.clip((goal[i - 1] - goal[i + 1]) / (2 * bend), -0.5, 0.5)
        grid = centre + step * np.linspace(-1.0, 1.0, 7)
    return float(centre)


def _power(law, blades, fitted, power, shared_power, level, spare):
    """The power with its interval and the study's warnings."""
    from scipy.special import stdtrit

    if law.name != "wedge":
        return None, ()
    if not shared_power:
        p = float(np.exp(fitted.log_power))
        return Estimate(p, p, p, "", level, "fixed"), ()
    u = np.sqrt(fitted.scatter.power_var)
    quantile = float(stdtrit(max(spare - 1, 1), 0.5 + level / 2))
    mean, sd = LOG_POWER_PRIOR
    grid = fitted.log_power + np.linspace(-1, 1, 41) * quantile * min(u, sd) * 2
    goal = power_profile(law, fitted.curves, grid) + ((grid - mean) / sd) ** 2
    root = np.sqrt(np.maximum(goal - goal.min(), 0))
    centre = int(np.argmin(goal))
    low = np.interp(-quantile, -root[: centre + 1], grid[: centre + 1])
    high = np.interp(quantile, root[centre:], grid[centre:])
    p, low, high = np.exp([fitted.log_power, low, high]).tolist()
    warnings = ("power_not_identified",) if u > 0.8 * sd else ()
    method = "profile likelihood, weak prior about 2"
    return Estimate(p, low, high, "", level, method, warnings), warnings


def _describe(
    law, names, blades, fitted, groups, data, limit, scale_u, level, unit, shared_power, spare
):
    """CurveFit of every fitted blade."""
    from scipy.special import stdtrit

    own = [0] if law.name == "wedge" else list(range(len(law.psi_names)))
    jac, slopes = _cell_slopes(law, blades, fitted.psi, own)
    residuals = _residuals(law, blades, fitted.log_scale, fitted.psi)
    power_var = fitted.scatter.power_var if shared_power else 0.0
    lives = _lives(law, blades, fitted, own, jac, slopes, limit, scale_u, level, power_var)
    out = {}
    for i, (name, b) in enumerate(zip(names, blades, strict=True)):
        rows = groups[name]
        cov, theta_slope = _covariance(b, fitted.scatter, jac[i], slopes[i])
        full = _with_power(cov, theta_slope, power_var, own, len(law.psi_names))
        df = max(len(b.stages) - len(own) - 1, 1)
        variance, df_scale = effective_df(b, fitted.scatter, jac[i], np.eye(len(own) + 1)[0])
        quantile = float(stdtrit(df_scale, 0.5 + level / 2))
        named = law.named(fitted.log_scale[i], fitted.psi[i])
        units = {
            "w0": unit,
            "fresh": unit,
            "floor": unit,
            "K": f"{unit}^p per cut",
            "cuts_scale": "cuts",
        }
        parameters = {
            key: estimate_from_log(
                v,
                float(np.sqrt(max(g @ full @ g, 0.0))),
                quantile,
                units.get(key, ""),
                level,
                "delta method, log scale",
            )
            for key, (v, g) in named.items()
        }
        life, codes = lives[i] if limit is not None else (None, ())
        curve = fitted.log_scale[i] + law.log_shape(data.cuts[rows], fitted.psi[i])
        warnings = list(codes)
        if b.n_stations == 1:
            warnings.append("one_station")
        if data.from_zero[rows].any():
            warnings.append("zero_taken_as_below")
        out[name] = CurveFit(
            name,
            law.name,
            parameters,
            life,
            float(np.sqrt(np.sum((residuals[i] - 0) ** 2) / max(len(b.stage) - len(own) - 1, 1))),
            tuple(warnings),
            data.cuts[rows],
            data.value[rows],
            data.station[rows],
            np.log(data.value[rows]) - curve,
            None,
            level,
            quantile,
            float(fitted.log_scale[i]),
            fitted.psi[i],
            full,
        )
    return out


def _covariance(blade, scatter, jac, slopes):
    """Covariance of the blade's own parameters, and how they move with the last psi."""
    from edgetest.wear.scatter import covariance

    weighted = np.linalg.solve(covariance(blade, scatter), jac)
    cov = np.linalg.pinv(jac.T @ weighted, hermitian=True)
    return cov, -cov @ (weighted.T @ slopes[:, -1])


def _with_power(cov, theta_slope, power_var, own, k):
    """Covariance over (log scale, psi), the shared power's part in it."""
    full = np.zeros((k + 1, k + 1))
    n = len(own) + 1
    full[:n, :n] = cov
    if power_var > 0 and n <= k:
        move = np.r_[theta_slope, 1.0]
        full += power_var * np.outer(move, move)
    return full


def _lives(law, blades, fitted, own, jac, slopes, limit, scale_u, level, power_var):
    """(Life or None, warning codes) of every blade."""
    from scipy.special import stdtrit

    if limit is None:
        return []
    n = len(blades)
    target = np.log(limit) - fitted.log_scale
    with np.errstate(all="ignore"):
        cuts = law.cuts_at(target, fitted.psi)
    usable = np.isfinite(cuts) & (cuts > 0) & (law.direction * target > 0)
    log_life = np.log(np.where(usable, cuts, 1.0))
    se, df, scale, bend = np.zeros(n), np.full(n, 1e6), np.zeros(n), np.zeros(n)
    for i, b in enumerate(blades):
        if not usable[i]:
            continue
        at = np.exp(log_life[i : i + 1])
        slope = law.slopes(at, fitted.psi[i])[0]
        rate = law.rate(at, fitted.psi[i])[0]
        gradient = -np.r_[1.0, slope[own]] / rate
        variance, df[i] = effective_df(b, fitted.scatter, jac[i], gradient)
        se[i] = np.sqrt(variance)
        scale[i] = -scale_u / rate
        _, theta_slope = _covariance(b, fitted.scatter, jac[i], slopes[i])
        if power_var > 0:
            bend[i] = (gradient @ theta_slope - slope[POWER] / rate) * np.sqrt(power_var)
    quantile = stdtrit(df, 0.5 + level / 2)
    held = (POWER,) if law.name == "wedge" else ()
    low, high = np.full(n, -inf), np.full(n, inf)
    if usable.any():
        w = np.flatnonzero(usable)
        low[w], high[w] = profile_life(
            law,
            fitted.curves.take(w),
            fitted.psi[w],
            np.full(len(w), np.log(limit)),
            log_life[w],
            se[w],
            quantile[w],
            held=held,
        )
    z = stdtrit(1e6, 0.5 + level / 2)
    extra = z * np.hypot(scale, bend)
    out = []
    for i, b in enumerate(blades):
        last_mean = fitted.curves.log_value[i, len(b.stages) - 1]
        short = bool(law.direction * (np.log(limit) - last_mean) > 0)
        codes = []
        if not usable[i]:
            if law.direction * target[i] <= 0:
                out.append((None, ("limit_not_beyond_fresh",)))
            else:
                out.append((None, ("never_reaches_limit",)))
            continue
        lo = log_life[i] - np.hypot(log_life[i] - low[i], extra[i])
        hi = log_life[i] + np.hypot(high[i] - log_life[i], extra[i])
        value, lo, hi = life_interval(log_life[i], lo, hi)
        beyond = bool(value > b.stages[-1])
        if beyond:
            codes.append("extrapolated")
        if short:
            codes.append("stopped_before_limit")
        if beyond and law.name == "wedge" and power_var == 0:
            codes.append("power_fixed")
        if fitted.at_end[i]:
            codes.append("no_wear_seen" if fitted.psi[i, 0] < 0 else "fresh_not_seen")
        out.append(
            (
                Life(
                    value,
                    lo,
                    hi,
                    beyond,
                    short,
                    float(limit),
                    float(log_life[i]),
                    float(se[i]),
                    float(df[i]),
                    float(scale[i]),
                    float(bend[i]),
                    float(b.stages[-1]),
                    level,
                ),
                tuple(codes),
            )
        )
    return out


def _unfitted(name, rows, data, law, level):
    """A blade with too few readings: no curve, no life, the reason as a warning."""
    nothing = np.full(len(rows), np.nan)
    return CurveFit(
        name,
        law,
        {},
        None,
        np.nan,
        ("too_few_stages",),
        data.cuts[rows],
        data.value[rows],
        data.station[rows],
        nothing,
        None,
        level,
    )
