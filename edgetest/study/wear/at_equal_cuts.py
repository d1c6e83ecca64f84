"""The readings of a study's blades compared where all of them were cut alike."""

from dataclasses import replace
from functools import partial
from math import isfinite

import numpy as np

from edgetest.doubts import Where, doubt, retold
from edgetest.errors import UnusableInput
from edgetest.study.wear.alternative_answers import finding_at_cuts
from edgetest.study.wear.compared_runs import NoComparison, compared_runs
from edgetest.study.wear.expected_without import Fits
from edgetest.study.wear.group_titles import numbers_by_title, titles_of
from edgetest.study.wear.photo_values import AREA, W30, WIDTH
from edgetest.study.wear.unshared_rolls import rolls_at_cuts
from edgetest.study.wear.wear_result import dulling
from edgetest.study.wear.with_and_without import hangs_on_readings
from edgetest.study.wear.without_readings import ReadFrom
from edgetest.study.words import name_of_reading
from edgetest.wear.compare.equal_cuts import (
    Measure,
    compare_at_cuts,
    log_of_sum,
    shared_cuts,
)
from edgetest.wear.compare.replicates import lives_known
from edgetest.wear.curve.card_sums import INITIAL_CYCLES

CARD = "card_mm"
# Of the margin: edges that have moved less cannot differ by it through wear; a choice.
HARDLY = 2.0
NEAR = 1.01  # times the cuts, either way: how steep the curves are there
FORCE = "the force is {ratio} times as great with {one} as with {other}"
MEASURES = {
    WIDTH: Measure("the edge of {one} is {ratio} times as wide as that of {other}", "edge width"),
    W30: Measure("the crest of {one} is {ratio} times as wide as that of {other}", "W30"),
    AREA: Measure("{one} has lost {ratio} times the metal that {other} has lost", "worn area"),
    "sever_force_gf": Measure(FORCE, "thread severing force"),
    "rope_force_n": Measure(FORCE, "force"),
    CARD: Measure("{one} cuts {ratio} times as much card as {other}", "card cut", -1),
    "depth_mm": Measure("{one} cuts {ratio} times as deep as {other}", "depth", -1),
}


def with_equal_cuts(compared, source, found, fit, how, options, sums, fits=None):
    """What the lives say, with what the readings at equal cuts say beside or instead of it.

    Equal cuts lead where no lives are compared, or more than half the lives of a heat treatment
    lie too far beyond its readings to be known.

    Parameters
    ----------
    compared : Compared
    source : Source
    found : StudyReadings
    fit : StudyFit
        Of these readings.
    how : FitOptions
        By which they were fitted.
    options : AnalysisOptions
        As the study settles them.
    sums : dict of str to CardSums
        Of the runs, for a reading of card cut; else empty.
    fits : Fits, optional
        What was fitted of the readings less some of them before.

    Returns
    -------
    Compared
    """
    try:
        runs = compared_runs(source, found.used, options.control)
    except NoComparison:
        return compared
    measure = measure_of(source.protocol, found.reading)
    at_cuts, doubts = at_equal_cuts(runs, fit, measure, options)
    if at_cuts is None:
        return compared
    at_cuts = replace(
        at_cuts, comparison=numbers_by_title(at_cuts.comparison, titles_of(source.study))
    )
    leads = compared.comparison is None or _lives_unknown(runs, fit)
    if compared.comparison is None:
        doubts += tuple(_without_lives(one) for one in compared.doubts)
    else:
        doubts += compared.doubts
    if leads:
        anew = partial(_found_again, runs, measure, replace(options, at_cuts=at_cuts.cuts))
        read_from = ReadFrom(
            source.log.name, found.columns(), how, fit, (), anew, found.against_hand, fits or Fits()
        )
        titles = titles_of(source.study)
        hangs = hangs_on_readings(at_cuts, read_from, titles)
        columns, read = _readings_at(runs, fit, at_cuts.cuts)
        others, of_rolls = rolls_at_cuts(
            source.log,
            found.used,
            read,
            columns,
            at_cuts,
            runs.control_among(read, options),
            titles,
        )
        earned = {one.doubt.code for one in compared.alternatives}
        limits = (replace(one, gravity="limits") if one.code in earned else one for one in doubts)
        said = (*of_rolls, *hangs.doubts)
        doubts = (*said, *retold(limits, said), *at_cuts.doubts)
        compared = replace(compared, alternatives=(*others, *hangs.alternatives))
    return replace(
        compared,
        at_cuts=replace(at_cuts, leads=leads),
        totals=card_totals(runs, fit, sums, options),
        doubts=doubts,
    )


def _found_again(runs, measure, options, fit, _):
    """The finding at the same cuts of another fit, None where a heat treatment is not there."""
    try:
        at_cuts, _ = at_equal_cuts(runs, fit, measure, options)
    except UnusableInput:
        return None
    return at_cuts and finding_at_cuts(at_cuts)


def _without_lives(one):
    """Why no lives are compared, where the readings at equal cuts answer in their place."""
    if one.code != "no_comparison":
        return one
    why = one.text.partition(": ")[2].rstrip(".")
    return doubt("lives_not_compared", where=one.where, why=why)


