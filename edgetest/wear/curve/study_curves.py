"""Wear curves of a study: one law, a curve and a life per blade, a power per heat treatment."""

from dataclasses import dataclass, replace
from functools import partial
from math import log

import numpy as np

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.errors import UnusableInput
from edgetest.wear.curve.curve_doubts import study_doubts
from edgetest.wear.curve.curve_lives import blade_lives
from edgetest.wear.curve.curve_result import CurveFit, StudyFit, estimate_from_log
from edgetest.wear.curve.joint_fit import WORN_VOLUME, fit_blades
from edgetest.wear.curve.law_lives import LifeLimits
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.power_estimates import against_power, power_estimates, power_root
from edgetest.wear.curve.predicted_curve import predicted_curves
from edgetest.wear.curve.stage_cells import stage_cells
from edgetest.wear.curve.weighing import Weighing

TOO_FEW = ("too_few_stages",)
UNNAMED = "all blades"  # heat treatment of runs for which none is named


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
        Sets the wedge law's p; left out, the blades of a heat treatment share one, estimated
        with a weak prior: log powers normal about a common mean, that about log 2 with SD 0.5.
    treatment_of : dict, optional
        Heat treatment of each run (label of `blade`); runs that are left out have one power.
    said_as : dict, optional
        What sentences call each heat treatment. One that is not in it (a control's) is held
        against none; left out, all are, by their names.
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
    treatment_of: dict[str, str] | None = None
    said_as: dict[str, str] | None = None
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
    parts = readings.by_blade()
    names = list(parts)
    usable, spare = _usable(law, {name: stage_cells(part) for name, part in parts.items()})
    if spare < 1:
        fits = tuple(_unfitted(name, parts[name], law.name, level) for name in names)
        return StudyFit(law.name, None, fits, doubts_of(TOO_FEW), limit, np.nan, level)
    treatments, blades = _by_treatment(usable, options.treatment_of or {})
    fitted = _fit_together(law, blades, options, options.power)
    departed = _fit_together(law, blades, options, options.power, fitted)
    lives = _lives(fitted, departed, options, spare)
    of_study, of_blades, outlying = study_doubts(
        fitted, [parts[name] for name in usable], options.robust
    )
    powers, common, doubts = power_estimates(fitted, treatments, level, spare, options.said_as)
    if options.power is not None and law.name == "wedge":
        free = _fit_together(law, blades, options, None)
        doubts = against_power(fitted, free, spare)
    doubts += of_study
    done, curves = {}, predicted_curves(departed)
    df = _degrees_of_curves(fitted, departed.scatter)
    for i, name in enumerate(usable):
        fit, (life, of_life) = _describe(parts[name], fitted, df[i].tolist(), i, options), lives[i]
        done[name] = replace(
            fit,
            life=life,
            doubts=(*of_life, *fit.doubts, *of_blades[i]),
            outlying=outlying[i],
            study_doubts=doubts,
            curve=curves.take([i]),
        )
        done[name] = _told(done[name], law, fitted.at_end[i])
    return StudyFit(
        law.name,
        common,
        tuple(done.get(name) or _unfitted(name, parts[name], law.name, level) for name in names),
        doubts,
        limit,
        float(np.sqrt(fitted.scatter.station_var)),
        level,
        powers=powers,
        power_root=power_root(departed.power_cov),
        treatment_of={blade.blade: blade.group for blade in blades},
        lives_to=partial(_lives_to, fitted, departed, options, spare),
    )


def _lives_to(fitted, departed, options, spare, limit):
    """Lives of the fitted blades, by name, to another limit."""
    lives = _lives(fitted, departed, replace(options, limit=limit, limit_of_fresh=None), spare)
    return {blade.blade: life for blade, (life, _) in zip(fitted.blades, lives, strict=True)}


def _by_treatment(usable, treatment_of):
    """Names of the heat treatments, and the blades' cells numbered by them."""
    named = [treatment_of.get(name) or UNNAMED for name in usable]
    names = list(dict.fromkeys(named))
    number = {name: i for i, name in enumerate(names)}
    both = zip(usable.values(), named, strict=True)
    return names, [replace(blade, group=number[name]) for blade, name in both]


def _usable(law, made):
    """The blades' cells with stages enough for a curve, and the stages to spare among them."""
    needed = 2 if law.name == "wedge" else 3
    usable = {name: blade for name, blade in made.items() if blade.stages_told >= needed}
    return usable, sum(max(blade.stages_numbered - needed, 0) for blade in usable.values())


def _fit_together(law, blades, options, power, start=None):
    """The blades' joint fit, with the power set or (None) estimated; from `start`, departing."""
    return fit_blades(
        law,
        blades,
        log_power=None if power is None else log(power),
        about=options.power_about,
        robust=options.robust,
        stated_df=options.relative_u_df,
        start=start,
    )


def _lives(fitted, departed, options, spare):
    """Life and doubts of every fitted blade; neither where no limit is given."""
    of_fresh = options.limit_of_fresh is not None
    ends = options.limit_of_fresh if of_fresh else options.limit
    if ends is None:
        return [(None, ())] * len(fitted.blades)
    names = [blade.blade for blade in fitted.blades]
    limits = LifeLimits(
        _by_blade(ends, names, "limit"),
        _by_blade(options.limit_relative_u, names, "limit_relative_u"),
        of_fresh=of_fresh,
        shared_scale_u=options.shared_scale_u,
        level=options.level,
        spare=spare,
    )
    return blade_lives(fitted, departed, limits)


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


def _degrees_of_curves(fitted, scatter):
    """Degrees of freedom (B, 2) of each blade's parameters, and of its curve at its last stage."""
    first = np.zeros((len(fitted.blades), len(fitted.own) + 1))
    first[:, 0] = 1.0
    last = np.array([float(b.stages[-1]) for b in fitted.blades])
    of_parameters = fitted.weighing.effective_df(fitted.own_slopes, first)[1]
    at_last = Weighing.of(fitted.blades, scatter)
    own = at_last.by_stage(
        [np.column_stack([np.ones(len(s)), s[:, fitted.own]]) for s in fitted.slopes]
    )
    return np.column_stack([of_parameters, at_last.effective_df(own, first, at=last)[1]])


def _one_place(part):
    """What is known of a place that is the only one: its name, or that none was given."""
    if any(part.station):
        return {"place": "The edge was read at one place", "column": ""}
    return {
        "place": "No reading names its station, so all count as read at one place",
        "column": " and name them in station_mm",
    }


def _describe(part, fitted, degrees, i, options):
    """CurveFit of the i-th fitted blade and its `part` of the readings, without its life."""
    from scipy.special import stdtrit

    law, psi, b = fitted.law, fitted.psi[i], fitted.blades[i]
    full = fitted.full_covariance(i)
    of_parameters, df = degrees
    quantile = float(stdtrit(of_parameters, 0.5 + options.level / 2))
    parameters = {}
    for key, (value, slope) in law.named(fitted.log_scale[i], psi).items():
        stderr = float(np.sqrt(max(slope @ full @ slope, 0.0)))
        method = "delta method, log scale"
        parameters[key] = estimate_from_log(
            value, stderr, quantile, law.units[key].format(unit=options.unit), options.level, method
        )
    residuals = np.log(part.value) - fitted.log_scale[i] - law.log_shape(part.cuts, psi)
    known = residuals[np.isfinite(residuals)]
    spare = len(known) - 1 - len(fitted.own)
    cv = float(np.sqrt(known @ known / spare)) if spare > 0 else np.nan
    where = Where(blade=b.blade)
    doubts = [doubt("one_station", where=where, **_one_place(part))] if b.n_stations == 1 else []
    if part.from_zero.any():
        doubts.append(doubt("zero_taken_as_below", where=where))
    return CurveFit(
        blade=part.blade[0],
        law=law.name,
        parameters=parameters,
        life=None,
        residual_cv=cv,
        doubts=tuple(doubts),
        cuts=part.cuts,
        value=part.value,
        station=part.station,
        residuals=residuals,
        level=options.level,
        t_quantile=float(stdtrit(df, 0.5 + options.level / 2)),
        df=df,
        log_scale=float(fitted.log_scale[i]),
        psi=psi,
    )


def _told(fit, law, at_end):
    """The fit, told from its first number where nothing before it bounds the curve.

    No edge was duller before it wore: a band that reaches beyond that of the first number knows
    nothing of the fresh edge.
    """
    first = float(fit.cuts[np.isfinite(fit.value)].min(initial=np.inf))
    if not 0 < first < np.inf:
        return fit
    band = fit.predict([0.0, first])
    fresh, worn = band.high if law.direction > 0 else -band.low
    return fit if fresh <= worn and not at_end else replace(fit, told_from=first)


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
