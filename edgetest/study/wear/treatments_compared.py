"""The heat treatments of a study compared: to its limit, to other levels, beside the geometry."""

from dataclasses import replace
from functools import partial
from math import isfinite

from edgetest.doubts import doubt
from edgetest.study.wear.compared_runs import NoComparison, compared_runs
from edgetest.study.wear.edge_geometry import geometry_of
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.wear.other_levels import SHARES, AtLevel, crossing
from edgetest.study.wear.study_readings import AREA
from edgetest.study.wear.wear_result import Compared
from edgetest.study.wear.with_and_without import with_and_without
from edgetest.study.wear.without_a_blade import Answered
from edgetest.study.wear.without_readings import ReadFrom
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives
from edgetest.wear.curve.study_curves import fit_study


def compare_treatments(source, found, fit, how, options, laws=()):
    """What the lives of the fitted runs say of their heat treatments.

    Parameters
    ----------
    source : Source
    found : StudyReadings
    fit : StudyFit
        Of these readings.
    how : FitOptions
        By which they were fitted; for other limits than theirs.
    options : AnalysisOptions
        As the study settles them.
    laws : sequence of LawScore
        The laws of the reading's direction, best first.

    Returns
    -------
    Compared
        Without a comparison, and with the doubt that says why, where there is none.
    """
    try:
        comparison, lives = _compare(source, found, fit, options)
    except NoComparison as why:
        return Compared(doubts=(doubt("no_comparison", why=why),))
    study = source.study
    angles, thickness, doubts = geometry_of(
        study, comparison, lives, options, angle=found.reading != AREA
    )
    levels = tuple(_at_levels(source, found, how, options, comparison))
    limit = options.limit or options.limit_of_fresh
    crossed = crossing([AtLevel(float(limit), comparison, _beyond(fit)), *levels])
    doubts += [doubt(f"curves_{crossed}")] if crossed else []
    anew = partial(_compared_again, source, found, options)
    curves = ReadFrom(source.log.name, found.columns(), how, fit, laws, anew)
    answered = Answered(comparison, lives, with_control(options, lives))
    hangs = with_and_without(answered, curves, titles_of(study))
    doubts += hangs.doubts
    return Compared(comparison, levels, angles, thickness, tuple(doubts), hangs.alternatives)


def lives_to_compare(source, fit, used, control):
    """The runs' lives as `compare_lives` takes them.

    Raises
    ------
    NoComparison
        Where there are no lives, or no two heat treatments among them.
    """
    lives = {curve.blade: curve.life for curve in fit.blades if curve.life is not None}
    if not lives:
        if fit.limit is None:
            raise NoComparison("no limit is given at which a blade's life ends")
        raise NoComparison("no blade has a life; see the blades' warnings")
    runs = compared_runs(source, [each for each in used if each.run in lives], control)
    return fitted_lives(list(lives.values()), **runs.columns(list(lives)))


def _compare(source, found, fit, options):
    """The comparison of a fit's lives, and these; a control blade without a life is left out."""
    lives = lives_to_compare(source, fit, found.used, options.control)
    return compare_lives(lives, with_control(options, lives)), lives


def with_control(options, lives):
    """The options, a control blade without a life left out."""
    return replace(options, control=options.control if options.control in lives.blade else None)


def _compared_again(source, found, options, fit):
    """The comparison of another fit, None where it cannot be made."""
    try:
        return _compare(source, found, fit, options)[0]
    except NoComparison:
        return None


def _at_levels(source, found, how, options, comparison):
    """The comparison at the levels asked for, or at shares of the limit."""
    columns = found.columns()
    if options.limit is None:
        return
    for value in options.also or [share * options.limit for share in SHARES]:
        fit = fit_study(columns, replace(how, limit=value))
        try:
            other, _ = _compare(source, found, fit, options)
        except NoComparison:
            continue
        same = (other.first, other.second) == (comparison.first, comparison.second)
        if same and (other.ratio.low > 0 or isfinite(other.ratio.high)):
            yield AtLevel(float(value), other, _beyond(fit))


def _beyond(fit):
    """Whether most lives of a fit lie beyond the last stage."""
    lives = [curve.life for curve in fit.blades if curve.life is not None]
    return 2 * sum(life.extrapolated for life in lives) > len(lives)
