"""Ordered grades of sharpness (shaves, slices newsprint ...): when did a blade leave a grade?

Grades are never numbers. A blade checked at stages tells that it left a grade between two of
them: a life known to an interval. Pass and fail are a ladder of two grades.
"""

from dataclasses import replace
from math import inf

import numpy as np

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.errors import UnusableInput
from edgetest.wear.graded.run_lives import RunLife

CHECK_AGAIN = "Check two or three times at each stage."
DISAGREE = "Its checks of one stage disagree: no closer is the grade known."
ONE_FAIL = (
    "Look at that one fail for a slip of the pen; if it is none, check two or three times at each "
    "stage."
)


def grade_lives(blade, cuts, grade, *, ladder, leaves):
    """Life of every run to leaving one grade of a ladder.

    Parameters
    ----------
    blade : sequence of str, length n
        Label of the run (a blade, or a blade in one block), one element a check.
    cuts : array_like, shape (n,)
        Cumulative cuts at the check.
    grade : sequence of str or None, length n
        Grade met; None or "" where the check was not made.
    ladder : sequence of str
        Grades from sharpest to dullest.
    leaves : str
        The grade whose leaving ends the life: a check at this grade or a sharper one passes.

    Returns
    -------
    tuple of RunLife
        One a run, in the order met.

    Raises
    ------
    UnusableInput
        A grade not on the ladder, a ladder that names a grade twice, arrays of unequal length.
    """
    ladder = [str(g) for g in ladder]
    if len(set(ladder)) != len(ladder) or len(ladder) < 2:
        raise UnusableInput(f"{ladder}", "ladder", "name two or more grades, each once")
    if leaves not in ladder[:-1]:
        what = f'"{leaves}"'
        mend = f"choose one of {', '.join(ladder[:-1])}; the dullest grade is never left"
        raise UnusableInput(what, "limit (--limit)", mend)
    blade, cuts = [str(b) for b in blade], np.asarray(cuts, dtype=float)
    if not len(blade) == cuts.size == len(grade):
        what = f"{len(blade)} blades, {cuts.size} cuts, {len(grade)} grades"
        raise UnusableInput(what, "grade", "give one of each a check")
    rank = np.array([_rank(g, ladder, i) for i, g in enumerate(grade)])
    passing, labels = ladder.index(leaves), np.array(blade, dtype=object)
    out = []
    for name in dict.fromkeys(blade):
        rows = np.flatnonzero((labels == name) & (rank >= 0))
        out.append(_leaving(name, leaves, cuts[rows], rank[rows] <= passing))
    return tuple(out)


def _rank(grade, ladder, i):
    """Place on the ladder, -1 for a check not made."""
    if grade is None or grade == "" or (isinstance(grade, float) and np.isnan(grade)):
        return -1
    if grade not in ladder:
        mend = f"write one of {', '.join(ladder)}"
        raise UnusableInput(f'"{grade}" in check {i + 1} is not on the ladder', "grade", mend)
    return ladder.index(grade)


def _leaving(blade, grade, cuts, passed):
    """Interval of cuts in which one run left the grade."""

    def life(low, high, told, *codes):
        where = Where(blade=blade, stage=float(cuts.max()) if len(cuts) else None, value=grade)
        doubts = doubts_of(codes, where=where)
        return RunLife(blade, float(low), float(high), grade, len(cuts), told, doubts)

    if not len(cuts):
        return life(0, inf, False, "no_check")
    passes, fails = cuts[passed], cuts[~passed]
    # Several checks at one stage that disagree: the grade is being left at that stage.
    if not len(fails):
        return life(passes.max(), inf, True, "still_holds")
    first_fail = fails.min()
    if not len(passes):
        return life(0, first_fail, bool(first_fail > 0), "never_had_grade")
    before, after = passes[passes < first_fail], fails[fails > passes.max()]
    low = before.max() if len(before) else 0
    high = after.min() if len(after) else inf
    found = life(low, high, True)
    if passes.max() < first_fail:
        return found
    return _came_back(found, first_fail, passes.max(), _asked_of(cuts, passes, fails))


def _asked_of(cuts, passes, fails):
    """What is asked where a grade came back: nothing more of a stage that was checked again."""
    first = fails.min()
    later = passes[passes > first]
    if (fails <= passes.max()).sum() == 1 and first not in passes and len(set(later)) > 1:
        return ONE_FAIL
    _, checks = np.unique(cuts[(cuts >= first) & (cuts <= passes.max())], return_counts=True)
    return DISAGREE if checks.min() > 1 else CHECK_AGAIN


def _came_back(found, failed, again, ask):
    """A life whose grade was failed at one stage and passed at a later one, or there too."""
    known = found.low > 0 or found.high < inf
    told = doubt(
        "grade_came_back",
        where=Where(blade=found.blade, stage=float(again), value=found.grade),
        held=f"passed the grade at {found.low:g} cuts, " if found.low > 0 else "",
        failed=f"{failed:g}",
        again=f"passed again at {again:g}" if again > failed else "passed in another check there",
        life=f"{found.life.words()} cuts" if known else "no life",
        ask=ask,
    )
    back = float(failed), float(again)
    return replace(found, told=known, doubts=(told,), came_back=back)
