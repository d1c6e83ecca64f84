"""From a log to the answer: readings, wear curves, lives, the comparison."""

from dataclasses import replace
from math import isfinite, log, nan

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.study.sources import sound
from edgetest.study.wear.edge_geometry import angles_of, edge_angle, geometry_warnings, thickness_of
from edgetest.study.wear.kept_repeats import kept_repeats
from edgetest.study.wear.other_levels import SHARES, AtLevel, crossing
from edgetest.study.wear.study_readings import AREA, WIDTH, measure_study, used_readings
from edgetest.study.wear.wear_result import StudyResult, dulling, warn
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.curve.law_choice import rank_laws
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study

# Law of a reading where no protocol names one.
LAWS = {
    WIDTH: "wedge",
    AREA: "wedge",
    "sever_force_gf": "saturating",
    "card_mm": "falling_power",
    "depth_mm": "falling_exponential",
}


def analyse(
    source,
    *,
    reading=None,
    limit=None,
    power=None,
    control=None,
    reference=None,
    margin=0.10,
    level=0.95,
    robust=False,
    history=None,
    also=(),
    workers=2,
    progress=None,
    compare=True,
):
    """Fit and compare the blades of a source.

    Parameters
    ----------
    source : Source
        From `edgetest.study.sources.open_source`.
    reading : str, optional
        Column of the log; default: the study's, else the only one there is.
    limit : float, optional
        Reading at which a blade's life ends; default: the study's, else none.
    power : float, optional
        Power p of the wear law; None estimates one for the study.
    control, reference : str, optional
        Control blade; heat treatment that the others are held against.
    margin, level : float
        Relevant difference as a share of life; coverage of the intervals.
    robust : bool
        Give outlying readings less weight, and name them.
    history : ShopHistory, optional
        Scatter of the shop's earlier studies; shown beside the answer without it.
    also : sequence of float
        Other levels of the reading to compare at; default: shares of the limit.
    workers, progress
        For photographs; see `edgetest.study.photos.measure_photos`.
    compare : bool
        Compare heat treatments after fitting the blades.

    Returns
    -------
    StudyResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, or nothing can be fitted.
    """
    sound(source)
    if source.chop_test:
        raise UnusableInput(
            "this is a chop test, its edges have no wear curve",
            where=source.title,
            mend="use `edgetest chop`",
        )
    study = source.study
    reading = reading or reading_of(source)
    if limit is None and study is not None and study.limit_value is not None:
        same = reading == study.reading_name
        limit = study.limit_value if same and not isinstance(study.limit_value, str) else None
    control = control or (study.control if study else None)
    reference = reference or _reference(source)
    warnings, photos = [], ()
    if study is not None and study.invented:
        warnings.append(warn("invented"))
    if reading in (WIDTH, AREA) and any(row.photo for row in source.log.rows):
        photos, missing = measure_study(source, workers=workers, progress=progress)
        warnings += _photo_warnings(photos, missing)
    repeats = kept_repeats(source.path) if study is not None else {}
    repeats = repeats.get(WIDTH if reading == AREA else reading)
    readings, more = used_readings(source, reading, photos, repeats)
    warnings += more
    excluded = sum(each.excluded for each in readings)
    if excluded:
        warnings.append(warn("excluded_rows", count=excluded))
    used = [each for each in readings if not each.excluded]
    if not used:
        raise _nothing_to_fit(source, reading, readings, photos)
    if control is not None and control not in source.log.blades():
        raise UnusableInput(
            f'there is no blade "{control}" in the log',
            where="control",
            mend=f"name one of: {', '.join(source.log.blades())}",
        )
    shared_u, own_u = _scale_shares(photos, used, warnings)
    columns = wear_readings(
        [each.run for each in used],
        [each.cuts for each in used],
        [each.value for each in used],
        lower=[each.lower for each in used],
        upper=[each.upper for each in used],
        station=[each.station for each in used],
        relative_u=own_u,
        row=[each.line for each in used],
    )
    how = FitOptions(
        limit=limit,
        relative_u_df=repeats.df if repeats and _all_typed(used) else None,
        limit_relative_u=_angle_doubts(source, used) if reading == AREA else 0.0,
        law=_law(source, reading),
        power=power,
        power_about=1.0 if reading == AREA else 2.0,
        shared_scale_u=2 * shared_u if reading == AREA else shared_u,
        level=level,
        robust=robust,
    )
    fit = fit_study(columns, how)
    comparison, levels, angles, thickness = None, (), None, None
    if compare:
        options = ComparisonOptions(
            control=control,
            reference=reference,
            margin=margin,
            level=level,
            history=history,
        )
        lives, why = _lives(source, fit, used, control)
        if lives is None:
            warnings.append(warn("no_comparison", why=why))
        else:
            comparison = _compare(lives, options)
            if study is not None:
                angles = None if reading == AREA else angles_of(study, comparison, level=level)
                thickness = thickness_of(study, comparison, lives, options)
                warnings += geometry_warnings(study, comparison, angles, thickness)
            levels = _at_levels(source, columns, how, used, options, also, comparison)
            crossed = crossing([AtLevel(float(limit), comparison, _beyond(fit)), *levels])
            warnings += [warn(f"curves_{crossed}")] if crossed else []
    return StudyResult(
        study=study,
        protocol=source.protocol,
        log=source.log,
        reading=reading,
        limit=nan if limit is None else float(limit),
        photos=photos,
        readings=readings,
        fit=fit,
        comparison=comparison,
        warnings=tuple(warnings),
        title=source.title,
        levels=levels,
        angles=angles,
        thickness=thickness,
        laws=_laws(source, reading, columns),
    )


