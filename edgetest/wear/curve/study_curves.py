"""Wear curves of a study: one law, a curve and a life per blade, one power for all blades."""

from dataclasses import replace
from math import log

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.wear.curve.curve_doubts import study_doubts
from edgetest.wear.curve.curve_lives import blade_lives
from edgetest.wear.curve.curve_result import CurveFit, StudyFit, estimate_from_log
from edgetest.wear.curve.joint_fit import PRIOR_SD, WORN_VOLUME, fit_blades, power_profile
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.scatter import effective_df
from edgetest.wear.curve.stage_cells import cells, gather

NOT_IDENTIFIED = 0.75  # of the prior's interval: readings that leave p so wide say little about it


def fit_study(
    blade,
    cuts,
    value,
    *,
    lower=None,
    upper=None,
    station=None,
    relative_u=None,
    relative_u_df=None,
    limit=None,
    limit_of_fresh=None,
    limit_relative_u=0.0,
    law="wedge",
    power=None,
    power_about=WORN_VOLUME,
    shared_scale_u=0.0,
    robust=False,
    level=0.95,
    unit="µm",
):
    """Fit one law to every blade of a study; life to the limit with its interval.

    The error is multiplicative: logs of readings are fitted. Three kinds of scatter are told
    apart and shared by the blades: of a reading, of a place along the edge (constant over the
    stages), and of a stage (common to a blade's places). The blade's curve is that of the
    (geometric) mean over its places.

    Parameters
    ----------
    blade, cuts, value : array_like, shape (n,)
        Label of the blade, cumulative cuts, and the reading (`unit`; nan where only bounds are
        known); one element a reading. A reading of zero counts as 'below the smallest read'.
    lower, upper : array_like, shape (n,), optional
        Bounds of readings written '>x', '<x' or 'a-b', nan elsewhere.
    station : sequence of str, optional
        Place along the edge; the same name at every stage is the same place. Readings of one
        place at one stage are repeats and are averaged.
    relative_u : array_like, shape (n,), optional
        Each reading's own relative standard uncertainty, nan or 0 where not known; what the
        readings scatter beyond it is estimated.
    relative_u_df : float, optional
        Degrees of freedom behind `relative_u` where it comes from repeated readings; left out,
        `relative_u` is the least that the readings scatter, and the scatter is judged by the
        readings alone.
    limit : float or dict, optional
        Reading at which the blade counts as dull, same unit; a dict by blade where they differ
        (worn area of blades of different angle, `edgetest.wear.curve.worn_wedge.width_limits`).
    limit_of_fresh : float, optional
        The limit as a multiple of each blade's own fresh reading (2 for 'force doubled').
    limit_relative_u : float or dict
        Relative standard uncertainty of each blade's own limit, such as the angle's.
    law : str
        Name in `edgetest.wear.curve.laws.LAWS`.
    power : float, optional
        Sets the wedge law's p; left out, the blades of the study share one p, estimated with
        a weak prior (log p normal about log 2 with SD 0.5).
    power_about : float
        Where that prior lies: 2 for widths, 1 for worn areas (equal volume with every cut).
    shared_scale_u : float
        Relative standard uncertainty of a scale that all readings share.
    robust : bool
        Take readings beyond 2.5 SD less seriously (none is dropped).
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
    chosen = _law(law, power, power_about, limit, limit_of_fresh)
    data = gather(
        blade, cuts, value, lower=lower, upper=upper, station=station, relative_u=relative_u
    )
    names = list(dict.fromkeys(data.blade))
    parts = {name: data.take(np.flatnonzero(data.blade == name)) for name in names}
    made = {name: cells(part) for name, part in parts.items()}
    needed = 2 if chosen.name == "wedge" else 3
    usable = [name for name in names if made[name].stages_told >= needed]
    spare = sum(max(made[name].stages_numbered - needed, 0) for name in usable)
    if spare < 1:
        fits = tuple(_unfitted(name, parts[name], law, level) for name in names)
        return StudyFit(law, None, fits, ("too_few_stages",), limit, np.nan, level)
    blades = [made[name] for name in usable]
    log_power = None if power is None else log(power)
    how = {"robust": robust, "stated_df": relative_u_df}
    fitted = fit_blades(chosen, blades, log_power=log_power, about=power_about, **how)

    ends = limit if limit_of_fresh is None else limit_of_fresh

    def lives(fit):
        if ends is None:
            return [(None, ())] * len(usable)
        return blade_lives(
            fit,
            _by_blade(ends, usable, "limit"),
            of_fresh=limit_of_fresh is not None,
            limit_u=_by_blade(limit_relative_u, usable, "limit_relative_u"),
            shared_scale_u=shared_scale_u,
            level=level,
            spare=spare,
        )

    beside = [(None, ())] * len(usable)
    if fitted.log_power is not None and fitted.log_power != log(power_about):
        beside = lives(fit_blades(chosen, blades, log_power=log(power_about), **how))
    study_codes, blade_codes, outlying = study_doubts(fitted, [parts[n] for n in usable], robust)
    done = {}
    for i, (name, life) in enumerate(zip(usable, lives(fitted), strict=True)):
        fit = _describe(name, parts[name], fitted, i, life, level, unit)
        done[name] = replace(
            fit,
            life_worn_volume=beside[i][0],
            warnings=fit.warnings + blade_codes[i],
            outlying=outlying[i],
        )
    estimate, power_codes = _power(fitted, level, spare)
    if power is not None and chosen.name == "wedge":
        power_codes = _against_power(chosen, blades, fitted, how, spare)
    codes = power_codes + study_codes
    done = {name: replace(fit, study_warnings=codes) for name, fit in done.items()}
    fits = tuple(done.get(name) or _unfitted(name, parts[name], law, level) for name in names)
    station_cv = float(np.sqrt(fitted.scatter.station_var))
    return StudyFit(law, estimate, fits, codes, limit, station_cv, level)


def _by_blade(given, names, where):
    """One number a blade from a number or a dict."""
    if not isinstance(given, dict):
        return np.full(len(names), float(given))
    missing = [name for name in names if name not in given]
    if missing:
        raise UnusableInput(f"no entry for {missing[0]}", where, "give one for every blade")
    return np.array([given[name] for name in names], dtype=float)


def _law(law, power, power_about, limit, limit_of_fresh):
    """The law by its name; refuses what cannot be a power or a limit."""
    if law not in LAWS:
        raise UnusableInput(f'no law "{law}"', "law", f"choose one of {', '.join(LAWS)}")
    chosen = LAWS[law]
    limits = list(limit.values()) if isinstance(limit, dict) else [limit]
    named = [("power", power), ("power_about", power_about), ("limit_of_fresh", limit_of_fresh)]
    for name, number in named + [("limit", each) for each in limits]:
        if number is not None and not 0 < number < np.inf:
            raise UnusableInput(f"{number} met", name, "give a number above 0")
    if limit is not None and limit_of_fresh is not None:
        raise UnusableInput(
            "two limits", "limit_of_fresh", "give limit or limit_of_fresh, not both"
        )
    if limit_of_fresh is not None and (limit_of_fresh - 1) * chosen.direction <= 0:
        side = "above" if chosen.direction > 0 else "below"
        raise UnusableInput(f"{limit_of_fresh} of fresh", "limit_of_fresh", f"give one {side} 1")
    return chosen


def _power(fitted, level, spare):
    """The power with its interval, and the study's warnings."""
    from scipy.special import ndtri, stdtr

    if fitted.log_power is None:
        return None, ()
    p = float(np.exp(fitted.log_power))
    if fitted.power_var == 0:
        return Estimate(p, p, p, "", level, "set by hand"), ()
    mean, sd = fitted.prior_mean, PRIOR_SD
    near = fitted.log_power + np.sqrt(fitted.power_var) * np.linspace(-6.0, 6.0, 49)
    grid = np.union1d(mean + sd * np.linspace(-5.0, 5.0, 51), near)
    sse = power_profile(fitted.law, fitted.curves, grid, fitted.psi).sum(axis=0)
    # The readings object on the t scale (their scatter is estimated too), the prior on the
    # normal one: put both on the normal scale before they are added.
    tail = stdtr(max(spare - 1, 1), -np.sqrt(sse - sse.min()))
    goal = ndtri(np.maximum(tail, 1e-300)) ** 2 + ((grid - mean) / sd) ** 2
    best = int(np.argmin(goal))
    root = np.sign(grid - grid[best]) * np.sqrt(goal - goal[best])
    quantile = float(ndtri(0.5 + level / 2))
    low, high = np.exp(np.interp([-quantile, quantile], root, grid)).tolist()
    vague = log(high / low) > NOT_IDENTIFIED * 2 * quantile * sd
    codes = ("power_not_identified",) if vague else ()
    method = f"profile likelihood, weak prior about {np.exp(mean):g}"
    return Estimate(p, min(low, p), max(high, p), "", level, method), codes


