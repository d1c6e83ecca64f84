"""Wear curves of a study: one law, a curve and a life per blade, one power for all blades."""

from dataclasses import dataclass, replace
from math import log

import numpy as np

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.wear.curve.curve_doubts import study_doubts
from edgetest.wear.curve.curve_lives import blade_lives
from edgetest.wear.curve.curve_result import CurveFit, StudyFit, estimate_from_log
from edgetest.wear.curve.joint_fit import PRIOR_SD, WORN_VOLUME, fit_blades, power_profile
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.scatter import effective_df
from edgetest.wear.curve.stage_cells import stage_cells

TOO_FEW = ("too_few_stages",)
NOT_IDENTIFIED = 0.75  # of the prior's interval: readings that leave p so wide say little about it


@dataclass(frozen=True)
class FitOptions:
    """How the wear curves of a study are fitted, and where its lives end.

    Attributes
    ----------
    limit : float or dict, optional
        Reading at which the blade counts as dull, in its unit; a dict by blade where they
        differ (worn area of blades of different angle,
        `edgetest.wear.curve.worn_wedge.width_of_worn_area`).
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
    relative_u_df : float, optional
        Degrees of freedom behind the readings' `relative_u` where it comes from repeated
        readings; left out, `relative_u` is the least that the readings scatter, and the scatter
        is judged by the readings alone.
    shared_scale_u : float
        Relative standard uncertainty of a scale that all readings share.
    robust : bool
        Take readings beyond 2.5 SD less seriously (none is dropped).
    level : float
        Coverage of the intervals.
    unit : str
        Unit of the readings, for the parameters.
    """

    limit: float | dict[str, float] | None = None
    limit_of_fresh: float | None = None
    limit_relative_u: float | dict[str, float] = 0.0
    law: str = "wedge"
    power: float | None = None
    power_about: float = WORN_VOLUME
    relative_u_df: float | None = None
    shared_scale_u: float = 0.0
    robust: bool = False
    level: float = 0.95
    unit: str = "µm"


AS_USUAL = FitOptions()


def fit_study(readings, options=AS_USUAL):
    """Fit one law to every blade of a study; life to the limit with its interval.

    The error is multiplicative: logs of readings are fitted. Three kinds of scatter are told
    apart and shared by the blades: of a reading, of a place along the edge (constant over the
    stages), and of a stage (common to a blade's places). The blade's curve is that of the
    (geometric) mean over its places.

    Parameters
    ----------
    readings : WearReadings
        From `edgetest.wear.curve.stage_cells.wear_readings`.
    options : FitOptions

    Returns
    -------
    StudyFit

    Raises
    ------
    UnusableInput
        An unknown law, a power or limit not above 0, limits that leave a blade out.
    """
    law, limit, level = _law(options), options.limit, options.level
    names = list(dict.fromkeys(readings.blade))
    parts = {name: readings.take(np.flatnonzero(readings.blade == name)) for name in names}
    usable, spare = _usable(law, {name: stage_cells(part) for name, part in parts.items()})
    if spare < 1:
        fits = tuple(_unfitted(name, parts[name], law.name, level) for name in names)
        return StudyFit(law.name, None, fits, doubts_of(TOO_FEW), limit, np.nan, level)
    blades = list(usable.values())
    fitted = _fit_together(law, blades, options, options.power)
    lives, beside = _lives(fitted, options, spare), [(None, ())] * len(blades)
    if fitted.log_power is not None and fitted.log_power != log(options.power_about):
        at_worn_volume = _fit_together(law, blades, options, options.power_about)
        beside = _lives(at_worn_volume, options, spare)
    of_study, of_blades, outlying = study_doubts(
        fitted, [parts[name] for name in usable], options.robust
    )
    estimate, doubts = _power(fitted, level, spare)
    if options.power is not None and law.name == "wedge":
        free = _fit_together(law, blades, options, None)
        doubts = _against_power(fitted, free, spare)
    doubts += of_study
    done = {}
    for i, name in enumerate(usable):
        fit, (life, of_life) = _describe(parts[name], fitted, i, options), lives[i]
        done[name] = replace(
            fit,
            life=life,
            life_worn_volume=beside[i][0],
            doubts=(*of_life, *fit.doubts, *of_blades[i]),
            outlying=outlying[i],
            study_doubts=doubts,
        )
    fits = tuple(done.get(name) or _unfitted(name, parts[name], law.name, level) for name in names)
    station_cv = float(np.sqrt(fitted.scatter.station_var))
    return StudyFit(law.name, estimate, fits, doubts, limit, station_cv, level)


def _usable(law, made):
    """The blades' cells with stages enough for a curve, and the stages to spare among them."""
    needed = 2 if law.name == "wedge" else 3
    usable = {name: blade for name, blade in made.items() if blade.stages_told >= needed}
    return usable, sum(max(blade.stages_numbered - needed, 0) for blade in usable.values())