def _lives_unknown(runs, fit):
    """Whether most lives of a heat treatment are no more than bounds."""
    known: dict[str, list[bool]] = {}
    for curve in fit.blades:
        if curve.life is None or curve.blade not in runs.treatment:
            continue
        if curve.blade not in runs.of_control:
            here = known.setdefault(runs.treatment[curve.blade], [])
            here.append(isfinite(curve.life.cuts) and not curve.life.beyond_reach)
    return any(2 * sum(each) < len(each) for each in known.values())


def measure_of(protocol, reading):
    """How a ratio of this reading is said."""
    words = name_of_reading(reading)
    says = f"the {words} of {{one}} is {{ratio}} times that of {{other}}"
    worse = dulling(protocol, reading)
    return replace(MEASURES.get(reading, Measure(says, words)), worse=worse)


def at_equal_cuts(runs, fit, measure, options):
    """Heat treatments compared by the readings at cuts that their blades reached.

    Parameters
    ----------
    runs : Runs
        The fitted runs' blades, heat treatments, batches and blocks.
    fit : StudyFit
    measure : Measure
    options : AnalysisOptions
        Its `at_cuts` chooses the cuts; left out, the last that all blades reached.

    Returns
    -------
    (AtCuts or None, tuple of Doubt)
        None where a heat treatment was read fresh alone.

    Raises
    ------
    UnusableInput
        If a heat treatment has no blade that was read so far.
    """
    last = {curve.blade: float(curve.cuts.max()) for curve in fit.blades if len(curve.psi)}
    members = [run for run in runs.names if run in last and run not in runs.of_control]
    sides = runs.sides(members)
    reached = shared_cuts([last[run] for run in members], sides) if len(set(sides)) > 1 else 0.0
    if not reached > 0:
        return None, ()
    cuts = reached if options.at_cuts is None else options.at_cuts
    columns, read = _readings_at(runs, fit, cuts)
    if not cuts > 0 or set(runs.sides(read)) != set(sides):
        raise UnusableInput(
            f"not every heat treatment has a blade that was read at {cuts:g} cuts",
            "at_cuts (--at-cuts)",
            f"the last cuts that all reached are {reached:g}",
        )
    asked = runs.control_among(read, options)
    found = compare_at_cuts(columns, cuts, measure, asked, _steepness(fit, cuts, read))
    found = replace(found, worn=_worn(runs, fit, columns.log_low, read, options.margin))
    return found, _not_there(runs, last, set(members) - set(read))


def _steepness(fit, cuts, runs):
    """By how many per cent most curves change at these cuts where the cuts change by one."""
    before, after = (fit.log_readings_at(cuts * times) for times in (1 / NEAR, NEAR))
    changed = dict(zip(before.run, after.log_reading - before.log_reading, strict=True))
    return abs(float(np.median([changed[run] for run in runs]))) / (2 * np.log(NEAR))


def _worn(runs, fit, log_reading, read, margin):
    """Whether the edges have changed by more than twice the margin since they were fresh."""
    fresh = {curve.blade: curve.predict(curve.cuts.min()).value[0] for curve in fit.blades}
    moved = [
        abs(log - np.log(fresh[run]))
        for log, run in zip(log_reading, read, strict=True)
        if run not in runs.of_control
    ]
    return bool(np.median(moved) > HARDLY * np.log1p(margin))


def _not_there(runs, last, short):
    """The doubt about each blade that was stopped before the cuts."""
    where = (Where(blade=runs.blade[run], stage=last[run]) for run in sorted(short))
    return tuple(doubt("not_at_these_cuts", where=each) for each in where)


def _readings_at(runs, fit, cuts):
    """Log readings of the runs that were read so far, and their names."""
    at = fit.log_readings_at(max(cuts, 0.0))
    read = {run: i for i, run in enumerate(at.run) if at.inside[i] and run in runs.treatment}
    rows = list(read.values())
    columns = lives_known(
        **runs.columns(list(read)),
        log_life=at.log_reading[rows],
        log_life_se=at.log_se[rows],
        life_df=at.df[rows],
        law_u=at.law_u[rows],
    )
    return columns, list(read)


def card_totals(runs, fit, sums, options):
    """The card that blades cut in all, in the first three cycles and in those that all made.

    Parameters
    ----------
    runs : Runs
    fit : StudyFit
        Of the card cut in each cycle: its scatter is that of a reading.
    sums : dict of str to CardSums
        By run.
    options : AnalysisOptions

    Returns
    -------
    tuple of AtCuts
    """
    members = [run for run in sums if run in runs.treatment and run not in runs.of_control]
    if len(set(runs.sides(members))) < 2:
        return ()
    scatter = {curve.blade: curve.residual_cv for curve in fit.blades}
    cycles = min(sums[run].cycles for run in members)
    read = [
        run
        for run in sums
        if run in runs.treatment
        and sums[run].cycles >= cycles
        and sums[run].cumulative_mm[INITIAL_CYCLES - 1] > 0
    ]
    found = []
    for count in dict.fromkeys((INITIAL_CYCLES, cycles)):
        cut = [np.diff(sums[run].cumulative_mm, prepend=0.0)[:count] for run in read]
        both = [log_of_sum(c, np.nan_to_num(scatter[r])) for c, r in zip(cut, read, strict=True)]
        logs, errors = zip(*both, strict=True)
        columns = lives_known(**runs.columns(read), log_life=logs, log_life_se=errors)
        measure = replace(MEASURES[CARD], when="in the first {cuts:g} cycles together")
        found.append(compare_at_cuts(columns, count, measure, runs.control_among(read, options)))
    return tuple(found)