def _against_power(law, blades, fitted, how, spare):
    """Whether the readings speak against the power that was set (99 %)."""
    about = float(np.exp(fitted.prior_mean))
    free, _ = _power(fit_blades(law, blades, about=about, **how), 0.99, spare)
    inside = log(free.low) <= fitted.log_power <= log(free.high)
    return () if inside else ("power_misfits",)


def _describe(name, part, fitted, i, life, level, unit):
    """CurveFit of one fitted blade."""
    from scipy.special import stdtrit

    law, psi, b = fitted.law, fitted.psi[i], fitted.blades[i]
    full = fitted.full_covariance(i)
    jac = np.column_stack([np.ones(len(fitted.slopes[i])), fitted.slopes[i][:, fitted.own]])
    _, df = effective_df(b, fitted.scatter, jac, np.eye(jac.shape[1])[0])
    quantile = float(stdtrit(df, 0.5 + level / 2))
    parameters = {}
    for key, (value, slope) in law.named(fitted.log_scale[i], psi).items():
        stderr = float(np.sqrt(max(slope @ full @ slope, 0.0)))
        method = "delta method, log scale"
        parameters[key] = estimate_from_log(
            value, stderr, quantile, law.units[key].format(unit=unit), level, method
        )
    residuals = np.log(part.value) - fitted.log_scale[i] - law.log_shape(part.cuts, psi)
    known = residuals[np.isfinite(residuals)]
    spare = len(known) - jac.shape[1]
    cv = float(np.sqrt(known @ known / spare)) if spare > 0 else np.nan
    codes = list(life[1])
    if b.n_stations == 1:
        codes.append("one_station")
    if part.from_zero.any():
        codes.append("zero_taken_as_below")
    return CurveFit(
        blade=name,
        law=law.name,
        parameters=parameters,
        life=life[0],
        residual_cv=cv,
        warnings=tuple(codes),
        cuts=part.cuts,
        value=part.value,
        station=part.station,
        residuals=residuals,
        level=level,
        t_quantile=quantile,
        log_scale=float(fitted.log_scale[i]),
        psi=psi,
        cov=full,
    )


def _unfitted(name, part, law, level):
    """A blade with too few readings: no curve, no life, the reason as a warning."""
    return CurveFit(
        blade=name,
        law=law,
        parameters={},
        life=None,
        residual_cv=np.nan,
        warnings=("too_few_stages",),
        cuts=part.cuts,
        value=part.value,
        station=part.station,
        residuals=np.full(len(part.cuts), np.nan),
        level=level,
    )
