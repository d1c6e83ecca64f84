"""Is a blade's log written in another unit or scale, and what is the answer without it?"""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.study.other_scale import odd_runs
from edgetest.study.wear.choice import FRESH_APART, OTHER_SCALE
from edgetest.study.wear.left_out_rows import CUT_ON

WHY = "Its readings may be of another scale"  # why a blade is not to be cut on
# Of a blade whose readings are of another unit none of these is true.
BIDS_TO_CUT = {*CUT_ON, "no_wear_seen", "no_upper_end"}


def other_scale_doubts(readings):
    """A doubt about each run that reads the same factor off all others.

    Parameters
    ----------
    readings : sequence of UsedReading

    Returns
    -------
    list of Doubt
    """
    counts = [(one.run, one.blade, one.cuts, one.value) for one in readings if not one.excluded]
    return [
        doubt(
            OTHER_SCALE, where=Where(blade=odd.run, value=odd.factor), blade=odd.run, off=odd.words
        )
        for odd in odd_runs(counts)
    ]


def answer_without_them(doubts, curves, given, titles):
    """Doubts about odd runs, with the answer that there is without these, where there is one.

    Parameters
    ----------
    doubts : sequence of Doubt
    curves : ReadFrom
    given : Finding
    titles : mapping of str to str
        Titles of the heat treatments by their ids.

    Returns
    -------
    list of Doubt
        Those of `doubts` that are about such runs.
    """
    return [
        told
        for code in (OTHER_SCALE, FRESH_APART)
        for told in _without([one for one in doubts if one.code == code], curves, given, titles)
    ]


def _without(odd, curves, given, titles):
    """Doubts of one code with the answer without all of their runs, where there is one."""
    if not odd:
        return []
    names = [one.where.blade for one in odd]
    kept = np.flatnonzero(~np.isin(curves.columns.blade, names))
    other = curves.finding(given, columns=curves.columns.take(kept))
    if other is None:
        return odd
    other = other.turned()
    first, second = (titles.get(name, name) for name in (other.first, other.second))
    said = f"{second} lasts {other.ratio} times as long as {first}"
    which = "it" if len(odd) == 1 else "them"
    return [replace(one, text=f"{one.text} Without {which}: {said}.") for one in odd]


def runs_not_cut_on(doubts):
    """The runs that such doubts are about, each with the reason not to cut it on."""
    return {one.where.blade: WHY for one in doubts if one.code == OTHER_SCALE}


def not_to_be_cut_on(doubts, runs):
    """The doubts, without those that bid to cut such a run on."""
    return tuple(one for one in doubts if not (one.where.blade in runs and one.code in BIDS_TO_CUT))


def fit_not_cut_on(fit, runs):
    """The wear curves, their blades' doubts told so."""
    blades = (replace(each, doubts=not_to_be_cut_on(each.doubts, runs)) for each in fit.blades)
    return replace(fit, blades=tuple(blades))


def compared_not_cut_on(compared, runs):
    """What is compared, its doubts and those of its comparison told so."""
    found = compared.comparison
    if found is not None:
        found = replace(found, doubts=not_to_be_cut_on(found.doubts, runs))
    return replace(compared, comparison=found, doubts=not_to_be_cut_on(compared.doubts, runs))