def _at_levels(source, columns, how, used, options, also, comparison):
    """The comparison at the levels asked for, or at shares of the limit."""
    wanted = also or [share * how.limit for share in SHARES]
    found = []
    for value in wanted:
        fit = fit_study(columns, replace(how, limit=value))
        lives, _ = _lives(source, fit, used, options.control)
        if lives is None:
            continue
        other = _compare(lives, options)
        if (other.first, other.second) == (comparison.first, comparison.second):
            found.append(AtLevel(float(value), other, _beyond(fit)))
    return tuple(found)


def _all_typed(used):
    """Whether no reading comes from a photograph, which knows its own uncertainty."""
    return all(each.source == "log" for each in used)


def _beyond(fit):
    """Whether most lives of a fit lie beyond the last stage."""
    lives = [curve.life for curve in fit.blades if curve.life is not None]
    return 2 * sum(life.extrapolated for life in lives) > len(lives)


def _laws(source, reading, columns):
    """The laws of this reading's direction, best first; empty where too few stages tell."""
    try:
        return rank_laws(columns, direction=dulling(source.protocol, reading))
    except UnusableInput:  # too few stages to tell laws apart: the fit's own warning says so
        return ()


def _nothing_to_fit(source, reading, readings, photos):
    """What is wrong where no reading is left, and what would mend it."""
    if readings:
        what, mend = f"every reading of {reading} is excluded", "look at the column exclude"
    elif photos:
        what, mend = "every photograph was refused", "see `edgetest measure` for the reasons"
    else:
        what = f"holds no reading of {reading} yet"
        others = ", ".join(name for name in source.log.reading_names if name != reading)
        mend = "fill in its column, or name photographs in the column photo"
        mend += f"; or ask for another with --reading: {others}" if others else ""
    return UnusableInput(what, source.log.name, mend)


def reading_of(source):
    """The reading that a source is about.

    Raises
    ------
    UnusableInput
        If a log on its own holds several.
    """
    if source.study is not None:
        return source.study.reading_name
    names = source.log.reading_names
    if len(names) == 1:
        return names[0]
    if WIDTH in names or not names:
        return WIDTH
    raise UnusableInput(
        f"the log holds several readings: {', '.join(names)}",
        where=source.log.name,
        mend=f"choose one, such as --reading {names[0]}",
    )


