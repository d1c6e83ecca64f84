"""A reading far from the others of its own stage and place stands out, whatever the curve does."""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.study.beside_repeats import far_from_repeats
from edgetest.study.wear.expected_without import outlying_doubts


def fit_told_of_repeats(fit, columns, name):
    """The fit, each reading far from its repeats told as one that stands out.

    A curve that another blade's mishap bends, or widens the scatter of, hides a slip; the repeats
    of its own stage do not. A reading that stood out before keeps what its curve expects.

    Parameters
    ----------
    fit : StudyFit
        Of `columns`.
    columns : WearReadings
    name : str
        Of the log's file.

    Returns
    -------
    StudyFit
    """
    known = {one.where.row for one in outlying_doubts(fit)}
    at = zip(columns.blade.tolist(), columns.cuts.tolist(), columns.station.tolist(), strict=True)
    those = [
        (place, k, float(value))
        for k, (place, value) in enumerate(zip(at, columns.value, strict=True))
        if np.isfinite(value)
    ]
    far = {k: beside for k, _, beside in far_from_repeats(those) if columns.row[k] not in known}
    return replace(fit, blades=tuple(_with(one, far, columns, name) for one in fit.blades))


def _with(one, far, columns, name):
    """The curve of one blade with its readings that are far from their repeats."""
    mine = [k for k in far if columns.blade[k] == one.blade]
    doubts = tuple(_told(columns, k, far[k], name) for k in mine)
    positions = {*one.outlying, *(int(columns.position[k]) for k in mine)}
    return replace(one, doubts=one.doubts + doubts, outlying=tuple(sorted(positions)))


def _told(columns, k, beside, name):
    value, cuts = float(columns.value[k]), float(columns.cuts[k])
    where = Where(name, int(columns.row[k]), str(columns.blade[k]), cuts, value, beside)
    expected = f"{beside:.3g} (by the others of its stage and place)"
    words = {"met": f"{value:.4g}", "cuts": f"{cuts:g}", "expected": expected}
    return doubt("outlying_reading", where=where, **words)
