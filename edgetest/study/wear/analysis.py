"""From a log to the answer: readings, wear curves, lives, the comparison."""

from dataclasses import dataclass, replace
from math import nan

from edgetest.doubts import Where, doubt, retold
from edgetest.errors import UnusableInput
from edgetest.estimate import checked_level, checked_margin
from edgetest.store.logs import LIFE
from edgetest.store.protocol import unit_of
from edgetest.study.bench.blinding import names_doubts
from edgetest.study.sources import sound
from edgetest.study.wear.at_equal_cuts import CARD, with_equal_cuts
from edgetest.study.wear.blades_of_other_scale import (
    compared_not_cut_on,
    fit_not_cut_on,
    runs_not_cut_on,
)
from edgetest.study.wear.card_readings import card_sums_of
from edgetest.study.wear.cut_no_further import cut_no_further, lives_beyond
from edgetest.study.wear.edge_geometry import edge_angle
from edgetest.study.wear.expected_without import Fits, fit_told_without
from edgetest.study.wear.far_among_repeats import fit_told_of_repeats
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.wear.hidden_readings import fit_told_of_hidden
from edgetest.study.wear.left_out_rows import compared_as_it_counts, fit_as_it_counts
from edgetest.study.wear.nothing_to_fit import nothing_to_fit
from edgetest.study.wear.other_laws import fit_told_of_laws, laws_told
from edgetest.study.wear.past_limit import blades_past_limit, compared_past_limit, fit_past_limit
from edgetest.study.wear.photo_values import AREA, W30, WIDTH
from edgetest.study.wear.places_departed import fit_of_places_asked
from edgetest.study.wear.plausible_readings import implausible_doubts
from edgetest.study.wear.protocol_departures import departures_of
from edgetest.study.wear.robust_told import fit_told_of_robust
from edgetest.study.wear.shifted_days import fit_told_of_days
from edgetest.study.wear.study_looks import looks_of
from edgetest.study.wear.study_readings import readings_of_study
from edgetest.study.wear.treatments_compared import compare_treatments
from edgetest.study.wear.typed_scale import typed_scale_doubts
from edgetest.study.wear.wear_result import Compared, StudyResult, dulling
from edgetest.units import Unreadable, parse_number, parse_quantity
from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.curve.law_choice import rank_laws
from edgetest.wear.curve.laws import LAWS as WEAR_LAWS
from edgetest.wear.curve.study_curves import FitOptions, fit_study

# Law of a reading where no protocol names one.
LAWS = {
    **dict.fromkeys((WIDTH, AREA, W30), "wedge"),
    "sever_force_gf": "saturating",
    "card_mm": "falling_power",
    "depth_mm": "falling_exponential",
}

WIDTH_UNITS = ("µm", "mm", "in")  # of what widens as a wedge does


@dataclass(frozen=True)
class AnalysisOptions(ComparisonOptions):
    """What is asked of a log: a comparison's options and those of the wear curves before it.

    What is left out is as the study says: control blade and reference too.

    Attributes
    ----------
    reading : str, optional
        Column of the log; default: the study's, else the only one there is.
    limit : float or str, optional
        Reading at which a blade's life ends, also as typed ("12,5"); default: the study's,
        else none.
    limit_of_fresh : float, optional
        The limit as a multiple of each blade's own fresh reading, in place of `limit`.
    law : str, optional
        Wear law; default: the protocol's for the reading, else the usual one.
    power : float, optional
        Power p of the wear law; None estimates one for the study.
    robust : bool
        Give outlying readings less weight, and name them.
    also : tuple of float
        Other levels of the reading to compare at; default: shares of the limit.
    at_cuts : float, optional
        Cuts at which readings are compared; default: the last that all blades reached.
    """

    reading: str | None = None
    limit: float | str | None = None
    limit_of_fresh: float | None = None
    law: str | None = None
    power: float | None = None
    robust: bool = False
    also: tuple[float, ...] = ()
    at_cuts: float | None = None


AS_THE_STUDY_SAYS = AnalysisOptions()


