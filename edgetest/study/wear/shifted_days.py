"""Was the hand, the thread or the scale another one day, for some of the blades?"""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.study.wear.expected_without import MANY_BLADES
from edgetest.study.wear.photo_values import W30, WIDTH
from edgetest.study.words import listed
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.level_shift import level_shift

CHANCE = 0.01  # that a study without a shift is told one, over all its days. Our choice
LEAST = 0.03  # of a reading: smaller shifts move no life that a maker acts on. Our choice
LEAST_BLADES = 2  # on either side of a stage: what one blade shows may be a mishap of its own
ALIKE = 3  # times as many blades on either side, or more: the few are told as odd. Our choice
MOST_DAYS = 3  # that are told, each after those before it were cleared away


def fit_told_of_days(fit, columns, how, rows, reading):
    """The fit, with a doubt for each day whose readings lie off their blades' curves together.

    A day is held against other readings at the same numbers of cuts, so that it may be found
    where it holds some of the blades alone; a day that all of a stage was read on shifts all
    blades alike. Where about as many were read otherwise at its cuts, either side may be the odd
    one, and the doubt names neither as such. Nothing is corrected.

    Parameters
    ----------
    fit : StudyFit
        Of `columns` by `how`.
    columns : WearReadings
    how : FitOptions
    rows : sequence of LogRow
        Of the log; its `day` says the day, where it is blank its `date`.
    reading : str
        Name of the reading.

    Returns
    -------
    StudyFit
        As it was where no day stands out, or of so many blades that it would take long.
    """
    if len(fit.blades) > MANY_BLADES:
        return fit
    of = {row.line: row.day or row.date for row in rows}
    cells = _cells(fit, columns, of)
    days = list(dict.fromkeys(day for _, _, day, _ in cells if day))
    if len(days) < 2:
        return fit
    told = tuple(_told(day, found, cells, reading) for day, found in _shifts(fit, how, cells, days))
    blades = (replace(one, study_doubts=one.study_doubts + told) for one in fit.blades)
    return replace(fit, doubts=fit.doubts + told, blades=tuple(blades)) if told else fit


def _cells(fit, columns, of):
    """Fitted blade, cuts, day and mean residual of every stage that was read as numbers."""
    parts = columns.by_blade()
    cells = []
    for i, one in enumerate(fit.blades):
        met: dict[tuple[float, str], list[float]] = {}
        for line, cuts, left in zip(parts[one.blade].row, one.cuts, one.residuals, strict=True):
            if one.curve is not None and np.isfinite(left):
                met.setdefault((float(cuts), of.get(int(line), "")), []).append(float(left))
        cells += [(i, cuts, day, float(np.mean(left))) for (cuts, day), left in met.items()]
    return cells


def _design(fit, how, cells):
    """Slopes by each curve's scale and shape, a power a heat treatment, and by each stage."""
    law, stages = LAWS[how.law], sorted({cuts for _, cuts, _, _ in cells})
    shared = law.name == "wedge"
    treatments = how.treatment_of or {}
    columns: dict[object, np.ndarray] = {}
    for k, (i, cuts, _, _) in enumerate(cells):
        slopes = law.slopes(np.array([cuts]), fit.blades[i].psi)[0]
        own = len(slopes) - 1 if shared else len(slopes)
        named: list[tuple[tuple, float]] = [((i, -1), 1.0)]
        named += [((i, j), slopes[j]) for j in range(own)]
        if shared and how.power is None:
            named.append((("power", treatments.get(fit.blades[i].blade)), slopes[-1]))
        for name, slope in [*named, (("stage", stages.index(cuts)), 1.0)]:
            columns.setdefault(name, np.zeros(len(cells)))[k] = slope
    return np.column_stack(list(columns.values()))


def _shifts(fit, how, cells, days):
    """Days with their shifts, the surest first, each after those before it were cleared away."""
    design = _design(fit, how, cells)
    left = np.array([residual for _, _, _, residual in cells])
    count = {day: sum(here == day for _, _, here, _ in cells) for day in days}
    for _ in range(MOST_DAYS):
        found = []
        for day in days:
            inside = np.array([here == day for _, _, here, _ in cells])
            shift = level_shift(left, design, inside) if _parted(cells, day) else None
            if shift is not None:  # two days that part one stage tell the same: the smaller is odd
                found.append((float(f"{shift.probability:.6g}"), count[day], day, shift, inside))
        if not found:
            return
        chance, _, day, shift, inside = min(found, key=lambda one: one[:2])
        if chance >= CHANCE / len(found) or abs(shift.log_shift) < LEAST:
            return
        yield day, shift
        design = np.column_stack([design, inside])


def _parted(cells, day):
    """Whether the stages that were read partly on `day` hold blades enough on either side.

    So many must have been read on other days too: a blade's own curve takes up what shifts all of
    its readings, as a tougher roll does that was cut in one day.
    """
    here = {(i, cuts) for i, cuts, one, _ in cells if one == day}
    beside = {(i, cuts) for i, cuts, one, _ in cells if one != day}
    both = {cuts for _, cuts in here} & {cuts for _, cuts in beside}
    blades = [{i for i, cuts in side if cuts in both} for side in (here, beside)]
    blades.append({i for i, _ in here} & {i for i, _ in beside})
    return all(len(each) >= LEAST_BLADES for each in blades)


def _either(cells, day):
    """Whether about as many blades were read on `day` as otherwise at its cuts."""
    at = {cuts for _, cuts, here, _ in cells if here == day}
    inside = len({(i, cuts) for i, cuts, here, _ in cells if here == day})
    beside = len({(i, cuts) for i, cuts, here, _ in cells if here != day and cuts in at})
    return inside < ALIKE * beside and beside < ALIKE * inside


def _told(day, shift, cells, reading):
    """The doubt about one day: how many readings it holds, and how far they lie off."""
    value, low, high = (f"{100 * (ratio - 1):+.0f} %" for ratio in shift.ratio())
    cuts = sorted({cuts for _, cuts, here, _ in cells if here == day})
    at = listed(f"{each:g}" for each in cuts)
    words = {"day": day, "at": at, "size": value, "low": low, "high": high}
    where = Where(value=day, stage=cuts[0])
    if _either(cells, day):
        return doubt("days_read_apart", where=where, **words)
    if reading in (WIDTH, W30):
        return doubt("day_shifts_widths", where=where, **words)
    return doubt("day_shifts_readings", where=where, **words)
