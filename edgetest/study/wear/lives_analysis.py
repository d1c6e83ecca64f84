"""From grades, pass and fail or noted lives to the answer: a life a run, and the comparison."""

from dataclasses import dataclass, replace
from math import inf, nan

from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import checked_level, checked_margin
from edgetest.store.logs import LIFE
from edgetest.study.bench.blinding import names_doubts
from edgetest.study.sources import sound
from edgetest.study.wear.analysis import control_never_run, refuse_unknown_control, settled
from edgetest.study.wear.asked_otherwise import asked_otherwise
from edgetest.study.wear.compared_runs import NoComparison, compared_runs
from edgetest.study.wear.edge_geometry import geometry_of
from edgetest.study.wear.grading import grade_taken, ladder_of
from edgetest.study.wear.group_titles import numbers_by_title, titles_of
from edgetest.study.wear.left_out_rows import left_out_doubts
from edgetest.study.wear.one_sided_hands import one_sided_doubts
from edgetest.study.wear.protocol_departures import departures_of
from edgetest.study.wear.study_readings import used_readings
from edgetest.study.wear.unshared_rolls import rolls_of_lives
from edgetest.study.wear.wanting_blades import read_early
from edgetest.study.wear.wear_result import Compared, StudyResult, UsedReading, counted_doubt
from edgetest.study.wear.with_and_without import with_and_without
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.graded.grade_lives import grade_lives
from edgetest.wear.graded.life_distributions import fit_lives
from edgetest.wear.graded.run_lives import RunLife, RunLives, mean_ends, noted_lives


def analyse_lives(source, reading, options, *, compare=True):
    """Lives of the runs of a source that has no wear curve for them, and the comparison.

    Parameters
    ----------
    source : Source
    reading : str
        A graded reading, pass or fail, or "life".
    options : AnalysisOptions
        The limit of a graded reading is the grade whose leaving ends a life.
    compare : bool
        Compare heat treatments.

    Returns
    -------
    StudyResult
        Its `fit` are `RunLives`.

    Raises
    ------
    UnusableInput
        Where log or study have faults, a level or margin is none, there is no such reading, or
        nothing says which grade's leaving ends a life.
    """
    checked_level(options.level)
    checked_margin(options.margin)
    sound(source)
    if compare:
        refuse_unknown_control(source, options.control)
    _refuse_what_needs_a_curve(reading, options)
    found = _found(source, reading, options.limit)
    options = settled(source, replace(options, reading=reading, limit=None))
    used = [each for each in found.rows if not each.excluded]
    facts = {each.run: each for each in used}
    together = _together(found.lives, facts, options)
    shared = together.doubts if together else ()
    lives = tuple(replace(life, study_doubts=shared) for life in found.lives)
    compared = _compared(source, lives, used, options) if compare else Compared()
    return StudyResult(
        study=source.study,
        protocol=source.protocol,
        log=source.log,
        reading=reading,
        limit=found.ends or nan,
        photos=(),
        readings=found.rows,
        fit=RunLives(lives, found.ends, together, shared, options.level),
        compared=compared,
        study_doubts=(
            *found.doubts,
            *compared.doubts,
            *control_never_run(source),
            *names_doubts(source.study),
        ),
        title=source.title,
        departures=departures_of(source.study, source.protocol, source.log),
    )


@dataclass(frozen=True)
class _Found:
    """Lives read off a log: its rows, a life a run, the grade that ends one, the doubts."""

    rows: tuple[UsedReading, ...]
    lives: tuple[RunLife, ...]
    ends: str
    doubts: tuple[Doubt, ...]


def _found(source, reading, asked):
    """The lives that a log notes, or that its checks tell."""
    rows, _ = used_readings(source, reading)
    used = [each for each in rows if not each.excluded]
    left_out = [each for each in rows if each.excluded]
    if not used:
        raise _nothing_noted(source, reading, rows)
    doubts = [doubt("invented")] if source.study and source.study.invented else []
    ends, why = ("", ()) if reading == LIFE else grade_taken(source, reading, asked)
    if reading == LIFE:
        used = _each_a_run(used)
        lives = tuple(_noted(each) for each in used)
    else:
        lives = _graded(source, reading, used, ends)
    doubts += [*why, *([counted_doubt("excluded_rows", len(left_out))] if left_out else [])]
    doubts += left_out_doubts(source.log, rows)
    return _Found((*used, *left_out), lives, ends, tuple(doubts))


