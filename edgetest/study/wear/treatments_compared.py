"""The heat treatments of a study compared: to its limit, to other levels, beside the geometry."""

from dataclasses import replace
from functools import partial
from math import inf

from edgetest.doubts import Where, doubt
from edgetest.study.wear.alternative_answers import finding_of
from edgetest.study.wear.asked_otherwise import asked_otherwise
from edgetest.study.wear.batches_planned import nearly_alike_batches
from edgetest.study.wear.blades_of_other_scale import answer_without_them
from edgetest.study.wear.choice import PASSED_FRESH
from edgetest.study.wear.compared_runs import NoComparison, compared_runs
from edgetest.study.wear.control_by_block import control_by_block
from edgetest.study.wear.edge_geometry import geometry_of
from edgetest.study.wear.expected_without import Fits
from edgetest.study.wear.group_titles import numbers_by_title, titles_of
from edgetest.study.wear.left_out_rows import excluded_blades
from edgetest.study.wear.limit_within_fresh import blades_passed, limit_doubts, told_of_passed
from edgetest.study.wear.lone_blocks import lone_block_doubts
from edgetest.study.wear.one_sided_hands import one_sided_doubts
from edgetest.study.wear.other_levels import (
    AtLevel,
    Carried,
    crossing,
    levels_within,
    where_curves_cross,
)
from edgetest.study.wear.photo_values import AREA
from edgetest.study.wear.unshared_rolls import rolls_of_lives
from edgetest.study.wear.usual_limits import usual_limit
from edgetest.study.wear.wanting_blades import read_early
from edgetest.study.wear.wear_result import Compared
from edgetest.study.wear.with_and_without import with_and_without
from edgetest.study.wear.without_a_blade import Answered
from edgetest.study.wear.without_readings import ReadFrom
from edgetest.study.words import listed
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.fitted_lives import fitted_lives

SAYS_NOTHING = 1000.0  # upper over lower end of a ratio that is not worth printing; a choice


def compare_treatments(source, found, fit, how, options, laws=(), fits=None):
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
    fits : Fits, optional
        What was fitted of the readings less some of them before.

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
    passed = limit_doubts(found, fit, options.limit, options.control)
    comparison = told_of_passed(comparison, found, passed)
    angles, thickness, grinds, doubts = geometry_of(
        study, comparison, lives, options, angle=found.reading != AREA
    )
    doubts = [*doubts, *passed]
    left_out = excluded_blades(found.readings)
    doubts += read_early(study, lives, options.control, blades_passed(found, passed), left_out)
    doubts += control_by_block(options.control, found.used, fit)
    batch_of = {row.line: row.batch for row in source.log.rows}
    doubts += lone_block_doubts(found.used, options.control, batch_of)
    if study is not None:
        of_lives = [blade for blade in study.blades if blade.id in lives.blade]
        doubts += nearly_alike_batches(of_lives)
    doubts += one_sided_doubts(source.log, found.used, comparison, titles_of(study))
    levels, beyond = _at_levels(source, found, fit, options, comparison)
    if beyond:
        words = ", ".join(f"{value:g}" for value in beyond)
        doubts = [*doubts, doubt("levels_beyond_reach", levels=words)]
    runs = {each.run for each in found.used if each.blade != options.control}
    limit = float(options.limit or options.limit_of_fresh)
    own = [] if _out_of_reach(fit, runs) else [AtLevel(limit, comparison, _carried(fit, runs))]
    doubts = [*doubts, *_crossing_doubts([*own, *levels])]
    anew = partial(_found_again, source, found, options)
    curves = ReadFrom(
        source.log.name, found.columns(), how, fit, laws, anew, found.against_hand, fits or Fits()
    )
    answered = Answered(comparison, lives, _with_control(options, lives))
    given = finding_of(comparison)
    doubts = [*doubts, *answer_without_them(found.doubts, curves, given, titles_of(study))]
    doubts += asked_otherwise(answered, curves, titles_of(study))
    hangs = with_and_without(answered, curves, titles_of(study))
    names = [curve.blade for curve in fit.blades if curve.life is not None]
    others, of_rolls = rolls_of_lives(source.log, found.used, names, answered, titles_of(study))
    doubts = [*doubts, *of_rolls, *hangs.doubts]
    others = (*others, *hangs.alternatives)
    return Compared(comparison, levels, angles, thickness, tuple(doubts), others, grinds=grinds)