def analyse(source, options=AS_THE_STUDY_SAYS, *, compare=True, workers=2, progress=None):
    """Fit and compare the blades of a source.

    Parameters
    ----------
    source : Source
        From `edgetest.study.sources.open_source`.
    options : AnalysisOptions
    compare : bool
        Compare heat treatments after fitting the blades.
    workers, progress
        For photographs; see `edgetest.study.photos.measure_photos`.

    Returns
    -------
    StudyResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, a level or margin is none, or nothing can be fitted.
    """
    checked_level(options.level)
    checked_margin(options.margin)
    if sound(source).chop_test:
        raise UnusableInput(
            "this is a chop test, its edges have no wear curve",
            where=source.title,
            mend="use `edgetest chop`",
        )
    options = settled(source, options)
    found = readings_of_study(source, options.reading, workers=workers, progress=progress)
    if not found.used:
        raise nothing_to_fit(source, found)
    if compare:
        refuse_unknown_control(source, options.control)
    how = _fit_options(source, found, options)
    columns = found.columns()
    fits = Fits()
    fit = fit_told_without(fit_study(columns, how).in_file(source.log.name), columns, how, fits)
    fit = fit_told_of_repeats(fit, columns, source.log.name)
    fit = fit_told_of_hidden(fit, columns, how, fits, source.log.name)
    fit = fit_told_of_laws(fit, columns, how, fits)
    fit = fit_told_of_robust(fit, columns, how, fits)
    fit = fit_told_of_days(fit, columns, how, source.log.rows, found.reading)
    past = blades_past_limit(fit, found.readings)
    cut_short = cut_no_further(source, fit, found.readings)
    fit = fit_past_limit(fit_as_it_counts(fit, cut_short, source.log.rows), past)
    odd = runs_not_cut_on(found.doubts)
    fit = fit_of_places_asked(fit_not_cut_on(fit, odd), source.protocol, options.reading)
    laws = laws_told(_laws(source, options.reading, columns), fit, columns, how, fits)
    compared = Compared()
    if compare:
        compared = compare_treatments(source, found, fit, how, options, laws, fits)
        compared = with_equal_cuts(compared, source, found, fit, how, options, _sums(found), fits)
        compared = _as_told(source, fit, compared_past_limit(compared, past), cut_short, odd)
    return StudyResult(
        study=source.study,
        protocol=source.protocol,
        log=source.log,
        reading=options.reading,
        limit=nan if options.limit is None else float(options.limit),
        limit_of_fresh=options.limit_of_fresh,
        photos=found.photos,
        readings=found.readings,
        fit=fit,
        compared=compared,
        study_doubts=(
            *retold(found.doubts, compared.doubts),
            *implausible_doubts(source.log.name, found.used, found.reading, options.limit),
            *typed_scale_doubts(found, options.limit),
            *compared.doubts,
            *control_never_run(source),
            *names_doubts(source.study),
        ),
        title=source.title,
        departures=departures_of(
            source.study, source.protocol, source.log, _of_the_limit(source, found)
        ),
        laws=laws,
    )


def _as_told(source, fit, compared, cut_short, odd):
    """What is compared, its doubts told of blades as they count and are not to be cut on."""
    compared = compared_not_cut_on(compared, odd)
    cut_short = {**cut_short, **odd}
    return compared_as_it_counts(compared, cut_short, source.log.rows, lives_beyond(fit))


def _sums(found):
    """The sums of a card's readings; none of another reading."""
    return card_sums_of(found.readings) if found.reading == CARD else {}


def _of_the_limit(source, found):
    """The readings where they are those whose limit the study names; no others are held to it."""
    own = source.study is not None and found.reading == source.study.reading_name
    return found.readings if own else ()


def settled(source, options):
    """The options with what the study says wherever nothing was asked for."""
    reading = options.reading or reading_of(source)
    limit = _number(options.limit, reading)
    study = source.study
    if study is None:
        return replace(options, reading=reading, limit=limit)
    unset = limit is None and options.limit_of_fresh is None
    if unset and reading == study.reading_name and not isinstance(study.limit_value, str):
        limit = study.limit_value
    reference = study.heat_treatment_of(study.reference) if study.reference else None
    return replace(
        options,
        reading=reading,
        limit=limit,
        control=options.control or (None if control_never_run(source) else study.control),
        reference=options.reference or reference,
        looks=options.looks or looks_of(study),
    )


