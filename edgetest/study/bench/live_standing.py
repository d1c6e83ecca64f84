"""How one blade stands while it is on the bench: its curve so far, and its limit."""

from dataclasses import dataclass, replace
from math import isnan
from statistics import fmean

from edgetest.errors import UnusableInput
from edgetest.study.photos.measure_changed import waiting_tasks
from edgetest.study.wear.study_photos import photo_tasks
from edgetest.study.wear.wear_result import StudyResult


@dataclass(frozen=True)
class Standing:
    """One run's wear so far.

    `result` is the analysis of this run alone, None where nothing can be fitted yet; `past`
    says whether the readings of the last stage, taken together, have reached the limit.
    """

    reading: str
    limit: float | str | None
    last_stage: int | None
    last: float | str | None
    past: bool
    result: StudyResult | None = None

    @property
    def fit(self):
        """The run's fitted curve, or None."""
        return self.result.fit.blades[0] if self.result else None


def standing(source, run):
    """Where a run stands against its limit, by what is read and measured.

    A photograph that waits to be measured is left aside: nothing is measured here.

    Parameters
    ----------
    source : Source
        A sound study.
    run : (str, str)
        Block and blade.

    Returns
    -------
    Standing
    """
    rows = _read_or_measured(source, run)
    rule = source.protocol.reading(source.study.reading_name)
    limit = source.study.limit_value
    if rule.kind != "number":
        return _graded(source, rows, rule, limit)
    from edgetest.study.wear.analysis import analyse

    alone = replace(source, log=replace(source.log, rows=rows))
    try:
        result = analyse(alone, compare=False, workers=1)
    except UnusableInput:  # nothing of this run has been read yet
        return Standing(rule.name, limit, None, None, False)
    used = [each for each in result.readings if not each.excluded]
    stage = max(each.cuts for each in used)
    here = [each for each in used if each.cuts == stage]
    last = _mean(each.value for each in here)
    past = isinstance(limit, int | float) and _past(here, last, limit, rule.dulling == "rises")
    return Standing(rule.name, limit, int(stage), last, past, result)


def _read_or_measured(source, run):
    """Rows of a run, without the photographs that are not measured as they would be now.

    Asked again after some have gone: what lies between two lamps is measured with the on-axis
    picture of its place, and differently without it.
    """
    rows = tuple(row for row in source.log.rows if (row.block, row.blade) == run)
    while True:
        alone = replace(source, log=replace(source.log, rows=rows))
        try:
            waiting = waiting_tasks(photo_tasks(alone)[0], source.path)
        except UnusableInput:  # the scale cannot be had
            return rows
        names = {task.name for task in waiting}
        if not names:
            return rows
        rows = tuple(
            replace(row, photo="") if row.photo in names else row
            for row in rows
            if row.readings or row.photo not in names
        )


def _past(here, last, limit, rises):
    """Whether the readings of a stage, or bounds they cannot be sharper than, reach the limit."""
    if last is None:
        last = _mean(each.lower if rises else each.upper for each in here)
    if last is None:
        return False
    return last >= limit if rises else last <= limit


def _mean(numbers):
    """Mean of the numbers that are known; None where none is."""
    known = [number for number in numbers if number is not None and not isnan(number)]
    return fmean(known) if known else None


def _graded(source, rows, rule, limit):
    """A run that is read by grades, or by pass and fail."""
    read = [row for row in rows if rule.name in row.readings and not row.exclude]
    if not read:
        return Standing(rule.name, limit, None, None, False)
    stage = max(row.cuts for row in read)
    grades = [row.readings[rule.name] for row in read if row.cuts == stage]
    worst = max(grades, key=lambda grade: grade.rank if grade.rank is not None else -1)
    if rule.kind == "pass_fail":
        past = worst.text == "fail"
    else:
        ladder = [grade.casefold() for grade in source.protocol.ladder]
        known = isinstance(limit, str) and limit.casefold() in ladder
        past = known and worst.rank is not None and worst.rank >= ladder.index(limit.casefold())
    return Standing(rule.name, limit, stage, worst.text, past)
