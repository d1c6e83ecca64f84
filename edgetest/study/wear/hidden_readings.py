"""Which readings stand out from curves that outlying readings pull less?

A reading so far off that its own curve follows it hides there, and leaves another mark on the fit:
a law that misfits, stages that scatter, a life that is known less surely than others. It stands
out from the robust curves.
"""

from dataclasses import replace
from math import inf, isfinite, log

from edgetest.study.wear.expected_without import (
    MANY_BLADES,
    expected_without,
    leaving_out,
    outlying_doubts,
)
from edgetest.wear.compare.compare_lives import UNEVEN

# Marks that such a reading leaves.
SUSPECT = {
    "law_misfits",
    "measurement_floor",
    "noisy_blade",
    "reading_falls_back",
    "shapes_differ",
    "stages_scatter",
}


def fit_told_of_hidden(fit, columns, how, fits, name):
    """The fit, where it bears such a mark, with the readings that stand out from robust curves.

    Parameters
    ----------
    fit : StudyFit
        Of `columns` by `how`.
    columns : WearReadings
    how : FitOptions
    fits : Fits
        Of these readings.
    name : str
        Of the log's file.

    Returns
    -------
    StudyFit
        As it was where the fit is robust already, or has so many blades that nothing is tried.
    """
    if how.robust or len(fit.blades) > MANY_BLADES or not _bears_marks(fit):
        return fit
    flagged = outlying_doubts(fit)
    known = {one.where.row for one in flagged}
    robust = fits.of(columns, replace(how, robust=True)).in_file(name)
    more = [one for one in outlying_doubts(robust) if one.where.row not in known]
    if len(flagged) + len(more) > 1:
        worst = max((*flagged, *more), key=_how_far)
        without = fits.of(leaving_out(columns, [worst]), how).in_file(name)
        if not _bears_marks(without):  # the worst one made them: of the others none is suspected
            rows = {worst.where.row, *(one.where.row for one in outlying_doubts(without))}
            more = [one for one in more if one.where.row in rows]
    told = expected_without(more, columns, how, fits)
    return replace(fit, blades=tuple(_with(one, told, columns) for one in fit.blades))


def _bears_marks(fit):
    """Whether a fit bears a mark that a hidden reading leaves."""
    return bool({one.code for one in fit.all_doubts()} & SUSPECT) or _unevenly_known(fit)


def _how_far(one):
    """How far a reading lies from what is expected, as a factor either way."""
    met, expected = one.where.value, one.where.expected
    return abs(log(met / expected)) if met > 0 and expected > 0 else inf


def _unevenly_known(fit):
    """Whether some lives are known much less surely than others."""
    known = [one.life.log_life_se for one in fit.blades if one.life is not None]
    known = [se for se in known if isfinite(se) and se > 0]
    return len(known) > 1 and max(known) > UNEVEN * min(known)


def _with(blade, told, columns):
    """The curve of one blade with its readings that are among those told."""
    mine = tuple(one for one in told if one.where.blade == blade.blade)
    rows = {one.where.row for one in mine}
    at = {int(place) for row, place in zip(columns.row, columns.position, strict=True)
          if int(row) in rows}  # fmt: skip
    outlying = tuple(sorted({*blade.outlying, *at}))
    return replace(blade, doubts=(*blade.doubts, *mine), outlying=outlying)