def _number(limit, reading):
    """A limit as typed, in the reading's unit; decimal comma or point, with or without a unit."""
    if not isinstance(limit, str):
        return limit
    unit = unit_of(reading)
    try:
        return parse_number(limit) if unit in (None, "count") else parse_quantity(limit, unit)
    except Unreadable as fault:
        mend = 'a grade as limit needs the reading "grade" (--reading grade)'
        raise UnusableInput(fault.what, "limit (--limit)", f"{fault.mend}; {mend}") from None


def reading_of(source):
    """The reading that a source is about.

    Raises
    ------
    UnusableInput
        If a log on its own holds several.
    """
    if LIFE in source.log.reading_names:
        return LIFE
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
        mend=f"choose the reading, such as {names[0]}",
    )


def refuse_unknown_control(source, control):
    """Refuse a control blade that was never cut.

    Raises
    ------
    UnusableInput
    """
    blades = source.log.blades()
    if control is not None and control not in blades:
        raise UnusableInput(
            f'there is no blade "{control}" in the log',
            where="control",
            mend="leave --control out, or cut that blade in every block; the blades that were cut: "
            f"{', '.join(blades)} (one of them as control is left out of what is compared)",
        )


def control_never_run(source):
    """The doubt that the control blade a study names was never cut; empty where it was."""
    control = source.study.control if source.study else None
    if control is None or not source.log.rows or control in source.log.blades():
        return ()
    return (doubt("control_never_run", where=Where(file=source.log.name, blade=control)),)


def _fit_options(source, found, options):
    """How the readings are fitted; an area goes with the square of the scale."""
    area = found.reading == AREA
    all_typed = all(each.source == "log" for each in found.used)  # photographs know their own
    return FitOptions(
        limit=options.limit,
        limit_of_fresh=options.limit_of_fresh,
        relative_u_df=found.repeats.df if found.repeats and all_typed else None,
        limit_relative_u=_angle_doubts(source, found.used) if area else 0.0,
        law=law_of_reading(source, found.reading, options.law),
        power=options.power,
        treatment_of=_treatments(found.used, options.control),
        said_as=_said_as(source.study, found.used, options.control),
        power_about=1.0 if area else 2.0,
        shared_scale_u=(2 if area else 1) * found.scale_shares()[0],
        level=options.level,
        robust=options.robust,
    )


def _treatments(used, control):
    """Heat treatment of each run; a control blade has one of its own."""
    named = {each.run: each.heat_treatment for each in used}
    return named | {each.run: f"control {control}" for each in used if each.blade == control}


def _said_as(study, used, control):
    """What sentences call the heat treatments that blades were compared for; a control is none."""
    names, titles = (
        {each.heat_treatment for each in used if each.blade != control},
        titles_of(study),
    )
    return {name: titles.get(name, name) for name in names if name}


def law_of_reading(source, reading, asked=None):
    """The wear law of a reading: the one asked for, its protocol's, or what is usual."""
    if asked is not None:
        worse = dulling(source.protocol, reading)
        known = [name for name, law in WEAR_LAWS.items() if law.direction == worse]
        if asked not in known:
            way = "rises" if worse > 0 else "falls"
            what = f'"{asked}" is no law of a reading that {way} as the edge dulls'
            raise UnusableInput(what, "law (--law)", f"choose one of {', '.join(known)}")
        return asked
    rules = {rule.name: rule for rule in (source.protocol.readings if source.protocol else ())}
    rule = rules.get(reading)
    if rule is not None and rule.law:
        return rule.law
    if rule is None or reading in LAWS or rule.unit in WIDTH_UNITS:
        return LAWS.get(reading, "wedge")
    return "falling_exponential" if rule.dulling == "falls" else "saturating"


def _angle_doubts(source, used):
    """What the doubt about each run's edge angle makes of its worn areas (relative)."""
    from edgetest.wear.curve.worn_wedge import log_area_angle_u

    blades = {each.run: source.study.blade(each.blade) for each in used}
    return {run: float(log_area_angle_u(*edge_angle(blade))) for run, blade in blades.items()}


def _laws(source, reading, columns):
    """The laws of this reading's direction, best first; empty where too few stages tell."""
    try:
        return rank_laws(columns, direction=dulling(source.protocol, reading))
    except UnusableInput:  # too few stages to tell laws apart: the fit's own warning says so
        return ()
