"""What is expected of a reading that stands out, once that reading has no say in it?"""

from dataclasses import replace

import numpy as np

from edgetest.doubts import doubt
from edgetest.wear.curve.study_curves import fit_study

MOST_READINGS = 4  # left out one by one; more are left out together alone: each is a fit anew
MANY_BLADES = 60  # of so many no one reading is left out by itself


class Fits:
    """Fits of the readings of one answer, less some of them: each is made once."""

    def __init__(self):
        self._made = []

    def of(self, columns, how):
        """The fit of these readings; the one of before where row, blade and way are the same."""
        asked = columns.row.tolist(), list(columns.blade), how
        for before, fit in self._made:
            if before == asked:
                return fit
        fit = fit_study(columns, how)
        self._made.append((asked, fit))
        return fit


def fit_told_without(fit, columns, how, fits=None):
    """The fit, each doubt about a reading that stands out with what is expected without it.

    A reading pulls its own curve: what that curve expects there lies too near to what was read.

    Parameters
    ----------
    fit : StudyFit
        Of `columns` by `how`.
    columns : WearReadings
    how : FitOptions
    fits : Fits, optional
        Of these readings.

    Returns
    -------
    StudyFit
    """
    flagged = outlying_doubts(fit)
    anew = dict(zip(flagged, expected_without(flagged, columns, how, fits), strict=True))
    if not anew:
        return fit
    blades = (
        replace(each, doubts=tuple(anew.get(one, one) for one in each.doubts))
        for each in fit.blades
    )
    return replace(fit, blades=tuple(blades))


def expected_without(flagged, columns, how, fits=None):
    """The doubts about readings that stand out, with what the curve without them expects.

    Parameters
    ----------
    flagged : sequence of Doubt
        Of outlying readings whose row is known.
    columns : WearReadings
    how : FitOptions
    fits : Fits, optional
        Of these readings.

    Returns
    -------
    list of Doubt
        Each by the curve without it; of many readings or blades by the curves without all of
        them. As it was where too little is left for a curve.
    """
    fits = fits or Fits()
    if tried_one_by_one(flagged, len(set(columns.blade))):
        return [_anew(one, fits.of(leaving_out(columns, [one]), how)) for one in flagged]
    fit = fits.of(leaving_out(columns, flagged), how) if flagged else None
    return [_anew(one, fit) for one in flagged]


def tried_one_by_one(flagged, blades):
    """Whether so few readings of so few blades stand out that each is left out by itself."""
    return len(flagged) <= MOST_READINGS and blades <= MANY_BLADES


def outlying_doubts(fit):
    """The doubts about readings that stand out, whose row is known."""
    found = (one for blade in fit.blades for one in blade.doubts if one.code == "outlying_reading")
    return [one for one in found if one.where.row is not None]


def leaving_out(columns, doubts):
    """The readings without those that the doubts are about."""
    rows = [one.where.row for one in doubts]
    return columns.take(np.flatnonzero(~np.isin(columns.row, rows)))


def _anew(one, fit):
    """The doubt with what this fit's curve of its blade expects, where there is one."""
    where = one.where
    curve = next((each for each in fit.blades if each.blade == where.blade), None)
    if curve is None or not len(curve.psi):
        return one
    expected = float(curve.predict(where.stage).value[0])
    words = {
        "met": f"{where.value:.4g}",
        "cuts": f"{where.stage:g}",
        "expected": f"{expected:.3g} (by the curve without it)",
    }
    return doubt(one.code, where=replace(where, expected=expected), **words)