def _fit_together(law, blades, options, power):
    """The blades' joint fit, with the power set or (None) estimated."""
    return fit_blades(
        law,
        blades,
        log_power=None if power is None else log(power),
        about=options.power_about,
        robust=options.robust,
        stated_df=options.relative_u_df,
    )


def _lives(fitted, options, spare):
    """Life and doubts of every fitted blade; neither where no limit is given."""
    of_fresh = options.limit_of_fresh is not None
    ends = options.limit_of_fresh if of_fresh else options.limit
    if ends is None:
        return [(None, ())] * len(fitted.blades)
    names = [blade.blade for blade in fitted.blades]
    return blade_lives(
        fitted,
        _by_blade(ends, names, "limit"),
        of_fresh=of_fresh,
        limit_u=_by_blade(options.limit_relative_u, names, "limit_relative_u"),
        shared_scale_u=options.shared_scale_u,
        level=options.level,
        spare=spare,
    )


def _by_blade(given, names, where):
    """One number a blade from a number or a dict."""
    if not isinstance(given, dict):
        return np.full(len(names), float(given))
    missing = [name for name in names if name not in given]
    if missing:
        raise UnusableInput(f"no entry for {missing[0]}", where, "give one for every blade")
    return np.array([given[name] for name in names], dtype=float)


def _law(options):
    """The law by its name; refuses what cannot be a power or a limit."""
    if options.law not in LAWS:
        mend = f"choose one of {', '.join(LAWS)}"
        raise UnusableInput(f'no law "{options.law}"', "law", mend)
    chosen, limit, limit_of_fresh = LAWS[options.law], options.limit, options.limit_of_fresh
    limits = list(limit.values()) if isinstance(limit, dict) else [limit]
    named = [(name, getattr(options, name)) for name in ("power", "power_about", "limit_of_fresh")]
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
    """The power with its interval (profile likelihood), and what is doubtful about it."""
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
    codes = ["power_not_identified"] if vague else []
    method = f"profile likelihood, weak prior about {np.exp(mean):g}"
    doubts = doubts_of(codes, where=Where(value=p))
    return Estimate(p, min(low, p), max(high, p), "", level, method), doubts


def _against_power(fitted, free, spare):
    """Whether the readings speak against the power that was set (99 %)."""
    found, _ = _power(free, 0.99, spare)
    inside = log(found.low) <= fitted.log_power <= log(found.high)
    return () if inside else (doubt("power_misfits", where=Where(value=found.value)),)


def _describe(part, fitted, i, options):
    """CurveFit of the i-th fitted blade and its `part` of the readings, without its life."""
    from scipy.special import stdtrit

    law, psi, b = fitted.law, fitted.psi[i], fitted.blades[i]
    full = fitted.full_covariance(i)
    jac = np.column_stack([np.ones(len(fitted.slopes[i])), fitted.slopes[i][:, fitted.own]])
    _, df = effective_df(b, fitted.scatter, jac, np.eye(jac.shape[1])[0])
    quantile = float(stdtrit(df, 0.5 + options.level / 2))
    parameters = {}
    for key, (value, slope) in law.named(fitted.log_scale[i], psi).items():
        stderr = float(np.sqrt(max(slope @ full @ slope, 0.0)))
        method = "delta method, log scale"
        parameters[key] = estimate_from_log(
            value, stderr, quantile, law.units[key].format(unit=options.unit), options.level, method
        )
    residuals = np.log(part.value) - fitted.log_scale[i] - law.log_shape(part.cuts, psi)
    known = residuals[np.isfinite(residuals)]
    spare = len(known) - jac.shape[1]
    cv = float(np.sqrt(known @ known / spare)) if spare > 0 else np.nan
    codes = []
    if b.n_stations == 1:
        codes.append("one_station")
    if part.from_zero.any():
        codes.append("zero_taken_as_below")
    return CurveFit(
        blade=part.blade[0],
        law=law.name,
        parameters=parameters,
        life=None,
        residual_cv=cv,
        doubts=doubts_of(codes, where=Where(blade=b.blade)),
        cuts=part.cuts,
        value=part.value,
        station=part.station,
        residuals=residuals,
        level=options.level,
        t_quantile=quantile,
        log_scale=float(fitted.log_scale[i]),
        psi=psi,
        cov=full,
    )


def _unfitted(name, part, law, level):
    """A blade with too few readings: no curve, no life, the reason as a doubt."""
    return CurveFit(
        blade=name,
        law=law,
        parameters={},
        life=None,
        residual_cv=np.nan,
        doubts=doubts_of(TOO_FEW, where=Where(blade=name)),
        cuts=part.cuts,
        value=part.value,
        station=part.station,
        residuals=np.full(len(part.cuts), np.nan),
        level=level,
    )