def _refuse_what_needs_a_curve(reading, options):
    """Refuse options that would do nothing here."""
    asked = {
        "limit": reading == LIFE and options.limit is not None,
        "limit_of_fresh": options.limit_of_fresh is not None,
        "law": options.law is not None,
        "power": options.power is not None,
        "robust": options.robust,
        "also": len(options.also) > 0,
        "at_cuts": options.at_cuts is not None,
    }
    for name, given in asked.items():
        if given:
            raise UnusableInput(
                f"{name} is for readings that a wear curve is fitted to, and {reading} is none",
                where=f"{name} (--{name.replace('_', '-')})",
                mend=f"leave out {name}, or choose another reading (--reading)",
            )


def _nothing_noted(source, reading, rows):
    """What is wrong where no row counts."""
    if rows:
        what, mend = f"every row of {reading} is excluded", "look at the column exclude"
    elif reading == LIFE:
        what, mend = "there is no life in the log", "note how many cuts each blade lasted"
    else:
        what, mend = f"there is no {reading} in the log", "log the checks at the stages"
    return UnusableInput(what, source.log.name, mend)


def _each_a_run(used):
    """Every noted life as a run of its own: a blade's second one is "A (2)"."""
    met: dict[str, int] = {}
    runs = []
    for each in used:
        met[each.run] = count = met.get(each.run, 0) + 1
        runs.append(replace(each, run=f"{each.run} ({count})") if count > 1 else each)
    return runs


def _noted(row):
    """The life that a row notes."""
    if row.value == row.value:
        return RunLife(row.run, row.value, row.value)
    low = row.lower if row.lower == row.lower else 0.0
    return RunLife(row.run, low, row.upper if row.upper == row.upper else inf)


def _graded(source, reading, used, leaves):
    """The life of every run to leaving a grade."""
    grade = {row.line: row.readings[reading].text for row in source.log.rows
             if reading in row.readings}  # fmt: skip
    return grade_lives(
        [each.run for each in used],
        [each.cuts for each in used],
        [grade[each.line] for each in used],
        ladder=ladder_of(source, reading),
        leaves=leaves,
    )


def _together(lives, facts, options):
    """What the blades say of the median life of each heat treatment; None where nothing.

    A blade counts once: its runs are averaged on the log scale. Where no scatter between
    blades can be told, nothing is said of their median.
    """
    runs: dict[str, list[RunLife]] = {}
    for life in lives:
        blade = facts[life.blade].blade
        if life.told and blade != options.control:
            runs.setdefault(blade, []).append(life)
    treatment = {each.blade: each.heat_treatment for each in facts.values()}
    groups = [treatment[blade] for blade in runs]
    ends = [mean_ends(each) for each in runs.values()]
    try:
        fit = fit_lives(
            [low for low, _ in ends],
            [high for _, high in ends],
            group=groups if all(groups) else None,
            level=options.level,
        )
        return fit if fit.threshold == "t" else None
    except UnusableInput:  # no blade reached its end: the lives themselves say so
        return None


def _compared(source, lives, used, options):
    """The heat treatments compared by these lives; with the doubt that says why not."""
    known, facts = [life for life in lives if life.told], {each.run: each for each in used}
    names, study = [life.blade for life in known], source.study
    try:
        if not known:
            raise NoComparison("no blade has a life; see what is said of each")
        runs = compared_runs(source, [facts[name] for name in names], options.control)
    except NoComparison as why:
        return Compared(doubts=(doubt("no_comparison", why=why),))
    columns = noted_lives(known, **runs.columns(names))
    options = runs.control_among(names, options)
    titles = titles_of(study)
    comparison = numbers_by_title(compare_lives(columns, options), titles)
    comparison = _without_cut_on(comparison, known, facts)
    angles, thickness, grinds, doubts = geometry_of(study, comparison, columns, options)
    answered = Answered(comparison, columns, options)
    doubts = (*doubts, *asked_otherwise(answered, None, titles))
    hangs = with_and_without(answered, titles=titles)
    others, of_rolls = rolls_of_lives(source.log, used, names, answered, titles)
    doubts = (*doubts, *read_early(study, columns, options.control), *of_rolls, *hangs.doubts)
    doubts += tuple(one_sided_doubts(source.log, used, comparison, titles))
    others = (*others, *hangs.alternatives)
    return Compared(comparison, (), angles, thickness, doubts, others, grinds=grinds)


def _without_cut_on(comparison, lives, facts):
    """The comparison without advice to cut on blades that were cut on, and passed again."""
    open_ended = [life for life in lives if life.high == inf]
    stopped = {facts[life.blade].blade for life in open_ended if not life.came_back}
    back = {facts[life.blade].blade for life in open_ended} - stopped
    kept = tuple(
        one
        for one in comparison.doubts
        if one.code != "life_is_a_bound" or one.where.blade not in back
    )
    return replace(comparison, doubts=kept)
