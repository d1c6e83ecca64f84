"""Is the answer one reading's? Readings that stand out are left out, and the curves fitted anew."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.study.wear.alternative_answers import Alternative, Finding, changed, lessened
from edgetest.study.wear.expected_without import (
    Fits,
    leaving_out,
    outlying_doubts,
    tried_one_by_one,
)
from edgetest.study.wear.picture_or_hand import NOTHING_AGAINST, AgainstHand
from edgetest.wear.curve.curve_result import StudyFit
from edgetest.wear.curve.law_choice import LawScore
from edgetest.wear.curve.stage_cells import WearReadings
from edgetest.wear.curve.study_curves import FitOptions


@dataclass(frozen=True)
class ReadFrom:
    """What an answer was read from: readings, fit, the laws ranked; and how to find it anew.

    `find` gives the finding of another fit, of the same two heat treatments as one given; None
    where there is none. `against_hand` are the stages that the hand speaks against; `fits` those
    that were made of the same readings before.
    """

    file: str
    columns: WearReadings
    how: FitOptions
    fit: StudyFit
    laws: tuple[LawScore, ...]
    find: Callable[[StudyFit, Finding], Finding | None]
    against_hand: AgainstHand = NOTHING_AGAINST
    fits: Fits = field(default_factory=Fits)

    def finding(self, given, *, columns=None, how=None):
        """The finding of other readings, or by another way to fit.

        Parameters
        ----------
        given : Finding
        columns : WearReadings, optional
        how : FitOptions, optional

        Returns
        -------
        Finding or None
            None where these cannot be compared.
        """
        fit = self.fits.of(self.columns if columns is None else columns, how or self.how)
        return self.find(fit, given)


def without_readings(curves, given):
    """The answer without each reading that stands out, or else without all of them.

    Parameters
    ----------
    curves : ReadFrom
    given : Finding

    Returns
    -------
    list of Alternative, list of Doubt
        The other answers where the verdict is another one, or the same but no longer by the
        margin, which decides nothing; the doubts about the readings that change nothing.
    """
    flagged = outlying_doubts(curves.fit)
    if not flagged:
        return [], []
    found, told = [], []
    one_by_one = tried_one_by_one(flagged, len(curves.fit.blades))
    for one in flagged if one_by_one else ():
        other = curves.finding(given, columns=leaving_out(curves.columns, [one]))
        if changed(given, other):
            found.append(_with_and_without(one, given, other))
        else:
            told.append(one)
    if found or (len(flagged) == 1 and one_by_one):
        if not found and lessened(given, other):
            return [replace(_with_and_without(flagged[0], given, other), decides=False)], []
        return found, told
    other = curves.finding(given, columns=leaving_out(curves.columns, flagged))
    told = told or flagged
    about = doubt("readings_stand_out", count=len(flagged))
    if changed(given, other) or lessened(given, other):
        what = f"{len(flagged)} readings that stand out"
        ways = {"with_it": "With them", "without": "Without them"}
        decides = changed(given, other)
        return [Alternative(what, given, other, about, **ways, decides=decides)], told
    return [], told if one_by_one else [about, *told]


def without_keen_pictures(curves, given):
    """The answer without the stages whose pictures say keen and the hand dull.

    Parameters
    ----------
    curves : ReadFrom
    given : Finding

    Returns
    -------
    list of Alternative, list of Doubt
        As `without_readings`. Where nothing can be compared without them, the answer is theirs
        alone: the doubt decides.
    """
    if not curves.against_hand.rows:
        return [], []
    (about,) = curves.against_hand.doubts
    left = curves.columns.take(
        np.flatnonzero(~np.isin(curves.columns.row, curves.against_hand.rows))
    )
    try:
        other = curves.finding(given, columns=left)
    except UnusableInput:  # no reading is left
        other = None
    if other is None:
        more = "Without these stages the heat treatments cannot be compared."
        return [], [replace(about, gravity="decides", text=f"{about.text} {more}")]
    if not changed(given, other):
        return [], [about]
    what = "the stages where picture and hand disagree"
    return [Alternative(what, given, other, about, "With them", "Without them")], []


def _with_and_without(one, given, other):
    """With and without one reading."""
    where = one.where
    reads = f"{where.value:.4g} at {where.stage:g} cuts, about {where.expected:.3g} expected"
    return Alternative("one reading", given, other, one, f"With row {where.row} ({reads})")