def _reference(source):
    """The heat treatment named in the study, through its reference blade, if there is one."""
    study = source.study
    return study.heat_treatment_of(study.reference) if study and study.reference else None


def _law(source, reading):
    """The wear law of a reading."""
    if source.protocol is not None:
        for rule in source.protocol.readings:
            if rule.name == reading and rule.law:
                return rule.law
    return LAWS.get(reading, "wedge")


def _angle_doubts(source, used):
    """What the doubt about each run's edge angle makes of its worn areas (relative)."""
    from edgetest.wear.curve.worn_wedge import log_area_angle_u

    blades = {each.run: source.study.blade(each.blade) for each in used}
    return {run: float(log_area_angle_u(*edge_angle(blade))) for run, blade in blades.items()}


def _photo_warnings(photos, missing):
    refused = sum(not photo.measured for photo in photos)
    found = [warn("photograph_refused", count=refused)] if refused else []
    return found + ([warn("photograph_missing", count=len(missing))] if missing else [])


def _scale_shares(photos, used, warnings):
    """The scale's relative uncertainty that all readings share, and each reading's own.

    One scale for all photographs: its error moves every width together. Several: the
    error is taken as each reading's own, which widens the comparison too.
    """
    scales = {
        photo.photo: (photo.numbers["scale"] or {}).get("relative_u") or 0.0 for photo in photos
    }
    kinds = {(photo.task.scale_name, scales[photo.photo]) for photo in photos if photo.measured}
    own = np.array([each.relative_u for each in used], dtype=float)
    if len(kinds) <= 1:
        shared = next(iter(kinds))[1] if kinds else 0.0
        return shared, own
    warnings.append(warn("scales_differ"))
    extra = np.array([scales.get(each.photo, 0.0) for each in used])
    return 0.0, np.hypot(np.nan_to_num(own), extra)


def _lives(source, fit, used, control):
    """The runs' lives as columns, or why there is no comparison."""
    facts = {each.run: each for each in used}
    rows = [(curve, facts[curve.blade]) for curve in fit.blades if curve.life is not None]
    if fit.limit is None:
        return None, "no limit is given at which a blade's life ends"
    if not rows:
        return None, "no blade has a life; see the blades' warnings"
    treatments = [fact.heat_treatment for _, fact in rows]
    if not any(treatments):
        treatments = [fact.blade for _, fact in rows]
    others = {
        treatment
        for treatment, (_, fact) in zip(treatments, rows, strict=True)
        if fact.blade != control
    }
    if "" in others:
        bare = sorted({fact.blade for _, fact in rows if not fact.heat_treatment})
        return None, f"no heat treatment is named for {', '.join(bare)}"
    if len(others) < 2:
        return None, "all blades have one heat treatment"
    lives = BladeLives(
        blade=[fact.blade for _, fact in rows],
        treatment=treatments,
        log_life=[_log_life(curve.life) for curve, _ in rows],
        log_life_se=[
            curve.life.log_life_se if isfinite(curve.life.cuts) else nan for curve, _ in rows
        ],
        censored=[not isfinite(curve.life.cuts) for curve, _ in rows],
        batch=_labels([_batch(source, fact.blade) for _, fact in rows]),
        block=_labels([fact.block for _, fact in rows]),
        law_u=[curve.life.log_life_law_u for curve, _ in rows],
        shared_se=rows[0][0].life.log_life_shared_u,
    )
    return lives, ""


def _compare(lives, options):
    """The comparison of the runs' lives; a control blade without a life is none."""
    control = options.control if options.control in lives.blade else None
    return compare_lives(lives, replace(options, control=control))


def _log_life(life):
    """Log of the life, or of the least it can be where the curve has no end."""
    return life.log_life if isfinite(life.cuts) else log(max(life.low, 1e-9))


def _batch(source, blade):
    return source.study.blade(blade).batch if source.study else ""


def _labels(labels):
    """The labels, or None where not every row has one."""
    return labels if all(labels) else None