def lives_to_compare(source, fit, used, control, *, reading=""):
    """The runs' lives as `compare_lives` takes them; `reading` is the column they are lives of.

    Raises
    ------
    NoComparison
        Where there are no lives, or no two heat treatments among them.
    """
    lives = {curve.blade: curve.life for curve in fit.blades if curve.life is not None}
    if not lives:
        if fit.limit is None:
            raise NoComparison(
                "no limit is given at which a blade's life ends; give one (--limit); "
                + usual_limit(reading)
            )
        raise NoComparison(_why_no_life(fit))
    with_life = [each for each in used if each.run in lives]
    _refuse_side_without_life(source, used, with_life, control)
    runs = compared_runs(source, with_life, control)
    return fitted_lives(list(lives.values()), **runs.columns(list(lives)))


def _refuse_side_without_life(source, used, with_life, control):
    """Refuse heat treatments of which all but one were cut and have no life."""
    cut, left = (
        {each.heat_treatment for each in readings if each.blade != control}
        for readings in (used, with_life)
    )
    if len(left) == 1 < len(cut) and "" not in cut:
        titles = titles_of(source.study)
        gone = listed(sorted(titles.get(name, name) for name in cut - left))
        raise NoComparison(f"no blade of {gone} has a life; see each blade's doubts")


def _why_no_life(fit):
    """What would give the blades lives: another limit, where fresh edges have passed this one."""
    if all(any(one.code == PASSED_FRESH for one in curve.doubts) for curve in fit.blades):
        return "no blade has a life; the fresh edges have passed this limit already"
    return "no blade has a life; cut to more stages, see each blade's doubts"


def _compare(source, found, fit, options):
    """The comparison of a fit's lives, and these; a control blade without a life is left out."""
    lives = lives_to_compare(source, fit, found.used, options.control, reading=found.reading)
    comparison = compare_lives(lives, _with_control(options, lives))
    return numbers_by_title(comparison, titles_of(source.study)), lives


def _with_control(options, lives):
    """The options, a control blade without a life left out."""
    return replace(options, control=options.control if options.control in lives.blade else None)


def _found_again(source, found, options, fit, given):
    """The finding of another fit, None where it cannot be made."""
    try:
        comparison, _ = _compare(source, found, fit, options)
    except NoComparison:
        return None
    return finding_of(comparison, given.first, given.second)


def _at_levels(source, found, fit, options, comparison):
    """The comparison at the levels asked for, else within the readings; and those out of reach.

    Where none of those asked for has a ratio, the readings' own levels keep theirs.

    One fit serves all: what changes with the level is where its curves cross it.
    """
    if options.limit is None:
        return (), ()
    runs = {each.run for each in found.used if each.blade != options.control}
    ratios = partial(_ratios_at, source, found, fit, options, comparison, runs)
    levels, beyond = ratios(options.also)
    return tuple(levels or ratios(levels_within(fit, runs))[0]), tuple(beyond)


def _ratios_at(source, found, fit, options, comparison, runs, values):
    """The comparison at these levels, and which of them are out of reach."""
    levels, beyond = [], []
    for value in values:
        at = fit.to_limit(value)
        if _out_of_reach(at, runs):
            beyond.append(value)
            continue
        try:
            other, _ = _compare(source, found, at, options)
        except NoComparison:
            continue
        ratio = other.ratio
        if not (ratio.low > 0 and ratio.high / ratio.low < SAYS_NOTHING):
            beyond.append(value)
        elif (other.first, other.second) == (comparison.first, comparison.second):
            levels.append(AtLevel(float(value), other, _carried(at, runs)))
    return levels, beyond


def _out_of_reach(fit, runs):
    """Whether most of the lives of a heat treatment are no more than bounds."""
    bounds: dict[int, list[bool]] = {}
    for curve in fit.blades:
        if curve.life is not None and curve.blade in runs:
            here = bounds.setdefault(fit.treatment_of[curve.blade], [])
            here.append(curve.life.beyond_reach or curve.life.cuts == inf)
    return any(2 * sum(each) > len(each) for each in bounds.values())


def _carried(fit, runs):
    """How many of the lives the law carries, and how many are no more than bounds."""
    lives = [curve.life for curve in fit.blades if curve.life is not None and curve.blade in runs]
    bounds = [life.beyond_reach or life.cuts == inf for life in lives]
    by_law = sum(life.extrapolated and not bound for life, bound in zip(lives, bounds, strict=True))
    return Carried(len(lives), by_law, sum(bounds))


def _crossing_doubts(levels):
    """Whether the curves cross, and at which level."""
    crossed = crossing(levels)
    if not crossed:
        return []
    at, low, high = where_curves_cross(levels) or (None, None, None)
    more = f"They change places at about {at:.3g} (between {low:g} and {high:g})." if at else ""
    return [doubt(f"curves_{crossed}", more, where=Where(value=at))]
