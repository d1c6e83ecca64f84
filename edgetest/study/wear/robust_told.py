"""Did giving outlying readings less weight change any life?"""

from dataclasses import replace

from edgetest.doubts import doubt
from edgetest.study.wear.expected_without import outlying_doubts

MEND = "Mend or exclude the readings that are named."


def fit_told_of_robust(fit, columns, how, fits):
    """The fit, with a doubt where less weight for outlying readings changed no life.

    Readings of one place and stage are averaged first, and what a whole stage is off is taken
    for the stage's own scatter where one place was read: neither is weighed less.

    Parameters
    ----------
    fit : StudyFit
        Of `columns` by `how`.
    columns : WearReadings
    how : FitOptions
    fits : Fits
        Of these readings.

    Returns
    -------
    StudyFit
        As it was where the weights were not asked for, or changed something that is printed.
    """
    if not how.robust or not any(one.life for one in fit.blades):
        return fit
    plain = fits.of(columns, replace(how, robust=False))
    if _lives(plain) != _lives(fit):
        return fit
    told = doubt("robust_changed_nothing", MEND if outlying_doubts(fit) else "")
    blades = (replace(one, study_doubts=(*one.study_doubts, told)) for one in fit.blades)
    return replace(fit, doubts=(*fit.doubts, told), blades=tuple(blades))


def _lives(fit):
    """Lives as they are printed."""
    return [one.life.summary() if one.life else "" for one in fit.blades]
